"""Stop distance and brake energy against SciPy at a relative tolerance of 1e-10, over random landings.

    python -m benchmarks.accuracy [COUNT] [SEED]

Prints the worst and typical differences and exits with 1 when one is above what the product promises.
"""

from __future__ import annotations

import sys
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np
from tests.random_landings import random_rolls
from tests.reference_roll import reference_roll

from groundroll.kernels import layout as at
from groundroll.physics.rollout import Roll, simulate, simulate_many

PROMISED_DISTANCE = 0.1
"""[m]"""
PROMISED_ENERGY = 5e-4
"""[-]"""
ENERGY_FLOOR = 1e-3
"""Share of the kinetic energy at touchdown below which a brake energy is compared as a share of that instead. [-]"""


def compare(roll: Roll) -> tuple[float, ...] | None:
    """Return difference of distance [m] and of brake energy [-], energy residual [-], then the same side by side."""
    result = simulate(roll)
    if not result.stopped:
        return None
    reference = reference_roll(roll)
    kinetic = 0.5 * roll.mass * roll.start_speed**2
    scale = max(reference.brake_energy, ENERGY_FLOOR * kinetic)
    row = simulate_many([roll])[0]
    return (
        abs(result.distance - reference.distance),
        abs(result.brake_work - reference.brake_energy) / scale,
        abs(result.energy_residual),
        abs(row[at.END_DISTANCE] - reference.distance),
        abs(row[at.BRAKE_WORK] - reference.brake_energy) / scale,
    )


def main(count: int = 2_000, seed: int = 20260217) -> int:
    """Compare ``count`` random landings and print what was found."""
    rolls = random_rolls(count, seed)
    begin = time.perf_counter()
    found: list[tuple[float, ...] | None] = []
    with ProcessPoolExecutor(2) as pool:
        for number, one in enumerate(pool.map(compare, rolls, chunksize=10), 1):
            found.append(one)
            if number % 200 == 0:
                print(f"  {number} of {count} compared, {time.perf_counter() - begin:.0f} s", flush=True)
    compared = np.array([one for one in found if one is not None])
    print(f"{len(compared)} random landings compared, {found.count(None)} that do not stop left out")
    for name, column, unit in (
        ("stop distance", 0, "m"),
        ("brake energy, relative", 1, ""),
        ("energy residual", 2, ""),
        ("many: stop distance", 3, "m"),
        ("many: brake energy, rel.", 4, ""),
    ):
        values = compared[:, column]
        print(f"{name:24} worst {values.max():.3g} {unit}, 99 % {np.quantile(values, 0.99):.3g} {unit}".rstrip())
    good = max(compared[:, 0].max(), compared[:, 3].max()) <= PROMISED_DISTANCE and (
        max(compared[:, 1].max(), compared[:, 4].max()) <= PROMISED_ENERGY
    )
    print("within what is promised" if good else "NOT within what is promised (0.1 m, 0.05 %)")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
