// Lengths by thumb: boxes for feet, inches and sixteenths, and keys for the usual fractions.
// The boxes only write into the answer's own field; what stands there is what counts.

const KEYS = ["0", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

export function offerThumbs(sheet) {
  if (sheet.dataset.show !== "us") return;
  for (const field of sheet.querySelectorAll("input[data-length]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.id = field.id + "-thumb";
    button.className = "thumb";
    button.textContent = "ft in";
    button.setAttribute("aria-expanded", "false");
    button.setAttribute("aria-label", "By thumb: " + field.labels[0].textContent);
    button.addEventListener("click", () => toggle(field, button));
    if (!field.parentElement.classList.contains("answer")) {
      const row = document.createElement("div");
      row.className = "answer";
      field.replaceWith(row);
      row.append(field);
    }
    field.after(button);
  }
}

function toggle(field, button) {
  const open = field.closest(".question, .beside").querySelector(":scope > .pad");
  button.setAttribute("aria-expanded", String(!open));
  if (open) return open.remove();
  const pad = makePad(field);
  field.parentElement.after(pad);
  pad.querySelector("input").focus();
}

// Feet, inches and sixteenths of what is written so far; zeros where it is something else.
function read(text) {
  const found = /^\s*(?:(\d+)\s*(?:'|ft)\s*-?\s*)?(?:(\d+)(?!\s*\/))?\s*-?\s*(?:(\d+)\/(\d+))?\s*(?:"|in)?\s*$/.exec(text);
  if (!found) return [0, 0, 0];
  const part = found[3] && 16 % Number(found[4]) === 0 ? (Number(found[3]) * 16) / Number(found[4]) : 0;
  return [Number(found[1] || 0), Number(found[2] || 0), part];
}

function write(feet, inches, sixteenths) {
  let part = "";
  if (sixteenths) {
    let [top, bottom] = [sixteenths, 16];
    while (top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
    part = ` ${top}/${bottom}`;
  }
  return feet ? `${feet}'-${inches}${part}"` : `${inches || !part ? inches : ""}${part}"`.trim();
}

function makePad(field) {
  const pad = document.createElement("div");
  pad.className = "pad";
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", field.labels[0].textContent + " by thumb");
  const boxes = document.createElement("div");
  boxes.className = "boxes";
  const start = read(field.value);
  const inputs = ["feet", "inches", "16ths"].map((word, number) => {
    const label = document.createElement("label");
    label.textContent = word;
    const box = document.createElement("input");
    box.inputMode = "numeric";
    box.value = start[number] || "";
    box.autocomplete = "off";
    label.append(box);
    boxes.append(label);
    return box;
  });
  const keys = document.createElement("div");
  keys.className = "keys";
  for (const key of KEYS) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    button.setAttribute("aria-label", key === "0" ? "no fraction" : key + " inch");
    button.addEventListener("click", () => {
      inputs[2].value = read(key + '"')[2] || "";
      fill();
    });
    keys.append(button);
  }
  const done = document.createElement("button");
  done.type = "button";
  done.className = "put";
  done.textContent = "Put on the drawing";
  done.addEventListener("click", () => {
    field.focus();
    field.dispatchEvent(new Event("change", { bubbles: true }));
  });
  function fill() {
    const whole = inputs.map((box) => Math.trunc(Number(box.value)) || 0);
    field.value = write(...whole);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
  boxes.addEventListener("input", (event) => {
    event.stopPropagation();
    fill();
  });
  boxes.addEventListener("change", (event) => event.stopPropagation());
  pad.append(boxes, keys, done);
  return pad;
}
