"""How often do the 95 % intervals of a fit hold the hidden values? `python -m benchmarks.fit [TABLES]`, 300 by default.

Hidden values are drawn from what the fit is told beforehand; tables are rounded up to 10 m. Further rows, of a mass and
an altitude that the table does not hold, show whether 95 % of them lie within the interval that `land` quotes.
A second number is the seed of the first table, so that a long run can be split.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

from tests.planning.fit.tables import empty_rows, hidden, published

from groundroll.planning.fit.distances import computed_distances, misses_of
from groundroll.planning.fit.parameters import with_values
from groundroll.planning.fit.solve import fit_table
from groundroll.scenario.read import read_aircraft


def main() -> None:
    """Print the share of intervals that hold the hidden value, parameter by parameter, and the tables refused."""
    tables = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    start = read_aircraft(Path(__file__).parents[1] / "examples" / "aircraft" / "demo-narrowbody.toml")
    further = tuple(replace(row, mass=57_000.0, pressure_altitude=750.0, headwind=2.0) for row in empty_rows())
    held: Counter[str] = Counter()
    asked: Counter[str] = Counter()
    refused = within = rows = 0
    begin = time.perf_counter()
    for seed in range(first, first + tables):
        parameters, values, table = hidden(start, seed)
        fit = fit_table(table, start, full_profiles=False)
        refused += bool(fit.refusals)
        for one, value in zip(fit.parameters, values, strict=True):
            if one.fitted:
                asked[one.parameter.key] += 1
                held[one.parameter.key] += bool(one.low <= value <= one.high)
        more = published(further, computed_distances(with_values(start, parameters, list(values)), further)).rows
        misses = misses_of(fit.aircraft, more)
        rows += len(misses)
        within += int((abs(misses) <= fit.within).sum())
    seconds = time.perf_counter() - begin
    print(f"{tables} tables, {seconds / tables:.2f} s each; {refused} refused")
    for key, count in asked.items():
        print(f"  {key}: {held[key]} of {count}, {100.0 * held[key] / count:.1f} %")
    total, good = sum(asked.values()), sum(held.values())
    print(f"{good} of {total} intervals hold the hidden value: {100.0 * good / total:.1f} %")
    print(f"{within} of {rows} further rows lie within the interval quoted: {100.0 * within / rows:.1f} %")


if __name__ == "__main__":
    main()
