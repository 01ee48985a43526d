"""Numbers of an aircraft file from an operator's own recorded landings, from segments where each dominates.

Three kinds of segment speak: rolling without wheel brakes (drag, idle thrust, reverse), an automatic setting that holds
its deceleration, and the time from touchdown to the first brake pressure. A landing counts as one witness, however many
samples it holds: uncertainty comes from the spread between landings and from what is common to all of them.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, TypeAlias

import numpy as np

from groundroll.constants import GRAVITY
from groundroll.errors import DataError, GroundrollError
from groundroll.physics.achieved_braking import AchievedBraking, achieved_braking
from groundroll.physics.arguments import FloatArray
from groundroll.physics.rollout import MAXIMUM_GROUND_SPEED, Roll
from groundroll.planning.fit.parameters import REACH, Parameter, with_values
from groundroll.planning.landing_roll import MANUAL, working_reversers
from groundroll.review.fleet import Fleet, setting_of_entry
from groundroll.review.forces import LEAST_SPEED, base_roll
from groundroll.review.landing import PEDAL, Review, review_recording
from groundroll.review.mapping import Mapping, read_mapping
from groundroll.review.reading import Recording, read_recording
from groundroll.review.setting import Setting, setting_of_case
from groundroll.review.smoother import GRID_STEP, Motion
from groundroll.scenario.model import Aircraft
from groundroll.scenario.read import read_case

LEAST_LANDINGS: Final = 10
"""Fewest landings with a segment that speaks, for a file to be written. Assumption of this project."""
LEAST_BEHIND: Final = 5
"""Fewest landings behind one parameter. Assumption of this project."""
NARROWING: Final = 0.75
"""A parameter is fitted where its interval is at most this share of what was assumed before. Assumption."""
MOST_LEFT_OUT: Final = 0.25
"""Share of landings that may lie far from all others before they count as contradicting. Assumption of this project."""
FAR: Final = 5.0
"""Robust standard deviations from the middle that count as far. Assumption of this project."""
WIDEST_SPREAD: Final = 0.15
"""Standard deviation between landings beyond which they contradict each other. [m/s2] Assumption of this project."""

RELEASED: Final = 0.01
"""Brake pressure over full pressure below which the brakes do nothing. [-] Assumption of this project: about 0.04 m/s2
of a transport aeroplane."""
PRESSED: Final = 0.03
"""The same, above which they brake; the review finds "brakes on" there. [-]"""
EDGE: Final = 1.0
"""Taken off both ends of a segment: parameters are recorded up to a second apart. [s] 14 CFR 121 Appendix M."""
BAND: Final = 10.0
"""Width of a band of ground speed whose mean is one observation. [m/s]"""
TURNING: Final = 5.0
"""Before the exit is found, left out: the aeroplane may be turning. [s] Assumption of this project."""
SETTLED: Final = 3.5
"""From the first pressure until an automatic setting surely holds. [s] Assumption of this project."""
LEAST_HELD: Final = 4.0
"""Shortest time that a setting must hold. [s] Assumption of this project."""
SAMPLE_NOISE: Final = 0.10
"""Standard deviation of a deceleration over one second. [m/s2] Assumption of this project; the landings scale it."""
LEAST_NOISE: Final = 0.2
"""The landings scale the noise down to this share at most. Assumption of this project."""
SAME_REVERSE: Final = 0.05
"""Full reverse counts where the fan comes this near to the fastest of the operator. [-] Assumption of this project."""

ROLLING_SHARE: Final = 0.20
"""Standard deviation of the rolling resistance of the aircraft file, common to all landings. Assumption."""
SLOPE_DEVIATION: Final = 0.001
"""The same for the slope of the runway. [-] As in the review."""
DENSITY_SHARE: Final = 0.01
"""The same for density. [-] As in the review."""
TOUCHDOWN_DEVIATION: Final = 0.15
"""Error common to all touchdowns found. [s] Assumption of this project: a common delay of sensors."""
HELD_DEVIATION: Final = 0.01
"""Error common to all decelerations that were held. [m/s2] Assumption of this project."""
RAMP_SHARE: Final = 0.10
"""Standard deviation of the rate at which automatic brakes raise their demand, which is not fitted. Assumption."""

SHARES: Final = {"drag": 0.15, "thrust": 0.15, "setting": 0.10}
"""Standard deviation before the recordings are seen, share of the start; the same as for tables."""
DELAY_SPREAD: Final = 0.3
"""The same for the delay of automatic brakes. [s]"""

State: TypeAlias = Literal["idle", "reverse_idle", "reverse_full"]
STATES: Final[tuple[State, ...]] = ("idle", "reverse_idle", "reverse_full")
Progress: TypeAlias = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Piece:
    """The mean of some seconds without wheel brakes, one engine state, one band of speed."""

    state: State
    missing: float
    """Deceleration less that of the start. [m/s2]"""
    drag: float
    """Deceleration by each force of the start; thrust is negative. [m/s2]"""
    idle: float
    reverse_idle: float
    reverse_full: float
    rolling: float
    wind: float
    """Change of the deceleration of the start for 1 m/s more headwind. [1/s]"""
    seconds: float


@dataclass(frozen=True)
class Witness:
    """What one landing says."""

    file: str
    flap: str
    mass: float
    touchdown_speed: float
    codes: tuple[int, ...]
    reverse: Literal["none", "idle", "full"]
    pieces: tuple[Piece, ...]
    fan: float
    """Fastest fan speed in reverse; NaN where there was none or it is not recorded. [-]"""
    setting: str | None
    """Setting that held, "manual" for braking by pedal; None where it is not known or lies between two."""
    held: float
    """Deceleration that was held; NaN where none was. [m/s2]"""
    held_seconds: float
    delay: float
    """Delay of the automatic brakes; NaN where it is not seen. [s]"""

    @property
    def speaks(self) -> bool:
        """Return whether any segment says something."""
        return bool(self.pieces) or (self.setting is not None and math.isfinite(self.held))


@dataclass(frozen=True)
class Found:
    """One parameter after the fit."""

    parameter: Parameter
    fitted: bool
    value: float
    low: float
    """Ends of the 95 % interval; of one not fitted, of what was assumed before. [SI]"""
    high: float
    landings: int
    seconds: float
    """Time of the segments behind it; of a delay, 0."""
    spread: float
    """Standard deviation between landings, in the unit of the segments: m/s2, or s for a delay; NaN where unknown."""
    words: str
    """From which segments, or why it is left at the start."""


@dataclass(frozen=True)
class RecordingsFit:
    """An aircraft file fitted to recordings."""

    folder: str
    digest: str
    """SHA-256 of the SHA-256 of all recordings that count, in order."""
    start: Aircraft
    aircraft: Aircraft
    parameters: tuple[Found, ...]
    witnesses: tuple[Witness, ...]
    """Landings behind the fit."""
    left_out: tuple[tuple[str, str], ...]
    """Recordings that do not count, and why."""
    refusals: tuple[str, ...]


# ---- one landing ----------------------------------------------------------------------------------------------------


def witness_of(review: Review) -> Witness:
    """Return what one reviewed landing says.

    Raises
    ------
    DataError
        If brake pressure or reverse is not recorded, or the forces lie outside the range of the physics.
    """
    recording, motion, setting = review.recording, review.motion, review.setting
    landed = review.event("touchdown")
    pressure = recording.get("brake_pressure")
    if landed is None or pressure is None:
        raise DataError("brake pressure is not recorded: no segment is known to be free of wheel braking")
    if not review.controls.reverse_known:
        raise DataError("reverse is not recorded: what slows the aeroplane down is not known")
    before = pressure.between(landed.time - 20.0, landed.time - 1.0)
    usual = float(np.median(before.value)) if before.size else 0.0
    share = (pressure.at(motion.time) - usual) / recording.mapping.full_brake_pressure
    leaving = review.event("exit")
    until = float(motion.time[-1]) if leaving is None else leaving.time - TURNING
    rolling = (motion.time > landed.time) & (motion.time < until) & (motion.ground_speed >= LEAST_SPEED)
    roll = base_roll(setting)
    try:
        pieces, level_others = _free_pieces(review, roll, rolling, share)
    except ValueError as error:
        raise DataError(str(error)) from error
    name, held, seconds = _held(review, rolling, share)
    reverse, fan = _reverse_used(review)
    return Witness(
        file=recording.name,
        flap=setting.conditions.flap,
        mass=setting.conditions.mass,
        touchdown_speed=landed.ground_speed,
        codes=tuple(sorted({one.code for one in setting.conditions.thirds})),
        reverse=reverse,
        pieces=pieces,
        fan=fan,
        setting=name,
        held=held,
        held_seconds=seconds,
        delay=_delay(review, roll, name, level_others),
    )


def _free_pieces(
    review: Review, roll: Roll, rolling: np.ndarray[Any, Any], share: FloatArray
) -> tuple[tuple[Piece, ...], FloatArray]:
    """Return the pieces without wheel brakes, and the deceleration by all other forces of the start. [m/s2]"""
    motion, controls = review.motion, review.controls

    def balance(of: Roll, engines: FloatArray) -> AchievedBraking:
        return achieved_braking(
            of,
            motion.distance,
            np.clip(motion.ground_speed, 0.0, MAXIMUM_GROUND_SPEED),
            motion.deceleration,
            controls.spoilers,
            controls.nose,
            engines,
        )

    whole = balance(roll, controls.engines)
    windier = balance(replace(roll, headwind=roll.headwind + 1.0), controls.engines)
    parts = []
    for number in range(3):
        engines = np.zeros_like(controls.engines)
        engines[:, number] = controls.engines[:, number]
        parts.append(-balance(roll, engines).thrust / roll.mass)
    columns = {
        "missing": whole.brake_force / roll.mass,
        "drag": whole.aerodynamic_drag / roll.mass,
        "idle": parts[0],
        "reverse_idle": parts[1],
        "reverse_full": parts[2],
        "rolling": whole.rolling_resistance / roll.mass,
        "wind": (whole.brake_force - windier.brake_force) / roll.mass,
    }
    others = motion.deceleration - columns["missing"]
    free = rolling & (share < RELEASED) & (controls.spoilers > 0.95) & (controls.nose >= 1.0)
    free &= whole.contaminant_drag == 0.0
    found = []
    for state, chosen in _states(review):
        kept = _without_edges(free & chosen)
        band = np.floor(motion.ground_speed / BAND)
        for one in np.unique(band[kept]):
            inside = kept & (band == one)
            if inside.sum() * GRID_STEP < 1.0:
                continue
            means = {key: float(np.mean(values[inside])) for key, values in columns.items()}
            found.append(Piece(state=state, seconds=float(inside.sum() * GRID_STEP), **means))
    return tuple(found), others


def _without_edges(chosen: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Return a mask less `EDGE` at both ends of every run."""
    count = round(EDGE / GRID_STEP)
    kept = chosen.copy()
    for shift in range(1, count + 1):
        kept[shift:] &= chosen[:-shift]
        kept[:-shift] &= chosen[shift:]
        kept[:shift] = kept[-shift:] = False
    return kept


def _states(review: Review) -> list[tuple[State, np.ndarray[Any, Any]]]:
    """Return where the engines surely were at forward idle, idle reverse and full reverse."""
    motion, controls, aircraft = review.motion, review.controls, review.setting.aircraft
    nothing = np.zeros(motion.time.size, dtype=bool)
    working = working_reversers(aircraft, review.setting.conditions)
    times = aircraft.reverse
    if working == 0 or times is None:
        return [("idle", ~nothing)]
    deployed = controls.engines[:, 1] + controls.engines[:, 2] > 0.0
    moving = nothing.copy()
    change = np.diff(deployed.astype(int))
    for way, before in ((1, times.deploy), (-1, times.stow_ramp)):
        for index in np.flatnonzero(change == way):
            moment = float(motion.time[index])
            moving |= (motion.time > moment - before - EDGE) & (motion.time < moment + EDGE)
    selected = review.recording.get("reverse_selected")
    if selected is not None:
        moving |= (selected.at(motion.time) > 0.5) != deployed
    share = controls.engines[:, 2] / working
    return [
        ("idle", ~deployed & ~moving),
        ("reverse_idle", deployed & ~moving & (share < 0.05)),
        ("reverse_full", deployed & ~moving & (share > 0.95)),
    ]


def _reverse_used(review: Review) -> tuple[Literal["none", "idle", "full"], float]:
    """Return the use of reverse, and the fastest fan speed in reverse."""
    controls, motion = review.controls, review.motion
    deployed = controls.engines[:, 1] + controls.engines[:, 2] > 0.0
    fan = review.recording.get("engine_speed")
    if not np.any(deployed):
        return "none", math.nan
    fastest = math.nan if fan is None else float(np.max(fan.at(motion.time[deployed])))
    return ("full" if float(np.max(controls.engines[:, 2])) > 0.0 else "idle"), fastest


def _automatic(recording: Recording, motion: Motion) -> np.ndarray[Any, Any] | None:
    """Return where automatic brakes may work; None where neither they nor the pedals are recorded."""
    active, pedal = recording.get("automatic_brakes_active"), recording.get("brake_pedal")
    if active is None and pedal is None:
        return None
    possible = np.ones(motion.time.size, dtype=bool)
    if pedal is not None:
        possible &= pedal.at(motion.time) < 0.5 * PEDAL
    if active is not None:
        possible &= active.at(motion.time) > 0.5
    return possible


def nearest_clearly(aircraft: Aircraft, deceleration: float) -> str | None:
    """Return the setting of the start that a held deceleration belongs to; None where two come into question.

    Settings are told apart by ratio. The middle fifth between two neighbours belongs to neither.
    """
    automatic = aircraft.automatic_brakes
    if automatic is None or deceleration <= 0.0:
        return None
    away = sorted((abs(math.log(value / deceleration)), name) for name, value in automatic.settings.items())
    if len(away) > 1 and away[0][0] > 2.0 / 3.0 * away[1][0]:
        return None
    return away[0][1] if away[0][0] < math.log(1.5) else None


def _held(review: Review, rolling: np.ndarray[Any, Any], share: FloatArray) -> tuple[str | None, float, float]:
    """Return the setting, the deceleration it held and for how long."""
    motion, pressed = review.motion, review.event("brakes on")
    possible = _automatic(review.recording, motion)
    if possible is None or pressed is None:
        return None, math.nan, 0.0
    braking = rolling & (share > PRESSED)
    if not np.any(braking):
        return None, math.nan, 0.0
    if float(np.mean(possible[braking])) < 0.5:
        return MANUAL, math.nan, 0.0
    first, last = review.forces.span
    by_demand = np.zeros(motion.time.size, dtype=bool)
    by_demand[first:last] = [one == "demand" for one in review.forces.ruled]
    kept = _without_edges(braking & possible & by_demand & (motion.time > pressed.time + SETTLED))
    longest = max(_runs(kept), key=lambda one: one[1] - one[0], default=(0, 0))
    part = motion.deceleration[longest[0] : longest[1]]
    seconds = part.size * GRID_STEP
    if seconds < LEAST_HELD or float(np.std(part)) > WIDEST_SPREAD:
        return None, math.nan, 0.0
    level = float(np.mean(part))
    name = nearest_clearly(review.setting.aircraft, level)
    return name, level, seconds


def _runs(chosen: np.ndarray[Any, Any]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], chosen.astype(int), [0]])))
    return [(int(one), int(other)) for one, other in zip(edges[::2], edges[1::2], strict=True)]


def _delay(review: Review, roll: Roll, name: str | None, others: FloatArray) -> float:
    """Return the delay of the automatic brakes: first pressure less spin-up and the time until it counts as pressure.

    The demand rises from the deceleration of the moment at a steady rate. A setting that the other forces nearly
    satisfy alone at any time before says nothing about the delay.
    """
    automatic, motion = review.setting.aircraft.automatic_brakes, review.motion
    landed, pressed = review.event("touchdown"), review.event("brakes on")
    if automatic is None or name is None or name == MANUAL or landed is None or pressed is None:
        return math.nan
    early = (motion.time >= landed.time) & (motion.time <= pressed.time)
    if np.any(others[early] > 0.85 * automatic.settings[name]):
        return math.nan
    shown = PRESSED * roll.maximum_brake_force / roll.mass / automatic.ramp_rate
    return pressed.time - landed.time - automatic.spin_up - shown


# ---- all landings ---------------------------------------------------------------------------------------------------


def read_witnesses(
    fleet: Fleet, start: Aircraft, progress: Progress | None = None
) -> tuple[list[Witness], list[tuple[str, str]], str]:
    """Return what the recordings of a folder say, which do not count and why, and the digest of those that do.

    Raises
    ------
    DataError
        If the plan of the folder has a flap that the start has not.
    """
    case = read_case(fleet.case)
    if case.landing.flap not in start.flaps:
        raise DataError(
            f'{fleet.case.name}: flap "{case.landing.flap}" is not in the aircraft file of --start; it has '
            f"{', '.join(start.flaps)}."
        )
    setting = replace(setting_of_case(case, fleet.threshold), aircraft=start)
    mapping = Mapping() if fleet.mapping is None else read_mapping(fleet.mapping)
    found: list[Witness] = []
    left: list[tuple[str, str]] = []
    digests: dict[str, str] = {}
    for entry in fleet.entries:
        try:
            path = fleet.folder / entry.file
            digest = hashlib.sha256(path.read_bytes()).hexdigest()
            if digest in digests:
                raise DataError(f"the same recording as {digests[digest]}")
            digests[digest] = entry.file
            found.append(one_witness(read_recording(path, mapping), setting_of_entry(setting, entry)))
        except (GroundrollError, OSError) as error:
            left.append((entry.file, " ".join(str(error).split())))
        if progress is not None:
            progress("Recordings", 1, len(fleet.entries))
    counted = {one.file for one in found}
    text = "".join(digest for digest, file in sorted(digests.items()) if file in counted)
    return found, left, hashlib.sha256(text.encode()).hexdigest()


def one_witness(recording: Recording, setting: Setting) -> Witness:
    """Return what one recording says.

    Raises
    ------
    DataError
        If it cannot be reviewed, or nothing in it says anything.
    """
    found = witness_of(review_recording(recording, setting))
    if not found.speaks:
        raise DataError("no segment in which one force dominates")
    return found


def fit_recordings(fleet: Fleet, start: Aircraft, progress: Progress | None = None) -> RecordingsFit:
    """Return ``start`` fitted to the recordings of a folder.

    Raises
    ------
    DataError
        If the folder or its plan cannot be used.
    """
    witnesses, left, digest = read_witnesses(fleet, start, progress)
    return fit_witnesses(fleet.folder.resolve().name, digest, start, witnesses, left)


def fit_witnesses(
    folder: str, digest: str, start: Aircraft, witnesses: Sequence[Witness], left: Iterable[tuple[str, str]] = ()
) -> RecordingsFit:
    """Return ``start`` fitted to what landings say."""
    left_out, refusals = list(left), []
    witnesses = _same_reverse(witnesses)
    speaking = [one for one in witnesses if one.speaks]
    if len(speaking) < LEAST_LANDINGS:
        refusals.append(f"{len(speaking)} landings hold a segment that speaks; at least {LEAST_LANDINGS} are needed.")
    found, far, said = _balance_parameters(start, speaking)
    left_out += [(file, "its forces lie far from those of all other landings") for file in far]
    refusals += said
    if start.automatic_brakes is not None:
        for name, target in start.automatic_brakes.settings.items():
            one, far, said = _setting_parameter(name, target, speaking)
            found.append(one)
            left_out += [(file, f"its deceleration lies far from that of other landings with {name}") for file in far]
            refusals += said
        found.append(_delay_parameter(start.automatic_brakes.delay, speaking))
        found.append(_ramp_parameter(start.automatic_brakes.ramp_rate))
    moved = [one for one in found if one.fitted]
    for one in moved:
        if not one.parameter.lower <= one.value <= one.parameter.upper:
            refusals.append(
                f"{one.parameter.key} would be {one.value:.4g} with a start of {one.parameter.start:.4g}, more than "
                f"{REACH:.0f} spreads away: is it the same aeroplane, and are mass and wind of the recordings right?"
            )
    if not moved:
        refusals.append("The recordings determine no parameter: no interval is narrower than what was assumed before.")
    aircraft = start
    if not refusals:
        aircraft = with_values(start, [one.parameter for one in moved], [one.value for one in moved])
    return RecordingsFit(
        folder, digest, start, aircraft, tuple(found), tuple(speaking), tuple(left_out), tuple(refusals)
    )


def _same_reverse(witnesses: Sequence[Witness]) -> list[Witness]:
    """Return the witnesses less pieces in full reverse where the fan stayed well below that of the others."""
    fans = [one.fan for one in witnesses if one.reverse == "full" and math.isfinite(one.fan)]
    if not fans:
        return list(witnesses)
    usual = float(np.percentile(fans, 90))
    return [
        replace(one, pieces=tuple(piece for piece in one.pieces if piece.state != "reverse_full"))
        if math.isfinite(one.fan) and one.fan < usual - SAME_REVERSE
        else one
        for one in witnesses
    ]


# ---- forces without wheel brakes ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Scatter:
    """What scatters beside wind and mass."""

    spread: float
    """Standard deviation between landings. [m/s2]"""
    noise: float = 1.0
    """Noise of the pieces of one landing over `SAMPLE_NOISE`. [-]"""


@dataclass(frozen=True)
class _Landing:
    """One landing in the regression: forces per unit of each parameter, what is missing, weights."""

    file: str
    design: FloatArray
    missing: FloatArray
    own: FloatArray
    """Covariance of its errors of wind and mass. [m2/s4]"""
    noise: FloatArray
    """Covariance of its noise before `Scatter.noise` scales it. [m2/s4]"""
    pieces: tuple[Piece, ...]

    def covariance(self, scatter: Scatter) -> FloatArray:
        return np.asarray(self.own + scatter.noise**2 * self.noise + scatter.spread**2)


_WORDS: Final[dict[str, tuple[str, str]]] = {
    "drag": ("rolling without wheel brakes, spoilers out", "no segment without wheel brakes with spoilers out"),
    "idle": ("rolling at forward idle without wheel brakes", "no segment at forward idle without wheel brakes"),
    "reverse_idle": ("idle reverse without wheel brakes", "no segment in idle reverse without wheel brakes"),
    "reverse_full": ("full reverse without wheel brakes", "no segment in full reverse without wheel brakes"),
}


def _force_parameters(start: Aircraft, flaps: Sequence[str]) -> list[tuple[str, Parameter]]:
    """Return the force and the parameter of each column; drag stands first, one column a flap."""
    found = []
    for flap in flaps:
        value = start.flaps[flap].drag_coefficient_deployed
        found.append(("drag", _parameter(f"flaps.{flap}.drag_coefficient_deployed", "", value, SHARES["drag"] * value)))
    found.append(("idle", _parameter("engines.thrust.idle", "N", 1.0, SHARES["thrust"], scale=True)))
    if start.engines.thrust.reverse_idle is not None and start.reverse is not None:
        found += [
            (key, _parameter(f"engines.thrust.{key}", "N", 1.0, SHARES["thrust"], scale=True))
            for key in ("reverse_idle", "reverse_full")
        ]
    return found


def _parameter(key: str, unit: str, start: float, spread: float, *, scale: bool = False) -> Parameter:
    return Parameter(key, unit, start, spread, max(start - REACH * spread, 0.0), start + REACH * spread, scale)


def _balance_parameters(start: Aircraft, witnesses: Sequence[Witness]) -> tuple[list[Found], list[str], list[str]]:
    """Return drag, idle thrust and reverse, the landings left out, and refusals."""
    flaps = sorted({one.flap for one in witnesses if one.pieces})
    columns = _force_parameters(start, flaps)
    prior = np.array([SHARES["drag"] if force == "drag" else SHARES["thrust"] for force, _ in columns])
    prior = np.concatenate([prior, [ROLLING_SHARE, SLOPE_DEVIATION, DENSITY_SHARE]])
    landings = [_landing(one, flaps, columns) for one in witnesses if one.pieces]
    if len(landings) < LEAST_BEHIND:
        none = [_not_behind(force, one, 0, 0.0) for force, one in columns]
        return none, [], []
    far, refusals = _far_off(landings, prior), []
    if len(far) > MOST_LEFT_OUT * len(landings):
        refusals.append(
            f"{len(far)} of {len(landings)} landings contradict the others by their forces without wheel brakes: "
            f"{', '.join(far[:5])}. Mass, wind, flap or reverse as recorded may be wrong."
        )
    kept = [one for one in landings if one.file not in far]
    scatter = _scatter(kept, prior)
    spread = scatter.spread
    if spread > WIDEST_SPREAD:
        refusals.append(
            f"Landings contradict each other: decelerations without wheel brakes differ by {spread:.2f} m/s2 from "
            f"landing to landing (standard deviation); at most {WIDEST_SPREAD:.2f} m/s2 is allowed."
        )
    value, deviation = _estimate(kept, prior, scatter)
    found = []
    for number, (force, one) in enumerate(columns):
        behind = [each for each in kept if _seconds(each, number, force) > 0.0]
        seconds = sum(_seconds(each, number, force) for each in behind)
        if len(behind) < LEAST_BEHIND:
            found.append(_not_behind(force, one, len(behind), seconds))
            continue
        unit = one.start
        half = _student(len(behind) - 1) * float(deviation[number]) * unit
        found.append(
            _judged(one, one.start + unit * float(value[number]), half, len(behind), seconds, spread, _WORDS[force][0])
        )
    return found, far, refusals


def _seconds(landing: _Landing, number: int, force: str) -> float:
    """Return the time in which a force works; for drag with any engine state."""
    own = ("idle", "reverse_idle", "reverse_full") if force == "drag" else (force,)
    rows = zip(landing.pieces, landing.design[:, number], strict=True)
    return sum(piece.seconds for piece, column in rows if piece.state in own and column != 0.0)


def _landing(witness: Witness, flaps: Sequence[str], columns: Sequence[tuple[str, Parameter]]) -> _Landing:
    rows, wind, mass = [], [], []
    for piece in witness.pieces:
        row = []
        drags = iter(flaps)
        for force, _ in columns:
            row.append(getattr(piece, force) if force != "drag" or next(drags) == witness.flap else 0.0)
        by_air = piece.drag + piece.idle + piece.reverse_idle + piece.reverse_full
        rows.append([*row, piece.rolling, GRAVITY, by_air])
        wind.append(1.5 * piece.wind)
        mass.append(0.01 * by_air)
    noise = np.diag([SAMPLE_NOISE**2 / piece.seconds for piece in witness.pieces])
    own = np.outer(wind, wind) + np.outer(mass, mass)
    return _Landing(
        witness.file, np.array(rows), np.array([one.missing for one in witness.pieces]), own, noise, witness.pieces
    )


def _normal_equations(
    landings: Sequence[_Landing], prior: FloatArray, scatter: Scatter
) -> tuple[FloatArray, FloatArray]:
    """Return the inverse of the information, the prior included, and the most likely point."""
    information, right = np.diag(prior**-2.0), np.zeros(prior.size)
    for one in landings:
        weighted = np.linalg.solve(one.covariance(scatter), one.design)
        information = information + one.design.T @ weighted
        right = right + weighted.T @ one.missing
    inverse: FloatArray = np.asarray(np.linalg.inv(information), dtype=np.float64)
    return inverse, inverse @ right


def _scatter(landings: Sequence[_Landing], prior: FloatArray) -> Scatter:
    """Return the spread between landings and the noise within them, by restricted likelihood."""
    from scipy.optimize import minimize

    def cost(at: FloatArray) -> float:
        scatter = Scatter(abs(float(at[0])), max(abs(float(at[1])), LEAST_NOISE))
        inverse, point = _normal_equations(landings, prior, scatter)
        total = -float(np.linalg.slogdet(inverse)[1]) + float(np.sum((point / prior) ** 2))
        for one in landings:
            covariance = one.covariance(scatter)
            miss = one.missing - one.design @ point
            total += float(np.linalg.slogdet(covariance)[1]) + float(miss @ np.linalg.solve(covariance, miss))
        return total

    found = minimize(cost, [0.05, 0.7], method="Nelder-Mead", options={"xatol": 2e-3, "fatol": 1e-2, "maxiter": 120})
    spread, noise = (abs(float(one)) for one in found.x)
    return Scatter(spread if spread > 2e-3 else 0.0, max(noise, LEAST_NOISE))


def _estimate(landings: Sequence[_Landing], prior: FloatArray, scatter: Scatter) -> tuple[FloatArray, FloatArray]:
    """Return the change of each parameter, share of the start, and its standard deviation.

    The scatter is that of whole landings (each left out in turn, by its leverage), never of samples; the prior covers
    what is common to all of them. Where the model of errors asks for more than the scatter shows, it counts.
    """
    inverse, point = _normal_equations(landings, prior, scatter)
    summed = np.zeros_like(inverse)
    for one in landings:
        weighted = np.linalg.solve(one.covariance(scatter), one.design)
        leverage = one.design @ inverse @ weighted.T
        miss = np.linalg.solve(np.eye(one.missing.size) - leverage, one.missing - one.design @ point)
        score = weighted.T @ miss
        summed += np.outer(score, score)
    by_landings = inverse @ (summed + np.diag(prior**-2.0)) @ inverse
    return point, np.sqrt(np.maximum(np.diag(by_landings), np.diag(inverse)))


def _far_off(landings: Sequence[_Landing], prior: FloatArray) -> list[str]:
    """Return the landings whose forces lie far from all others."""
    scatter = Scatter(0.05)
    _, point = _normal_equations(landings, prior, scatter)
    scores = []
    for one in landings:
        weight = np.linalg.solve(one.covariance(scatter), np.ones(one.missing.size))
        scores.append(float(weight @ (one.missing - one.design @ point)) / math.sqrt(float(np.sum(weight))))
    return [one.file for one, away in zip(landings, _robust(scores, 1.0), strict=True) if away > FAR]


def _robust(values: Sequence[float], least: float) -> FloatArray:
    """Return how far each value lies from the median, in robust standard deviations of at least ``least``."""
    away = np.abs(np.asarray(values) - np.median(values))
    return np.asarray(away / max(1.4826 * float(np.median(away)), least))


# ---- automatic brakes -----------------------------------------------------------------------------------------------


def _setting_parameter(name: str, target: float, witnesses: Sequence[Witness]) -> tuple[Found, list[str], list[str]]:
    """Return the deceleration that a setting holds."""
    one = _parameter(f"automatic_brakes.settings.{name}", "m/s2", target, SHARES["setting"] * target)
    held = [each for each in witnesses if each.setting == name and math.isfinite(each.held)]
    if len(held) < LEAST_BEHIND:
        seconds = sum(each.held_seconds for each in held)
        between = sum(each.setting is None and math.isfinite(each.held) for each in witnesses)
        doubt = f" ({between} landings held one that may be of two settings)" if between else ""
        return _too_few(one, f"no segment in which it surely held a deceleration{doubt}", len(held), seconds), [], []
    away = _robust([each.held for each in held], 0.02)
    far = [each.file for each, distance in zip(held, away, strict=True) if distance > FAR]
    refusals = []
    if len(far) > MOST_LEFT_OUT * len(held):
        refusals.append(f"{len(far)} of {len(held)} landings with {name} contradict the others: {', '.join(far[:5])}.")
    kept = [each for each in held if each.file not in far]
    values = np.array([each.held for each in kept])
    spread = float(np.std(values, ddof=1))
    if spread > WIDEST_SPREAD:
        refusals.append(
            f"Landings with {name} contradict each other: they held {values.min():.2f} to {values.max():.2f} m/s2."
        )
    half = _student(len(kept) - 1) * math.hypot(spread / math.sqrt(len(kept)), HELD_DEVIATION)
    seconds = sum(each.held_seconds for each in kept)
    found = _judged(one, float(np.mean(values)), half, len(kept), seconds, spread, "deceleration held by pressure")
    return found, far, refusals


def _delay_parameter(start: float, witnesses: Sequence[Witness]) -> Found:
    """Return the delay from spin-up to the first pressure."""
    one = _parameter("automatic_brakes.delay", "s", start, DELAY_SPREAD)
    values = np.array([each.delay for each in witnesses if math.isfinite(each.delay)])
    if values.size < LEAST_BEHIND:
        return _too_few(one, "no first pressure under an automatic setting", int(values.size), 0.0)
    # A pressure that comes late for another reason must not count.
    kept = values[_robust(list(values), 0.2) <= FAR]
    spread = float(np.std(kept, ddof=1))
    deviation = math.hypot(spread / math.sqrt(kept.size), TOUCHDOWN_DEVIATION)
    half = _student(int(kept.size) - 1) * deviation
    value = max(float(np.mean(kept)), 0.0)
    return _judged(one, value, half, int(kept.size), 0.0, spread, "touchdown to the first pressure, less spin-up")


def _ramp_parameter(start: float) -> Found:
    one = _parameter("automatic_brakes.ramp_rate", "m/s3", start, RAMP_SHARE * start)
    return _left(one, "the rise lasts about a second, as long as parameters are recorded apart", 0, 0.0)


# ---- judging --------------------------------------------------------------------------------------------------------


def _student(freedom: int) -> float:
    """Return the 97.5 % point of Student's law."""
    from scipy.stats import t as student

    return float(student.ppf(0.975, max(freedom, 1)))


def _judged(
    one: Parameter, value: float, half: float, landings: int, seconds: float, spread: float, words: str
) -> Found:
    """Return a parameter, fitted where its interval is clearly narrower than what was assumed before."""
    before = 1.96 * one.spread
    if half > NARROWING * before:
        reason = f"{words}: the interval would be {half / before:.0%} of what was assumed before"
        return _left(one, reason, landings, seconds, spread)
    return Found(one, True, value, max(value - half, 0.0), value + half, landings, seconds, spread, words)


def _left(one: Parameter, words: str, landings: int, seconds: float, spread: float = math.nan) -> Found:
    low, high = one.start - 1.96 * one.spread, one.start + 1.96 * one.spread
    return Found(one, False, one.start, max(low, 0.0), high, landings, seconds, spread, words)


def _too_few(one: Parameter, nothing: str, landings: int, seconds: float) -> Found:
    words = nothing if landings == 0 else f"{landings} landings only; at least {LEAST_BEHIND} are needed"
    return _left(one, words, landings, seconds)


def _not_behind(force: str, one: Parameter, landings: int, seconds: float) -> Found:
    return _too_few(one, _WORDS[force][1], landings, seconds)
