"""How long the answers on uncertainty take, how far the methods for rare events agree, how plausible the spread is.

    python -m benchmarks.uncertainty [settings] [rare] [coverage] [fleet]

settings: five brake settings, three uses of reverse, nine runway conditions, 10 000 landings each.
rare: the probability of an overrun on runways of several lengths, by both methods.
coverage: how often intervals hold the truth.
fleet: an invented fleet with the default spread beside published statistics of touchdown speed and deceleration.
"""

from __future__ import annotations

import os
import sys
import time

import numpy as np
from scipy.stats import norm
from tests.planning.cases import DRY, ICE, MEDIUM, SLUSH, SNOW, WET, standard_case

from groundroll.kernels import layout as at
from groundroll.physics.rollout import run_cases
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.landing_roll import Reverse
from groundroll.planning.uncertainty.answers import uncertainty_of
from groundroll.planning.uncertainty.inputs import Inputs
from groundroll.planning.uncertainty.overrun import overrun_of
from groundroll.planning.uncertainty.rows import SampledRoll
from groundroll.planning.uncertainty.samples import Histogram, Layout, blocks, probability
from groundroll.scenario.resolved import SurfaceThird

CONDITIONS: tuple[tuple[SurfaceThird, SurfaceThird, SurfaceThird], ...] = (
    (DRY, DRY, DRY),
    (WET, WET, WET),
    (WET, WET, MEDIUM),
    (SNOW, SNOW, SNOW),
    (MEDIUM, MEDIUM, MEDIUM),
    (SNOW, MEDIUM, MEDIUM),
    (SLUSH, SLUSH, SLUSH),
    (WET, MEDIUM, SLUSH),
    (ICE, ICE, ICE),
)
WIND = {"wind_direction": 0.6, "wind_speed": 8.0, "gust_speed": 12.0}


def decided(thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird], length: float = 3_000.0) -> Decision:
    """Return a decision for a landing in a gusty wind."""
    return decide(plan_landing(standard_case(thirds=thirds, length=length, weather=WIND)))


def settings(samples: int = 10_000) -> None:
    """Measure the landings of every setting, reverse and condition."""
    decisions = [decided(thirds) for thirds in CONDITIONS]
    for found in decisions[:1]:  # compile
        uncertainty_of(found, samples=64, seed=1, rare_events=False, sensitivity=False)
    for workers in (1, os.cpu_count() or 1):
        begin, used = time.perf_counter(), time.process_time()
        rolls = 0
        for found in decisions:
            answer = uncertainty_of(
                found, samples=samples, seed=1, workers=workers, rare_events=False, sensitivity=False
            )
            if answer is not None:
                rolls += answer.samples * len(answer.options)
        seconds, used = time.perf_counter() - begin, time.process_time() - used
        print(
            f"{len(CONDITIONS)} conditions, {len(decisions[0].plan.options)} choices, {rolls:,} landings, "
            f"{workers} threads: {seconds:.2f} s, {rolls / seconds:,.0f} landings/s ({used:.2f} s of processor time)"
        )


def rare() -> None:
    """Measure overruns from common to hardly ever."""
    print(f"{'runway':>8} {'method':22}{'probability':>12}{'variation':>10}{'rolls':>9}{'s':>7}  agree")
    for length in (1_700.0, 1_900.0, 2_100.0, 2_300.0, 2_500.0):
        case = standard_case(thirds=(WET, WET, WET), length=length, weather=WIND)
        inputs = Inputs(case)
        roll = SampledRoll(case.aircraft, inputs.conditions, "steady", "idle")
        available = inputs.conditions.landing_distance_available
        found = overrun_of(inputs, roll, available, seed=1, workers=os.cpu_count() or 1)
        for one in (found.importance, found.subset):
            print(
                f"{length:7.0f}m {one.method:22}{one.probability:12.2e}{100.0 * one.coefficient_of_variation:9.1f}%"
                f"{one.evaluations:9,}{one.seconds:7.2f}  {found.agreed}"
            )


def coverage(replications: int = 1_000) -> None:
    """Count how often the 95 % interval of a probability and of a percentile holds the truth."""
    weights = np.array([0.6, -0.64, 0.48])
    for points in (64, 256):
        held = np.zeros(2)
        for seed in range(replications):
            values = next(blocks(Layout(8, points), 3, seed)) @ weights
            share = probability(np.sum(values > 0.6, axis=1), points)
            histogram = Histogram(8)
            histogram.add(1_000.0 + 100.0 * values)
            length = histogram.percentiles([0.8])[0.8]
            held += (
                share.low <= norm.sf(0.6) <= share.high,
                length.low <= 1_000.0 + 100.0 * norm.ppf(0.8) <= length.high,
            )
        print(f"8 replicates of {points}: held {held / replications * 100.0} % (probability, percentile)")


def fleet(days: int = 400, landings: int = 25, seed: int = 1) -> None:
    """Compare touchdown speed and mean deceleration of an invented fleet with published statistics.

    Sun, Ellerbroek, Hoekstra, Transp. Res. C 98 (2019) 118, tables by type: eight transport aeroplanes have touchdown
    speeds of 66.7 to 76.9 m/s with standard deviations of 4.1 to 6.5 m/s, and mean decelerations of 0.83 to 1.36 m/s2
    with standard deviations of about 0.4 to 0.5 m/s2, over distances of 1.2 to 2.5 km. Chosen here, not measured:
    masses even from 50 t to 66 t, winds, 60 % dry, 35 % wet, 5 % worse, settings gentle to strong, and an end of the
    roll at 15 m/s (turning off).
    """
    random = np.random.default_rng(seed)
    surfaces = [(DRY,) * 3, (WET,) * 3, (MEDIUM,) * 3]
    brakes = ["gentle", "steady", "firm", "strong"]
    reverses: list[Reverse] = ["none", "idle", "full"]
    speeds, decelerations, distances = [], [], []
    for _ in range(days):
        mass = random.uniform(50_000.0, 66_000.0)
        base = standard_case()
        reference = base.aircraft.flaps["full"].reference_speed_at(mass)
        thirds = surfaces[random.choice(3, p=[0.60, 0.35, 0.05])]
        weather = {"wind_direction": random.uniform(-1.4, 1.4), "wind_speed": random.gamma(2.5, 1.6)}
        case = standard_case(
            thirds=thirds,
            weather=weather,
            landing={"mass": mass, "approach_speed": reference + 2.6},
        )
        inputs = Inputs(case)
        brake = str(random.choice(brakes, p=[0.45, 0.40, 0.12, 0.03]))
        reverse = reverses[int(random.choice(3, p=[0.05, 0.55, 0.40]))]
        roll = SampledRoll(case.aircraft, inputs.conditions, brake, reverse)
        rows = roll.rows(inputs.samples(random.standard_normal((landings, inputs.dimensions))))
        rows[:, at.END_SPEED] = 15.0
        results = run_cases(rows)
        speeds.append(rows[:, at.START_SPEED])
        decelerations.append((rows[:, at.START_SPEED] - 15.0) / results[:, at.END_TIME])
        distances.append(results[:, at.END_DISTANCE] - rows[:, at.START_DISTANCE])
    for name, values, unit in (
        ("touchdown ground speed", np.concatenate(speeds), "m/s"),
        ("mean deceleration to 15 m/s", np.concatenate(decelerations), "m/s2"),
        ("distance from touchdown to 15 m/s", np.concatenate(distances), "m"),
    ):
        low, high = np.quantile(values, [0.05, 0.95])
        print(
            f"{name}: mean {np.mean(values):.2f}, standard deviation {np.std(values):.2f}, "
            f"90 % within {low:.2f} to {high:.2f} {unit}"
        )


def main(wanted: list[str]) -> int:
    """Run what was asked for, or everything."""
    parts = {"settings": settings, "rare": rare, "coverage": coverage, "fleet": fleet}
    for name in wanted or list(parts):
        print(f"--- {name}")
        parts[name]()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
