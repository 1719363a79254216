"""A survey as one JSON document: SI, the unit in the key, no NaN."""

from __future__ import annotations

import math
from typing import Any

from rafterstay.cli.contract import envelope
from rafterstay.cli.survey_frame import Listed, Surveyed

__all__ = ["plan_document", "survey_document"]


def plan_document(listed: Listed) -> dict[str, Any]:
    """The readings to take.

    Args:
        listed: Job and list.

    Returns:
        The document; ``readings`` in walking order.
    """
    return envelope(
        "survey",
        job_sha256=listed.job.sha256,
        readings=[
            {
                "from": one.start,
                "to": one.end,
                "kind": one.kind,
                "expected_m": one.expected,
                "how": one.how,
                "repeat": one.repeat,
            }
            for one in listed.plan.readings
        ],
        redundancy=listed.plan.redundancy,
        smallest_hidden_m=_finite(float(listed.plan.hidden.max())),
        points=[{"id": name, "sigma_m": sigma} for name, sigma in listed.plan.sigma.items()],
    )


def survey_document(found: Surveyed) -> dict[str, Any]:
    """What the readings say.

    Args:
        found: Job and frame as it stands.

    Returns:
        The document of the contract.
    """
    built, legs = found.built, found.legs
    return envelope(
        "survey",
        job_sha256=found.job.sha256,
        geometry="measured",
        warnings=[{"code": "survey-note", "text": note} for note in built.notes],
        points=[
            {"id": one.id, "x_m": one.x, "y_m": one.y, "z_m": one.z, "sigma_m": one.sigma}
            for one in built.points
        ],
        blunders=[
            {
                "reading": one.reading,
                "from": one.start,
                "to": one.end,
                "residual_m": one.residual,
                "standardised": one.standardised,
                "likely_slip": one.likely_slip or None,
                "likely_value_m": _finite(one.likely_value),
                "suspects": list(one.suspects),
            }
            for one in built.blunders
        ],
        redundancy=built.redundancy,
        smallest_hidden_m=_finite(built.smallest_hidden),
        legs=[
            {
                "id": leg.id,
                "length_m": leg.length,
                "sigma_m": leg.sigma,
                "azimuth_deg": leg.azimuth_deg,
                "slope_deg": leg.slope_deg,
            }
            for leg in (legs.legs if legs else ())
        ],
        best_centre_m=[float(x) for x in legs.centre] if legs else None,
        standing=[
            {
                "id": one.id,
                "outward_m": one.outward,
                "sideways_m": one.sideways,
                "up_m": one.up,
                "outward_sigma_m": one.outward_sigma,
                "sideways_sigma_m": one.sideways_sigma,
                "up_sigma_m": one.up_sigma,
                "words": one.words,
            }
            for one in found.standing
        ],
    )


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
