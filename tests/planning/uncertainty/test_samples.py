"""Replicated Sobol points, and whether their intervals hold what they promise."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from groundroll.planning.uncertainty.samples import (
    Histogram,
    Layout,
    binomial_interval,
    blocks,
    layout_for,
    mean,
    probability,
)


@given(st.integers(1, 10_000_000))
def test_layout__is_enough_and_not_much_more(samples: int) -> None:
    layout = layout_for(samples)
    assert layout.total >= samples
    assert layout.points & (layout.points - 1) == 0
    assert 8 <= layout.replicates <= 15
    if samples >= 16:
        assert layout.total <= 1.25 * samples


def test_layout__nothing_asked_is_refused() -> None:
    with pytest.raises(ValueError, match="samples 0 must be at least 1"):
        layout_for(0)


@pytest.mark.parametrize("rows_at_once", [1, 100, 512, 100_000])
def test_blocks__points_do_not_depend_on_the_size_of_blocks(rows_at_once: int) -> None:
    layout = Layout(8, 256)
    whole = np.concatenate(list(blocks(layout, 5, 42)), axis=1)
    parts = list(blocks(layout, 5, 42, rows_at_once))
    assert all(part.shape[0] * part.shape[1] <= max(rows_at_once, 8) for part in parts)
    np.testing.assert_array_equal(np.concatenate(parts, axis=1), whole)


def test_blocks__seeds_differ_and_each_column_is_standard_normal() -> None:
    first = next(blocks(Layout(8, 1024), 4, 1))
    other = next(blocks(Layout(8, 1024), 4, 2))
    assert not np.array_equal(first, other)
    assert np.abs(np.mean(first, axis=(0, 1))).max() < 0.01
    assert np.std(first, axis=(0, 1)) == pytest.approx(np.ones(4), abs=0.01)


def test_binomial_interval__agrees_with_scipy() -> None:
    """SciPy's `binomtest`, method "exact": Clopper and Pearson."""
    for hits, count in ((0, 50), (3, 200), (50, 50), (70, 100)):
        expected = stats.binomtest(hits, count).proportion_ci(0.95, method="exact")
        assert binomial_interval(hits, count) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_intervals__hold_the_truth_in_93_to_97_of_100_replications() -> None:
    """Linear functions of normal numbers: P(x > 0.6) with x of variance 1, its 80 % percentile, and its mean."""
    weights = np.array([0.6, -0.64, 0.48])  # squares add up to 1
    truth = stats.norm.sf(0.6)
    percentile = 1_000.0 + 100.0 * stats.norm.ppf(0.8)
    held = np.zeros(3)
    for seed in range(1_000):
        values = next(blocks(Layout(8, 64), 3, seed)) @ weights
        found = probability(np.sum(values > 0.6, axis=1), 64)
        held[0] += found.low <= truth <= found.high
        histogram = Histogram(8)
        histogram.add(1_000.0 + 100.0 * values)
        at = histogram.percentiles([0.8])[0.8]
        held[1] += at.low <= percentile <= at.high
        average = mean(np.mean(values, axis=1))
        held[2] += average.low <= 0.0 <= average.high
    assert np.all(held >= 930), held
    assert np.all(held <= 970), held


def test_probability__few_hits_get_the_interval_of_a_binomial_law() -> None:
    """No hit in 1000: at most 0.37 % (1 - 0.025^(1/1000)), never nothing at all."""
    found = probability(np.zeros(8, dtype=np.int64), 125)
    assert (found.value, found.low) == (0.0, 0.0)
    assert found.high == pytest.approx(1.0 - 0.025 ** (1.0 / 1000.0), rel=1e-9)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.9])
def test_histogram__percentiles_are_those_of_the_values(share: float) -> None:
    """NumPy's percentile of the same values; bins are 0.25 m wide."""
    values = np.random.default_rng(1).normal(1_500.0, 200.0, (10, 4_000))
    histogram = Histogram(10)
    for part in np.split(values, 8, axis=1):
        histogram.add(part)
    found = histogram.percentiles([share])[share]
    assert found.value == pytest.approx(np.quantile(values, share), abs=0.5)
    assert found.low < found.value < found.high


def test_histogram__what_never_stops_is_beyond_every_distance() -> None:
    histogram = Histogram(8)
    histogram.add(np.full((8, 100), 1e5))
    assert histogram.percentiles([0.5])[0.5].value == np.inf
