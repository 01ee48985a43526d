"""Landings reviewed a second, by one process and by two, with the memory they take.

Run it from the root of the repository:

    python -m benchmarks.fleet [COUNT [KIND ...]]

Each kind runs in a process of its own, so that memory is that of the kind. Seconds of work are given beside seconds
that passed: on a machine shared with other work only the former say what the program needs.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from groundroll.review.fleet import Fleet, read_fleet, read_parts, run_fleet
from groundroll.review.fleet_answers import answers
from groundroll.review.fleet_invent import invent_fleet
from groundroll.review.invent import Sensors

CASE = Path(__file__).parents[1] / "examples" / "wet-gusty-arrival" / "case.toml"

KINDS: dict[str, tuple[Sensors, float | None]] = {
    "surveillance": ("surveillance", None),
    "recorder": ("recorder", None),
    "recorder-16": ("recorder", 16.0),
}
"""Sensors, and samples a second of every parameter; none as the rules ask."""


def _worked() -> float:
    return sum(
        one.ru_utime + one.ru_stime for one in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


def _run(fleet: Fleet, output: Path, workers: int) -> tuple[float, float]:
    """Return landings a second that passed, and landings a second of work of one core."""
    start, worked = time.perf_counter(), _worked()
    run_fleet(fleet, output, workers=workers)
    passed, done = time.perf_counter() - start, _worked() - worked
    return len(fleet.entries) / passed, len(fleet.entries) / done


def measure(kind: str, count: int) -> None:
    """Print the figures of one kind of recording."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "benchmarks.fleet", "invent", kind, str(count), str(folder)], check=True)
        made = time.perf_counter() - start
        fleet = read_fleet(folder / "fleet")
        run_fleet(Fleet(fleet.folder, fleet.case, fleet.threshold, fleet.mapping, fleet.entries[:2]), folder / "w")
        for workers in (2, 1):
            rate_passed, rate_worked = _run(fleet, folder / str(workers), workers)
            own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
            other = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
            print(
                f"{kind:13} {count} with {workers} process(es): {rate_passed:5.0f} a second, {rate_worked:5.0f} a "
                f"second of work; at most {own:.0f} MB in this process, {other:.0f} MB in another",
                flush=True,
            )
        start = time.perf_counter()
        answers(read_parts(folder / "1"))  # the friction map of recorder files takes seconds
        asked = time.perf_counter() - start
        own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        print(
            f"{kind:13} {count} invented in {made:.1f} s, all answers in {asked:.1f} s; then {own:.0f} MB", flush=True
        )


if __name__ == "__main__":
    if sys.argv[1:2] == ["invent"]:
        _, _, name, number, where = sys.argv
        invent_fleet(Path(where) / "fleet", CASE, int(number), sensors=KINDS[name][0], rate=KINDS[name][1])
    elif len(sys.argv) == 3:
        measure(sys.argv[2], int(sys.argv[1]))
    else:
        for name in sys.argv[2:] or KINDS:
            subprocess.run(
                [sys.executable, "-m", "benchmarks.fleet", sys.argv[1] if len(sys.argv) > 1 else "1000", name],
                check=True,
            )
