"""How good a fit is: bias by group, rows that contradict each other, rows that are too far off."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.physics.arguments import FloatArray
from groundroll.planning.fit.table import PublishedRow

WORST: Final = 0.05
"""Greatest miss of a row, share of its distance, with which a file is still written. Assumption of this project."""
TYPICAL: Final = 0.02
"""The same for the root mean square of all rows. Assumption of this project."""
LONGER: Final = ("mass", "pressure_altitude", "temperature", "headwind", "decision_speed")
"""More of these never shortens a distance, with all else equal; less of the headwind."""
ALIKE: Final = (
    "kind", "flap", "slope", "surface", "code", "contaminant", "depth", "brake", "reverse", "speed_additive",
    "contains", "air_distance", "dry_share", "event", "rating",
)  # fmt: skip
"""What must be equal for two rows to be compared."""
MOST_NAMED: Final = 20
"""Contradictions and rows named in one message."""


@dataclass(frozen=True)
class Group:
    """Bias of the rows that share a code, a brake setting or another condition."""

    name: str
    rows: int
    bias: float
    """Mean of computed less published. [m]"""


def groups_of(rows: Sequence[PublishedRow], misses: FloatArray) -> tuple[Group, ...]:
    """Return the bias by kind, code, brake setting, reverse, flap, wind, and thirds of mass and altitude.

    A condition that is the same in all rows is left out, but for code and brakes.
    """
    labels: list[tuple[bool, list[str]]] = [
        (False, [one.kind for one in rows]),
        (True, [f"code {one.code}" for one in rows]),
        (True, [f"brakes {one.brake}" if one.kind == "landing" else "rejected take-off" for one in rows]),
        (False, [f"reverse {one.reverse}" for one in rows]),
        (False, [f"flap {one.flap}" for one in rows]),
        (False, ["tailwind" if one.headwind < 0.0 else "headwind" if one.headwind > 0.0 else "calm" for one in rows]),
        (False, _thirds(rows, "mass", lambda one: one.mass)),
        (False, _thirds(rows, "pressure altitude", lambda one: one.pressure_altitude)),
    ]
    found = []
    for always, names in labels:
        different = list(dict.fromkeys(sorted(names)))
        if len(different) == 1 and not always:
            continue
        for name in different:
            chosen = misses[[label == name for label in names]]
            found.append(Group(name, len(chosen), float(np.mean(chosen))))
    return tuple(found)


def _thirds(rows: Sequence[PublishedRow], name: str, of: Callable[[PublishedRow], float]) -> list[str]:
    """Return in which third of the range of the table each row lies."""
    values = np.array([of(one) for one in rows])
    low, high = float(values.min()), float(values.max())
    if high - low <= 1e-9 * max(abs(high), 1.0):
        return [name] * len(rows)
    numbers = np.clip((3.0 * (values - low) / (high - low)).astype(int), 0, 2)
    return [f"{name}, {('lowest', 'middle', 'highest')[one]} third" for one in numbers]


def contradictions(rows: Sequence[PublishedRow]) -> tuple[str, ...]:
    """Return the pairs of rows of which both cannot be true, whatever the aeroplane.

    The same conditions must give the same distance; and with all else equal more mass, a higher pressure altitude,
    warmer air, less headwind or a higher decision speed never shortens it.
    """
    found: list[tuple[int, int, str]] = []
    for rises in ("", *LONGER):
        groups: dict[tuple[object, ...], list[PublishedRow]] = {}
        for row in rows:
            rest = tuple(str(getattr(row, name)) for name in LONGER if name != rises)
            groups.setdefault((*(getattr(row, name) for name in ALIKE), *rest), []).append(row)
        for group in groups.values():
            found += _shorter(group, rises) if rises else _different(group)
    return _first_ones([text for _, _, text in sorted(found)], "contradictions")


def _different(group: Sequence[PublishedRow]) -> list[tuple[int, int, str]]:
    """Return the rows of the same conditions whose bands do not meet."""
    found = []
    longest = max(group, key=lambda row: row.lower)
    for row in group:
        if row.upper < longest.lower:
            first, second = sorted((row.number, longest.number))
            text = f"Rows {first} and {second} have the same conditions and other distances."
            found.append((first, second, text))
    return found


def _shorter(group: Sequence[PublishedRow], rises: str) -> list[tuple[int, int, str]]:
    """Return the rows whose distance falls below one before them although it must not, with all else equal."""
    found = []
    sign = -1.0 if rises == "headwind" else 1.0
    word = "less" if rises == "headwind" else "greater"
    longest: PublishedRow | None = None
    waiting: list[PublishedRow] = []
    place = -math.inf
    for row in sorted(group, key=lambda row: sign * float(getattr(row, rises))):
        value = sign * float(getattr(row, rises))
        if value > place:
            longest = max((*waiting, *(() if longest is None else (longest,))), key=lambda one: one.lower, default=None)
            waiting, place = [], value
        waiting.append(row)
        if longest is not None and row.upper < longest.lower:
            first, second = sorted((row.number, longest.number))
            found.append(
                (
                    first,
                    second,
                    f"Rows {longest.number} and {row.number} contradict each other: with {word} "
                    f"{rises.replace('_', ' ')} and all else equal the distance is shorter.",
                )
            )
    return found


def _first_ones(found: list[str], what: str) -> tuple[str, ...]:
    more = len(found) - MOST_NAMED
    return (*found[:MOST_NAMED], *([f"... and {more} more {what}."] if more > 0 else []))


def too_far(rows: Sequence[PublishedRow], misses: Sequence[float], worst: float, typical: float) -> tuple[str, ...]:
    """Return every row that is missed by more than ``worst``, and whether all are by more than ``typical``. [shares]"""
    shares = [abs(miss) / row.middle for miss, row in zip(misses, rows, strict=True)]
    found = [
        f"Row {row.number}: computed {row.middle + miss:.0f} m, published {row.middle:.0f} m, "
        f"{100.0 * share:.1f} % off; at most {100.0 * worst:.1f} % is allowed."
        for row, miss, share in zip(rows, misses, shares, strict=True)
        if share > worst
    ]
    found = list(_first_ones(found, "rows"))
    mean = math.sqrt(sum(share**2 for share in shares) / len(shares))
    if mean > typical:
        found.append(
            f"All rows: {100.0 * mean:.1f} % off (root mean square); at most {100.0 * typical:.1f} % is allowed."
        )
    return tuple(found)


def worst_row(rows: Sequence[PublishedRow], misses: Sequence[float]) -> tuple[PublishedRow, float]:
    """Return the row that is missed most for its distance, and by how much. [m]"""
    return max(zip(rows, misses, strict=True), key=lambda one: abs(one[1]) / one[0].middle)
