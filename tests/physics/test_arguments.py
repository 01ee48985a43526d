"""The check of ranges."""

from __future__ import annotations

import math

import numpy as np
import pytest

from groundroll.physics.arguments import check_range


def test_check_range__both_ends_belong_to_it_up_to_the_last_digit() -> None:
    check_range("depth", 0.0, 0.0, 0.05, "m")
    check_range("depth", np.nextafter(0.05, 1.0), 0.0, 0.05, "m")
    check_range("depth", [0.0, 0.01, 0.05], 0.0, 0.05, "m")
    check_range("depth", [], 0.0, 0.05, "m")
    check_range("depth", float(np.nextafter(0.05, 1.0)), 0.0, 0.05, "m")
    with pytest.raises(ValueError, match=r"depth 0\.06 m is outside 0 to 0\.05 m"):
        check_range("depth", np.float64(0.06), 0.0, 0.05, "m")


@pytest.mark.parametrize("value", [-1e-6, 0.0501, math.nan, math.inf, [0.01, 0.06]])
def test_check_range__outside_is_refused(value) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"depth .* m is outside 0 to 0.05 m \(50 mm\)"):
        check_range("depth", value, 0.0, 0.05, "m", hint="50 mm")


def test_check_range__open_upper_end_says_at_least() -> None:
    with pytest.raises(ValueError, match=r"^heat -1 J must be at least 0 J$"):
        check_range("heat", -1.0, 0.0, math.inf, "J")
    check_range("heat", 1e300, 0.0, math.inf, "J")
    with pytest.raises(ValueError, match=r"heat nan J must be at least 0 J"):
        check_range("heat", math.nan, 0.0, math.inf, "J")
