"""Landings reviewed a second, by one process and by two, with the memory they take.

Run it from the root of the repository:

    python -m benchmarks.fleet [COUNT]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

from groundroll.review.fleet import Fleet, read_fleet, read_parts, run_fleet
from groundroll.review.fleet_answers import answers
from groundroll.review.fleet_invent import invent_fleet
from groundroll.review.invent import Sensors

CASE = Path(__file__).parents[1] / "examples" / "wet-gusty-arrival" / "case.toml"


def _rate(fleet: Fleet, output: Path, workers: int) -> float:
    start = time.perf_counter()
    run_fleet(fleet, output, workers=workers)
    return len(fleet.entries) / (time.perf_counter() - start)


def main(count: int) -> None:
    """Print a line for each kind of recording and number of processes."""
    kinds: tuple[Sensors, ...] = ("surveillance", "recorder")
    for sensors in kinds:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            start = time.perf_counter()
            invent_fleet(folder / "fleet", CASE, count, sensors=sensors)
            made = time.perf_counter() - start
            fleet = read_fleet(folder / "fleet")
            run_fleet(Fleet(fleet.folder, fleet.case, fleet.threshold, fleet.mapping, fleet.entries[:2]), folder / "w")
            for workers in (1, 2):
                rate = _rate(fleet, folder / str(workers), workers)
                own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
                other = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
                print(
                    f"{sensors:13} {workers} process(es): {rate:6.0f} a second, with ledger; {own:.0f} / {other:.0f} MB"
                )
            start = time.perf_counter()
            answers(read_parts(folder / "1"))  # the friction map of recorder files takes seconds
            asked = time.perf_counter() - start
            print(f"{sensors:13} {count} invented in {made:.1f} s, all answers in {asked:.1f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
