"""Two or more cases side by side: their numbers, and where the difference of two landings comes from."""

from __future__ import annotations

from groundroll.errors import ScenarioError
from groundroll.planning.ledger import Ledger, ledger_between, side_of
from groundroll.teaching.cases import Run
from groundroll.teaching.runs import LandingRun


def ledger_of(first: Run, other: Run) -> Ledger:
    """Return what each cause gains or loses between two landings, threshold to a full stop.

    Raises
    ------
    ScenarioError
        If one is no landing, or a mixture of the two does not stop.
    """
    if not isinstance(first, LandingRun) or not isinstance(other, LandingRun):
        raise ScenarioError("a ledger of metres compares two landings; a take-off has none.")
    try:
        return ledger_between(
            side_of(first.case.aircraft, first.conditions, first.brake, first.reverse),
            side_of(other.case.aircraft, other.conditions, other.brake, other.reverse),
        )
    except ValueError as error:
        raise ScenarioError(f"{first.case.title}, {other.case.title}: {error}.") from error
