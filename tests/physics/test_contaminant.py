"""Drag of loose contaminants."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.physics.contaminant import (
    contaminant,
    contaminant_drag,
    contaminant_table,
    displacement_drag_factor,
    effective_tyre_width,
    spray_drag_factor,
)
from groundroll.physics.sources import source

pytestmark = pytest.mark.plain

DEPTHS = st.floats(0.0031, 0.05)


def test_contaminant__seventeen_words_of_item_g() -> None:
    """Reg. (EU) 2022/938, Appendix 3, item G: seventeen words; eight or nine of them loose by their own name."""
    known = contaminant_table().contaminants
    assert len(known) == 17
    for word, entry in known.items():
        is_loose = any(part in word for part in ("STANDING WATER", "SLUSH", "DRY SNOW", "WET SNOW", "WATER ON TOP"))
        assert entry.loose is is_loose, word
        assert (entry.specific_gravity > 0.0) is is_loose, word
        assert all(source(key) for key in entry.sources)
        assert bool(entry.sources) is is_loose, word


@pytest.mark.parametrize(
    ("word", "from_memory"), [("STANDING WATER", 1.0), ("SLUSH", 0.85), ("WET SNOW", 0.5), ("DRY SNOW", 0.2)]
)
def test_contaminant__specific_gravity_from_memory(word: str, from_memory: float) -> None:
    """CS-25, AMC 25.1591 (from memory)."""
    assert contaminant(word).specific_gravity == from_memory
    assert source(contaminant(word).sources[0]).status == "from memory"


def test_contaminant__dry_snow_says_that_its_compression_is_missing() -> None:
    assert "snow-displacement-only" in contaminant("DRY SNOW").sources
    assert source("snow-displacement-only").status == "assumption of this project"


def test_contaminant__unknown_word_names_the_nearest() -> None:
    with pytest.raises(ValueError, match=r'descriptor "slushy" is not a word .* the nearest is "SLUSH"'):
        contaminant("slushy")


def test_effective_tyre_width__chord_of_a_circle() -> None:
    """By hand, W = 0.4 m: sunk by 0.08 m, r = 0.2, b = 0.8 √(0.2 - 0.04) = 0.32 m. Sunk by half: the full width."""
    assert effective_tyre_width(0.02, 0.4, 0.06) == pytest.approx(0.32)
    assert effective_tyre_width(0.04, 0.4, 0.16) == pytest.approx(0.4)
    assert effective_tyre_width(0.05, 0.4, 0.25) == pytest.approx(0.4)


def test_displacement_drag_factor__by_hand() -> None:
    """W = 0.4 m, deflection 60 mm, 20 mm of slush (0.85): 0.5 * 850 * 0.75 * 0.32 * 0.02 = 2.04 kg/m a tyre; four tyres
    8.16 kg/m, from a formula that is from memory.
    """
    assert displacement_drag_factor(0.02, 0.85, 0.4, 0.06, 4) == pytest.approx(8.16)


def test_spray_drag_factor__by_hand() -> None:
    """Same tyre, two of them, 15.24 m (50 ft) of fuselage: C_D = 8 * 50 * 0.0025 = 1; 2 * 0.5 * 850 * 0.32 * 0.02 =
    5.44 kg/m, from a formula that is from memory.
    """
    assert spray_drag_factor(0.02, 0.85, 0.4, 0.06, 2, 15.24) == pytest.approx(5.44)


@pytest.mark.parametrize("depth", [0.0, 0.001, 0.003])
def test_drag_factors__up_to_three_millimetres_nothing_counts(depth: float) -> None:
    """CS-25, AMC 25.1591, 2: loose contaminants count above 3 mm."""
    assert displacement_drag_factor(depth, 1.0, 0.4, 0.06, 4) == 0.0
    assert spray_drag_factor(depth, 1.0, 0.3, 0.03, 2, 20.0) == 0.0
    assert displacement_drag_factor(0.0031, 1.0, 0.4, 0.06, 4) > 0.0
    assert spray_drag_factor(0.0031, 1.0, 0.3, 0.03, 2, 20.0) > 0.0


@given(DEPTHS, st.floats(0.1, 1.0), st.floats(0.2, 0.6), st.floats(0.02, 0.12))
def test_displacement_drag_factor__grows_with_depth_density_and_wheels(
    depth: float, specific_gravity: float, width: float, deflection: float
) -> None:
    ours = displacement_drag_factor(depth, specific_gravity, width, deflection, 4)
    deeper = min(1.1 * depth, 0.05)
    assert displacement_drag_factor(deeper, specific_gravity, width, deflection, 4) >= ours
    assert displacement_drag_factor(depth, 1.0, width, deflection, 4) == pytest.approx(ours / specific_gravity)
    assert displacement_drag_factor(depth, specific_gravity, width, deflection, 8) == pytest.approx(2.0 * ours)
    assert effective_tyre_width(depth, width, deflection) <= width + 1e-12


def test_contaminant_drag__rises_to_the_hydroplaning_speed_and_falls_beyond() -> None:
    """By hand: 10 kg/m at 60 m/s is 36 kN; at twice the speed (4 V²) (1/2)^4 leaves a quarter, 9 kN."""
    drag = contaminant_drag([0.0, 30.0, 60.0, 120.0], 10.0, 60.0)
    np.testing.assert_allclose(drag, [0.0, 9_000.0, 36_000.0, 9_000.0])
    speeds = np.linspace(0.0, 150.0, 151)
    assert int(np.argmax(contaminant_drag(speeds, 10.0, 60.0))) == 60


@given(st.floats(0.0, 150.0), st.floats(0.0, 50.0), st.floats(20.0, 90.0))
def test_contaminant_drag__never_more_than_without_hydroplaning(speed: float, factor: float, planing: float) -> None:
    drag = float(contaminant_drag(speed, factor, planing))
    assert 0.0 <= drag <= factor * speed**2 * (1.0 + 1e-12)
    assert float(contaminant_drag(speed, factor, planing, 0.0)) == pytest.approx(factor * speed**2)


def test_contaminant_drag__keeps_the_shape() -> None:
    assert contaminant_drag(np.zeros((2, 3)), 1.0, 50.0).shape == (2, 3)
    assert contaminant_drag(10.0, 1.0, 50.0).shape == ()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: displacement_drag_factor(0.06, 1.0, 0.4, 0.06, 4), r"depth 0.06 m is outside 0 to 0.05 m .*50 mm"),
        (lambda: spray_drag_factor(0.06, 1.0, 0.4, 0.06, 2, 20.0), r"depth 0.06 m is outside"),
        (lambda: displacement_drag_factor(-0.01, 1.0, 0.4, 0.06, 4), r"depth -0.01 m is outside"),
        (lambda: displacement_drag_factor(0.02, 1.5, 0.4, 0.06, 4), r"specific_gravity 1.5 is outside"),
        (lambda: displacement_drag_factor(0.02, 1.0, 40.0, 0.06, 4), r"tyre_width 40 m is outside 0.1 to 1 m"),
        (lambda: displacement_drag_factor(0.02, 1.0, 0.4, 0.6, 4), r"tyre_deflection 0.6 m is outside"),
        (lambda: displacement_drag_factor(0.02, 1.0, 0.4, 0.06, 40), r"wheel_count 40 is outside 0 to 32"),
        (lambda: spray_drag_factor(0.02, 1.0, 0.4, 0.06, 2, 200.0), r"wetted_fuselage_length 200 m is outside"),
        (lambda: contaminant_drag(-1.0, 1.0, 50.0), r"ground_speed -1 m/s is outside"),
        (lambda: contaminant_drag(1.0, -1.0, 50.0), r"drag_factor -1 kg/m must be at least 0 kg/m"),
        (lambda: contaminant_drag(1.0, 1.0, 0.0), r"hydroplaning_speed 0 m/s is outside"),
        (lambda: contaminant_drag(1.0, 1.0, 50.0, 2.5), r"fall_off_exponent 2\.5 is not a whole number from 0 to 7"),
    ],
)
def test_contaminant__out_of_range_is_refused(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
