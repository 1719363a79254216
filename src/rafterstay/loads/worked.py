"""How the pressures on a roof were found, line by line, for whoever redoes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016 import snow as clause
from rafterstay.loads.asce7_2016.printed_in import FOOT, MPH, PSF
from rafterstay.loads.asce7_2016.roof_live import area_factor, reduced_roof_live, rise_factor
from rafterstay.loads.asce7_2016.shown import US, Shown, figure
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
    "halves_worked",
    "live_worked",
    "short_worked",
    "uplift_worked",
    "wind_worked",
]


def dead_worked(pressure: float, slope: float, shown: Shown = US) -> list[Line]:
    """The dead load on plan.

    Args:
        pressure: Per area of the roof plane. [Pa]
        slope: Rise over run of the plane. [-]
        shown: Units of the line.

    Returns:
        One line; none where nothing was stated.
    """
    if pressure <= 0:
        return []
    on_plan = pressure * (1 + slope**2) ** 0.5
    numbers = f"{shown.p(pressure)} * sqrt(1 + {figure(slope)}**2)"
    return [shown.line("pD", "dead load on plan, pd sqrt(1 + slope**2)", numbers, on_plan)]


def even_worked(
    site: Site,
    *,
    slope_deg: float,
    factor: float,
    rain: float,
    least: float,
    shown: Shown = US,
) -> list[Line]:
    """Snow all over a sloping roof, rain and the least snow included.

    Args:
        site: Ground snow and its factors.
        slope_deg: Of the roof. [deg]
        factor: C_s. [-]
        rain: On snow. [Pa]
        least: Minimum snow. [Pa]
        shown: Units of the lines.

    Returns:
        C_s, p_s and the snow that is laid.
    """
    full_to = clause.full_snow_to(site.thermal, slippery=site.slippery)
    sloped = factor * site.flat
    laid = max(sloped + rain, least)
    numbers = f"max({shown.p(sloped)} + {shown.p(rain)}, {shown.p(least)})"
    return [
        Line(
            "Cs",
            "(70 - slope) / (70 - full to), 0 to 1",
            f"min(1, max(0, (70 - {figure(slope_deg)}) / (70 - {full_to:g})))",
            factor,
            "-",
        ),
        shown.line("ps", "Cs pf", f"{figure(factor)} * {shown.p(site.flat)}", sloped),
        shown.line("p_even", "ps + rain on snow, at least the minimum", numbers, laid),
    ]


def short_worked(site: Site, lee: float, shown: Shown = US) -> Line:
    """Snow on the lee of a short roof.

    Args:
        site: Ground snow and importance.
        lee: What lies there. [Pa]
        shown: Units of the line.
    """
    numbers = f"{site.importance:g} * {shown.p(site.ground)}"
    return shown.line("p_lee", "Is pg on the lee, nothing to windward", numbers, lee)


def drift_worked(
    site: Site, *, eave_to_ridge: float, drifted: Drifted, slope: float, shown: Shown = US
) -> list[Line]:
    """A drift on the lee and what is left to windward.

    Args:
        site: Ground snow and importance.
        eave_to_ridge: W, on plan. [m]
        drifted: The drift.
        slope: Rise over run. [-]
        shown: Units of the lines.

    Returns:
        h_d, density, surcharge and width, then what lies on either side.
    """
    ground, upwind = shown.in_psf(site.ground), shown.in_feet(max(eave_to_ridge, 20.0 * FOOT))
    density = snow_density(site.ground) / shown.pcf
    height, run = shown.long(drifted.height), figure(1 / slope)
    root = max(1.0, site.importance)
    across = f"({upwind})" if shown.is_si else upwind
    formula = "(0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5) sqrt(Is)"
    rises = f"(0.43 * {across} ** (1 / 3) * ({ground} + 10) ** 0.25 - 1.5) * sqrt({root:g})"
    weighs = f"min(0.13 * {ground} + 14, 30)"
    spread = f"min(8 * {height} * sqrt({run}) / 3, {shown.long(eave_to_ridge)})"
    return [
        Line(
            "hd",
            shown.told(formula, "lu and hd in ft, pg in psf, as ASCE 7 prints it"),
            f"{rises}{shown.from_feet}",
            drifted.height / shown.foot,
            shown.length,
        ),
        Line(
            "g",
            shown.told("0.13 pg + 14, at most 30", "pg in psf, g in pcf, as ASCE 7 prints it"),
            f"{weighs}{shown.from_pcf}",
            density,
            shown.density,
        ),
        shown.line(
            "p_drift",
            "hd g / sqrt(S)",
            f"{height} * {figure(density)} / sqrt({run})",
            drifted.surcharge,
        ),
        Line("w", "8 hd sqrt(S) / 3, at most W", spread, drifted.width / shown.foot, shown.length),
        shown.line("p_windward", "0.3 ps", f"0.3 * {shown.p(drifted.leeward)}", drifted.windward),
    ]


def halves_worked(pressure: float, full: float, other: float, *, shown: Shown = US) -> list[Line]:
    """Snow as stated on the roof, and its simplified halves.

    Args:
        pressure: Of the snow as stated, on plan. [Pa]
        full: Share on the full half. [-]
        other: Share on the other. [-]
        shown: Units of the lines.

    Returns:
        Two lines; none where no snow was stated.
    """
    if pressure <= 0:
        return []
    stated = shown.p(pressure)
    halves = (
        ("p_full", "snow on the full half", full),
        ("p_other", "on the other half", other),
    )
    return [
        shown.line(symbol, words, f"{share:g} * {stated}", share * pressure)
        for symbol, words, share in halves
    ]


def live_worked(stated: float, *, tributary: float, slope: float, shown: Shown = US) -> list[Line]:
    """Roof live load reduced for area and slope.

    Args:
        stated: Unreduced, on plan. [Pa]
        tributary: Plan area of the member. [m2]
        slope: Rise over run. [-]
        shown: Units of the lines.

    Returns:
        R_1, R_2 and L_r; none where nothing was stated.
    """
    if stated <= 0:
        return []
    said, area = f"{stated / shown.psf:.10g}", f"{tributary / shown.foot**2:.10g}"
    if shown.is_si:
        area += f" / {figure(FOOT**2)}"
    rise = f"{12 * slope:.10g}"
    reduced = reduced_roof_live(stated, tributary=tributary, slope=slope)
    factors = f"{figure(area_factor(tributary))} * {figure(rise_factor(slope))}"
    floor = f"12{shown.from_psf}"
    least = said
    if stated <= 20 * PSF * (1 + 1e-9):
        least = f"min({said}, max({floor}, {said} * {factors}))"
    return [
        Line(
            "R1",
            shown.told("1.2 - 0.001 At, 0.6 to 1", "At in ft2, as ASCE 7 prints it"),
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
        shown.line("Lr", "Lo R1 R2, not under 12 psf", least, reduced),
    ]


def uplift_worked(uplift: float, slope: float, shown: Shown = US) -> list[Line]:
    """A stated net uplift as it acts on plan.

    Args:
        uplift: Square to the roof, strength level. [Pa]
        slope: Rise over run. [-]
        shown: Units of the lines.

    Returns:
        Its upward and its level part; none where nothing was stated.
    """
    if uplift <= 0:
        return []
    said = shown.p(uplift)
    level = slope * uplift
    return [
        shown.line("pW", "net uplift, upward on plan", said, uplift),
        shown.line("pW_out", "pW slope, outward", f"{said} * {figure(slope)}", level),
    ]


def wind_worked(
    wind: Wind,
    *,
    slope_deg: float,
    height_over_length: float,
    height_over_length_along: float,
    shown: Shown = US,
) -> list[Line]:
    """Wind from its speed, on a gable.

    Args:
        wind: Speed, exposure, enclosure and height.
        slope_deg: Of the roof. [deg]
        height_over_length: Mean roof height over the span. [-]
        height_over_length_along: Mean roof height over the length of the ridge. [-]
        shown: Units of the lines.

    Returns:
        K_z and q, then both slopes of every wind, strength level: towards the roof above 0. None
        where no speed was stated.

    Raises:
        InputError: IN-841.
    """
    if wind.speed is None or wind.height is None:
        return []
    coefficient = velocity_coefficient(wind.height, str(wind.exposure))
    pressure = velocity_pressure(wind.speed, coefficient)
    lines = [
        _height_line(wind.height, str(wind.exposure), shown),
        *_pressure_lines(wind.speed, coefficient, shown),
    ]
    (pull, push), lee = external_coefficients(slope_deg, height_over_length)
    along = along_coefficient(height_over_length_along)
    inside = internal_coefficient(str(wind.enclosure))
    slopes = {"pull_windward": pull, "push_windward": push, "leeward": lee, "along": along}
    for name, outside in slopes.items():
        for within, sign in (("low", 1.0), ("high", -1.0)):
            if name == "along" and within == "low":
                continue  # it lifts more with the pressure inside high
            load = pressure * (GUST * outside + sign * inside)
            numbers = f"{shown.p(pressure)} * ({GUST:g} * ({figure(outside)}) "
            numbers += f"{'+' if sign > 0 else '-'} {inside:g})"
            told = f"q (G Cp {'+' if sign > 0 else '-'} GCpi), pressure inside {within}"
            lines.append(shown.line(f"p_{name}_{within}", told, numbers, load))
    return lines


def _height_line(height: float, exposure: str, shown: Shown) -> Line:
    """How fast the wind blows at a height."""
    power, gradient = terrain(exposure)
    least = f"{shown.long(15.0 * FOOT)} m (15 ft)" if shown.is_si else "15 ft"
    over, top = shown.long(max(height, 15.0 * FOOT)), shown.long(gradient * FOOT)
    return Line(
        "Kz",
        f"2.01 (z / zg)**(2 / a), z at least {least}",
        f"2.01 * ({over} / {top}) ** (2 / {power:g})",
        velocity_coefficient(height, exposure),
        "-",
    )


def _pressure_lines(speed: float, coefficient: float, shown: Shown) -> list[Line]:
    """Pressure of the wind. Where ASCE 7 prints a rounded SI constant, its US one is turned."""
    factors = f"{figure(coefficient)} * {DIRECTIONALITY:g}"
    pressure = velocity_pressure(speed, coefficient)
    if not shown.is_si:
        numbers = f"0.00256 * {factors} * {figure(speed / MPH)}**2"
        return [shown.line("q", "0.00256 Kz Kd V**2", numbers, pressure)]
    constant = 0.00256 * PSF / MPH**2
    return [
        Line(
            "kq",
            "0.613 of ASCE 7 in SI, unrounded: 0.00256 psf / mph**2 in Pa and m/s",
            f"0.00256 * {figure(PSF)} / {figure(MPH)}**2",
            constant,
            "Pa s2/m2",
        ),
        shown.line(
            "q",
            "kq Kz Kd V**2 / 1000, V in m/s",
            f"{figure(constant)} * {factors} * {figure(speed)}**2 / 1000",
            pressure,
        ),
    ]
