"""Hand-built designs for the tests of what is shown: the figures are invented and unequal."""

from __future__ import annotations

import math
from dataclasses import MISSING, dataclass, replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from rafterstay import catalog
from rafterstay.checks.nouns import Check, Checks, Status
from rafterstay.core.sources import Source
from rafterstay.core.working import Line
from rafterstay.job import Assumed
from rafterstay.loads.nouns import Case, Cases
from rafterstay.roof.frame import Frame
from rafterstay.statics.nouns import Forces, Setting, State
from rafterstay.tie.nouns import Tie

BOOK = Source("An invented handbook", "first edition", "table 3", "computed", 95)
HEARD = Source("An invented handbook", "first edition", "table 9", "memory", 70)


@dataclass(frozen=True)
class Built:
    """The shape of a design, for whatever reads one."""

    job: Any
    frame: Frame
    tie: Tie
    cases: Cases
    forces: Forces
    checks: Checks
    built: None = None


def built(n: int = 10, *, title: str = "Invented room", show: str = "us", **size: float) -> Built:
    """A design of ``n`` sides whose leg pulls all differ.

    ``size`` may give plate_radius, ring_radius, height (part of the rise) and pull.
    """
    radius = size.get("plate_radius", 3.45)
    height = size.get("height", 0.3)
    turn = 2 * math.pi * np.arange(n) / n
    out = np.column_stack([np.sin(turn), np.cos(turn), np.zeros(n)])
    rise = 1.9
    bolts = radius * (1 - height) * out + [0, 0, height * rise]
    eyes = size.get("ring_radius", 0.17) * out + [0, 0, height * rise]
    states = _states(n)
    forces = _forces(states, turn, size.get("pull", 5000.0))
    frame = _frame(radius * out, bolts, out, rise)
    job = SimpleNamespace(
        title=title,
        show=show,
        sha256="5ca1ab1e" * 8,
        assumed=(Assumed("roof.overhang", "0 in", "nothing of the kind was stated"),),
        loads=SimpleNamespace(snow=SimpleNamespace(ground=None, roof=1437.0), dead=480.0),
        own_parts=(),
        stand_ins=(),
        pretension=SimpleNamespace(set_when="propped"),
        support=SimpleNamespace(help_stated=False),
        site=SimpleNamespace(timber_treatment="none", pool=False),
        parts=SimpleNamespace(
            rope="7x19 galvanized 1/4 in",
            ring_rope="7x19 galvanized 5/16 in",
            sleeve="copper oval 1/4 in",
        ),
    )
    cases = Cases(tuple(state.case for state in states), states[0].case, simplified_snow=True)
    return Built(job, frame, _tie(n, bolts, eyes, height * rise), cases, forces, _checks(forces))


def _case(pattern: str, n: int, direction: float | None = None) -> Case:
    return Case("D+S", pattern, direction, 1.15, 1.0, np.zeros((n, 2)), np.zeros(n), BOOK)


def _states(n: int) -> tuple[State, ...]:
    patterns = [_case("balanced", n)]
    patterns += [_case("unbalanced", n, 180.0 * k / n) for k in (0, 1, 3)]
    return tuple(State(case) for case in patterns)


def _forces(states: tuple[State, ...], turn: np.ndarray, pull: float) -> Forces:
    n = len(turn)
    rows = [np.full(n, 0.93 * pull)]
    for state in states[1:]:
        towards = math.radians(state.case.direction_deg or 0.0)
        rows.append(pull * (0.71 + 0.36 * np.cos(turn - towards) + 0.013 * np.sin(3 * turn)))
    leg = np.array(rows)
    lost = np.full((len(states), 2), np.nan)
    lost[0] = (0.0013, -0.0021)
    sag = np.array([0.0042] + [np.nan] * (len(states) - 1))
    zero = np.zeros_like(leg)
    setting = Setting(
        leg_pull=np.full(n, 210.0),
        lowered_pull=np.full(n, 1900.0),
        prop_force=7400.0,
        ring_centre=np.zeros(3),
        leg_length=np.full(n, 2.2),
        ring_length=np.full(n, 0.1),
        spread=np.zeros(n),
    )
    known: dict[str, Any] = {
        "leg_pull": leg,
        "first_order": leg / 1.02,
        "amplification": np.full(len(states), 1.02),
        "ring_pull": leg / (2 * math.sin(math.pi / n)),
        "slack": np.zeros(leg.shape, dtype=np.bool_),
        "eye_turn": zero + 2 * math.pi / n,
        "spread": zero + 0.0031,
        "hub_drop": np.full(len(states), 0.004),
        "ring_shift": lost,
        "ring_sag": sag,
        "force_error": np.full(len(states), 2e-4),
        "residual": np.full(len(states), 3e-6),
        "head_shear": zero + 310.0,
        "foot_reaction": zero + 4000.0,
        "pull_direction": np.zeros((*leg.shape, 3)),
    }
    missing = {name for name in Forces.__dataclass_fields__ if name not in known}
    filled = dict.fromkeys(missing - {"states", "setting", "left_out"}, zero)
    return Forces(states=states, setting=setting, **known, **filled)


def _frame(feet: np.ndarray, bolts: np.ndarray, out: np.ndarray, rise: float) -> Frame:
    n = len(feet)
    nodes = np.concatenate([feet, bolts, [[0.0, 0.0, rise]]])
    known: dict[str, Any] = {
        "n": n,
        "nodes": nodes,
        "names": tuple(f"node {k}" for k in range(len(nodes))),
        "members": (),
        "feet": np.arange(n),
        "bolts": np.arange(n, 2 * n),
        "heads": np.full(n, 2 * n),
        "hub": "point",
        "hub_node": 2 * n,
        "outward": out,
        "rise": rise,
        "span": 2 * float(np.linalg.norm(feet[0])),
        "deck": True,
        "geometry": "designed",
    }
    fields = Frame.__dataclass_fields__
    missing = {name for name in fields if name not in known and fields[name].default is MISSING}
    return Frame(**known, **{name: np.zeros(n) for name in missing})


def _tie(n: int, bolts: np.ndarray, eyes: np.ndarray, height: float) -> Tie:
    ply = catalog.find("ply", "2x8")
    return Tie(
        n=n,
        height=height,
        bolt_points=bolts,
        ring_points=eyes,
        ring_radius=float(np.linalg.norm(eyes[0, :2])),
        leg_lengths=np.linalg.norm(bolts - eyes, axis=1),
        turnbuckle_set=0.36,
        rope=catalog.find("rope", "7x19 galvanized 1/4 in"),
        ring_rope=catalog.find("rope", "7x19 galvanized 5/16 in"),
        turnbuckle=catalog.find("turnbuckle", "jaw-jaw 1/2 in x 6 in"),
        bolt=catalog.find("bolt", "A307 5/8 in"),
        thimble=catalog.find("thimble", "heavy 1/4 in"),
        sleeve=catalog.find("sleeve", "copper oval 1/4 in"),
        species=catalog.species("Douglas Fir-Larch", "No. 2", ply.depth),
        ply=ply,
        plies=2,
        gap=0.0381,
        eye_spacers=True,
        target=0.0,
    )


def _check(name: str, forces: Forces, used: float | None, status: Status, **more: Any) -> Check:
    row = int(forces.leg_pull.max(axis=1).argmax())
    demand = float(forces.leg_pull[row].max())
    capacity = None if used is None else demand / used
    said = Check(
        id=name,
        part=name.split("-")[0],
        demand=demand,
        capacity=capacity,
        unit="N",
        utilisation=used,
        status=status,
        decides=True,
        why="The leg pulls the bolt across both plies; a thicker bolt or spacers would help.",
        sources=(BOOK,),
        combination=forces.states[row].id,
        leg=int(forces.leg_pull[row].argmax()) + 1,
        working=(Line("Z", "2 D t Fe / Rd", "2 * 0.625 * 1.5 * 3650 / 4", 1710.9, "lbf"),),
    )
    return replace(said, **more)


def _checks(forces: Forces) -> Checks:
    spread = {"unit": "m", "demand": 0.0031, "capacity": 0.00635, "leg": None}
    return Checks(
        verdict="fails",
        weakest="bolt-yield",
        duty="rafter tie",
        prescriptive="within",
        checks=(
            _check("bolt-yield", forces, 1.07, "fails"),
            _check("unbalanced-snow", forces, None, "refer", sources=(HEARD,), leg=None),
            _check("rope-strength", forces, 0.61, "passes"),
            _check("wall-spread", forces, 0.0031 / 0.00635, "passes", **spread),
            _check("turnbuckle-load", forces, 0.44, "passes"),
            _check("rope-lifting", forces, 0.83, "passes", decides=False),
        ),
    )
