"""Do 95 % intervals hold the hidden value in 95 % of tables? Few and small ones here; 300 in benchmarks/fit.py."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from groundroll.planning.fit.distances import computed_distances
from groundroll.planning.fit.solve import fit_table, rounded_alike
from tests.planning.cases import aircraft
from tests.planning.fit.tables import empty_rows, hidden

TABLES = 30
CHANCE = 0.999
"""With right intervals one choice of tables in a thousand would fail, were the intervals of a table independent."""


def test_fit__intervals_hold_the_hidden_values_of_small_tables() -> None:
    """Hidden values are drawn from the prior that the fit states, tables rounded up to 10 m: 95 % must be held.

    The bounds are those of the binomial distribution for the number of intervals that were asked, 180 or so: about 89
    to 99 %.
    """
    start = aircraft("demo-narrowbody")
    rows = tuple(row for row in empty_rows(("manual", "firm")) if row.pressure_altitude == 0.0)
    asked = held = 0
    for seed in range(TABLES):
        _, values, table = hidden(start, seed, rows)
        fit = fit_table(table, start, starts=1, folds=0, full_profiles=False)
        for one, value in zip(fit.parameters, values, strict=True):
            asked += one.fitted
            held += bool(one.fitted and one.low <= value <= one.high)
    low, high = binom.interval(CHANCE, asked, 0.95)
    assert asked >= 4 * TABLES
    assert low <= held <= high, f"{held} of {asked}"


def test_rounded_alike__rows_with_the_same_distance_count_together() -> None:
    """Errors of rounding are equal for equal distances; at 5 of 10 m apart they are not counted as alike."""
    rows = tuple(replace(row, lower=1000.0, upper=1010.0) for row in empty_rows()[:4])
    assert rounded_alike(np.array([1004.0, 1004.0, 1004.0, 1009.0]), rows) == pytest.approx([3.0, 3.0, 3.0, 1.0])


def test_rounded_alike__correlation_of_near_distances() -> None:
    """Two distances that differ by 1 of 10 m, at any phase: rounding errors correlate by 1 - 0.6 + 0.06 = 0.46.

    The same number comes from rounding a million pairs.
    """
    rows = tuple(replace(row, lower=1000.0, upper=1010.0) for row in empty_rows()[:2])
    counted = rounded_alike(np.array([1004.0, 1005.0]), rows)
    first = np.random.default_rng(1).uniform(0.0, 1000.0, 1_000_000)
    errors = [np.ceil(one / 10.0) * 10.0 - one for one in (first, first + 1.0)]
    assert counted[0] - 1.0 == pytest.approx(float(np.corrcoef(*errors)[0, 1]), abs=0.005)


def test_automatic_brakes__reverse_changes_no_distance_while_the_target_is_held() -> None:
    """Why rows are rounded alike: the target is a total deceleration, so both rows are the same number."""
    firm = [row for row in empty_rows(("firm",)) if row.code == 6]
    found = dict(zip(firm, computed_distances(aircraft("demo-narrowbody"), firm), strict=True))
    without = [found[row] for row in firm if row.reverse == "none"]
    reverse = [found[row] for row in firm if row.reverse == "full"]
    assert reverse == pytest.approx(without, abs=0.5)
