"""Two landing cases side by side: the choice made for each, and where the difference of their distances comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass

from groundroll.errors import ScenarioError
from groundroll.planning.decision import Decision
from groundroll.planning.landing import LandingOption
from groundroll.planning.ledger import LandingSide, Ledger, ledger_between, side_of


@dataclass(frozen=True)
class Comparison:
    """The ledger from one case to another."""

    first: Decision
    other: Decision
    first_option: LandingOption
    other_option: LandingOption
    ledger: Ledger
    """To a full stop."""


def compared_option(decision: Decision) -> LandingOption:
    """Return the recommended option; where none is, the one that stops shortest.

    Raises
    ------
    ScenarioError
        If no choice of brakes and reverse stops the aeroplane.
    """
    plan = decision.plan
    if plan.recommended is not None:
        return plan.options[plan.recommended]
    stopping = [one for one in plan.options if one.stop_distance is not None]
    if not stopping:
        raise ScenarioError(f"{plan.case.title}: no choice of brakes and reverse stops; there is nothing to compare.")
    return min(stopping, key=lambda one: one.stop_distance or math.inf)


def _side(decision: Decision, option: LandingOption) -> LandingSide:
    plan = decision.plan
    return side_of(plan.case.aircraft, plan.conditions, option.brake, option.reverse)


def compare(first: Decision, other: Decision) -> Comparison:
    """Return where the difference of two plans comes from, each with its recommended brakes and reverse.

    Raises
    ------
    ScenarioError
        If one of them does not stop, or a mixture of the two does not.
    """
    one, two = compared_option(first), compared_option(other)
    try:
        ledger = ledger_between(_side(first, one), _side(other, two))
    except ValueError as error:
        raise ScenarioError(f"{first.plan.case.title}, {other.plan.case.title}: {error}.") from error
    return Comparison(first, other, one, two, ledger)
