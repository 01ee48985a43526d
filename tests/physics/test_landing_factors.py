"""Factors of the operating rules. The published tables are in `tests.validation`."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.physics.landing_factors import (
    distance_with_arrival_margin,
    factored_distance,
    required_landing_distance,
)
from groundroll.physics.sources import source

KINDS = ("turbojet-without-reverse", "turbojet-with-reverse", "turboprop")


@pytest.mark.parametrize("kind", KINDS)
def test_factored_distance__worse_code_never_shorter(kind) -> None:  # type: ignore[no-untyped-def]
    factors = [factored_distance(1.0, code, kind).factor for code in (6, 5, 4, 3, 2, 1)]
    assert factors == sorted(factors)


@given(st.floats(1.0, 5_000.0), st.sampled_from([6, 5, 4, 3, 2, 1]))
def test_factored_distance__reverse_never_lengthens_and_grooves_help_on_code_5_only(distance: float, code: int) -> None:
    without = factored_distance(distance, code, "turbojet-without-reverse")
    assert factored_distance(distance, code, "turbojet-with-reverse").distance <= without.distance
    grooved = factored_distance(distance, code, "turbojet-without-reverse", grooved=True)
    assert (grooved.factor < without.factor) is (code == 5)
    assert without.distance == pytest.approx(distance * without.factor)


@given(st.floats(1.0, 5_000.0), st.sampled_from(["turbojet", "turboprop"]))
def test_required_landing_distance__wet_is_115_per_cent_and_reduced_is_shorter(distance: float, kind) -> None:  # type: ignore[no-untyped-def]
    dry = required_landing_distance(distance, kind)
    assert required_landing_distance(distance, kind, wet=True).distance == pytest.approx(1.15 * dry.distance)
    assert required_landing_distance(distance, kind, reduced=True).distance < dry.distance
    alternate = required_landing_distance(distance, kind, alternate=True)
    assert alternate.distance == dry.distance
    assert alternate.sources == ("cfr-121-197",)


def test_landing_factors__every_result_names_registered_sources() -> None:
    results = [factored_distance(1.0, code, kind) for code in (6, 5, 1) for kind in KINDS]  # type: ignore[arg-type]
    results += [required_landing_distance(1.0, "turbojet", wet=True), distance_with_arrival_margin(1.0)]
    for result in results:
        assert result.sources
        assert all(source(key).status for key in result.sources)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: factored_distance(1_000.0, 0, "turboprop"), r"code 0 has no landing distance factor"),
        (lambda: factored_distance(1_000.0, 5, "glider"), r'kind "glider" is none of turbojet-without-reverse'),
        (lambda: factored_distance(-1.0, 5, "turboprop"), r"dry_landing_distance -1 m is outside 0 to 10000 m"),
        (lambda: required_landing_distance(1.0, "glider"), r'kind "glider" is neither'),
        (lambda: required_landing_distance(2e4, "turbojet"), r"dry_landing_distance 20000 m is outside"),
        (lambda: required_landing_distance(1.0, "turbojet", reduced=True, alternate=True), r"reduced .* alternate"),
        (lambda: distance_with_arrival_margin(2e4), r"landing_distance 20000 m is outside"),
    ],
)
def test_landing_factors__what_cannot_be_is_refused(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
