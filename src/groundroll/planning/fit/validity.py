"""Whether a landing lies within the conditions of the table that an aircraft file was fitted to."""

from __future__ import annotations

from collections.abc import Sequence

from groundroll.errors import ScenarioError
from groundroll.physics.atmosphere import pressure_altitude
from groundroll.planning.landing_roll import LandingConditions, air_segment_of, brakes_of, reverses_of
from groundroll.planning.reject_roll import TakeOffConditions
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Aircraft, Fitted, FittedStops

SLACK = 1e-6
"""Relative rounding allowed at the ends, which a file writes in decimal digits."""


def outside_fit(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> tuple[str, ...]:
    """Return what of the landing the table did not hold, in words; empty within it or without a fit."""
    fit = aircraft.fit
    if fit is None:
        return ()
    if fit.landing_rows == 0:
        return ("a landing (table: accelerate-stop rows only)",)
    return _outside(fit, conditions, conditions.flap, wording)


def _outside(
    seen: Fitted | FittedStops, conditions: LandingConditions | TakeOffConditions, flap: str, wording: Wording
) -> tuple[str, ...]:
    """Return which conditions lie outside those that rows covered."""
    found = []
    for name, value, ends, shown in (
        ("mass", conditions.mass, seen.masses, wording.mass),
        ("pressure altitude", pressure_altitude(conditions.pressure), seen.pressure_altitudes, wording.altitude),
        ("temperature", conditions.temperature, seen.temperatures, wording.temperature),
        ("headwind", conditions.headwind, seen.headwinds, wording.speed),
        ("slope", conditions.slope, seen.slopes, _slope),
    ):
        if ends is None:
            continue
        slack = SLACK * max(abs(ends[0]), abs(ends[1]), 1.0)
        if not ends[0] - slack <= value <= ends[1] + slack:
            found.append(f"{name} {shown(value)} (table: {shown(ends[0])} to {shown(ends[1])})")
    codes = sorted({third.code for third in conditions.thirds} - set(seen.codes) - {0})
    if codes:
        listed = ", ".join(str(code) for code in seen.codes)
        found.append(f"code {', '.join(str(code) for code in codes)} (table: {listed})")
    if flap not in seen.flaps:
        found.append(f"flap {flap} (table: {', '.join(seen.flaps)})")
    return tuple(found)


def stop_fit_cautions(aircraft: Aircraft, conditions: TakeOffConditions, flap: str, wording: Wording) -> list[str]:
    """Return how good the fit is for a rejected take-off, and a warning where it lies outside the table."""
    fit = aircraft.fit
    if fit is None:
        return []
    if fit.stops is None:
        return [f"OUTSIDE the table it was fitted to: {fit.table} holds no accelerate-stop rows."]
    cautions = [
        f"Aeroplane fitted to {fit.rows} rows of {fit.table}, {fit.stops.rows} of them accelerate-stop: 95 % within "
        f"{wording.length(fit.within)}, unfactored."
    ]
    outside = _outside(fit.stops, conditions, flap, wording)
    if outside:
        cautions.append(f"OUTSIDE the table it was fitted to: {'; '.join(outside)}.")
    return cautions


def _slope(slope: float) -> str:
    return f"{100.0 * slope:+.2f} %"


def choices_outside_fit(aircraft: Aircraft, conditions: LandingConditions) -> tuple[str, ...]:
    """Return the brake settings and uses of reverse of today that the table did not hold, in words."""
    fit = aircraft.fit
    if fit is None or fit.landing_rows == 0:
        return ()
    found = []
    for name, today, seen in (
        ("brakes", brakes_of(aircraft, conditions), fit.brakes),
        ("reverse", reverses_of(aircraft, conditions), fit.reverses),
    ):
        missing = [] if seen is None else [one for one in today if one not in seen]
        if missing:
            found.append(f"{name} {', '.join(missing)}")
    return tuple(found)


def outside_recordings(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> tuple[str, ...]:
    """Return what of the landing was not recorded, in words; empty within it or without a fit to recordings."""
    seen = aircraft.fit_recordings
    if seen is None:
        return ()
    found = []
    for name, value, ends, shown in (
        ("mass", conditions.mass, seen.masses, wording.mass),
        (
            "ground speed at touchdown",
            air_segment_of(conditions).touchdown_ground_speed,
            seen.touchdown_speeds,
            wording.speed,
        ),
    ):
        if not ends[0] * (1.0 - SLACK) <= value <= ends[1] * (1.0 + SLACK):
            found.append(f"{name} {shown(value)} (recorded: {shown(ends[0])} to {shown(ends[1])})")
    codes = sorted({third.code for third in conditions.thirds} - set(seen.codes) - {0})
    if codes:
        listed = ", ".join(str(code) for code in seen.codes)
        found.append(f"code {', '.join(str(code) for code in codes)} (recorded: {listed})")
    if conditions.flap not in seen.flaps:
        found.append(f"flap {conditions.flap} (recorded: {', '.join(seen.flaps)})")
    return tuple(found)


def _recording_cautions(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> list[str]:
    """Return to which recordings the aeroplane was fitted, and a warning where the landing lies outside them."""
    seen = aircraft.fit_recordings
    if seen is None:
        return []
    rests = (
        f"{seen.landings} recorded landings of {seen.folder}: {', '.join(seen.fitted)}; the rest is as in {seen.start}"
    )
    return _rests_on(rests, "recordings", outside_recordings(aircraft, conditions, wording))


def _rests_on(rests: str, what: str, outside: Sequence[str]) -> list[str]:
    """Return on what a fitted aeroplane rests, and a warning where the landing lies outside it."""
    warning = [f"OUTSIDE the {what} it was fitted to: {'; '.join(outside)}."] if outside else []
    return [f"Aeroplane fitted to {rests}.", *warning]


def fit_cautions(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> list[str]:
    """Return how good the fit is, and a warning where the landing lies outside its table or its recordings."""
    return [*_table_cautions(aircraft, conditions, wording), *_recording_cautions(aircraft, conditions, wording)]


def _table_cautions(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> list[str]:
    fit = aircraft.fit
    if fit is None:
        return []
    rests = f"{fit.rows} rows of {fit.table}: 95 % within {wording.length(fit.within)}, unfactored"
    cautions = _rests_on(rests, "table", outside_fit(aircraft, conditions, wording))
    choices = choices_outside_fit(aircraft, conditions)
    if choices:
        cautions.append(f"Not in the table it was fitted to, so only as good as the start: {'; '.join(choices)}.")
    return cautions


def refuse_outside_fit(aircraft: Aircraft, conditions: LandingConditions, wording: Wording) -> None:
    """Refuse a landing outside table or recordings where the aircraft file asks for it (``outside``).

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
    outside = outside_recordings(aircraft, conditions, wording)
    if outside and aircraft.fit_recordings is not None and aircraft.fit_recordings.outside == "refuse":
        raise ScenarioError(
            f"outside the recordings that {aircraft.name} was fitted to: {'; '.join(outside)}. No plan is computed "
            'beyond them; fit_recordings.outside = "warn" in the aircraft file would warn instead.'
        )
