"""Aeroplane, runway, air and surface of a recorded landing, from a plan or given one by one, and how sure each is."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from groundroll.errors import DataError
from groundroll.physics.atmosphere import pressure_at_elevation, standard_temperature
from groundroll.physics.rollout import Roll
from groundroll.physics.wind import headwind as headwind_of
from groundroll.planning.landing_roll import LandingConditions, conditions_of, landing_roll, wind_on_runway
from groundroll.review.place import track_frame
from groundroll.review.reading import Recording
from groundroll.scenario.check_runway import landing_direction
from groundroll.scenario.model import Aircraft, Exit, Runway
from groundroll.scenario.resolved import Case, SurfaceThird

STANDARD_PRESSURE: Final = 101_325.0


@dataclass(frozen=True)
class Deviations:
    """Standard deviations of what enters the balance of forces. Assumptions of this project unless recorded."""

    mass_share: float = 0.01
    headwind: float = 1.5
    """[m/s]"""
    drag_share: float = 0.10
    lift_coefficient: float = 0.05
    reverse_share: float = 0.15
    slope: float = 0.001
    density_share: float = 0.01


@dataclass(frozen=True)
class Setting:
    """Everything beside the recording that a review needs."""

    aircraft: Aircraft
    conditions: LandingConditions
    bearing: float
    """Direction of landing, true. [rad]"""
    half_width: float
    exits: tuple[Exit, ...]
    threshold: tuple[float, float] | None = None
    """Latitude and longitude of the landing threshold. [rad]"""
    case: Case | None = None
    deviations: Deviations = Deviations()
    known: frozenset[str] = frozenset()
    """Of mass, wind, temperature, pressure, flap and surface: what was given; the rest is assumed."""
    title: str = ""

    @cached_property
    def roll(self) -> Roll:
        """Return the roll that carries aeroplane, air and runway; its programs are not used."""
        return landing_roll(self.aircraft, self.conditions, "manual", "none")


def setting_of_case(case: Case, threshold: tuple[float, float] | None = None) -> Setting:
    """Return the setting of a planned case, with the wind as reported rather than factored."""
    conditions = replace(conditions_of(case), headwind=wind_on_runway(case).headwind)
    return Setting(
        aircraft=case.aircraft,
        conditions=conditions,
        bearing=case.direction_data.true_bearing,
        half_width=0.5 * case.runway.width,
        exits=case.direction_data.exits,
        threshold=threshold,
        case=case,
        known=frozenset({"mass", "wind", "temperature", "pressure", "flap", "surface"}),
        title=case.title,
    )


def setting_of(
    aircraft: Aircraft,
    runway: Runway,
    direction: str,
    *,
    mass: float | None = None,
    flap: str | None = None,
    headwind: float | None = None,
    temperature: float | None = None,
    pressure_setting: float | None = None,
    codes: tuple[int, int, int] | None = None,
    threshold: tuple[float, float] | None = None,
) -> Setting:
    """Return the setting of a landing for which there is no case; what is not given is assumed, and said.

    Raises
    ------
    DataError
        If the direction is not one of the runway, the flap not one of the aeroplane, or a code is not 1 to 6.
    """
    if direction not in runway.directions:
        raise DataError(f'"{direction}" is not a direction of the runway; it has {", ".join(runway.directions)}.')
    if flap is not None and flap not in aircraft.flaps:
        raise DataError(f'flap "{flap}" is not in the aircraft file; it has {", ".join(aircraft.flaps)}.')
    if codes is not None and any(one not in range(1, 7) for one in codes):
        raise DataError(
            f"codes {'/'.join(map(str, codes))}: a review compares with codes 1 to 6, in landing direction."
        )
    data = landing_direction(runway, direction)
    known = {
        name
        for name, value in (
            ("mass", mass),
            ("flap", flap),
            ("wind", headwind),
            ("temperature", temperature),
            ("pressure", pressure_setting),
            ("surface", codes),
        )
        if value is not None
    }
    limits = aircraft.mass
    likely = mass if mass is not None else 0.5 * (limits.minimum + limits.maximum_landing)
    first, second, third = (SurfaceThird(code, None, None, None) for code in codes or (6, 6, 6))
    chosen = flap if flap is not None else next(iter(aircraft.flaps))
    conditions = LandingConditions(
        mass=likely,
        flap=chosen,
        approach_speed=aircraft.flaps[chosen].reference_speed_at(likely),
        pressure=pressure_at_elevation(data.threshold_elevation, pressure_setting or STANDARD_PRESSURE),
        temperature=temperature if temperature is not None else standard_temperature(data.threshold_elevation),
        headwind=headwind if headwind is not None else 0.0,
        slope=data.slope,
        runway_length=runway.length,
        displaced_threshold=data.displaced_threshold,
        landing_distance_available=data.landing_distance_available,
        surface=runway.surface,
        thirds=(first, second, third),
    )
    deviations = Deviations(
        mass_share=0.01 if mass is not None else 0.5 * (limits.maximum_landing - limits.minimum) / likely / 1.73,
        headwind=1.5 if headwind is not None else 4.0,
        density_share=0.01 if temperature is not None and pressure_setting is not None else 0.04,
    )
    return Setting(
        aircraft=aircraft,
        conditions=conditions,
        bearing=data.true_bearing,
        half_width=0.5 * runway.width,
        exits=data.exits,
        threshold=threshold,
        deviations=deviations,
        known=frozenset(known),
    )


def likely_direction(runway: Runway, heading: float) -> str:
    """Return the direction of a runway nearest to a track, true.

    Raises
    ------
    DataError
        If none lies within 20 degrees.
    """

    def off(name: str) -> float:
        turn = (runway.directions[name].true_bearing - heading + math.pi) % (2.0 * math.pi) - math.pi
        return abs(turn)

    best = min(runway.directions, key=off)
    if off(best) > math.radians(20.0):
        raise DataError(
            f"the track runs at {math.degrees(heading) % 360.0:.0f} deg true; no direction of the runway lies within "
            "20 deg of it. Is it the right runway?"
        )
    return best


def with_recorded(setting: Setting, recording: Recording, around: float, remarks: list[str]) -> Setting:
    """Return the setting with mass, wind and temperature as recorded near touchdown, where they were.

    Parameters
    ----------
    setting
        From a plan or given.
    recording
        The recording.
    around
        Time of touchdown. [s]
    remarks
        What was taken from where is added here.
    """
    conditions, deviations, known = setting.conditions, setting.deviations, set(setting.known)
    mass = recording.get("mass")
    if mass is not None:
        recorded = float(np.median(mass.between(around - 40.0, around + 20.0).value))
        limits = setting.aircraft.mass
        if 0.95 * limits.minimum <= recorded <= 1.05 * limits.maximum_take_off:
            conditions = replace(conditions, mass=recorded)
            deviations = replace(deviations, mass_share=0.01)
            known.add("mass")
        else:
            remarks.append(f"recorded mass {recorded:.0f} kg lies outside the aircraft file; not used")
    temperature = recording.get("temperature")
    if temperature is not None:
        recorded = float(np.median(temperature.between(around - 20.0, around + 20.0).value))
        if 200.0 < recorded < 335.0:
            conditions = replace(conditions, temperature=recorded)
            known.add("temperature")
    found = _recorded_headwind(setting, recording, around)
    if found is not None:
        conditions = replace(conditions, headwind=found)
        deviations = replace(deviations, headwind=1.5)
        known.add("wind")
    said = {
        "mass": "mass is not known: taken halfway between the least and the greatest landing mass",
        "wind": "wind is not known: taken as calm, give or take 4 m/s",
        "flap": f"flap is not known: taken as {conditions.flap}",
        "surface": "the reported condition is not known: compared with dry",
    }
    remarks += [words for name, words in said.items() if name not in known]
    if not {"temperature", "pressure"} <= known:
        remarks.append("temperature or pressure is not known: taken as standard, give or take 4 % of density")
    return replace(setting, conditions=conditions, deviations=deviations, known=frozenset(known))


def _recorded_headwind(setting: Setting, recording: Recording, around: float) -> float | None:
    """Return the headwind by recorded wind or by true airspeed less ground speed, shortly before touchdown."""
    speed, direction = recording.get("wind_speed"), recording.get("wind_direction")
    if speed is not None and direction is not None:
        before = speed.between(around - 25.0, around - 2.0)
        if before.size >= 3:
            from_ = direction.at(before.time) % (2.0 * math.pi)
            values = [
                headwind_of(float(one), float(min(max(wind, 0.0), 75.0)), setting.bearing)
                for one, wind in zip(from_, before.value, strict=True)
            ]
            return float(np.median(values))
    airspeed, ground = recording.get("true_airspeed"), recording.get("ground_speed")
    if airspeed is not None and ground is not None:
        before = airspeed.between(around - 15.0, around - 2.0)
        if before.size >= 3:
            return float(np.median(before.value - ground.at(before.time)))
    return None


def track_bearing(recording: Recording, halfway: float) -> float | None:
    """Return the direction of the roll by positions, else by heading; None where neither is recorded. [rad]"""
    latitude, longitude = recording.get("latitude"), recording.get("longitude")
    if latitude is not None and longitude is not None and latitude.between(halfway - 30.0, halfway + 8.0).size > 3:
        return track_frame(latitude, longitude, halfway - 30.0, halfway + 8.0).bearing
    heading = recording.get("heading")
    if heading is not None and heading.between(halfway - 30.0, halfway + 5.0).size > 3:
        return float(np.median(heading.between(halfway - 30.0, halfway + 5.0).value)) % (2.0 * math.pi)
    return None
