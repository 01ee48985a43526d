"""How often do the 95 % intervals of a fit hold the hidden values? `python -m benchmarks.fit [TABLES]`, 300 by default.

Hidden values are drawn from what the fit is told beforehand; tables are rounded up to 10 m.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from tests.planning.fit.tables import hidden

from groundroll.planning.fit.solve import fit_table
from groundroll.scenario.read import read_aircraft


def main() -> None:
    """Print the share of intervals that hold the hidden value, and the tables refused."""
    tables = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    start = read_aircraft(Path(__file__).parents[1] / "examples" / "aircraft" / "demo-narrowbody.toml")
    held = asked = refused = 0
    begin = time.perf_counter()
    for seed in range(tables):
        _, values, table = hidden(start, seed)
        fit = fit_table(table, start, starts=1, folds=0)
        refused += bool(fit.refusals)
        for one, value in zip(fit.parameters, values, strict=True):
            if one.fitted:
                asked += 1
                held += abs(one.value - value) <= one.half_width
    seconds = time.perf_counter() - begin
    print(f"{tables} tables, {seconds / tables:.2f} s each; {refused} refused")
    print(f"{held} of {asked} intervals hold the hidden value: {100.0 * held / asked:.1f} %")


if __name__ == "__main__":
    main()
