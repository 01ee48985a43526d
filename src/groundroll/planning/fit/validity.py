"""Whether a landing lies within the conditions of the table that an aircraft file was fitted to."""

from __future__ import annotations

from groundroll.errors import ScenarioError
from groundroll.physics.atmosphere import pressure_altitude
from groundroll.planning.landing_roll import LandingConditions
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Aircraft

SLACK = 1e-6
"""Relative rounding allowed at the ends, which a file writes in decimal digits."""


def outside_fit(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> tuple[str, ...]:
    """Return what of the landing the table did not hold, in words; empty within it or without a fit."""
    fit = aircraft.fit
    if fit is None:
        return ()
    found = []
    for name, value, ends, shown in (
        ("mass", conditions.mass, fit.masses, wording.mass),
        ("pressure altitude", pressure_altitude(conditions.pressure), fit.pressure_altitudes, wording.altitude),
        ("temperature", conditions.temperature, fit.temperatures, wording.temperature),
        ("headwind", conditions.headwind, fit.headwinds, wording.speed),
    ):
        slack = SLACK * max(abs(ends[0]), abs(ends[1]), 1.0)
        if not ends[0] - slack <= value <= ends[1] + slack:
            found.append(f"{name} {shown(value)} (table: {shown(ends[0])} to {shown(ends[1])})")
    codes = sorted({third.code for third in conditions.thirds} - set(fit.codes) - {0})
    if codes:
        listed = ", ".join(str(code) for code in fit.codes)
        found.append(f"code {', '.join(str(code) for code in codes)} (table: {listed})")
    if conditions.flap not in fit.flaps:
        found.append(f"flap {conditions.flap} (table: {', '.join(fit.flaps)})")
    return tuple(found)


def fit_cautions(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> list[str]:
    """Return how good the fit is, and a warning where the landing lies outside its table."""
    fit = aircraft.fit
    if fit is None:
        return []
    cautions = [
        f"Aeroplane fitted to {fit.rows} rows of {fit.table}: 95 % within {wording.length(fit.within)}, unfactored."
    ]
    outside = outside_fit(aircraft, conditions, wording)
    if outside:
        cautions.append(f"OUTSIDE the table it was fitted to: {'; '.join(outside)}.")
    return cautions


def refuse_outside_fit(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> None:
    """Refuse a landing outside the table where the aircraft file asks for it (fit.outside).

    Raises
    ------
    ScenarioError
        With what lies outside.
    """
    outside = outside_fit(aircraft, conditions, wording)
    if outside and aircraft.fit is not None and aircraft.fit.outside == "refuse":
        raise ScenarioError(
            f"outside the table that {aircraft.name} was fitted to: {'; '.join(outside)}. No plan is computed beyond "
            'it; fit.outside = "warn" in the aircraft file would warn instead.'
        )
