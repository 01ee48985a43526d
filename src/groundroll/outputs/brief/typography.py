"""Text as it is set on paper and on a page: no number parted from its unit, degrees as a sign."""

from __future__ import annotations

import re
from typing import Any

_UNIT = re.compile(r"(\d) (?=(?:m|ft|kt|km/h|m/s|MJ|t|kg|lb|s|min|h|hPa|deg|degC|degF|°C|°F|%|mm)(?![A-Za-z]))")


def set_in_type(text: str) -> str:
    """Return the text with no-break spaces before units and signs for degrees.

    Examples
    --------
    >>> set_in_type("180 degC after 1829 m").replace(chr(0xA0), "~")
    '180~°C after 1829~m'
    """
    return _UNIT.sub("\\1\N{NO-BREAK SPACE}", text).replace("degC", "°C").replace("degF", "°F")


def all_set_in_type(value: Any) -> Any:
    """Return plain values with every text in them set in type."""
    if isinstance(value, str):
        return set_in_type(value)
    if isinstance(value, dict):
        return {key: all_set_in_type(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [all_set_in_type(one) for one in value]
    return value
