"""How the pressures on a roof were found, line by line, for whoever redoes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016 import snow as clause
from rafterstay.loads.asce7_2016.printed_in import FOOT, MPH, PCF, PSF
from rafterstay.loads.asce7_2016.roof_live import area_factor, reduced_roof_live, rise_factor
from rafterstay.loads.asce7_2016.unbalanced import Drifted, snow_density
from rafterstay.loads.asce7_2016.wind import (
    DIRECTIONALITY,
    GUST,
    along_coefficient,
    external_coefficients,
    internal_coefficient,
    terrain,
    velocity_coefficient,
    velocity_pressure,
)

if TYPE_CHECKING:
    from rafterstay.job.building import Wind
    from rafterstay.loads.snow import Site

__all__ = [
    "dead_worked",
    "drift_worked",
    "even_worked",
    "figure",
    "halves_worked",
    "live_worked",
    "short_worked",
    "uplift_worked",
    "wind_worked",
]


def figure(value: float) -> str:
    """A figure as a line of working writes it.

    Args:
        value: In the line's own unit. [-]

    Returns:
        Eight digits.

    >>> figure(1 / 3)
    '0.33333333'
    """
    return f"{value:.8g}"


def dead_worked(pressure: float, slope: float) -> list[Line]:
    """The dead load on plan.

    Args:
        pressure: Per area of the roof plane. [Pa]
        slope: Rise over run of the plane. [-]

    Returns:
        One line; none where nothing was stated.
    """
    if pressure <= 0:
        return []
    stated = figure(pressure / PSF)
    on_plan = pressure * (1 + slope**2) ** 0.5 / PSF
    numbers = f"{stated} * sqrt(1 + {figure(slope)}**2)"
    return [Line("pD", "dead load on plan, pd sqrt(1 + slope**2)", numbers, on_plan, "psf")]


def even_worked(
    site: Site, *, slope_deg: float, factor: float, rain: float, least: float
) -> list[Line]:
    """Snow all over a sloping roof, rain and the least snow included.

    Args:
        site: Ground snow and its factors.
        slope_deg: Of the roof. [deg]
        factor: C_s. [-]
        rain: On snow. [Pa]
        least: Minimum snow. [Pa]

    Returns:
        C_s, p_s and the snow that is laid, in psf.
    """
    full_to = clause.full_snow_to(site.thermal, slippery=site.slippery)
    sloped = factor * site.flat
    laid = max(sloped + rain, least)
    numbers = f"max({figure(sloped / PSF)} + {figure(rain / PSF)}, {figure(least / PSF)})"
    return [
        Line(
            "Cs",
            "(70 - slope) / (70 - full to), 0 to 1",
            f"min(1, max(0, (70 - {figure(slope_deg)}) / (70 - {full_to:g})))",
            factor,
            "-",
        ),
        Line("ps", "Cs pf", f"{figure(factor)} * {figure(site.flat / PSF)}", sloped / PSF, "psf"),
        Line("p_even", "ps + rain on snow, at least the minimum", numbers, laid / PSF, "psf"),
    ]


def short_worked(site: Site, lee: float) -> Line:
    """Snow on the lee of a short roof.

    Args:
        site: Ground snow and importance.
        lee: What lies there. [Pa]
    """
    numbers = f"{site.importance:g} * {figure(site.ground / PSF)}"
    return Line("p_lee", "Is pg on the lee, nothing to windward", numbers, lee / PSF, "psf")


def drift_worked(site: Site, *, eave_to_ridge: float, drifted: Drifted, slope: float) -> list[Line]:
    """A drift on the lee and what is left to windward.

    Args:
        site: Ground snow and importance.
        eave_to_ridge: W, on plan. [m]
        drifted: The drift.
        slope: Rise over run. [-]

    Returns:
        h_d, density, surcharge and width, then what lies on either side.
    """
    ground = figure(site.ground / PSF)
    upwind = figure(max(eave_to_ridge / FOOT, 20.0))
    density = snow_density(site.ground) / PCF
    height, run = figure(drifted.height / FOOT), figure(1 / slope)
    root = max(1.0, site.importance)
    return [
        Line(
            "hd",
            "(0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5) sqrt(Is)",
            f"(0.43 * {upwind} ** (1 / 3) * ({ground} + 10) ** 0.25 - 1.5) * sqrt({root:g})",
            drifted.height / FOOT,
            "ft",
        ),
        Line("g", "0.13 pg + 14, at most 30", f"min(0.13 * {ground} + 14, 30)", density, "pcf"),
        Line(
            "p_drift",
            "hd g / sqrt(S)",
            f"{height} * {figure(density)} / sqrt({run})",
            drifted.surcharge / PSF,
            "psf",
        ),
        Line(
            "w",
            "8 hd sqrt(S) / 3, at most W",
            f"min(8 * {height} * sqrt({run}) / 3, {figure(eave_to_ridge / FOOT)})",
            drifted.width / FOOT,
            "ft",
        ),
        Line(
            "p_windward",
            "0.3 ps",
            f"0.3 * {figure(drifted.leeward / PSF)}",
            drifted.windward / PSF,
            "psf",
        ),
    ]


def halves_worked(pressure: float, full: float, other: float) -> list[Line]:
    """Snow as stated on the roof, and its simplified halves.

    Args:
        pressure: Of the snow as stated, on plan. [Pa]
        full: Share on the full half. [-]
        other: Share on the other. [-]

    Returns:
        Two lines; none where no snow was stated.
    """
    if pressure <= 0:
        return []
    stated = figure(pressure / PSF)
    return [
        Line(
            "p_full", "snow on the full half", f"{full:g} * {stated}", full * pressure / PSF, "psf"
        ),
        Line(
            "p_other", "on the other half", f"{other:g} * {stated}", other * pressure / PSF, "psf"
        ),
    ]


def live_worked(stated: float, *, tributary: float, slope: float) -> list[Line]:
    """Roof live load reduced for area and slope.

    Args:
        stated: Unreduced, on plan. [Pa]
        tributary: Plan area of the member. [m2]
        slope: Rise over run. [-]

    Returns:
        R_1, R_2 and L_r in psf; none where nothing was stated.
    """
    if stated <= 0:
        return []
    said, area = f"{stated / PSF:.10g}", f"{tributary / FOOT**2:.10g}"
    rise = f"{12 * slope:.10g}"
    reduced = reduced_roof_live(stated, tributary=tributary, slope=slope) / PSF
    factors = f"{figure(area_factor(tributary))} * {figure(rise_factor(slope))}"
    least = f"min({said}, max(12, {said} * {factors}))" if stated <= 20 * PSF * (1 + 1e-9) else said
    return [
        Line(
            "R1",
            "1.2 - 0.001 At, 0.6 to 1",
            f"min(1, max(0.6, 1.2 - 0.001 * {area}))",
            area_factor(tributary),
            "-",
        ),
        Line(
            "R2",
            "1.2 - 0.05 F, 0.6 to 1",
            f"min(1, max(0.6, 1.2 - 0.05 * {rise}))",
            rise_factor(slope),
            "-",
        ),
        Line("Lr", "Lo R1 R2, not under 12 psf", least, reduced, "psf"),
    ]


def uplift_worked(uplift: float, slope: float) -> list[Line]:
    """A stated net uplift as it acts on plan.

    Args:
        uplift: Square to the roof, strength level. [Pa]
        slope: Rise over run. [-]

    Returns:
        Its upward and its level part; none where nothing was stated.
    """
    if uplift <= 0:
        return []
    said = figure(uplift / PSF)
    level = slope * uplift / PSF
    return [
        Line("pW", "net uplift, upward on plan", said, uplift / PSF, "psf"),
        Line("pW_out", "pW slope, outward", f"{said} * {figure(slope)}", level, "psf"),
    ]


def wind_worked(
    wind: Wind, *, slope_deg: float, height_over_length: float, height_over_length_along: float
) -> list[Line]:
    """Wind from its speed, on a gable.

    Args:
        wind: Speed, exposure, enclosure and height.
        slope_deg: Of the roof. [deg]
        height_over_length: Mean roof height over the span. [-]
        height_over_length_along: Mean roof height over the length of the ridge. [-]

    Returns:
        K_z and q, then both slopes of every wind, strength level: towards the roof above 0. None
        where no speed was stated.

    Raises:
        InputError: IN-841.
    """
    if wind.speed is None or wind.height is None:
        return []
    power, gradient = terrain(str(wind.exposure))
    coefficient = velocity_coefficient(wind.height, str(wind.exposure))
    pressure = velocity_pressure(wind.speed, coefficient)
    over, speed = figure(max(wind.height / FOOT, 15.0)), figure(wind.speed / MPH)
    lines = [
        Line(
            "Kz",
            "2.01 (z / zg)**(2 / a), z at least 15 ft",
            f"2.01 * ({over} / {gradient:g}) ** (2 / {power:g})",
            coefficient,
            "-",
        ),
        Line(
            "q",
            "0.00256 Kz Kd V**2",
            f"0.00256 * {figure(coefficient)} * {DIRECTIONALITY:g} * {speed}**2",
            pressure / PSF,
            "psf",
        ),
    ]
    (pull, push), lee = external_coefficients(slope_deg, height_over_length)
    along = along_coefficient(height_over_length_along)
    inside = internal_coefficient(str(wind.enclosure))
    slopes = {"pull_windward": pull, "push_windward": push, "leeward": lee, "along": along}
    for name, outside in slopes.items():
        for within, sign in (("low", 1.0), ("high", -1.0)):
            if name == "along" and within == "low":
                continue  # it lifts more with the pressure inside high
            load = pressure * (GUST * outside + sign * inside) / PSF
            numbers = f"{figure(pressure / PSF)} * ({GUST:g} * ({figure(outside)}) "
            numbers += f"{'+' if sign > 0 else '-'} {inside:g})"
            told = f"q (G Cp {'+' if sign > 0 else '-'} GCpi), pressure inside {within}"
            lines.append(Line(f"p_{name}_{within}", told, numbers, load, "psf"))
    return lines
