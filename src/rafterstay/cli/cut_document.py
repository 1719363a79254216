"""A cut list as one JSON document: SI, the unit in the key, no NaN."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from rafterstay.cli.contract import envelope
from rafterstay.shop.press_log import allowed_orders
from rafterstay.shop.take_up import ASSEMBLY
from rafterstay.shop.trial import trial_eye

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rafterstay.cli.cut_list import CutList
    from rafterstay.shop.buying import Item, RopeOrder
    from rafterstay.shop.effort import Effort
    from rafterstay.shop.nouns import Body, Mark, Piece, RingRope, RingSteel

__all__ = ["cut_document"]


def cut_document(done: CutList, written: Sequence[str] = ()) -> dict[str, Any]:
    """Everything `cut` answers.

    Args:
        done: A finished cut list.
        written: Paths of the sheets that were written.

    Returns:
        The document of the contract, and what the text says besides.
    """
    job, cutting, step = done.design.job, done.cutting, done.cutting.step
    trial = trial_eye(cutting.eye, cutting.making)
    return envelope(
        "cut",
        job_sha256=job.sha256,
        geometry="measured" if cutting.measured else "designed",
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=[{"code": code, "text": text} for code, text in done.faults]
        + [{"code": "note", "text": text} for text in cutting.notes],
        provisional=done.provisional,
        layout=cutting.layout,
        step_m=step,
        pieces=[_piece(piece, step) for piece in cutting.pieces],
        turnbuckles=[_body(body) for body in cutting.bodies],
        ring_runs_out_probability=cutting.ring_runs_out,
        ring_runs_out_sampled=cutting.sampled,
        rings_sampled=cutting.rings,
        ring_rope=None if cutting.ring is None else _ring(cutting.ring, step),
        ring_steel=None if cutting.steel is None else _steel(cutting.steel),
        trial_eye={
            "mark_from_crown_m": trial.marked,
            "expected_m": trial.expected,
            "growth_m": cutting.making.creep,
            "growth_half_width_m": cutting.making.creep_half,
            "from": cutting.making.trial or "common practice",
        },
        parts_to_buy=[_item(item) for item in done.shopping.items],
        rope_to_buy=[_rope(order) for order in done.shopping.ropes],
        reels=[reel for order in done.shopping.ropes for reel in _reels(order)],
        cost=done.shopping.total,
        currency=done.shopping.currency,
        unpriced=list(done.shopping.unpriced),
        press={
            "presses": done.design.tie.sleeve.presses,
            "orders": list(allowed_orders(done.design.tie.sleeve.presses)),
            "tail_before_m": cutting.eye.tail_before,
            "tail_after_m": cutting.eye.tail,
        },
        proof_pull={
            "service_N": done.proof.service,
            "least_N": done.proof.least,
            "most_on_bench_N": done.proof.bench,
            "most_against_roof_N": done.proof.roof,
            "where": done.proof.where,
            "caps": [
                {
                    "what": cap.what,
                    "pull_N": cap.pull,
                    "against_roof": cap.against_roof,
                    "referred": cap.referred,
                }
                for cap in done.proof.caps
            ],
        },
        effort=[_effort(effort) for effort in done.efforts],
        labels=[{"leg": label.leg, "lines": list(label.lines)} for label in done.labels],
        sight=[asdict(sight) for sight in done.sights],
        legs_ready=None
        if done.readiness is None
        else [
            {"leg": one.leg, "ready": one.ready, "missing": list(one.missing)}
            for one in done.readiness
        ],
        ring_missing=None if done.ring_missing is None else list(done.ring_missing),
        legs_proved=[
            {"leg": one.leg, "pull_N": one.pull, "who": one.who, "when": one.when}
            for body in cutting.bodies
            if (one := done.proved(body.leg)) is not None
        ],
        presses_logged=done.log.new_presses,
        pulls_logged=done.log.new_pulls,
        written=list(written),
    )


def _ring(ring: RingRope, step: float) -> dict[str, Any]:
    return {
        "rope": ring.rope,
        "loop_m": ring.loop,
        "lap_m": ring.lap,
        "cut_m": ring.cut_steps * step,
        "marks_m": _marks(ring.marks, step),
        "second_marks_m": _marks(ring.second, step),
        "sleeves": ring.sleeves,
        "sleeve": ring.sleeve or None,
    }


def _steel(steel: RingSteel) -> dict[str, Any]:
    known = {
        "inside_diameter_m": steel.inside,
        "bar_length_m": steel.length,
        "eyes_along_m": list(steel.along),
        "hole_m": steel.hole,
    }
    return {
        "kind": steel.kind,
        "steel": steel.steel,
        "size_m": steel.size,
        "radius_m": steel.radius,
        "outside_diameter_m": steel.outside,
        "chord_m": steel.chord,
        "turns_deg": list(steel.turns_deg),
        "mass_kg": steel.mass,
        **{key: value for key, value in known.items() if value},
    }


def _marks(marks: Sequence[Mark], step: float) -> dict[str, float]:
    return {mark.name: mark.steps * step for mark in marks}


def _piece(piece: Piece, step: float) -> dict[str, Any]:
    return {
        "leg": piece.leg,
        "end": piece.end,
        "finished_m": piece.finished,
        "between_crowns_m": piece.between_crowns,
        "cut_m": piece.cut_steps * step,
        "marks_m": _marks(piece.marks, step),
    }


def _body(body: Body) -> dict[str, Any]:
    return {
        "leg": body.leg,
        "distance_m": body.distance,
        "distance_sigma_m": body.sigma,
        "made_of": [{"what": term.name, "length_m": term.length} for term in body.terms],
        "set_m": body.opening,
        "expected_m": body.expected,
        "shorten_left_m": body.shorten_left,
        "lengthen_left_m": body.lengthen_left,
        "shorten_needed_m": body.take_up.shorten,
        "lengthen_needed_m": body.take_up.lengthen,
        "assembly_m": ASSEMBLY,
        "allowances": [
            {
                "what": share.name,
                "mean_m": share.mean,
                "half_width_m": share.half,
                "sigma_m": share.sigma,
                "why": share.why,
            }
            for share in body.take_up.shares
        ],
        "runs_out_probability": body.runs_out,
    }


def _item(item: Item) -> dict[str, Any]:
    return {**asdict(item), "cost": item.cost}


def _rope(order: RopeOrder) -> dict[str, Any]:
    plan = order.plan
    return {
        "rope": order.rope,
        "length_m": order.bought,
        "lengths_m": [r.stock.length * order.step for r in plan.reels if r.stock.at_hand is None],
        "standard": order.standard,
        "ask": order.ask,
        "waste_m": order.waste,
        "least_possible_m": plan.bound * order.step,
        "optimality_gap": plan.gap,
        "method": plan.method,
        "told": plan.told or None,
        "cost": order.cost,
    }


def _reels(order: RopeOrder) -> list[dict[str, Any]]:
    step = order.step
    return [
        {
            "rope": order.rope,
            "length_m": reel.stock.length * step,
            "at_hand": reel.stock.at_hand is not None,
            "test_pieces": [
                {"start_m": start * step, "end_m": end * step}
                for start, end in order.test_pieces(reel)
            ],
            "cuts": [
                {"piece": cut.piece, "start_m": cut.start * step, "end_m": cut.end * step}
                for cut in reel.cuts
            ],
            "left_m": reel.left * step,
        }
        for reel in order.plan.reels
    ]


def _effort(effort: Effort) -> dict[str, Any]:
    return {
        "tool": effort.tool.name,
        "work": effort.tool.work,
        "jaws_N": list(effort.jaws),
        "handles_N": list(effort.handles),
        "limit_N": effort.tool.limit,
        "verdict": effort.verdict,
        "caution": effort.tool.caution,
        "source": str(effort.tool.source),
    }
