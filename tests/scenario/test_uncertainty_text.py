"""Distributions as text: what is understood, what is refused and how, and where they stand in files."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.model import Uncertainty
from groundroll.scenario.quantity import ANGLE, LENGTH, MASS, NUMBER, SPEED, TIME
from groundroll.scenario.read import read_case
from groundroll.scenario.resolved import resolved_inputs
from groundroll.scenario.uncertainty import DECLARED, DEFAULTS, FRICTION, DistributionText

EXAMPLE = Path(__file__).parents[2] / "examples" / "dry-short" / "case.toml"


@pytest.mark.parametrize(
    ("declared", "text", "expected"),
    [
        (DistributionText(LENGTH, 1.0, 3_000.0), "normal 450 m +- 100 m", ("normal", 450.0, 100.0, 1.0, 3_000.0)),
        (DistributionText(LENGTH, 1.0, 3_000.0), "normal planned ± 0.1 km", ("normal", None, 100.0, 1.0, 3_000.0)),
        (
            DistributionText(SPEED, 0.0, 100.0),
            "normal planned +- 10 kt between 36 km/h and 72 km/h",
            ("normal", None, 5.14444, 10.0, 20.0),
        ),
        (DistributionText(TIME, 0.0, 60.0), "lognormal 2 s times 1.4", ("lognormal", 2.0, 1.4, 0.0, 60.0)),
        (DistributionText(TIME, 0.0, 60.0), "uniform 0.5 s to 1 min", ("uniform", None, 0.0, 0.5, 60.0)),
        (DistributionText(ANGLE, -7.0, 7.0), "uniform -90 deg to 90 deg", ("uniform", None, 0.0, -1.5708, 1.5708)),
        (DistributionText(MASS, 1e3, 7e5), "none", ("none", None, 0.0, 1e3, 7e5)),
        (DistributionText(NUMBER, 0.0, 3.0), "normal 1 +- 0.1", ("normal", 1.0, 0.1, 0.0, 3.0)),
    ],
)
def test_read__kinds_units_and_bounds(declared: DistributionText, text: str, expected: tuple[Any, ...]) -> None:
    found = declared.read(text)
    kind, centre, spread, low, high = expected
    assert (found.kind, found.relative) == (kind, False)
    assert found.centre == (None if centre is None else pytest.approx(centre))
    assert (found.spread, found.low, found.high) == pytest.approx((spread, low, high), abs=1e-4)


def test_read__a_standard_deviation_in_percent_is_a_share_of_the_centre() -> None:
    found = DistributionText(MASS, 1e3, 7e5).read("normal planned +- 1.5 %")
    assert (found.spread, found.relative) == (0.015, True)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("about 450 m", r'"about 450 m" is not a distribution\. Write "normal planned \+- 1 m"'),
        (450, "450 is not a distribution"),
        ("normal 450 +- 100 m", r'"450" has no unit'),
        ("normal 450 m +- 5 kt", r'"5 kt" is a speed, but a length is expected'),
        ("normal 450 m +- 0 m", "standard deviation .* must be above zero"),
        ("normal 9000 m +- 10 m", r'"9000 m" lies outside 1 m to 3000 m'),
        ("normal 450 m +- 10 m between 500 m and 600 m", r'"450 m" lies outside 500 m to 600 m'),
        ("normal 450 m +- 10 m between 600 m and 500 m", r'"600 m" is not below "500 m"'),
        ("uniform 100 m to 4000 m", "leaves the range 1 m to 3000 m"),
        ("lognormal 450 m times 0.9", r'the factor "0\.9" must be above 1 and not above 10'),
        ("normal 450 m +- 10 m between 500 m", "is not a distribution"),
        ("n" * 500, "is not a distribution"),
    ],
)
def test_read__refuses_with_the_value_and_what_to_write(text: object, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        DistributionText(LENGTH, 1.0, 3_000.0).read(text)


@given(st.text(max_size=60) | st.from_regex(r"(normal|lognormal|uniform) [ -~]{0,40}", fullmatch=True))
def test_read__any_text_gives_a_distribution_or_a_message(text: str) -> None:
    try:
        found = DistributionText(TIME, 0.0, 60.0).read(text)
    except ScenarioError:
        return
    assert found.low < found.high
    assert math.isfinite(found.spread)


def test_defaults__can_all_be_read_and_give_a_reason() -> None:
    for name, default in DEFAULTS.items():
        assert default.reason, name
        assert default.status == "assumption of this project"
        if name in DECLARED:
            DECLARED[name].read(default.text)
        elif name[-1].isdigit():
            FRICTION.read(default.text)
        else:
            assert float(default.text) > 0.0


def test_page__lists_every_key_with_its_default() -> None:
    page = (Path(__file__).parents[2] / "docs" / "uncertainty.md").read_text(encoding="utf-8")
    for name in Uncertainty.model_fields:
        assert f"| `{name}` |" in page, name
    for name in DECLARED:
        assert DEFAULTS[name].text in page, name


def test_files__section_in_the_case_and_in_the_aircraft_file() -> None:
    case = read_case(
        EXAMPLE,
        [
            "uncertainty.mass=normal planned +- 2 %",
            "uncertainty.friction.6=normal 1 +- 0.05",
            "uncertainty.friction_correlation=0.5",
            "aircraft.uncertainty.touchdown_point=normal 400 m +- 80 m",
        ],
    )
    assert case.uncertainty is not None
    assert case.uncertainty.mass == "normal planned +- 2 %"
    assert case.uncertainty.friction == {"6": "normal 1 +- 0.05"}
    assert case.aircraft.uncertainty is not None
    assert case.aircraft.uncertainty.touchdown_point == "normal 400 m +- 80 m"
    inputs = resolved_inputs(case)
    assert inputs["uncertainty"]["mass"] == "normal planned +- 2 %"
    assert inputs["aircraft"]["uncertainty"]["touchdown_point"] == "normal 400 m +- 80 m"


@pytest.mark.parametrize(
    ("override", "message"),
    [
        ("uncertainty.mass=heavy", r'--set uncertainty\.mass: "heavy" is not a distribution'),
        ("uncertainty.mas=none", r'uncertainty\.mas.*Was "mass" meant'),
        ("uncertainty.friction.7=none", r"uncertainty\.friction\.7"),
        ("uncertainty.friction_correlation=1.5", r"1\.5.* is outside"),
    ],
)
def test_files__mistakes_are_named_in_the_words_of_the_file(override: str, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        read_case(EXAMPLE, [override])
