"""Dispatch figures by hand: 60, 70 and 115 % rules and the factors by condition code."""

from __future__ import annotations

from typing import Any

import pytest

from groundroll.planning.dispatch import DispatchCheck, dispatch_checks
from groundroll.scenario.resolved import SurfaceThird
from tests.planning.cases import DRY, ICE, MEDIUM, NIL, WET, standard_case

TURBOJET = {"kind": "turbojet", "certified_dry_distance": 1_000.0}


def _checks(dispatch: dict[str, Any], available: float = 1_800.0, **changes: Any) -> tuple[DispatchCheck, ...]:
    return dispatch_checks(standard_case(dispatch=dispatch, **changes), available)[0]


def _distance(checks: tuple[DispatchCheck, ...], words: str) -> float:
    found = [one.required_distance for one in checks if words in one.rule]
    assert len(found) == 1, [one.rule for one in checks]
    return found[0]


def test_dispatch__nothing_without_certified_distances() -> None:
    assert dispatch_checks(standard_case(), 1_800.0) == ((), ())


@pytest.mark.parametrize(
    ("kind", "words", "expected"),
    [
        ("turbojet", "destination, dry", 1_667.0),  # 1000 / 0.60
        ("turbojet", "destination, wet (115 % of dry)", 1_917.0),  # 1000 / 0.60 x 1.15
        ("turboprop", "destination, dry", 1_429.0),  # 1000 / 0.70
        ("turboprop", "destination, wet", 1_643.0),  # 1000 / 0.70 x 1.15
    ],
)
def test_dispatch__before_departure_1000_m_by_hand(kind: str, words: str, expected: float) -> None:
    """14 CFR 121.195(b), GM2 CAT.POL.A.230 (confirmed); whole metres."""
    checks = _checks({"kind": kind, "certified_dry_distance": 1_000.0})
    assert _distance(checks, words) == pytest.approx(expected, abs=0.5)


def test_dispatch__fits_is_against_the_distance_available() -> None:
    """1667 m fit 1800 m and 1917 m do not; exactly what is required is enough."""
    checks = _checks(TURBOJET)
    assert [one.fits for one in checks[:2]] == [True, False]
    assert all(one.available == 1_800.0 and one.certified_distance == 1_000.0 for one in checks)
    exact = _checks(TURBOJET, available=1_000.0 / 0.60)
    assert exact[0].fits


@pytest.mark.parametrize(
    ("wet", "required"),
    [
        (1_200.0, 2_000.0),  # 1200 / 0.60
        (900.0, 1_000.0 / 0.60),  # 900 / 0.60 = 1500 is below the dry requirement, which stands
    ],
)
def test_dispatch__wet_distance_of_the_flight_manual(wet: float, required: float) -> None:
    """Never less than the dry figure (GM2 CAT.POL.A.230 and .235, confirmed)."""
    checks = _checks({**TURBOJET, "certified_wet_distance": wet})
    one = next(one for one in checks if "flight manual distance" in one.rule)
    assert one.required_distance == pytest.approx(required)
    assert one.certified_distance == wet
    assert one.factor == pytest.approx(required / wet)
    assert not any("115 %" in other.rule for other in checks)


def test_dispatch__alternate_has_its_own_paragraph() -> None:
    """14 CFR 121.197 (from memory): the shares are the same."""
    checks, keys = dispatch_checks(standard_case(dispatch={**TURBOJET, "aerodrome_use": "alternate"}), 1_800.0)
    assert _distance(checks, "alternate, dry") == pytest.approx(1_666.7, abs=0.1)
    assert "cfr-121-197" in keys
    assert "cfr-121-195-b" not in keys
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(
    ("thirds", "surface", "without", "with_reverse"),
    [
        ((DRY, DRY, DRY), "smooth", 1_670.0, 1_670.0),
        ((WET, WET, WET), "smooth", 2_600.0, 2_200.0),
        ((WET, WET, WET), "grooved", 1_920.0, 1_920.0),
        ((DRY, MEDIUM, WET), "smooth", 3_200.0, 2_500.0),
        ((DRY, MEDIUM, WET), "grooved", 3_200.0, 2_500.0),
        ((ICE, DRY, DRY), "smooth", 5_100.0, 3_400.0),
    ],
)
def test_dispatch__factors_at_arrival_by_the_lowest_code(
    thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird], surface: str, without: float, with_reverse: float
) -> None:
    """FAA landing distance factors, reference card of 2018 (second-hand), of 1000 m."""
    checks = _checks(TURBOJET, thirds=thirds, surface=surface)
    assert _distance(checks, "turbojet without reverse") == pytest.approx(without)
    assert _distance(checks, "turbojet with reverse") == pytest.approx(with_reverse)


def test_dispatch__turboprop_has_one_factor() -> None:
    """The same card: code 5, 2.0."""
    checks = _checks({"kind": "turboprop", "certified_dry_distance": 1_000.0})
    assert _distance(checks, "turboprop") == pytest.approx(2_000.0)
    assert len(checks) == 3


def test_dispatch__code_0_has_no_factor() -> None:
    """The table ends at code 1; the figures before departure stay."""
    checks = _checks(TURBOJET, thirds=(DRY, DRY, NIL))
    assert len(checks) == 2
    assert not any("at arrival" in one.rule for one in checks)
