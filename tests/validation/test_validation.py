"""Every validation case, and the page that is written from them."""

from __future__ import annotations

import pytest

from groundroll.physics.sources import STATUSES
from tests.validation.case import ValidationCase
from tests.validation.cases import CASES
from tests.validation.render import COMMAND, PAGE, render


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_validation__ours_meets_the_published_value(case: ValidationCase) -> None:
    """Source, inputs and tolerance stand in the case."""
    assert abs(case.compute() - case.published) <= case.tolerance, f"{case.source}: {case.case}"


def test_validation__keys_are_unique_and_statuses_known() -> None:
    keys = [case.key for case in CASES]
    assert len(set(keys)) == len(keys)
    assert all("/" in case.key and case.status in STATUSES and case.tolerance > 0.0 for case in CASES)


def test_validation__page_is_fresh() -> None:
    assert PAGE.exists(), f"docs/validation.md is missing; run {COMMAND}"
    assert PAGE.read_text(encoding="utf-8") == render(CASES), f"docs/validation.md is stale; run {COMMAND}"
