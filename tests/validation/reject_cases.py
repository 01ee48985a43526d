"""Take-off and rejected take-off beside published values."""

from __future__ import annotations

from typing import Final

from groundroll.constants import FOOT, GRAVITY, KNOT
from groundroll.physics.take_off import airborne_path, rule_time
from tests.validation.case import ValidationCase


def _two_seconds(knots: float) -> float:
    return knots * KNOT * rule_time(0, 0)


def _pull_up() -> float:
    """Example 6.6: R = 7 510 ft at n = 1.19 and 35 ft; the speed is that of this radius, thrust is no limit."""
    speed = (7_510.0 * FOOT * GRAVITY * 0.19) ** 0.5
    return airborne_path(speed, speed, 10.0, 35.0 * FOOT, load_factor=1.19).distance / FOOT


REJECT_CASES: Final[list[ValidationCase]] = [
    *(
        ValidationCase(
            key=f"rejected take-off/2 s at {knots:.0f} kt",
            source="14 CFR 25.109(a), 2 s at V1 as a distance",
            case=f"{knots:.0f} kt",
            published=metres,
            unit="m",
            tolerance=0.05,
            status="derived",
            compute=lambda knots=knots: _two_seconds(knots),  # type: ignore[misc]
            decimals=1,
        )
        for knots, metres in ((120.0, 123.5), (140.0, 144.0), (160.0, 164.6))
    ),
    ValidationCase(
        key="rejected take-off/pull-up to 35 ft",
        source="J. D. Anderson, Aircraft Performance and Design, Example 6.6",
        case="radius 7 510 ft, 35 ft",
        published=724.0,
        unit="ft",
        tolerance=0.5,
        status="confirmed",
        compute=_pull_up,
    ),
]
"""Cases of this topic."""
