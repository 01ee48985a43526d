"""Format numbers of scenario files: an older format is brought up step by step, a newer one is refused.

Each step is one plain function from one format to the next; there is only format 1 so far, so the list is empty.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from groundroll.errors import ScenarioError
from groundroll.scenario.model import FORMAT
from groundroll.scenario.quantity import shown

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: Final[dict[int, Step]] = {}
"""The function that turns format n into format n + 1, by n."""


def upgrade(data: dict[str, Any]) -> dict[str, Any]:
    """Return the content of a file in the present format.

    Raises
    ------
    ScenarioError
        If the format number is missing, not a number, or newer than this version knows.
    """
    number = data.get("format")
    if number is None:
        raise ScenarioError(f"format: is missing. Begin the file with: format = {FORMAT}")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise ScenarioError(f"format: {shown(number)} is not a format number. Write: format = {FORMAT}")
    if number > FORMAT:
        raise ScenarioError(
            f"format: {shown(number)} is newer than this version of groundroll reads ({FORMAT}). "
            "Install the newer version, or write the file in the older format."
        )
    while number < FORMAT:
        data = STEPS[number](data)
        number += 1
    return data
