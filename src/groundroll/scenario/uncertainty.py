"""Spread of inputs: distributions written as text, the defaults with their status, and which of them holds for a case.

    [uncertainty]
    touchdown_point = "normal 450 m +- 100 m between 200 m and 1 200 m"
    touchdown_speed = "normal planned +- 4 kt"
    mass = "normal planned +- 1 %"
    reverse_selected = "lognormal planned times 1.4"
    spoilers_start = "uniform 0.3 s to 2 s"
    gust = "none"

`planned` stands for the value of the plan. Behind `+-` stands the standard deviation, behind `times` the factor that
one standard deviation multiplies or divides the median by. `between` cuts off on both sides; what remains
has probability one. Without it the range of the physics cuts off. "none" means no spread: the planned value.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from pydantic_core import PydanticCustomError, core_schema

from groundroll.errors import ScenarioError
from groundroll.scenario.quantity import (
    ANGLE,
    LENGTH,
    MASS,
    NUMBER,
    SPEED,
    TIME,
    Dimension,
    read_quantity,
    show,
    shown,
)

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue

PLANNED: Final = "planned"
LONGEST_TEXT: Final = 200
GREATEST_FACTOR: Final = 10.0
"""Greatest factor of a lognormal distribution: assumption of this project, to catch slips of the pen."""

Kind = Literal["normal", "lognormal", "uniform", "none"]


@dataclass(frozen=True)
class Distribution:
    """One distribution as read; SI."""

    kind: Kind
    centre: float | None
    """Mean of a normal, median of a lognormal; None: the planned value."""
    spread: float
    """Standard deviation of a normal, factor of a lognormal, 0 otherwise."""
    relative: bool
    """Whether the standard deviation is a share of the centre."""
    low: float
    """Nothing lies below; the least value of a uniform."""
    high: float
    """Nothing lies above; the greatest value of a uniform."""
    text: str


@dataclass(frozen=True)
class DistributionText:
    """Declares dimension and range (SI, both ends allowed) of a distribution, inside `Annotated[str, ...]`.

    The field keeps the text, which outputs show; `read` gives the distribution.
    """

    dimension: Dimension
    minimum: float
    maximum: float

    def read(self, value: object) -> Distribution:
        """Return the distribution that a text describes.

        Raises
        ------
        ScenarioError
            If it cannot be read or leaves the range; the text shows the value and what is allowed.

        Examples
        --------
        >>> DistributionText(LENGTH, 1.0, 3_000.0).read("normal 450 m +- 100 m").spread
        100.0
        >>> DistributionText(TIME, 0.0, 60.0).read("uniform 0.5 s to 2 s").high
        2.0
        """
        if not isinstance(value, str) or len(value) > LONGEST_TEXT:
            raise ScenarioError(self._how(value))
        text = " ".join(value.replace("±", "+-").split())
        body, _, bounds = text.partition(" between ")
        low, high = self._bounds(value, bounds) if bounds else (self.minimum, self.maximum)
        if body == "none" and not bounds:
            return Distribution("none", None, 0.0, False, low, high, text)
        if match := re.fullmatch(r"normal (.+?) ?\+- ?(.+)", body):
            centre = self._centre(value, match[1], low, high)
            relative = match[2].endswith("%") and not self.dimension.plain
            spread = read_quantity(match[2], NUMBER_OR_PERCENT if relative else self.dimension)
            if spread <= 0.0:
                raise ScenarioError(f'{shown(value)}: the standard deviation "{match[2]}" must be above zero.')
            return Distribution("normal", centre, spread, relative, low, high, text)
        if match := re.fullmatch(r"lognormal (.+?) times (.+)", body):
            centre = self._centre(value, match[1], low, high)
            factor = read_quantity(match[2], NUMBER)
            if not 1.0 < factor <= GREATEST_FACTOR:
                raise ScenarioError(
                    f'{shown(value)}: the factor "{match[2]}" must be above 1 and not above {GREATEST_FACTOR:.0f}.'
                )
            if centre is not None and centre <= 0.0:
                raise ScenarioError(f"{shown(value)}: the median of a lognormal distribution must be above zero.")
            return Distribution("lognormal", centre, factor, False, max(low, 0.0), high, text)
        if (match := re.fullmatch(r"uniform (.+?) to (.+)", body)) and not bounds:
            low, high = self._bounds(value, f"{match[1]} and {match[2]}")
            return Distribution("uniform", None, 0.0, False, low, high, text)
        raise ScenarioError(self._how(value))

    def _how(self, value: object) -> str:
        unit = next(iter(self.dimension.units), "")
        one, two = f"1 {unit}".strip(), f"2 {unit}".strip()
        return (
            f'{shown(value)} is not a distribution. Write "normal planned +- {one}", "normal {two} +- {one}", '
            f'"lognormal planned times 1.3", "uniform {one} to {two}" or "none"; "between {one} and {two}" behind '
            "the first two cuts off."
        )

    def _centre(self, value: object, text: str, low: float, high: float) -> float | None:
        if text == PLANNED:
            return None
        centre = read_quantity(text, self.dimension)
        if not low <= centre <= high:
            unit = next(iter(self.dimension.units), "")
            raise ScenarioError(
                f'{shown(value)}: "{text}" lies outside {show(low, self.dimension, unit)} to '
                f"{show(high, self.dimension, unit)}."
            )
        return centre

    def _bounds(self, value: object, text: str) -> tuple[float, float]:
        first, found, second = text.partition(" and ")
        if not found:
            raise ScenarioError(self._how(value))
        low, high = read_quantity(first, self.dimension), read_quantity(second, self.dimension)
        if low >= high:
            raise ScenarioError(f'{shown(value)}: "{first}" is not below "{second}".')
        slack = 1e-9 * max(abs(self.minimum), abs(self.maximum))
        if low < self.minimum - slack or high > self.maximum + slack:
            unit = next(iter(self.dimension.units), "")
            raise ScenarioError(
                f"{shown(value)} leaves the range {show(self.minimum, self.dimension, unit)} to "
                f"{show(self.maximum, self.dimension, unit)}."
            )
        return low, high

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return the schema Pydantic validates with: the text stays, once it has been read."""

        def validate(value: object) -> str:
            try:
                return self.read(value).text
            except ScenarioError as error:
                raise PydanticCustomError("distribution", "{text}", {"text": str(error)}) from error

        return core_schema.no_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Return how a file writes a distribution."""
        unit = next(iter(self.dimension.units), "")
        low, high = show(self.minimum, self.dimension, unit), show(self.maximum, self.dimension, unit)
        return {"type": "string", "title": f"distribution of a {self.dimension.name}, {low} to {high}"}


NUMBER_OR_PERCENT: Final = Dimension("share", "dimensionless", {"%": "percent"}, "", plain=True)

TOUCHDOWN_POINT: Final = DistributionText(LENGTH, 1.0, 3_000.0)
TOUCHDOWN_SPEED: Final = DistributionText(SPEED, 20.0, 100.0)
WIND_SPEED: Final = DistributionText(SPEED, 0.0, 55.0)
WIND_DIRECTION: Final = DistributionText(ANGLE, -12.567, 12.567)
GUST: Final = DistributionText(NUMBER, -1.0, 1.0)
FRICTION: Final = DistributionText(NUMBER, 0.05, 3.0)
DELAY: Final = DistributionText(TIME, 0.0, 60.0)
ANY_MASS: Final = DistributionText(MASS, 1_000.0, 700_000.0)
AUTOMATIC_BRAKING: Final = DistributionText(NUMBER, 0.3, 1.7)

DECLARED: Final[Mapping[str, DistributionText]] = {
    "touchdown_point": TOUCHDOWN_POINT,
    "touchdown_speed": TOUCHDOWN_SPEED,
    "wind_speed": WIND_SPEED,
    "wind_direction": WIND_DIRECTION,
    "gust": GUST,
    "mass": ANY_MASS,
    "spoilers_start": DELAY,
    "brakes_start": DELAY,
    "pedal_start": DELAY,
    "reverse_selected": DELAY,
    "automatic_braking": AUTOMATIC_BRAKING,
}
"""Every input with a distribution of its own, friction apart."""


@dataclass(frozen=True)
class Default:
    """A distribution that holds where no file gives one."""

    text: str
    reason: str
    status: str = "assumption of this project"


DEFAULTS: Final[Mapping[str, Default]] = {
    "touchdown_point": Default(
        "lognormal planned times 1.25 between 50 m and 2500 m",
        "Floats are longer than short landings are short; about 110 m either way at 500 m.",
    ),
    "touchdown_speed": Default(
        "normal planned +- 4 kt",
        "Speed flown by one crew at one mass; the published spread over a fleet, 4.1 to 4.7 m/s, holds mass as well.",
    ),
    "wind_speed": Default("normal planned +- 3 kt", "Change of the mean wind since the report."),
    "wind_direction": Default("normal planned +- 10 deg", "A report rounds to 10 deg; a reported sector replaces it."),
    "gust": Default(
        "normal 0 +- 0.4 between -1 and 1",
        "Share of the difference of gust and mean that blows on the mean of the roll.",
    ),
    "mass": Default("normal planned +- 1 %", "Load sheet with standard masses of passengers and baggage."),
    "spoilers_start": Default("lognormal planned times 1.5", "Automatic spoilers wait for wheel load and spin-up."),
    "brakes_start": Default("lognormal planned times 1.3", "Automatic brakes wait for spin-up."),
    "pedal_start": Default("lognormal planned times 1.4", "A person."),
    "reverse_selected": Default("lognormal planned times 1.6", "A person; late selection is the usual mistake."),
    "automatic_braking": Default(
        "normal 1 +- 0.05 between 0.7 and 1.3", "Deceleration held over the nominal one of the setting."
    ),
    "friction 6": Default("lognormal 1 times 1.08", "Dry surfaces and tyres differ little."),
    "friction 5": Default("lognormal 1 times 1.20", "Texture and depth of water differ."),
    "friction 4": Default("lognormal 1 times 1.20", "About half the step to the next code."),
    "friction 3": Default("lognormal 1 times 1.20", "About half the step to the next code."),
    "friction 2": Default("lognormal 1 times 1.25", "About half the step to the next code."),
    "friction 1": Default("lognormal 1 times 1.30", "Ice near its melting point differs most."),
    "friction_correlation": Default("0.7", "Neighbouring thirds lie in one weather; of the outer two its square."),
    "friction_ageing": Default(
        "1.10", "Factor on friction, either way, in the first hour after the assessment; it grows with the root of age."
    ),
}
"""What holds where neither file says anything: none of these spreads has been measured for this project."""


@dataclass(frozen=True)
class Chosen:
    """What holds for one input, and why."""

    text: str
    status: str
    """ "case file", "aircraft file", or the status of the default."""
    reason: str = ""


def chosen_texts(case: Any, aircraft: Any) -> dict[str, Chosen]:
    """Return what holds for each input: the case before the aircraft, the aircraft before the defaults.

    Parameters
    ----------
    case, aircraft
        The section [uncertainty] of either file, or None.

    Returns
    -------
    dict
        Keys as in `DEFAULTS`; "friction touchdown third" and its like where a file gives friction by thirds.
    """
    chosen = {name: Chosen(one.text, one.status, one.reason) for name, one in DEFAULTS.items()}
    for section, status in ((aircraft, "aircraft file"), (case, "case file")):
        if section is None:
            continue
        for name in type(section).model_fields:
            value = getattr(section, name)
            if value is None:
                continue
            if name == "friction":
                chosen |= {f"friction {code}": Chosen(text, status) for code, text in value.items()}
            elif name == "friction_thirds":
                chosen |= {f"friction third {number + 1}": Chosen(text, status) for number, text in enumerate(value)}
            else:
                chosen[name] = Chosen(str(value), status)
    return chosen
