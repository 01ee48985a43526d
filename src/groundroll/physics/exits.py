"""Speed at which a runway exit can be taken, and the time to clear the runway by it."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from groundroll.constants import FOOT, KNOT
from groundroll.physics.arguments import check_range
from groundroll.physics.sources import source


@cache
def exit_data() -> dict[str, Any]:
    """Return the numbers of ``data/exits.toml``."""
    parsed = tomllib.loads(files("groundroll").joinpath("data", "exits.toml").read_text(encoding="utf-8"))
    for group in ("lateral_share", "usual_speed_knots", "rapid_exit", "occupancy", "holding_position"):
        for entry in parsed[group].values():
            source(entry["source"])  # a key that is not registered is refused when the table is read
    return parsed


def _check_angle(angle: float) -> None:
    check_range("angle", angle, math.radians(5.0), math.radians(175.0), "rad", hint="5 to 175 deg")


def lateral_share_for_code(code: int) -> float:
    """Return the lateral acceleration over that of free fall that is taken in a turn on a runway condition code.

    Parameters
    ----------
    code
        Runway condition code, 6 to 1.

    Raises
    ------
    ValueError
        On another code; on code 0 nothing is planned.

    References
    ----------
    .. [1] Code 6: taxiway table of radius and speed (0.133); code 5: the published wet speeds of rapid exits (0.121).
    .. [2] Codes 4 to 1: assumption of this project, half of the braking coefficient.
    """
    shares = exit_data()["lateral_share"]
    if str(code) not in shares:
        raise ValueError(f"code {code} is not a runway condition code for an exit speed (6, 5, 4, 3, 2 or 1)")
    return float(shares[str(code)]["value"])


def lateral_share_source(code: int) -> str:
    """Return the source key behind `lateral_share_for_code`."""
    lateral_share_for_code(code)
    return str(exit_data()["lateral_share"][str(code)]["source"])


def turn_speed(radius: float, lateral_share: float) -> float:
    """Return the speed at which a turn of ``radius`` asks for a given lateral acceleration.

    Parameters
    ----------
    radius : scalar
        Of the centre line, 5 to 2000 m. [m]
    lateral_share : scalar
        Lateral acceleration over that of free fall, 0.01 to 0.5. [-]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The published form is R = V^2 / (127.133 f) with V in km/h: 127.133 is very nearly 3.6^2 times 9.81 (127.138).

    References
    ----------
    .. [1] Horonjeff and others, Planning and Design of Airports, 5th ed., table 6-22, credited to ICAO.
    """
    check_range("radius", radius, 5.0, 2_000.0, "m")
    check_range("lateral_share", lateral_share, 0.01, 0.5, "")
    return math.sqrt(127.133 * lateral_share * radius) / 3.6


def is_rapid(angle: float) -> bool:
    """Return whether an exit leaves at the angle of a rapid exit, 25 to 45 degrees (or less).

    Parameters
    ----------
    angle : scalar
        Change of direction, 5 to 175 degrees. [rad]

    Raises
    ------
    ValueError
        If the angle lies outside its range.
    """
    _check_angle(angle)
    return angle <= math.radians(exit_data()["rapid_exit"]["greatest_angle_degrees"]["value"]) + 1e-9


def usual_exit_speed(angle: float) -> float:
    """Return the speed that crews commonly use where nothing else is known: common practice, no source.

    Parameters
    ----------
    angle : scalar
        Change of direction, 5 to 175 degrees. [rad]

    Raises
    ------
    ValueError
        If the angle lies outside its range.
    """
    speeds = exit_data()["usual_speed_knots"]
    return float(speeds["rapid" if is_rapid(angle) else "right_angle"]["value"]) * KNOT


@dataclass(frozen=True)
class ExitSpeed:
    """The speed allowed at an exit, and what set it."""

    speed: float
    """[m/s]"""
    set_by: str
    """In words: what was least."""
    sources: tuple[str, ...]
    """Keys of the sources."""


def allowed_exit_speed(
    angle: float, code: int, *, radius: float | None = None, given: float | None = None, ceiling: float | None = None
) -> ExitSpeed:
    """Return the ground speed allowed at an exit on a runway condition code.

    Parameters
    ----------
    angle : scalar
        Change of direction, 5 to 175 degrees. [rad]
    code
        Runway condition code of the third in which the exit leaves, 6 to 1.
    radius : scalar
        Of the turn-off curve, 5 to 2000 m, where known. [m]
    given : scalar
        Speed of the runway file for a dry or wet runway, where given. [m/s]
    ceiling : scalar
        The operator's own greatest exit speed, where there is one. [m/s]

    Returns
    -------
    ExitSpeed
        The least of: the speed of the curve at the lateral share of the code; the given speed, or where neither it nor
        a radius is known the usual one, both lowered on codes 4 to 1 by the square root of the lateral shares; and the
        ceiling.

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    share = lateral_share_for_code(code)
    found: list[tuple[float, str, str]] = []
    lowered = math.sqrt(min(share / lateral_share_for_code(5), 1.0))
    surface = f" lowered for code {code}" if lowered < 1.0 else ""
    if radius is not None:
        found.append((turn_speed(radius, share), f"curve of {radius:.0f} m on code {code}", lateral_share_source(code)))
    if given is not None:
        check_range("given", given, 0.5, 60.0, "m/s")
        found.append((given * lowered, f"runway file{surface}", "exit-lateral-share" if lowered < 1.0 else ""))
    if radius is None and given is None:
        words = f"common practice, no source{surface}"
        found.append((usual_exit_speed(angle) * lowered, words, "exit-usual-speed"))
    _check_angle(angle)
    if ceiling is not None:
        check_range("ceiling", ceiling, 0.5, 60.0, "m/s")
        found.append((ceiling, "the operator's ceiling", ""))
    speed, set_by, key = min(found, key=lambda one: one[0])
    keys = [key] if key else []
    return ExitSpeed(speed, set_by, tuple(keys))


def path_to_holding_position(angle: float, radius: float | None, holding_distance: float | None = None) -> float:
    """Return the distance along the exit from the start of the turn to the holding position.

    Parameters
    ----------
    angle : scalar
        Change of direction, 5 to 175 degrees. [rad]
    radius : scalar
        Of the turn-off curve; without one the corner is taken as a point. [m]
    holding_distance : scalar
        From the runway centre line to the holding position, across the runway, 20 to 500 m; 90 m if not given. [m]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    An arc of radius R through the angle, which ends R (1 - cos) from the centre line, and a straight from there. Where
    the arc alone reaches the holding position, the part of it up to there.
    """
    _check_angle(angle)
    default: float = exit_data()["holding_position"]["default_distance_m"]["value"]
    across = default if holding_distance is None else holding_distance
    check_range("holding_distance", across, 20.0, 500.0, "m")
    curve = 0.0 if radius is None else radius
    check_range("radius", curve, 0.0, 2_000.0, "m")
    turned = curve * (1.0 - math.cos(angle))
    if turned >= across:
        return curve * math.acos(1.0 - across / curve)
    return curve * angle + (across - turned) / math.sin(angle)


def planned_occupancy_time(threshold_speed: float, touchdown_speed: float, exit_speed: float) -> float:
    """Return the runway occupancy time by the published planning formula.

    Parameters
    ----------
    threshold_speed, touchdown_speed, exit_speed : scalar
        Ground speeds, 0 to 110 m/s, not rising. [m/s]

    Returns
    -------
    scalar
        From the threshold until the runway is clear. [s]

    Raises
    ------
    ValueError
        If a speed lies outside the range, or they rise.

    Notes
    -----
    (V_thr - V_td)/a1 + 3 s + (V_td - V_e)/a2 + 10 s, a1 2.5 ft/s2, a2 5 ft/s2. The scan of the source prints 2a; only
    the plain form reproduces its own stated results.

    References
    ----------
    .. [1] Horonjeff and others, Planning and Design of Airports, 5th ed., equation 6-8.
    """
    for name, value in (
        ("threshold_speed", threshold_speed),
        ("touchdown_speed", touchdown_speed),
        ("exit_speed", exit_speed),
    ):
        check_range(name, value, 0.0, 110.0, "m/s")
    if not exit_speed <= touchdown_speed <= threshold_speed:
        raise ValueError(
            f"speeds must not rise: threshold {threshold_speed:.1f}, touchdown {touchdown_speed:.1f}, "
            f"exit {exit_speed:.1f} m/s"
        )
    data = exit_data()["occupancy"]
    flare = (threshold_speed - touchdown_speed) / (data["flare_deceleration_fps2"]["value"] * FOOT)
    braking = (touchdown_speed - exit_speed) / (data["braking_deceleration_fps2"]["value"] * FOOT)
    return float(flare + data["free_roll_s"]["value"] + braking + data["turn_off_s"]["value"])


def exit_use_share(distance: float, aeroplane_class: str, surface: str) -> float:
    """Return the published share of aeroplanes that have left by an exit at a distance from the threshold.

    Parameters
    ----------
    distance : scalar
        Threshold to exit, 0 to 9000 ft (2743 m), sea level. [m]
    aeroplane_class
        "A" small single, "B" small twin, "C" large, "D" heavy.
    surface
        "dry-regular" or "dry-rapid" by the kind of exit, or "wet" for any exit.

    Returns
    -------
    scalar
        Linear between the printed distances. [-]

    Raises
    ------
    ValueError
        If an argument is outside the table.

    References
    ----------
    .. [1] Horonjeff and others, Planning and Design of Airports, 5th ed., table 6-25.
    """
    table = exit_data()["exit_use"]
    check_range("distance", distance, 0.0, 9_000.0 * FOOT, "m", hint="0 to 9000 ft, the table")
    if surface not in ("dry-regular", "dry-rapid", "wet") or aeroplane_class not in ("A", "B", "C", "D"):
        raise ValueError(f'no column "{surface}", class "{aeroplane_class}" in the table of exit use')
    column = table[surface][aeroplane_class]
    places = table["distance_ft"]
    feet = distance / FOOT
    for low, high, at_low, at_high in zip(places, places[1:], column, column[1:], strict=False):
        if feet <= high + 1e-9:
            return float(at_low + (at_high - at_low) * (feet - low) / (high - low)) / 100.0
    return float(column[-1]) / 100.0
