"""A ledger of metres as text and JSON."""

from __future__ import annotations

from typing import Any, Final

from groundroll.constants import FOOT
from groundroll.planning.comparison import Comparison
from groundroll.planning.ledger import Ledger
from groundroll.planning.wording import Wording

SHARES_NOTE: Final = (
    "Each share is the mean over every order in which the causes could have come (Shapley value); none is favoured."
)

_LEAST_SHOWN = 0.05
"""Smaller shares are put together in one line. [m] Assumption of this project."""


def signed_length(metres: float, wording: Wording) -> str:
    """Return a gain or loss with its sign, a decimal where it is below ten."""
    feet = wording.display.length == "ft"
    value = metres / FOOT if feet else metres
    return f"{value:+.1f} {'ft' if feet else 'm'}"


def ledger_lines(ledger: Ledger, wording: Wording) -> list[str]:
    """Return one line a cause, the greatest first, and the sum."""
    shown = [one for one in ledger.entries if abs(one.metres) >= _LEAST_SHOWN]
    lines = [f"  {one.cause:26}{signed_length(one.metres, wording):>12}" for one in shown]
    rest = ledger.difference - sum(one.metres for one in shown)
    if abs(rest) >= _LEAST_SHOWN:
        lines.append(f"  {'everything smaller':26}{signed_length(rest, wording):>12}")
    lines.append(f"  {'together':26}{signed_length(ledger.difference, wording):>12}")
    return lines


def ledger_json(ledger: Ledger) -> dict[str, Any]:
    """Return a ledger as JSON-ready values."""
    return {
        "end_speed_mps": ledger.end_speed,
        "first_distance_m": ledger.first_distance,
        "other_distance_m": ledger.other_distance,
        "difference_m": ledger.difference,
        "entries": [{"cause": one.cause, "share_m": one.metres, "alone_m": one.alone} for one in ledger.entries],
        "combinations": ledger.rolls,
    }


def comparison_text(comparison: Comparison) -> str:
    """Return where the difference of two cases comes from, as text."""
    first, other, ledger = comparison.first.plan.case, comparison.other.plan.case, comparison.ledger
    wording = Wording(first.display)
    one, two = comparison.first_option, comparison.other_option
    lines = [
        f"From this case to the other: {wording.length(ledger.first_distance)} to "
        f"{wording.length(ledger.other_distance)}, threshold to a full stop, unfactored",
        f"  this case:  {first.title} ({wording.choice(one.brake, one.reverse)})",
        f"  the other:  {other.title} ({wording.choice(two.brake, two.reverse)})",
        "",
        *ledger_lines(ledger, wording),
        "",
        "Metres gained (-) and used (+) by cause.",
        SHARES_NOTE,
    ]
    if first.aircraft != other.aircraft:
        lines.append("The aeroplanes differ: read aeroplane, mass and threshold speed together.")
    return "\n".join(lines) + "\n"


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """Return the same as JSON-ready values."""
    return {
        "first": {
            "title": comparison.first.plan.case.title,
            "brake": comparison.first_option.brake,
            "reverse": comparison.first_option.reverse,
        },
        "other": {
            "title": comparison.other.plan.case.title,
            "brake": comparison.other_option.brake,
            "reverse": comparison.other_option.reverse,
        },
        **ledger_json(comparison.ledger),
    }
