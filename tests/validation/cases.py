"""All validation cases: the tests run them, and `docs/validation.md` is written from them."""

from __future__ import annotations

from typing import Final

from tests.validation.case import ValidationCase
from tests.validation.physics_cases import PHYSICS_CASES
from tests.validation.roll_cases import ROLL_CASES

CASES: Final[list[ValidationCase]] = [*PHYSICS_CASES, *ROLL_CASES]
