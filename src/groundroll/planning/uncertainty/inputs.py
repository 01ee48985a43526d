"""The uncertain inputs of one landing: from independent standard normal numbers to mass, wind, friction and delays.

Everything uncertain is a function of independent standard normal numbers, one column each. Plain sampling, the search
for rare events and the sensitivities all work on these columns, so they ask the same question of the same landing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import ndtr, ndtri

from groundroll.errors import ScenarioError
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import true_airspeed
from groundroll.planning.landing_roll import LandingConditions, air_segment_of, conditions_of, working_reversers
from groundroll.scenario.resolved import Case
from groundroll.scenario.uncertainty import DECLARED, FRICTION, Chosen, Distribution, chosen_texts

NEVER: Final = 9.0
"""A bound this many standard deviations away cuts off nothing that a double could show. [-]"""

LABELS: Final[Mapping[str, str]] = {
    "touchdown_point": "touchdown point",
    "touchdown_speed": "touchdown speed",
    "wind_speed": "mean wind",
    "wind_direction": "wind direction",
    "gust": "gust",
    "mass": "mass",
    "spoilers_start": "spoilers' delay",
    "brakes_start": "delay of automatic brakes",
    "pedal_start": "delay of the pedals",
    "reverse_selected": "selection of reverse",
    "automatic_braking": "tolerance of automatic brakes",
    "friction": "friction",
    "friction_ageing": "age of the runway report",
}
"""The inputs in words."""


@dataclass(frozen=True)
class Input:
    """One uncertain input."""

    name: str
    """Key of the section [uncertainty]; friction with the third it holds for."""
    label: str
    planned: float
    """Value of the plan, SI."""
    text: str
    """The distribution as written."""
    status: str
    """Who says so: case file, aircraft file, or the status of a default."""
    reason: str
    distribution: Distribution


@dataclass(frozen=True)
class Samples:
    """One value of every uncertain input for each row; SI."""

    touchdown_point: FloatArray
    touchdown_speed: FloatArray
    """Ground speed. [m/s]"""
    headwind: FloatArray
    friction: FloatArray
    """Factor on friction, shape (n, 3), thirds in landing direction. [-]"""
    mass: FloatArray
    spoilers_start: FloatArray
    brakes_start: FloatArray
    pedal_start: FloatArray
    reverse_selected: FloatArray
    automatic_braking: FloatArray
    """Factor on the deceleration of a setting. [-]"""


def truncated_normal(z: FloatArray, low: float, high: float) -> FloatArray:
    """Return the values of a normal distribution cut off at ``low`` and ``high`` that belong to normal values ``z``.

    The upper half is worked out from the upper tail, so that far values keep their digits.

    Parameters
    ----------
    z : shape (n,)
        Standard normal.
    low, high : scalar
        Standard deviations from the mean; infinite for no bound.

    Examples
    --------
    >>> truncated_normal(np.array([0.0]), -1.0, 1.0)
    array([0.])
    """
    if low < -NEVER and high > NEVER:
        return z
    below = ndtr(low) + ndtr(-np.abs(z)) * (ndtr(high) - ndtr(low))
    above = ndtr(-high) + ndtr(-np.abs(z)) * (ndtr(-low) - ndtr(-high))
    found: FloatArray = np.clip(np.where(z <= 0.0, ndtri(below), -ndtri(above)), low, high)
    return found


def values_of(distribution: Distribution, planned: float, z: FloatArray) -> FloatArray:
    """Return the values of a distribution that belong to standard normal values.

    Parameters
    ----------
    distribution
        As read.
    planned : scalar
        The value of the plan, where the distribution asks for it.
    z : shape (n,)
        Standard normal.
    """
    centre = planned if distribution.centre is None else distribution.centre
    if distribution.kind == "uniform":
        width = distribution.high - distribution.low
        return np.where(z <= 0.0, distribution.low + width * ndtr(z), distribution.high - width * ndtr(-z))
    if distribution.kind == "normal":
        spread = distribution.spread * (abs(centre) if distribution.relative else 1.0)
        low, high = (distribution.low - centre) / spread, (distribution.high - centre) / spread
        return centre + spread * truncated_normal(z, low, high)
    if distribution.kind == "lognormal":
        spread = math.log(distribution.spread)
        low = math.log(distribution.low / centre) / spread if distribution.low > 0.0 else -math.inf
        high = math.log(distribution.high / centre) / spread
        return centre * np.exp(spread * truncated_normal(z, low, high))
    return np.full(z.shape, planned)


class Inputs:
    """What is uncertain about one landing."""

    def __init__(self, case: Case, conditions: LandingConditions | None = None) -> None:
        self.case = case
        self.conditions = conditions_of(case) if conditions is None else conditions
        self._texts = chosen_texts(case.uncertainty, case.aircraft.uncertainty)
        self._inputs: dict[str, Input] = {}
        self._find_inputs()
        correlation = float(self._texts["friction_correlation"].text)
        distance = np.abs(np.subtract.outer(np.arange(3), np.arange(3)))
        self._root = np.linalg.cholesky(correlation**distance)
        self._ageing = self._ageing_spread()
        self.names = self._active()
        """Name of each column of standard normal numbers."""

    @property
    def dimensions(self) -> int:
        """Return how many standard normal numbers one landing takes."""
        return len(self.names)

    @property
    def listed(self) -> tuple[Input, ...]:
        """Return the inputs that have a spread today."""
        found = [one for name, one in self._inputs.items() if self._column_of(name) in self.names]
        if "friction_ageing" in self.names:
            chosen = self._texts["friction_ageing"]
            factor = math.exp(self._ageing)
            low, high = FRICTION.minimum, FRICTION.maximum
            spread = Distribution("lognormal", 1.0, factor, False, low, high, f"lognormal 1 times {factor:.3f}")
            label = LABELS["friction_ageing"]
            found.append(Input("friction_ageing", label, 1.0, spread.text, chosen.status, chosen.reason, spread))
        return tuple(found)

    def _column_of(self, name: str) -> str:
        """Return the column of an input: late brakes of either kind are one crew and one column."""
        return "brakes_start" if name == "pedal_start" and "brakes_start" in self.names else name

    @property
    def groups(self) -> dict[str, tuple[int, ...]]:
        """Return the columns of each input by its name; the three thirds of friction are one."""
        found: dict[str, list[int]] = {}
        for number, name in enumerate(self.names):
            found.setdefault("friction" if name.startswith("friction third") else name, []).append(number)
        return {name: tuple(numbers) for name, numbers in found.items()}

    def texts(self) -> dict[str, Chosen]:
        """Return what holds for every key, also for those that have no effect today."""
        return dict(self._texts)

    def remarks(self) -> tuple[str, ...]:
        """Return what could not be counted."""
        if self.case.condition.age is None and any(third.code < 6 for third in self.conditions.thirds):
            return ("The age of the runway report is not known; its ageing is not counted.",)
        return ()

    # ------------------------------------------------------------------------------------------------ which inputs

    def _add(self, name: str, planned: float, *, key: str = "", label: str = "") -> None:
        declared = DECLARED.get(key or name, FRICTION)
        chosen = self._texts[key or name]
        distribution = declared.read(chosen.text)
        centre = planned if distribution.centre is None else distribution.centre
        if distribution.kind in ("normal", "lognormal"):
            if distribution.kind == "lognormal" and centre <= 0.0:
                # Nothing planned, nothing to multiply: the input keeps its value.
                distribution = Distribution("none", None, 0.0, False, distribution.low, distribution.high, chosen.text)
            elif not distribution.low <= centre <= distribution.high:
                raise ScenarioError(
                    f'[uncertainty] {key or name} = "{chosen.text}": the planned value {centre:.6g} (SI) lies outside '
                    f"{distribution.low:.6g} to {distribution.high:.6g}."
                )
        shown = label or LABELS[name]
        self._inputs[name] = Input(name, shown, planned, chosen.text, chosen.status, chosen.reason, distribution)

    def _find_inputs(self) -> None:
        case, conditions = self.case, self.conditions
        aircraft = case.aircraft
        loss = 0.04 if conditions.touchdown_speed_loss is None else conditions.touchdown_speed_loss
        airspeed = true_airspeed(conditions.approach_speed, conditions.pressure, conditions.temperature)
        self._kept = 1.0 - loss
        self._add("touchdown_point", air_segment_of(conditions).distance)
        self._add("touchdown_speed", self._kept * airspeed)
        self._add("wind_speed", case.weather.wind_speed)
        self._add_wind_direction()
        self._add("gust", 0.0)
        self._add("mass", conditions.mass)
        self._add("spoilers_start", aircraft.spoilers.start)
        automatic = aircraft.automatic_brakes
        if automatic is not None and conditions.automatic_brakes_operative and conditions.anti_skid_operative:
            self._add("brakes_start", automatic.spin_up + automatic.delay)
            self._add("automatic_braking", 1.0)
        self._add("pedal_start", aircraft.brakes.pedal_delay)
        if aircraft.reverse is not None and working_reversers(aircraft, conditions) > 0:
            self._add("reverse_selected", aircraft.reverse.selected)
        places = ("touchdown", "middle", "roll-out")
        for number, (third, place) in enumerate(zip(conditions.thirds, places, strict=True), 1):
            own = f"friction third {number}"
            key = own if own in self._texts else f"friction {third.code}"
            self._add(own, 1.0, key=key, label=f"friction in the {place} third (code {third.code})")

    def _add_wind_direction(self) -> None:
        """A reported sector, or a wind from anywhere, stands for the default; a distribution in a file goes first."""
        weather = self.case.weather
        default = self._texts["wind_direction"]
        by_file = default.status in ("case file", "aircraft file")
        if weather.wind_direction is None:
            if not by_file:
                text = "uniform 0 deg to 360 deg"
                self._texts["wind_direction"] = Chosen(text, "weather report", "Variable or calm: from anywhere.")
            elif DECLARED["wind_direction"].read(default.text).kind == "none":
                raise ScenarioError('[uncertainty] wind_direction = "none": the reported wind has no direction.')
        elif not by_file and weather.arc_from is not None and weather.arc_to is not None:
            width = math.degrees((weather.arc_to - weather.arc_from) % (2.0 * math.pi))
            first = math.degrees(weather.arc_from)
            text = f"uniform {first:.6g} deg to {first + width:.6g} deg"
            self._texts["wind_direction"] = Chosen(text, "weather report", "The reported sector.")
        self._add("wind_direction", weather.wind_direction or 0.0)

    def _ageing_spread(self) -> float:
        """Return the standard deviation of the logarithm of friction from the age of the report, as a random walk."""
        age = self.case.condition.age
        if age is None:
            return 0.0
        return math.log(float(self._texts["friction_ageing"].text)) * math.sqrt(max(age, 0.0) / 3_600.0)

    def _active(self) -> tuple[str, ...]:
        weather = self.case.weather
        names: list[str] = []
        for name, one in self._inputs.items():
            if one.distribution.kind == "none":
                continue
            if name == "gust" and weather.gust_speed is None:
                continue
            if name == "pedal_start" and "brakes_start" in names:
                continue  # they share that column
            names.append(name)
        if self._ageing > 0.0 and any(third.code < 6 for third in self.conditions.thirds):
            names.append("friction_ageing")
        return tuple(names)

    # ----------------------------------------------------------------------------------------------------- samples

    def _column(self, name: str, z: FloatArray) -> FloatArray:
        one = self._inputs[name]
        column = self._column_of(name)
        if column not in self.names:
            return np.full(len(z), one.planned)
        return values_of(one.distribution, one.planned, z[:, self.names.index(column)])

    def _friction(self, z: FloatArray) -> FloatArray:
        names = [f"friction third {number}" for number in (1, 2, 3)]
        normal = np.zeros((len(z), 3))
        for number, name in enumerate(names):
            if name in self.names:
                normal[:, number] = z[:, self.names.index(name)]
        normal = normal @ self._root.T
        ageing = np.ones(len(z))
        if "friction_ageing" in self.names:
            ageing = np.exp(self._ageing * z[:, self.names.index("friction_ageing")])
        columns = []
        for number, (name, third) in enumerate(zip(names, self.conditions.thirds, strict=True)):
            factor = values_of(self._inputs[name].distribution, 1.0, normal[:, number])
            columns.append(factor * ageing if third.code < 6 else factor)
        return np.stack(columns, axis=1)

    def samples(self, z: FloatArray) -> Samples:
        """Return the inputs that belong to standard normal numbers.

        Parameters
        ----------
        z : shape (n, dimensions)
            Independent standard normal numbers.
        """
        weather = self.case.weather
        automatic = "brakes_start" in self._inputs
        planned = np.full(len(z), 0.0)
        wind_speed = self._column("wind_speed", z)
        excess = 0.0 if weather.gust_speed is None else weather.gust_speed - weather.wind_speed
        wind = wind_speed + self._column("gust", z) * excess
        angle = self._column("wind_direction", z) - self.case.direction_data.true_bearing
        headwind = wind * np.cos(angle) - self.case.failures.additional_tailwind
        return Samples(
            touchdown_point=self._column("touchdown_point", z),
            touchdown_speed=self._column("touchdown_speed", z) - self._kept * headwind,
            headwind=headwind,
            friction=self._friction(z),
            mass=self._column("mass", z),
            spoilers_start=self._column("spoilers_start", z),
            brakes_start=self._column("brakes_start", z) if automatic else planned,
            pedal_start=self._column("pedal_start", z),
            reverse_selected=self._column("reverse_selected", z) if "reverse_selected" in self._inputs else planned,
            automatic_braking=self._column("automatic_braking", z) if automatic else planned + 1.0,
        )
