"""Rows for the kernel from samples, all at once: the planned roll with the columns of the uncertain inputs replaced."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np

from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray, check_range
from groundroll.physics.rollout import MAXIMUM_GROUND_SPEED, Control, Trigger, case_of, run_cases_past
from groundroll.planning.landing_roll import LandingConditions, Reverse, landing_roll
from groundroll.planning.uncertainty.inputs import Samples
from groundroll.planning.uncertainty.samples import ROWS_AT_ONCE
from groundroll.scenario.model import Aircraft

GREATEST_HEADWIND = 60.0
"""As `simulate` allows. [m/s]"""


class SampledRoll:
    """One choice of brakes and reverse, ready to be rolled with many samples of its inputs."""

    def __init__(self, aircraft: Aircraft, conditions: LandingConditions, brake: str, reverse: Reverse) -> None:
        self.brake = brake
        self.reverse = reverse
        self._planned_headwind = conditions.headwind
        roll = landing_roll(aircraft, conditions, brake, reverse)
        self._greatest_airspeed = float(roll.thrust_tables.true_airspeed[-1])
        self._torque_force = roll.maximum_brake_force
        self._base = case_of(replace(roll, start_speed=min(roll.start_speed, MAXIMUM_GROUND_SPEED)))
        self._automatic = roll.brake_program[0].control is Control.AUTOMATIC
        stages = roll.thrust_program
        first = at.THRUST_PROGRAM + 1  # the value of a stage stands behind its trigger
        places = [first + number * at.THRUST_STAGE_SIZE for number in range(len(stages))]
        by_speed = [place for place, one in zip(places, stages, strict=True) if one.trigger is Trigger.SPEED_BELOW]
        self._by_speed = np.array(by_speed, dtype=int)
        selected = [place for place, one in zip(places, stages, strict=True) if one.trigger is Trigger.TIME][1:]
        self._selected = selected[0] if selected else None
        friction = [
            range(third, third + at.THIRD_CAP + 1)
            for third in (at.THIRDS + number * at.THIRD_SIZE + at.THIRD_POLYNOMIAL for number in range(3))
        ]
        above = [at.THIRDS + number * at.THIRD_SIZE + at.THIRD_ABOVE_SWITCH for number in range(3)]
        self._friction = [np.array([*columns, last]) for columns, last in zip(friction, above, strict=True)]

    def rows(self, samples: Samples) -> FloatArray:
        """Return one row for each sample.

        Parameters
        ----------
        samples
            n values of every input.

        Returns
        -------
        shape (n, CASE_SIZE)
            As `groundroll.physics.rollout.case_of` gives for the landing with these inputs. [SI]

        Raises
        ------
        ValueError
            If a sample leaves the range of the physics; the message names the value.
        """
        check_range("touchdown ground speed of a sample", samples.touchdown_speed, 0.0, MAXIMUM_GROUND_SPEED, "m/s")
        check_range("headwind of a sample", samples.headwind, -GREATEST_HEADWIND, GREATEST_HEADWIND, "m/s")
        airspeed = samples.touchdown_speed + samples.headwind
        check_range("true airspeed of a sample", airspeed, 0.0, self._greatest_airspeed, "m/s", hint="thrust tables")
        rows = np.empty((len(samples.mass), at.CASE_SIZE))
        rows[:] = self._base
        rows[:, at.MASS] = samples.mass
        rows[:, at.TORQUE_FORCE] = np.minimum(self._torque_force, 100.0 * samples.mass)
        rows[:, at.HEADWIND] = samples.headwind
        rows[:, at.START_DISTANCE] = samples.touchdown_point
        rows[:, at.START_SPEED] = samples.touchdown_speed
        rows[:, at.SPOILER_START] = samples.spoilers_start
        for number, columns in enumerate(self._friction):
            rows[:, columns] = self._base[columns] * samples.friction[:, number : number + 1]
        # Reverse is cut back and stowed at an airspeed: over the ground it comes sooner or later with the wind.
        rows[:, self._by_speed] += (self._planned_headwind - samples.headwind)[:, np.newaxis]
        if self._selected is not None:
            rows[:, self._selected] = samples.reverse_selected
        rows[:, at.BRAKE_PROGRAM + 1] = samples.brakes_start if self._automatic else samples.pedal_start
        if self._automatic:
            rows[:, at.BRAKE_PROGRAM + 3] *= samples.automatic_braking
        return rows


def rolled(rows: FloatArray, stations: FloatArray | None = None) -> tuple[FloatArray, FloatArray]:
    """Return the result rows and the ground speeds at stations, zero where a roll stops before, NaN before its start.

    Parameters
    ----------
    rows : shape (n, CASE_SIZE)
        As `SampledRoll.rows` gives them.
    stations : shape (s,)
        Distances from the threshold, ascending. [m]

    Returns
    -------
    results : shape (n, RESULT_SIZE)
    speeds : shape (n, s)
        [m/s]
    """
    wanted = np.zeros(0) if stations is None else stations
    results, passed = run_cases_past(rows, np.tile(wanted, (len(rows), 1)))
    speeds = passed[:, :, 1]
    started = rows[:, at.START_DISTANCE][:, np.newaxis] <= wanted
    return results, np.where(np.isnan(speeds) & started, 0.0, speeds)


def in_parts(work: Callable[[FloatArray], FloatArray], z: FloatArray, workers: int) -> FloatArray:
    """Return what ``work`` makes of the rows of ``z``, done in parts by several threads and put together in order.

    Parameters
    ----------
    work
        Makes one row of each row, whichever others come with it; the kernel holds no lock.
    z : shape (n, d)
        Rows.
    workers
        Threads; the digits do not depend on them.
    """
    size = max(min(ROWS_AT_ONCE, -(-len(z) // workers)), 1)
    parts = [z[first : first + size] for first in range(0, len(z), size)]
    if workers == 1 or len(parts) < 2:
        return np.concatenate([work(part) for part in parts])
    with ThreadPoolExecutor(workers) as pool:
        return np.concatenate(list(pool.map(work, parts)))
