"""Growth of the pull on the displaced roof, against rigid hips in closed form."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, sin, sqrt

import pytest

from rafterstay import loads, roof, statics, tie
from tests.statics.roofs import FOOT, POUND, PSF, half_loaded, stated

INCH = FOOT / 12


def closed_form(
    rise: float, share: float, *, give: float, slip: float, load: float
) -> tuple[float, float]:
    """First and second order pull of one hip: docs/theory/second-order.md eq. 5, iterated.

    Args:
        rise: [m]
        share: Hc/Hr. [-]
        give: Stretch of the leg per pull. [m/N]
        slip: Bedding-in and slip together. [m]
        load: On the hip, resultant a third of the way in from the foot. [N]
    """
    radius = 12 * FOOT
    hip = hypot(radius, rise)
    drawn = pull = load * radius / 3 / (rise * (1 - share))
    for _ in range(300):
        reach = radius + (pull * give + slip) / (1 - share)
        pull = load * (reach / 3) / (sqrt(hip**2 - reach**2) * (1 - share))
    return drawn, pull


@pytest.mark.parametrize(
    ("rise", "height", "rope", "bedding", "slip", "percent"),
    [
        (6.0, 0.0, "7x19 galvanized 1/4 in", 0.0, 0.0, 1.5),
        (6.0, 1 / 3, "7x19 galvanized 1/4 in", 0.0025, 1 / 16, 3.9),
        (3.0, 1 / 3, "7x19 galvanized 3/8 in", 0.0, 0.0, 7.7),
    ],
)
def test_three_octagons_grow_as_rigid_hips_do(
    rise: float, height: float, rope: str, bedding: float, slip: float, percent: float
) -> None:
    """12 ft octagon under 40 psf, legs of plain rope to a stiff ring of 6 in."""
    text = {0.0: "0", 1 / 3: "1/3"}[height]
    job = stated(roof__rise=f"{rise} ft", tie__height=text, parts__rope=rope)
    frame = roof.lay_out(job)
    members = tuple(replace(m, e=1e3 * m.e, g=1e3 * m.g) for m in frame.members)
    stiff = replace(frame, members=members)
    rig = replace(tie.rig(job, stiff), ring="welded", has_turnbuckles=False)
    extra = bedding * rig.leg_lengths + slip * INCH
    case = half_loaded(stiff, 40 * PSF, 0.0, other=1.0)
    forces = statics.solve(stiff, rig, case, leg_extra=extra)
    drawn, pull = closed_form(
        rise * FOOT,
        height,
        give=rig.leg_lengths[0] / rig.rope.stiffness,
        slip=extra[0],
        load=40 * PSF * sin(pi / 4) * (12 * FOOT) ** 2 / 2,
    )
    assert round(100 * (pull / drawn - 1), 1) == percent
    assert forces.first_order[0] / POUND == pytest.approx(drawn / POUND, rel=0.0015)
    # The ropes' own weight is not in the closed form.
    assert 100 * (forces.amplification[0] - 1) == pytest.approx(percent, abs=0.06)


def test_hips_near_their_limit_creep_to_rest() -> None:
    """Low, wide and tied high: each pass is three quarters of the one before, yet it ends."""
    job = stated(
        roof__sides=7,
        roof__plate_radius="16.56 ft",
        roof__rise="4.47 ft",
        roof__hub="disc",
        roof__hub_radius="19.1 in",
        rafter__ply="2x12",
        tie__height="0.474",
        tie__ring_radius="6.4 in",
        loads__snow__roof="41.1 psf",
        loads__dead="14.3 psf",
        parts__rope="7x19 galvanized 5/16 in",
        parts__ring_rope="7x19 galvanized 5/16 in",
    )
    frame = roof.lay_out(job)
    every = loads.gather(job, frame)
    one = tuple(case for case in every.cases if case.id == "D+S/unbalanced-231")
    forces = statics.solve(frame, tie.rig(job, frame), replace(every, cases=one))
    worst = int(forces.amplification.argmax())
    assert 1.5 < forces.amplification[worst] < 1.8
    assert (forces.residual < 1e-6 * forces.leg_pull.max(axis=1)).all()
    assert (forces.spread[worst] > 0).all()
