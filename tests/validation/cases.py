"""All validation cases: the tests run them, and `docs/validation.md` is written from them."""

from __future__ import annotations

from typing import Final

from tests.validation.brake_cases import BRAKE_CASES
from tests.validation.case import ValidationCase
from tests.validation.exit_cases import EXIT_CASES
from tests.validation.physics_cases import PHYSICS_CASES
from tests.validation.reject_cases import REJECT_CASES
from tests.validation.roll_cases import ROLL_CASES
from tests.validation.uncertainty_cases import UNCERTAINTY_CASES

CASES: Final[list[ValidationCase]] = [
    *PHYSICS_CASES,
    *ROLL_CASES,
    *BRAKE_CASES,
    *REJECT_CASES,
    *EXIT_CASES,
    *UNCERTAINTY_CASES,
]
