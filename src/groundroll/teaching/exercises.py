"""Exercises drawn from parameters: the answer computed, the solution explained, wrong answers from typical mistakes.

The numbers of an exercise are drawn around the aeroplane and the runway of a case, and rounded before they are used,
so that the answer follows from what the text says. The same seed gives the same exercises.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from groundroll.constants import KNOT, PSI
from groundroll.errors import ScenarioError
from groundroll.physics.hydroplaning import hydroplaning_speed, spin_up_hydroplaning_speed
from groundroll.physics.sources import source
from groundroll.planning.landing_roll import MANUAL
from groundroll.scenario.messages import nearest
from groundroll.teaching.cases import CaseSpec, Run, build
from groundroll.teaching.runs import LandingRun

TOLERANCE: Final = 0.02
"""Usual share by which an answer may be off, for rounding on the way. [-] Assumption of this project."""

LARGEST_COUNT: Final = 200
"""Most exercises made at once."""


@dataclass(frozen=True)
class Mistake:
    """A wrong answer and how one comes to it."""

    value: float
    """In the unit of the exercise."""
    why: str


@dataclass(frozen=True)
class Exercise:
    """One exercise with its answer."""

    kind: str
    title: str
    text: str
    answer: float
    """In ``unit``; for an exercise to pick from, the place of the right choice."""
    unit: str
    decimals: int
    tolerance: float
    """In ``unit``. An answer this near is right."""
    solution: tuple[str, ...]
    mistakes: tuple[Mistake, ...] = ()
    choices: tuple[tuple[str, str], ...] = ()
    """Answers to pick from, each with what is said to who picks it; empty for a number."""
    source: str = ""
    """Of the rule behind it, where it is not plain mechanics."""
    given: dict[str, float] = field(default_factory=dict)
    """What was drawn, SI, for whoever checks the answer."""
    from_model: bool = False
    """Whether the answer comes from a run of the model and not from a formula."""

    def shown(self, value: float) -> str:
        """Return a value with its unit."""
        return f"{value:.{self.decimals}f} {self.unit}".strip()

    @property
    def answer_words(self) -> str:
        """Return the answer in words."""
        return self.choices[int(self.answer)][0] if self.choices else self.shown(self.answer)


@dataclass(frozen=True)
class Ground:
    """What numbers are drawn around."""

    spec: CaseSpec
    run: Run

    @property
    def masses(self) -> tuple[float, float]:
        """Return the least and the greatest landing mass. [kg]"""
        limits = self.run.case.aircraft.mass
        return limits.minimum, limits.maximum_landing

    @property
    def brakes(self) -> int:
        """Return the number of brakes."""
        return self.run.case.aircraft.brakes.count

    def decelerations(self) -> list[float]:
        """Return the settings of the automatic brakes, or some usual decelerations where there are none. [m/s2]"""
        automatic = self.run.case.aircraft.automatic_brakes
        return list(automatic.settings.values()) if automatic is not None else [1.5, 2.0, 2.5, 3.0]


Maker = Callable[[random.Random, Ground], Exercise]


def _pick(drawn: random.Random, low: float, high: float, step: float) -> float:
    """Return a round number between two ends."""
    return round(step * drawn.randint(math.ceil(low / step), math.floor(high / step)), 6)


def _apart(answer: float, tolerance: float, mistakes: Sequence[Mistake]) -> tuple[Mistake, ...]:
    """Return the mistakes that lead to another answer, and not to that of another mistake."""
    kept: list[Mistake] = []
    for one in mistakes:
        others = [answer, *(other.value for other in kept)]
        if math.isfinite(one.value) and all(abs(one.value - other) > 2.2 * tolerance for other in others):
            kept.append(one)
    return tuple(kept)


def _exercise(
    kind: str,
    title: str,
    text: str,
    answer: float,
    unit: str,
    solution: Sequence[str],
    mistakes: Sequence[Mistake],
    *,
    decimals: int = 0,
    given: dict[str, float],
    tolerance: float | None = None,
    source_key: str = "",
) -> Exercise:
    least = 0.5 * 10.0 ** (-decimals)
    within = max(TOLERANCE * abs(answer) if tolerance is None else tolerance, least)
    told = "" if not source_key else str(source(source_key))
    return Exercise(
        kind,
        title,
        text,
        answer,
        unit,
        decimals,
        within,
        tuple(solution),
        _apart(answer, within, mistakes),
        source=told,
        given=given,
    )


# ------------------------------------------------------------------------------------------------- plain mechanics


def _stopping_distance(drawn: random.Random, ground: Ground) -> Exercise:
    knots, deceleration = _pick(drawn, 100, 150, 1), drawn.choice(ground.decelerations())
    speed = knots * KNOT
    answer = speed**2 / (2.0 * deceleration)
    return _exercise(
        "stopping-distance",
        "Braking to a stop",
        f"The brakes begin at {knots:.0f} kt over the ground. From there you slow down by a steady "
        f"{deceleration:.1f} m/s2. How many metres do you need to a full stop?",
        answer,
        "m",
        (
            f"In metres a second, the speed is {knots:.0f} x {KNOT:.4f} = {speed:.1f}.",
            f"Distance is speed squared over twice the deceleration: {speed:.1f} x {speed:.1f} / "
            f"(2 x {deceleration:.1f}) = {answer:.0f} m.",
        ),
        (
            Mistake(speed / (2.0 * deceleration), "You forgot to square the speed."),
            Mistake(speed**2 / deceleration, "You forgot the two: divide by twice the deceleration."),
            Mistake(knots**2 / (2.0 * deceleration), "You left the speed in knots; change it to metres a second."),
        ),
        given={"ground_speed_mps": speed, "deceleration_mps2": deceleration},
    )


def _speed_and_distance(drawn: random.Random, ground: Ground) -> Exercise:
    planned = _pick(drawn, 120, 145, 1)
    more = _pick(drawn, 5, 20, 1)
    ratio = (planned + more) / planned
    answer = 100.0 * (ratio**2 - 1.0)
    return _exercise(
        "speed-and-distance",
        "A little faster",
        f"You plan to touch down at {planned:.0f} kt over the ground. You come in {more:.0f} kt faster. The "
        "deceleration is the same. By how many percent does the braking distance grow?",
        answer,
        "%",
        (
            f"The speed grows by the factor {planned + more:.0f} / {planned:.0f} = {ratio:.3f}.",
            f"Distance goes with the square: {ratio:.3f} x {ratio:.3f} = {ratio**2:.3f}. That is {answer:.0f} % more.",
        ),
        (
            Mistake(100.0 * (ratio - 1.0), "You forgot the square: distance goes with speed squared."),
            Mistake(100.0 * ratio**2, "That is the new distance in percent of the old one; the growth is wanted."),
            Mistake(more, "Knots are not percent."),
        ),
        decimals=1,
        given={"planned_mps": planned * KNOT, "more_mps": more * KNOT},
        tolerance=max(0.03 * answer, 0.5),
    )


def _headwind(drawn: random.Random, ground: Ground) -> Exercise:
    airspeed, wind = _pick(drawn, 120, 150, 1), _pick(drawn, 5, 20, 1)
    tail = drawn.random() < 0.4
    answer = airspeed + wind if tail else airspeed - wind
    name = "tailwind" if tail else "headwind"
    other = airspeed - wind if tail else airspeed + wind
    return _exercise(
        "headwind",
        "Airspeed and ground speed",
        f"Your true airspeed over the threshold is {airspeed:.0f} kt. The wind along the runway is {wind:.0f} kt of "
        f"{name}. How fast do you move over the ground, in knots?",
        answer,
        "kt",
        (
            f"A {name} {'adds to' if tail else 'takes from'} the speed over the ground: {airspeed:.0f} "
            f"{'+' if tail else '-'} {wind:.0f} = {answer:.0f} kt.",
        ),
        (
            Mistake(other, f"The sign is the wrong way round: this is a {name}."),
            Mistake(airspeed, "That is the airspeed; the runway sees the ground speed."),
            Mistake(
                airspeed + 1.5 * wind if tail else airspeed - 0.5 * wind,
                "That is the wind with the factor for planning; the question is how fast you move.",
            ),
        ),
        given={"true_airspeed_mps": airspeed * KNOT, "headwind_mps": (-wind if tail else wind) * KNOT},
        tolerance=0.5,
    )


def _wind_component(drawn: random.Random, ground: Ground) -> Exercise:
    runway = _pick(drawn, 10, 360, 10)
    off = drawn.choice([20, 25, 30, 35, 55, 60, 65, 70, 110, 115, 120, 125, 150, 155, 160])
    side = drawn.choice([-1, 1])
    direction = (runway + side * off - 1) % 360 + 1
    wind = _pick(drawn, 12, 30, 1)
    angle = math.radians(off)
    answer = wind * math.cos(angle)
    word = "head" if answer > 0 else "tail"
    return _exercise(
        "wind-component",
        "The wind along the runway",
        f"You land towards {runway:.0f} degrees. The wind comes from {direction:.0f} degrees at {wind:.0f} kt, against "
        "the same north. How many knots blow along the runway? A headwind is positive, a tailwind negative.",
        answer,
        "kt",
        (
            f"The wind comes from {off} degrees off your direction.",
            f"Along the runway: {wind:.0f} x cos {off} = {answer:.1f} kt. That is {abs(answer):.1f} kt of {word}wind.",
        ),
        (
            Mistake(-answer, "The sign is the wrong way round."),
            Mistake(wind * math.sin(angle), "That is the wind across the runway: sine instead of cosine."),
            Mistake(wind if answer > 0 else -wind, "That is the whole wind; only a part of it blows along the runway."),
        ),
        decimals=1,
        given={"wind_mps": wind * KNOT, "angle_rad": angle},
        tolerance=0.6,
    )


def _margin(drawn: random.Random, ground: Ground) -> Exercise:
    available = _pick(drawn, 1800, 3000, 50)
    distance = _pick(drawn, 0.62 * available, 0.92 * available, 10)
    share = drawn.choice([0.15, 0.15, 0.10, 0.25])
    needed = distance * (1.0 + share)
    answer = available - needed
    return _exercise(
        "margin",
        "What is left with the margin",
        f"You need {distance:.0f} m from the threshold to a stop. The landing distance available is {available:.0f} m. "
        f"You add a margin of {100 * share:.0f} % to the distance you need. How many metres are left? Write a minus "
        "where they are missing.",
        answer,
        "m",
        (
            f"With the margin you need {distance:.0f} x {1 + share:.2f} = {needed:.0f} m.",
            f"{available:.0f} - {needed:.0f} = {answer:.0f} m are left"
            f"{'' if answer >= 0 else ': with the minus, they are missing'}.",
        ),
        (
            Mistake(available - needed * (1.0 + share), "You applied the factor twice."),
            Mistake(
                available * (1.0 - share) - distance, "You took the margin off the runway; it goes on your distance."
            ),
            Mistake(available - distance, "You forgot the margin."),
        ),
        given={"available_m": available, "distance_m": distance, "margin": share},
        tolerance=5.0,
    )


def _kinetic_energy(drawn: random.Random, ground: Ground) -> Exercise:
    low, high = ground.masses
    tonnes = _pick(drawn, low / 1000.0, high / 1000.0, 0.5)
    knots, share = _pick(drawn, 110, 145, 1), _pick(drawn, 30, 80, 5)
    speed = knots * KNOT
    whole = 0.5 * tonnes * 1000.0 * speed**2
    answer = share / 100.0 * whole / ground.brakes / 1e6
    return _exercise(
        "kinetic-energy",
        "Energy into a brake",
        f"You weigh {tonnes:.1f} t and brake from {knots:.0f} kt over the ground to a stop. The wheel brakes take "
        f"{share:.0f} % of the energy of motion; air and reverse take the rest. {ground.brakes} brakes share it "
        "equally. How many megajoules does one brake take?",
        answer,
        "MJ",
        (
            f"In metres a second, the speed is {knots:.0f} x {KNOT:.4f} = {speed:.1f}.",
            f"Energy of motion: half of {1000 * tonnes:.0f} kg x {speed:.1f} squared = {whole / 1e6:.1f} MJ.",
            f"{share:.0f} % of it over {ground.brakes} brakes: {answer:.1f} MJ.",
        ),
        (
            Mistake(2.0 * answer, "You forgot the half."),
            Mistake(answer / speed, "You forgot to square the speed."),
            Mistake(answer * ground.brakes, "That is for all brakes together."),
            Mistake(answer * 100.0 / share, "Not all of the energy goes into the brakes."),
        ),
        decimals=1,
        given={
            "mass_kg": 1000.0 * tonnes,
            "ground_speed_mps": speed,
            "share": share / 100.0,
            "brakes": float(ground.brakes),
        },
    )


def _late(drawn: random.Random, ground: Ground) -> Exercise:
    knots, seconds = _pick(drawn, 110, 150, 1), _pick(drawn, 1.5, 4.0, 0.5)
    answer = knots * KNOT * seconds
    return _exercise(
        "late",
        "Seconds are metres",
        f"At {knots:.0f} kt over the ground you brake {seconds:.1f} s later than planned. You keep your speed until "
        "then. How many metres further do you stop?",
        answer,
        "m",
        (
            f"{knots:.0f} kt are {knots:.0f} x {KNOT:.4f} = {knots * KNOT:.1f} metres a second.",
            f"In {seconds:.1f} s that is {answer:.0f} m. Braking itself takes as long as before.",
        ),
        (
            Mistake(knots * seconds, "You left the speed in knots; change it to metres a second."),
            Mistake(knots * KNOT, "That is one second."),
            Mistake(0.5 * answer, "You do not slow down in that time; there is no half."),
        ),
        given={"ground_speed_mps": knots * KNOT, "time_s": seconds},
    )


def _reject_late(drawn: random.Random, ground: Ground) -> Exercise:
    knots, seconds, gain = _pick(drawn, 120, 150, 1), _pick(drawn, 1.0, 3.0, 0.5), _pick(drawn, 1.2, 2.2, 0.1)
    speed = knots * KNOT
    answer = speed * seconds + 0.5 * gain * seconds**2
    faster = speed + gain * seconds
    return _exercise(
        "reject-late",
        "Still speeding up",
        f"You reject a take-off. You act {seconds:.1f} s after {knots:.0f} kt over the ground. Until then you gain a "
        f"steady {gain:.1f} m/s every second. How many metres do you cover in that time?",
        answer,
        "m",
        (
            f"{knots:.0f} kt are {speed:.1f} m/s.",
            f"Distance: {speed:.1f} x {seconds:.1f} + half of {gain:.1f} x {seconds:.1f} squared = {answer:.0f} m.",
            f"And you then brake from {faster / KNOT:.0f} kt.",
        ),
        (
            Mistake(knots * seconds, "You left the speed in knots; change it to metres a second."),
            Mistake(faster * faster / (2.0 * gain), "That is the whole way from a standstill."),
            Mistake(0.5 * speed * seconds, "The half belongs to the gain of speed only."),
        ),
        given={"ground_speed_mps": speed, "time_s": seconds, "acceleration_mps2": gain},
        tolerance=max(0.01 * answer, 1.0),
    )


def _target_held(drawn: random.Random, ground: Ground) -> Exercise:
    low, high = ground.masses
    tonnes = _pick(drawn, low / 1000.0, high / 1000.0, 0.5)
    target = drawn.choice(ground.decelerations())
    whole = tonnes * target
    other = _pick(drawn, 0.2 * whole, 0.7 * whole, 1.0)
    answer = whole - other
    return _exercise(
        "target-held",
        "What is left for the brakes",
        f"Your automatic brakes hold {target:.1f} m/s2 in total. You weigh {tonnes:.1f} t. Air, reverse and rolling "
        f"together hold you back with {other:.0f} kN. With how many kilonewtons do the wheel brakes pull?",
        answer,
        "kN",
        (
            f"All forces together: {tonnes:.1f} t x {target:.1f} m/s2 = {whole:.0f} kN.",
            f"The brakes add what is missing: {whole:.0f} - {other:.0f} = {answer:.0f} kN.",
        ),
        (
            Mistake(whole, "That is the total; the brakes give only what is missing."),
            Mistake(whole + other, "Air and reverse count towards the total; they do not come on top."),
            Mistake(other, "That is what air and reverse give already."),
        ),
        given={"mass_kg": 1000.0 * tonnes, "target_mps2": target, "other_n": 1000.0 * other},
        tolerance=max(0.02 * whole, 0.5),
    )


def _exit_speed(drawn: random.Random, ground: Ground) -> Exercise:
    knots = _pick(drawn, 110, 140, 1)
    arrive = _pick(drawn, 25, 60, 1)
    deceleration = _pick(drawn, 1.2, 2.4, 0.1)
    speed = knots * KNOT
    distance = round((speed**2 - (arrive * KNOT) ** 2) / (2.0 * deceleration), -1)
    squared = speed**2 - 2.0 * deceleration * distance
    answer = math.sqrt(squared) / KNOT
    return _exercise(
        "exit-speed",
        "How fast are you at the exit?",
        f"You brake from {knots:.0f} kt over the ground with a steady {deceleration:.1f} m/s2. The exit is "
        f"{distance:.0f} m further on. How fast are you there, in knots?",
        answer,
        "kt",
        (
            f"Each metre takes the same energy, so work with speed squared: {speed:.1f} squared = {speed**2:.0f}.",
            f"Take off 2 x {deceleration:.1f} x {distance:.0f} = {2 * deceleration * distance:.0f}. "
            f"{squared:.0f} is left.",
            f"Its root is {math.sqrt(squared):.1f} m/s, {answer:.0f} kt.",
        ),
        (
            Mistake(
                math.sqrt(speed**2 - deceleration * distance) / KNOT, "You forgot the two before the deceleration."
            ),
            Mistake(
                knots - deceleration * distance / speed / KNOT,
                "You took speed off evenly with distance; energy goes evenly, speed falls faster and faster.",
            ),
            Mistake(math.sqrt(squared), "That is in metres a second."),
        ),
        given={"ground_speed_mps": speed, "deceleration_mps2": deceleration, "distance_m": distance},
        tolerance=max(0.04 * answer, 1.0),
    )


def _needed_deceleration(drawn: random.Random, ground: Ground) -> Exercise:
    first, last = _pick(drawn, 110, 140, 1), _pick(drawn, 10, 50, 5)
    distance = _pick(drawn, 700, 1500, 50)
    one, two = first * KNOT, last * KNOT
    answer = (one**2 - two**2) / (2.0 * distance)
    return _exercise(
        "needed-deceleration",
        "How hard must you brake?",
        f"Your brakes begin at {first:.0f} kt over the ground. {distance:.0f} m further on you want {last:.0f} kt for "
        "the exit. Which steady deceleration brings you there, in m/s2?",
        answer,
        "m/s2",
        (
            f"In metres a second: {one:.1f} and {two:.1f}.",
            f"Take the squares apart and divide by twice the distance: ({one**2:.0f} - {two**2:.0f}) / "
            f"(2 x {distance:.0f}) = {answer:.2f} m/s2.",
        ),
        (
            Mistake(
                (one - two) ** 2 / (2.0 * distance),
                "You took the square of the difference; take the difference of the squares.",
            ),
            Mistake(2.0 * answer, "You forgot the two: divide by twice the distance."),
            Mistake((first**2 - last**2) / (2.0 * distance), "You left the speeds in knots."),
        ),
        decimals=2,
        given={"first_mps": one, "last_mps": two, "distance_m": distance},
        tolerance=max(0.03 * answer, 0.02),
    )


def _hydroplaning(drawn: random.Random, ground: Ground) -> Exercise:
    pressure = _pick(drawn, 90, 220, 5)
    speed = hydroplaning_speed(pressure * PSI) / KNOT
    return _exercise(
        "hydroplaning",
        "When a tyre floats",
        f"A tyre rolls at {pressure:.0f} psi through standing water deeper than its grooves. By the usual rule, above "
        "which ground speed does it hydroplane, in knots?",
        speed,
        "kt",
        (
            "The rule for a rolling tyre is nine times the root of the pressure in psi.",
            f"9 x root of {pressure:.0f} = {speed:.0f} kt.",
        ),
        (
            Mistake(
                spin_up_hydroplaning_speed(pressure * PSI) / KNOT,
                "That is for a wheel that does not turn yet; this one rolls.",
            ),
            Mistake(9.0 * math.sqrt(pressure * PSI / 1e5), "You used bar; the rule wants psi."),
            Mistake(pressure, "Take the root of the pressure, and nine times that."),
        ),
        given={"pressure_psi": pressure},
        source_key="nasa-tm-85652",
    )


def _report_thirds(drawn: random.Random, ground: Ground) -> Exercise:
    codes = drawn.sample([1, 2, 3, 5, 6], 3)
    number = int(_pick(drawn, 1, 18, 1))
    other = number + 18
    turned = drawn.random() < 0.65
    landing = other if turned else number
    seen = codes[::-1] if turned else codes
    place = drawn.choice([0, 2])
    name = ("touchdown", "middle", "roll-out")[place]
    right = f"code {seen[place]}"
    listed = sorted({*codes})
    order = drawn.sample(listed, 3)
    replies = {
        code: ""
        if code == seen[place]
        else "The report begins at the lower runway number; you see it from the other end."
        if turned and code == codes[place]
        else "That is the code of another third."
        for code in order
    }
    direction = (
        f"You land on runway {landing:02d}, from the other end. " if turned else f"You land on runway {landing:02d}. "
    )
    return Exercise(
        "report-thirds",
        "Which third is yours?",
        f"A report for runway {number:02d}/{other:02d} gives the codes {codes[0]}/{codes[1]}/{codes[2]}. They begin at "
        f"the lower runway number, {number:02d}. {direction}Which code has your {name} third?",
        float([f"code {one}" for one in order].index(right)),
        "",
        0,
        0.0,
        (
            "A report counts the thirds from the lower runway number, whichever way you land.",
            f"Seen from runway {landing:02d} the codes are {seen[0]}/{seen[1]}/{seen[2]}. "
            f"Your {name} third has {right}.",
        ),
        choices=tuple((f"code {one}", replies[one]) for one in order),
        given={**{f"code_{place + 1}": float(code) for place, code in enumerate(codes)}, "turned": float(turned)},
        source="form of the SNOWTAM, note on item G, thirds from the lower designator [second-hand]",
    )


# ------------------------------------------------------------------------------------------------- from the model


def _landing(ground: Ground) -> LandingRun:
    if not isinstance(ground.run, LandingRun):
        raise ScenarioError("this kind of exercise needs a landing, and the first case is a take-off.")
    return ground.run


def _heavier(drawn: random.Random, ground: Ground) -> Exercise:
    run = _landing(ground)
    low, high = ground.masses
    span = high - low
    first = _pick(drawn, (low + 0.1 * span) / 1000.0, (low + 0.5 * span) / 1000.0, 0.5)
    second = _pick(drawn, (low + 0.7 * span) / 1000.0, high / 1000.0, 0.5)
    spec = replace(ground.spec, brake=run.brake, reverse=run.reverse)

    def roll(tonnes: float) -> LandingRun:
        found = build(spec.changed(f"landing.mass={tonnes} t"))
        assert isinstance(found, LandingRun)  # the same file as before
        return found

    one, two = roll(first), roll(second)
    if one.stop_distance is None or two.stop_distance is None:
        raise ScenarioError("the first case does not stop at every mass; take another one for this exercise.")
    answer = two.stop_distance
    reverse = "no" if run.reverse == "none" else run.reverse
    brakes = "full pedal" if run.brake == MANUAL else f"the setting {run.brake}"
    if one.conditions.approach_speed >= two.conditions.approach_speed:
        raise ScenarioError("the first case fixes the approach speed; this exercise needs one that goes with the mass.")
    return Exercise(
        "heavier",
        "A heavier landing",
        f"At {first:.1f} t, with {brakes} and {reverse} reverse, the model stops you {one.stop_distance:.0f} m from "
        "the threshold. Everything else stays, and the approach speed grows with the mass. Where does it stop you "
        f"at {second:.1f} t, in metres?",
        answer,
        "m",
        0,
        0.04 * answer,
        (
            f"The reference speed grows with the root of the mass: {first:.1f} t to {second:.1f} t is "
            f"{100 * (math.sqrt(second / first) - 1):.0f} % more speed.",
            "Distance with a held target goes with speed squared, so nearly with the mass; the part in the air grows "
            "with the speed only.",
            f"The model rolls it: {answer:.0f} m.",
        ),
        _apart(
            answer,
            0.04 * answer,
            (
                Mistake(one.stop_distance, "You left it as it was; more mass means more approach speed."),
                Mistake(
                    one.stop_distance * (second / first) ** 2, "Mass squared is too much: speed squared goes with mass."
                ),
            ),
        ),
        given={"first_kg": 1000.0 * first, "second_kg": 1000.0 * second},
        from_model=True,
    )


def _shortest(drawn: random.Random, ground: Ground) -> Exercise:
    run = _landing(ground)
    low, high = ground.masses
    for _ in range(50):
        tonnes = _pick(drawn, low / 1000.0 + 2.0, high / 1000.0, 0.5)
        changed = build(replace(ground.spec, brake=run.brake, reverse=run.reverse).changed(f"landing.mass={tonnes} t"))
        assert isinstance(changed, LandingRun)  # the same file as before
        stopping = [one for one in changed.plan.options if one.stop_distance is not None]
        if len(stopping) < 3:
            continue
        picked = drawn.sample(stopping, 3)
        lengths = sorted(one.stop_distance or 0.0 for one in picked)
        if lengths[1] - lengths[0] > 40.0:
            break
    else:
        raise ScenarioError("the choices of the first case stop too close together for this exercise.")
    best = min(range(3), key=lambda number: picked[number].stop_distance or 0.0)

    def named(number: int) -> str:
        one = picked[number]
        brakes = "full pedal" if one.brake == MANUAL else f"setting {one.brake}"
        return f"{brakes} with {'no' if one.reverse == 'none' else one.reverse} reverse"

    told = "; ".join(f"{named(number)} {picked[number].stop_distance:.0f} m" for number in range(3))
    codes = "/".join(str(third.code) for third in changed.conditions.thirds)
    return Exercise(
        "shortest",
        "Which stops you first?",
        f"You land at {tonnes:.1f} t on a runway with the codes {codes}. Which of these stops you in "
        "the shortest distance?",
        float(best),
        "",
        0,
        0.0,
        (f"The model rolls each of them: {told}.",),
        choices=tuple(
            (
                named(number),
                "" if number == best else f"That one needs {picked[number].stop_distance:.0f} m.",
            )
            for number in range(3)
        ),
        given={"mass_kg": 1000.0 * tonnes},
        from_model=True,
    )


KINDS: Final[dict[str, Maker]] = {
    "stopping-distance": _stopping_distance,
    "speed-and-distance": _speed_and_distance,
    "headwind": _headwind,
    "wind-component": _wind_component,
    "margin": _margin,
    "kinetic-energy": _kinetic_energy,
    "late": _late,
    "reject-late": _reject_late,
    "target-held": _target_held,
    "exit-speed": _exit_speed,
    "needed-deceleration": _needed_deceleration,
    "hydroplaning": _hydroplaning,
    "report-thirds": _report_thirds,
    "heavier": _heavier,
    "shortest": _shortest,
}
"""Kinds of exercises by the name that a lesson uses."""


def exercises(kinds: Sequence[str], spec: CaseSpec, run: Run, *, count: int, seed: int) -> tuple[Exercise, ...]:
    """Return exercises, the kinds in turn.

    Parameters
    ----------
    kinds
        Names of `KINDS`.
    spec, run
        The case around which numbers are drawn.
    count
        How many, 1 to 200.
    seed
        The same seed gives the same exercises.

    Raises
    ------
    ScenarioError
        If a kind is not known or does not fit the case.
    """
    for kind in kinds:
        if kind not in KINDS:
            raise ScenarioError(f'exercises: "{kind}" is no kind of exercise. {nearest(kind, KINDS)}')
    if not kinds:
        raise ScenarioError("the lesson names no exercises. Add a line such as: exercises = [" + '"margin", "late"]')
    if not 1 <= count <= LARGEST_COUNT:
        raise ScenarioError(f"--count {count} is outside 1 to {LARGEST_COUNT}.")
    ground = Ground(spec, run)
    made: list[Exercise] = []
    texts: set[str] = set()
    for number in range(count):
        kind = kinds[number % len(kinds)]
        for again in range(20):  # the same text twice would be no exercise
            drawn = random.Random(f"{kind}:{seed}:{number}:{again}")
            one = KINDS[kind](drawn, ground)
            if one.text not in texts:
                break
        texts.add(one.text)
        made.append(_to_pick(one, drawn) if number % 3 == 2 else one)
    return tuple(made)


def _to_pick(one: Exercise, drawn: random.Random) -> Exercise:
    """Return an exercise with its typical mistakes as answers to pick from, where there are two or more."""
    if one.choices or len(one.mistakes) < 2:
        return one
    answers = [(one.shown(one.answer), "", True)]
    answers += [(one.shown(mistake.value), mistake.why, False) for mistake in one.mistakes[:3]]
    drawn.shuffle(answers)
    if len({text for text, _, _ in answers}) < len(answers):
        return one
    right = next(number for number, answer in enumerate(answers) if answer[2])
    choices = tuple((text, why) for text, why, _ in answers)
    return replace(one, answer=float(right), unit="", decimals=0, tolerance=0.0, mistakes=(), choices=choices)
