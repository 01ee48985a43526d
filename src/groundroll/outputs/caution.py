"""What every output says about itself."""

from __future__ import annotations

from typing import Final

CAUTION: Final = (
    "A planning, training and review aid. The approved flight manual, the operator's procedures, local rules and the "
    "judgement of the commander prevail."
)
"""Stands on every output."""

INVENTED: Final = "This aeroplane is invented: its numbers belong to no real type."
"""Stands on every output made with a demonstration aeroplane."""


def cautions(*, invented: bool = False) -> list[str]:
    """Return what an output must say; ``invented`` is the key of the aircraft file."""
    return [CAUTION, INVENTED] if invented else [CAUTION]
