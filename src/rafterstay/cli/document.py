"""A finished check as one JSON document: SI, the unit in the key, no NaN."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from rafterstay.checks.nouns import Check
from rafterstay.cli.band_report import band_document
from rafterstay.cli.contract import envelope
from rafterstay.cli.setting_report import setting_document
from rafterstay.cli.warnings import warnings_of
from rafterstay.core.working import Line
from rafterstay.sheets.summary import Designed, leg_pulls, ring_pull

if TYPE_CHECKING:
    from rafterstay.sizing import Band

__all__ = ["check_document"]


def check_document(design: Designed, band: Band | None = None) -> dict[str, Any]:
    """Everything `check` answers.

    Args:
        design: A finished design.
        band: Between which pulls the legs may be set, where the job asks for a pull.

    Returns:
        The document of the contract.
    """
    job, checks = design.job, design.checks
    document = envelope(
        "check",
        job_sha256=job.sha256,
        geometry=design.frame.geometry,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=[{"code": one.code, "text": one.text} for one in warnings_of(design)],
        verdict=checks.verdict,
        weakest=checks.weakest,
        prescriptive=checks.prescriptive,
        duty=checks.duty,
        legs=[
            {
                "id": leg.leg,
                "azimuth_deg": leg.azimuth_deg,
                "max_tension_N": leg.most,
                "min_tension_N": leg.least,
                "governing": leg.most_in,
            }
            for leg in leg_pulls(design)
        ],
        ring=None if (pull := ring_pull(design)) is None else {"max_tension_N": pull},
        setting=setting_document(design),
        loads={
            "working": [_line(line) for line in design.cases.working],
            "sources": [str(source) for source in design.cases.sources],
        },
        combinations=[_combination(design, row) for row in range(len(design.forces.states))],
        checks=[_check(check) for check in checks.checks],
    )
    return document | ({} if band is None else {"pretension_band": band_document(band)})


def _combination(design: Designed, row: int) -> dict[str, Any]:
    forces, state = design.forces, design.forces.states[row]
    shift = [float(x) for x in forces.ring_shift[row]]
    return {
        "id": state.id,
        "equation": state.case.equation,
        "pattern": state.case.pattern,
        "direction_deg": state.case.direction_deg,
        "bound": state.bound,
        "variant": state.variant,
        "climate": state.climate,
        "first_order_N": _numbers(forces.first_order[row]),
        "legs_N": _numbers(forces.leg_pull[row]),
        "ring_N": ring_pull(design, row),
        "hub_shear_N": _numbers(forces.head_shear[row]),
        "spread_m": float(forces.spread[row].max()),
        "ring_shift_m": shift if all(map(math.isfinite, shift)) else None,
        "ring_sag_m": _finite(forces.ring_sag[row]),
        "amplification": _finite(forces.amplification[row]),
        "force_error_N": float(forces.force_error[row]),
        "residual_N": float(forces.residual[row]),
    }


def _check(check: Check) -> dict[str, Any]:
    return {
        "id": check.id,
        "part": check.part,
        "demand": check.demand,
        "capacity": check.capacity,
        "unit": check.unit,
        "utilisation": None if check.utilisation is None else _finite(check.utilisation),
        "status": check.status,
        "decides": check.decides,
        "why": check.why,
        "source": "; ".join(map(str, check.sources)),
        "combination": check.combination or None,
        "leg": check.leg,
        "working": [_line(line) for line in check.working],
    }


def _line(line: Line) -> dict[str, Any]:
    return {
        "symbol": line.symbol,
        "formula": line.formula,
        "numbers": line.numbers,
        "value": float(line.value),
        "unit": line.unit,
    }


def _numbers(values: np.ndarray) -> list[float]:
    return [float(value) for value in values]


def _finite(value: float) -> float | None:
    """A figure that has no value in some states: of a slack ring, over nothing."""
    return float(value) if math.isfinite(value) else None
