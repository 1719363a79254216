"""A table of turns as one JSON document: SI, the unit in the key, no NaN."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rafterstay.cli.contract import envelope

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rafterstay.design import Tuned
    from rafterstay.tuning import State

__all__ = ["tune_document"]


def tune_document(done: Tuned) -> dict[str, Any]:
    """Everything `tune` answers.

    Args:
        done: A tie as read, and what to turn.

    Returns:
        The document of the contract, and what the text says besides.
    """
    job, advice = done.job, done.advice
    blunders = [
        {"code": "blunder", "text": f"{one.reading.named} cannot be right: take it again."}
        for one in advice.state.blunders
    ]
    return envelope(
        "tune",
        job_sha256=job.sha256,
        geometry=done.frame.geometry,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=blunders + [{"code": "note", "text": note} for note in advice.notes],
        turns=_by_leg(advice.turns),
        turns_exact=_by_leg(advice.exact),
        turns_moving=_by_leg(advice.moving),
        turns_equalising=_by_leg(advice.exact - advice.moving),
        step_turn=advice.step or None,
        predicted_N=_numbers(advice.predicted),
        predicted_sigma_N=_numbers(advice.predicted_sigma),
        predicted_shift_m=_numbers(advice.predicted_shift),
        predicted_level_m=_numbers(advice.predicted_level),
        order=[
            {
                "leg": step.leg,
                "turns": step.turns,
                "pulls_N": _numbers(step.pull),
                "shift_m": _numbers(step.shift),
                "inward_m": step.inward,
            }
            for step in advice.steps
        ],
        unsure_of=list(advice.unsure_of),
        read_next=advice.read_next or None,
        target_N=advice.goal.pull,
        tolerance=advice.goal.share,
        most_at_any_step_N=advice.goal.most,
        outside=list(advice.outside),
        kept=advice.kept,
        safe=advice.safe,
        state=_state(advice.state),
        blunders=[
            {
                "line": one.reading.line,
                "what": one.reading.what,
                "where": one.reading.where,
                "value_SI": one.reading.value,
                "expected_SI": one.expected,
                "standardised": one.standardised,
            }
            for one in advice.state.blunders
        ],
        trade=[
            {
                "wish": one.wish,
                "pull_off": one.pull_off,
                "shape_off_m": one.shape_off,
                "turns": _by_leg(one.turns),
            }
            for one in advice.trade
        ],
    )


def _state(state: State) -> dict[str, Any]:
    return {
        "pull_N": _numbers(state.pull),
        "pull_sigma_N": _numbers(state.pull_sigma),
        "shift_m": _numbers(state.shift),
        "shift_sigma_m": _numbers(state.shift_sigma),
        "level_m": _numbers(state.level),
        "ring_N": _numbers(state.side_pull),
        "opening_m": _numbers(state.opening),
        "opening_sigma_m": _numbers(state.opening_sigma),
        "rope_factor": list(state.rope),
        "frame_factor": list(state.frame),
        "wall_factor": list(state.walls),
        "warmer_K": state.warmth,
        "misfit": state.misfit,
    }


def _by_leg(values: Iterable[float]) -> dict[str, float]:
    return {str(leg): float(value) for leg, value in enumerate(values, start=1)}


def _numbers(values: Iterable[float]) -> list[float]:
    return [float(value) for value in values]
