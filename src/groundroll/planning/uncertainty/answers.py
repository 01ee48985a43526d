"""The answers: how likely each choice makes its exits, keeps within the distance and its brakes within their limits."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.errors import ScenarioError
from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.planning.decision import Decision
from groundroll.planning.landing import HELD_WITHIN, LandingOption, LandingPlan, exit_speed
from groundroll.planning.landing_roll import MANUAL, Reverse
from groundroll.planning.uncertainty.brake_limits import BrakeLimit, brake_limits
from groundroll.planning.uncertainty.inputs import Input, Inputs, Samples
from groundroll.planning.uncertainty.overrun import Overrun, overrun_of
from groundroll.planning.uncertainty.rows import SampledRoll, in_parts, rolled
from groundroll.planning.uncertainty.samples import (
    ROWS_AT_ONCE,
    Estimate,
    Histogram,
    IntArray,
    Layout,
    blocks,
    layout_for,
    probability,
)
from groundroll.planning.uncertainty.sensitivity import Indices, sensitivities

PERCENTILES: Final = (0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99)
SOURCE_KEYS: Final = (
    "uncertainty-defaults",
    "sobol-points",
    "clopper-pearson",
    "most-probable-point",
    "subset-simulation",
    "sensitivity-estimators",
)
"""Keys of the sources behind the answers."""

LEAST_SAMPLES: Final = 64
MOST_SAMPLES: Final = 100_000_000

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many rolls have just been done, and how many there are in all (0: not known)."""


@dataclass(frozen=True)
class ExitOdds:
    """One exit with one option."""

    name: str
    distance: float
    allowed_speed: float
    below_allowed: Estimate
    """Probability to touch down before it and to be at or below the allowed speed there, brakes held; a stop short of
    it counts, for the brakes can be released."""


@dataclass(frozen=True)
class LimitOdds:
    """One limit of the brakes with one option."""

    name: str
    exceeded: Estimate


@dataclass(frozen=True)
class OptionOdds:
    """One choice of brakes and reverse, held to a stop."""

    brake: str
    reverse: Reverse
    stop_distance: dict[float, Estimate]
    """Percentiles, threshold to stop. [m]"""
    margin: dict[float, Estimate]
    """Percentiles of the distance available less the factored stop distance. [m]"""
    overrun: Estimate
    """Probability to stop beyond the distance available."""
    beyond_factored: Estimate
    """Probability that the stop distance with its margin is more than the distance available."""
    target_not_held: Estimate | None
    """Probability that the automatic brakes do not reach their deceleration; None for manual braking."""
    exits: tuple[ExitOdds, ...]
    limits: tuple[LimitOdds, ...]


@dataclass(frozen=True)
class Uncertainty:
    """How sure the plan is."""

    plan: LandingPlan
    seed: int
    asked: int
    samples: int
    """Landings computed for each option."""
    replicates: int
    complete: bool
    """False where the user stopped it: everything holds for the samples done until then."""
    inputs: tuple[Input, ...]
    remarks: tuple[str, ...]
    options: tuple[OptionOdds, ...]
    """In the order of the plan's options."""
    focus: int
    """The chosen option; without one the option with the greatest margin."""
    planned_exit: str | None
    more_than_planned: Estimate
    """Probability that the planned brakes and reverse make neither the planned exit nor, without one, the stop."""
    everything_not_enough: Estimate
    """Probability that manual braking with all reverse, both from touchdown on, stops beyond the distance available."""
    overrun: Overrun | None
    """Of the focus; None where it was stopped before."""
    margin_indices: tuple[Indices, ...]
    exit_indices: tuple[Indices, ...]
    exit_asked: str | None
    """The exit whose arrival speed the sensitivities explain."""

    @property
    def chosen(self) -> OptionOdds:
        """Return the odds of the focus."""
        return self.options[self.focus]


@dataclass(frozen=True)
class _Counted:
    """What came of one block with one option, replicate by replicate."""

    stops: FloatArray
    """Stop distances, shape (replicates, n). [m]"""
    hits: IntArray
    """Shape (replicates, events)."""


class _Tally:
    """Counts of one option."""

    def __init__(self, replicates: int, events: int) -> None:
        self.stops = Histogram(replicates)
        self.hits = np.zeros((replicates, events), dtype=np.int64)

    def add(self, block: _Counted) -> None:
        """Add a block."""
        self.stops.add(block.stops)
        self.hits += block.hits


OVERRUN, BEYOND_FACTORED, NOT_HELD, MORE_THAN_PLANNED, FIRST_EXIT = range(5)
"""Columns of the hits; behind the exits come the limits."""


class _Question:
    """One case with everything that its samples are held to."""

    def __init__(self, decision: Decision) -> None:
        self.plan = decision.plan
        self.inputs = Inputs(self.plan.case, self.plan.conditions)
        self.available = self.plan.conditions.landing_distance_available
        self.factor = 1.0 + self.plan.case.landing.margin
        self.focus = _focus(self.plan)
        approach = decision.chosen_approach
        self.planned_exit = None if approach is None else approach.exit
        case, conditions = self.plan.case, self.plan.conditions
        listed = [one for one in case.direction_data.exits if one.distance <= self.available]
        self.exits = [(one.name, one.distance, exit_speed(case, conditions, one).speed) for one in listed]
        self.stations = np.array(sorted(distance for _, distance, _ in self.exits))
        self.limits: tuple[BrakeLimit, ...] = brake_limits(self.plan, self.plan.options[self.focus])
        self.working = case.aircraft.brakes.count - conditions.brakes_released
        self.rolls = [SampledRoll(case.aircraft, conditions, one.brake, one.reverse) for one in self.plan.options]

    @property
    def events(self) -> int:
        """Return how many events are counted."""
        return FIRST_EXIT + len(self.exits) + len(self.limits)

    def counted(self, number: int, samples: Samples, replicates: int) -> _Counted:
        """Return what comes of samples with one option; the samples of each replicate stand together."""
        results, speeds = rolled(self.rolls[number].rows(samples), self.stations)
        stops = results[:, at.END_DISTANCE]
        stopped = results[:, at.STATUS] == at.STATUS_DONE
        energy = results[:, at.BRAKE_WORK] / self.working
        over = (stops > self.available) | ~stopped
        made = [speeds[:, int(np.searchsorted(self.stations, place))] <= allowed for _, place, allowed in self.exits]
        more = over
        for (name, _, _), one in zip(self.exits, made, strict=True):
            if number == self.focus and name == self.planned_exit:
                more = over | ~one  # not made either where touchdown lies beyond it: no speed is at most the allowed
        happens = np.stack(
            [
                over,
                over | (stops * self.factor > self.available),
                over | (results[:, at.SHORTFALL] > HELD_WITHIN),
                more,
                *made,
                *(energy > limit.energy for limit in self.limits),
            ],
            axis=1,
        )
        hits = happens.reshape(replicates, -1, happens.shape[1]).sum(axis=1, dtype=np.int64)
        return _Counted(np.where(stopped, stops, Histogram.END).reshape(replicates, -1), hits)

    def odds(self, option: LandingOption, tally: _Tally, points: int) -> OptionOdds:
        """Return the odds of one option."""
        percentiles = tally.stops.percentiles(PERCENTILES)
        chances = [probability(column, points) for column in tally.hits.T]
        exits, limits = chances[FIRST_EXIT:][: len(self.exits)], chances[FIRST_EXIT + len(self.exits) :]
        return OptionOdds(
            brake=option.brake,
            reverse=option.reverse,
            stop_distance=percentiles,
            margin={1.0 - share: self._margin(one) for share, one in reversed(percentiles.items())},
            overrun=chances[OVERRUN],
            beyond_factored=chances[BEYOND_FACTORED],
            target_not_held=None if option.brake == MANUAL else chances[NOT_HELD],
            exits=tuple(ExitOdds(*one, chance) for one, chance in zip(self.exits, exits, strict=True)),
            limits=tuple(LimitOdds(one.name, chance) for one, chance in zip(self.limits, limits, strict=True)),
        )

    def _margin(self, stop: Estimate) -> Estimate:
        """Return the margin that belongs to a stop distance; the longest stop leaves the least."""
        return Estimate(*(self.available - self.factor * one for one in (stop.value, stop.high, stop.low)))

    def strongest(self) -> int:
        """Return the option with manual braking and the most reverse."""
        return max(number for number, one in enumerate(self.plan.options) if one.brake == MANUAL)

    def exit_for_sensitivity(self) -> tuple[str, float] | None:
        """Return the planned exit where the held brakes pass it at speed, else the last exit that they pass so."""
        passed = [
            one
            for one in self.plan.options[self.focus].exits
            if one.arrival_speed is not None and one.distance <= self.available
        ]
        planned = [one for one in passed if one.name == self.planned_exit]
        chosen = planned or passed[-1:]
        return (chosen[0].name, chosen[0].distance) if chosen else None


def _focus(plan: LandingPlan) -> int:
    if plan.recommended is not None:
        return plan.recommended
    margins = [-np.inf if one.margin is None else one.margin for one in plan.options]
    return int(np.argmax(margins))


def uncertainty_of(
    decision: Decision,
    *,
    samples: int,
    seed: int,
    workers: int | None = None,
    rows_at_once: int = ROWS_AT_ONCE,
    rare_events: bool = True,
    sensitivity: bool = True,
    progress: Progress | None = None,
) -> Uncertainty | None:
    """Return how sure a landing plan is.

    Parameters
    ----------
    decision
        The plan with its choice.
    samples
        Landings for each option, 64 to 100 million; rounded up to whole replicates.
    seed
        Not negative. Same seed, same digits, whatever ``workers`` and ``rows_at_once`` are.
    workers
        Threads; by default as many as there are cores.
    rows_at_once
        Rolls computed together, which bounds the memory.
    rare_events, sensitivity
        Whether the probability of an overrun of the chosen option and what matters are worked out too.
    progress
        Told what is being done.

    Returns
    -------
    Uncertainty or None
        None where the plan has no options, because nothing is known of the braking. A `KeyboardInterrupt` gives what
        has been done until then; before the first block it is passed on.

    Raises
    ------
    ScenarioError
        If an argument is out of range, or a distribution leaves the range of the physics.
    """
    if not LEAST_SAMPLES <= samples <= MOST_SAMPLES:
        raise ScenarioError(f"--samples {samples} is outside {LEAST_SAMPLES} to {MOST_SAMPLES}.")
    if not 0 <= seed < 2**63:
        raise ScenarioError(f"--seed {seed} is outside 0 to {2**63 - 1}.")
    if not decision.plan.options:
        return None
    try:
        return _ask(
            decision,
            samples,
            seed,
            workers or os.cpu_count() or 1,
            rows_at_once,
            rare_events,
            sensitivity,
            progress,
        )
    except ValueError as error:
        raise ScenarioError(
            f"{decision.plan.case.title}: {error}. Keep the distribution within the range with "
            '"... between A and B" in [uncertainty].'
        ) from error


def _ask(
    decision: Decision,
    samples: int,
    seed: int,
    workers: int,
    rows_at_once: int,
    rare_events: bool,
    sensitivity: bool,
    progress: Progress | None,
) -> Uncertainty:
    question = _Question(decision)
    layout = layout_for(samples)
    tallies, points, complete = _sampled(question, layout, seed, workers, rows_at_once, progress)
    plan = question.plan
    odds = tuple(question.odds(one, tally, points) for one, tally in zip(plan.options, tallies, strict=True))
    focus = tallies[question.focus]
    reached = question.exit_for_sensitivity()
    answer = Uncertainty(
        plan=plan,
        seed=seed,
        asked=samples,
        samples=points * layout.replicates,
        replicates=layout.replicates,
        complete=complete,
        inputs=question.inputs.listed,
        remarks=question.inputs.remarks(),
        options=odds,
        focus=question.focus,
        planned_exit=question.planned_exit,
        more_than_planned=probability(focus.hits[:, MORE_THAN_PLANNED], points),
        everything_not_enough=odds[question.strongest()].overrun,
        overrun=None,
        margin_indices=(),
        exit_indices=(),
        exit_asked=None if reached is None else reached[0],
    )
    if complete and sensitivity and question.inputs.dimensions > 0:
        try:
            margin, at_exit = _sensitivity(question, seed, workers, reached, progress)
            answer = replace(answer, margin_indices=margin, exit_indices=at_exit)
        except KeyboardInterrupt:
            return replace(answer, complete=False)
    if complete and rare_events and question.inputs.dimensions > 0:
        found = overrun_of(
            question.inputs,
            question.rolls[question.focus],
            question.available,
            seed=seed,
            workers=workers,
            progress=None if progress is None else lambda text, done: progress(text, done, 0),
        )
        stopped = not (found.importance.complete and found.subset.complete)
        answer = replace(answer, overrun=found, complete=not stopped)
    return answer


def _sampled(
    question: _Question, layout: Layout, seed: int, workers: int, rows_at_once: int, progress: Progress | None
) -> tuple[list[_Tally], int, bool]:
    """Return the counts of each option, the points done in each replicate, and whether these are all.

    Options are shared out among the threads. A block counts only once all options have been through it: an interrupted
    one is counted for none.
    """
    replicates = layout.replicates
    options = range(len(question.rolls))
    tallies = [_Tally(replicates, question.events) for _ in options]
    dimensions = question.inputs.dimensions
    points = 0
    total = layout.total * len(options)
    pool = ThreadPoolExecutor(workers)
    try:
        for block in blocks(layout, max(dimensions, 1), seed, rows_at_once):
            drawn = question.inputs.samples(block.reshape(-1, block.shape[2])[:, :dimensions])
            found = []
            for one in pool.map(lambda number, drawn=drawn: question.counted(number, drawn, replicates), options):
                found.append(one)
                if progress is not None:
                    progress("Landings", one.stops.size, total)
            for tally, one in zip(tallies, found, strict=True):
                tally.add(one)
            points += block.shape[1]
    except KeyboardInterrupt:
        if points == 0:
            raise
        return tallies, points, False
    finally:
        pool.shutdown(cancel_futures=True)
    return tallies, points, True


def _sensitivity(
    question: _Question, seed: int, workers: int, reached: tuple[str, float] | None, progress: Progress | None
) -> tuple[tuple[Indices, ...], tuple[Indices, ...]]:
    roll = question.rolls[question.focus]
    stations = np.array([] if reached is None else [reached[1]])

    def answers(z: FloatArray) -> FloatArray:
        rows = roll.rows(question.inputs.samples(z))
        results, speeds = rolled(rows, stations)
        speeds = np.where(np.isnan(speeds), rows[:, [at.START_SPEED]], speeds)  # touchdown beyond the exit
        return np.column_stack([question.available - question.factor * results[:, at.END_DISTANCE], speeds])

    found = sensitivities(
        lambda z: in_parts(answers, z, workers),
        question.inputs.groups,
        seed=seed,
        progress=None if progress is None else lambda done: progress("What matters", done, 0),
    )
    return found[0], found[1] if len(found) > 1 else ()
