// The roof as lines that turn: thin ink at rest, heavy ink as it moves under snow.

const STEP = Math.PI / 24;

export async function drawLines(canvas, said, address) {
  let view;
  try {
    const answer = await fetch(address);
    if (!answer.ok) throw new Error("no lines");
    view = await answer.json();
  } catch {
    if (!document.getElementById("still")) said.textContent = "There is no shape to draw for this sheet.";
    return;
  }
  canvas.hidden = false;
  document.getElementById("still")?.remove();
  said.textContent = view.said + ". Thin: at rest. Drag, or use the arrow keys, to turn it.";
  canvas.setAttribute("aria-label", view.said + "; arrow keys turn it");
  let [turn, tilt] = [view.turn, 0.42];
  const reach = Math.max(...view.lines.flatMap((line) => line.ends.map((end) => Math.hypot(end[0], end[1]))));
  const scale = Math.min(canvas.width / (2.3 * reach), canvas.height / (1.5 * reach));

  function flat([x, y, z]) {
    const along = x * Math.cos(turn) - y * Math.sin(turn);
    const deep = x * Math.sin(turn) + y * Math.cos(turn);
    return [canvas.width / 2 + scale * along, canvas.height * 0.5 - scale * ((z - view.rise / 2) * Math.cos(tilt) + deep * Math.sin(tilt))];
  }

  function draw() {
    const style = getComputedStyle(canvas);
    const pen = canvas.getContext("2d");
    pen.clearRect(0, 0, canvas.width, canvas.height);
    for (const moved of [false, true]) {
      if (moved && view.times <= 1) break;
      for (const { kind, ends, moves } of view.lines) {
        if (moved && kind === "other") continue;
        pen.strokeStyle = style.getPropertyValue(kind === "hip" ? "--wood" : moved ? "--ink" : "--soft");
        pen.lineWidth = (moved ? 2.6 : 1) * (kind === "leg" || kind === "ring" ? 1.2 : 1);
        pen.beginPath();
        for (const end of [0, 1]) {
          const at = ends[end].map((value, axis) => value + (moved ? moves[end][axis] : 0));
          pen[end ? "lineTo" : "moveTo"](...flat(at));
        }
        pen.stroke();
      }
    }
  }

  canvas.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!way) return;
    event.preventDefault();
    turn += way[0] * STEP;
    tilt = Math.max(0, Math.min(Math.PI / 2, tilt + way[1] * STEP));
    draw();
  });
  let from = null;
  canvas.addEventListener("pointerdown", (event) => { from = [event.clientX, event.clientY]; });
  addEventListener("pointerup", () => { from = null; });
  canvas.addEventListener("pointermove", (event) => {
    if (!from) return;
    turn += (event.clientX - from[0]) / 120;
    tilt = Math.max(0, Math.min(Math.PI / 2, tilt + (event.clientY - from[1]) / 160));
    from = [event.clientX, event.clientY];
    draw();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  draw();
}
