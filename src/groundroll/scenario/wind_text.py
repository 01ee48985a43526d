"""Wind as a person writes it in a case file: "240/14 kt", "240/14G25 kt 200V280", "VRB/03 kt", "calm"."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from groundroll.errors import ScenarioError
from groundroll.scenario.quantity import SPEED, from_si, shown, to_si, units_allowed

GREATEST_WIND_SPEED: Final = 100.0 * 1852.0 / 3600.0
"""Greatest wind speed read. [m/s] Assumption of this project: 100 kt; nobody plans a landing above it."""

_WIND: Final = re.compile(
    r"(?P<direction>[0-9]{1,3}|VRB)/(?P<speed>[0-9]{1,3}(?:\.[0-9])?)(?:G(?P<gust>[0-9]{1,3}(?:\.[0-9])?))?"
    r" ?(?P<unit>kt|m/s|km/h|mph)(?: (?P<arc_from>[0-9]{1,3})V(?P<arc_to>[0-9]{1,3}))?",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True)
class Wind:
    """Wind as written: directions in radians, still without a reference to true or magnetic north."""

    direction: float | None
    """Direction the wind comes from; None when variable or calm. [rad]"""
    speed: float
    """Mean wind. [m/s]"""
    gust: float | None = None
    """Greatest speed in gusts. [m/s]"""
    variable: bool = False
    """True for VRB: from any direction."""
    arc_from: float | None = None
    """First direction of a variable sector, clockwise. [rad]"""
    arc_to: float | None = None
    """Last direction of a variable sector. [rad]"""

    @property
    def calm(self) -> bool:
        """True without wind."""
        return self.speed == 0.0 and not self.gust


def _direction(text: str, value: str) -> float:
    degrees = int(text)
    if degrees > 360:
        raise ScenarioError(f"{shown(value)}: wind direction {degrees} is outside 0 to 360 deg.")
    return math.radians(degrees % 360)


def read_wind(value: object) -> Wind:
    """Return the wind written as text.

    Examples
    --------
    >>> round(read_wind("270/36 km/h").speed, 9)
    10.0
    >>> read_wind("calm").calm
    True
    """
    if not isinstance(value, str):
        raise ScenarioError(f'{shown(value)} is not a wind. Write it as "240/14 kt", "240/14G25 kt" or "calm".')
    text = " ".join(value[:100].split())
    if text.lower() == "calm":
        return Wind(direction=None, speed=0.0)
    match = _WIND.fullmatch(text) if len(value) <= 100 else None
    if match is None:
        raise ScenarioError(
            f"{shown(value)} is not a wind. Write direction in degrees, speed and unit ({units_allowed(SPEED)}): "
            '"240/14 kt", "240/14G25 kt", "240/14 kt 200V280", "VRB/03 kt" or "calm".'
        )
    unit = match["unit"].lower()
    speed = to_si(float(match["speed"]), SPEED, unit)
    gust = to_si(float(match["gust"]), SPEED, unit) if match["gust"] else None
    if max(speed, gust or 0.0) > GREATEST_WIND_SPEED * (1.0 + 1e-9):
        limit = from_si(GREATEST_WIND_SPEED, SPEED, unit)
        raise ScenarioError(f"{shown(value)}: the wind is above {limit:.4g} {unit}.")
    if gust is not None and gust <= speed:
        raise ScenarioError(f"{shown(value)}: the gust is not above the mean wind.")
    variable = match["direction"].upper() == "VRB"
    arc = (match["arc_from"], match["arc_to"])
    if variable and arc[0]:
        raise ScenarioError(f"{shown(value)}: give either VRB or a sector such as 200V280, not both.")
    direction = None if variable else _direction(match["direction"], value)
    if speed == 0.0 and gust is None:
        return Wind(direction=None, speed=0.0)
    return Wind(
        direction=direction,
        speed=speed,
        gust=gust,
        variable=variable,
        arc_from=_direction(arc[0], value) if arc[0] else None,
        arc_to=_direction(arc[1], value) if arc[1] else None,
    )


def _validate(value: Any) -> Wind:
    if isinstance(value, Wind):
        return value
    try:
        return read_wind(value)
    except ScenarioError as error:
        raise PydanticCustomError("wind", "{text}", {"text": str(error)}) from error


WIND_TEXT: Final = BeforeValidator(_validate, json_schema_input_type=str)
"""Reads a field of type `Annotated[Wind, WIND_TEXT]` from text."""
