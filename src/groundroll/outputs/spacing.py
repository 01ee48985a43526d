"""Empty lines of a text page."""

from __future__ import annotations

import re


def single_spaced(text: str) -> str:
    """Return a page without blanks at the ends of its lines and without two empty lines together."""
    lines = "\n".join(line.rstrip() for line in text.splitlines())
    return re.sub(r"\n{3,}", "\n\n", lines).strip("\n") + "\n"
