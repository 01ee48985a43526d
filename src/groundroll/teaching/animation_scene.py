"""The scene of a case as read: a landing, or a take-off that is rejected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.planning.comparison import compared_option
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import LandingOption, plan_landing
from groundroll.scenario.resolved import Case
from groundroll.scenario.take_off import TakeOffCase
from groundroll.teaching.animation import Scene
from groundroll.teaching.animation_landing import landing_scene
from groundroll.teaching.animation_reject import reject_scene


@dataclass(frozen=True)
class Choice:
    """Which roll of a case is shown; None is what the plan recommends."""

    brakes: str | None = None
    reverse: str | None = None
    """One of none, idle and full."""
    to_exit: bool = False
    """A landing as planned to its exit instead of to a stop."""


def scene_of(case: Any, choice: Choice | None = None) -> Scene:
    """Return the scene of a case.

    Raises
    ------
    GroundrollError
        If it is no case of a landing or a take-off, or the choice is not one that it has.
    """
    choice = choice or Choice()
    if isinstance(case, Case):
        return _landing(case, choice)
    if isinstance(case, TakeOffCase):
        if choice.to_exit:
            raise GroundrollError("--exit shows a landing; this case is a take-off.")
        return reject_scene(case, choice.brakes, choice.reverse)
    raise ScenarioError("this file is not a case. An animation is made of a landing or a take-off case.")


def _landing(case: Case, choice: Choice) -> Scene:
    decision = decide(plan_landing(case))
    option = _option(decision, choice)
    approach = None
    if choice.to_exit:
        approach = decision.chosen_approach if option is decision.chosen_option else None
        if approach is None:
            raise GroundrollError(
                f"{case.title}: no exit is planned for this choice. Leave out --exit, or the brakes and reverse "
                "asked for."
            )
    return landing_scene(decision.plan, option, approach)


def _option(decision: Decision, choice: Choice) -> LandingOption:
    options = decision.plan.options
    if choice.brakes is None and choice.reverse is None:
        return decision.chosen_option or compared_option(decision)
    standing = decision.chosen_option or compared_option(decision)
    brakes, reverse = choice.brakes or standing.brake, choice.reverse or standing.reverse
    for option in options:
        if option.brake == brakes and option.reverse == reverse:
            return option
    settings = ", ".join(dict.fromkeys(one.brake for one in options))
    uses = ", ".join(dict.fromkeys(one.reverse for one in options))
    raise GroundrollError(
        f'brakes "{brakes[:40]}" with {reverse} reverse is not one of the choices of this case: brakes {settings}; '
        f"reverse {uses}."
    )
