"""Charts of a landing: speed and what slows the aeroplane along the runway, and the brakes afterwards."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import numpy as np

from groundroll.constants import FOOT, KNOT, ZERO_CELSIUS
from groundroll.errors import GroundrollError
from groundroll.outputs.charts import style
from groundroll.physics.brake_cooling import CoolingHistory
from groundroll.physics.rollout import History
from groundroll.planning.decision import Decision
from groundroll.planning.landing import LandingOption
from groundroll.planning.landing_history import cooling_history, roll_history
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Display

FORCES: Final = (
    ("brake_force", 1.0, "wheel brakes", style.BLUE),
    ("aerodynamic_drag", 1.0, "aerodynamic drag", style.SKY),
    ("thrust", -1.0, "reverse", style.ORANGE),
    ("contaminant_drag", 1.0, "contaminant", style.GREEN),
    ("rolling_resistance", 1.0, "rolling", style.PURPLE),
    ("slope_force", 1.0, "slope", style.PALE),
)
"""What slows the aeroplane: name in the history, sign against the motion, words, colour."""

NODES: Final = (
    ("heat_sink", "heat sink", style.VERMILION, "-"),
    ("indicated", "indicated", style.BLUE, "--"),
    ("wheel", "wheel", style.GREEN, "-."),
)
"""Places of a brake: name in the history, words, colour, dashes."""

LEAST_SHOWN: Final = 3600.0
LONGEST_SHOWN: Final = 4.0 * 3600.0
"""Temperatures are drawn until the brake is cool, at least and at most this long. [s]"""

HEADROOM: Final = 1.12
"""Speeds are drawn up to this share of the speed at touchdown. [-]"""


def write_landing_chart(decision: Decision, path: Path) -> None:
    """Draw speed and shares of the forces against distance, and temperatures against time.

    Parameters
    ----------
    decision
        The decision; where nothing can be chosen, the option that needs least runway is drawn.
    path
        Ends with .svg or .png.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, it cannot be written, or no option stops.
    """
    style.check_chart_name(path)
    plan = decision.plan
    option = decision.chosen_option
    if option is None:
        stopping = [one for one in plan.options if one.stop_distance is not None]
        option = min(stopping, key=lambda one: one.stop_distance or 0.0, default=None)
    if option is None:
        raise GroundrollError(f"{path}: there is no chart, for no choice of brakes and reverse stops.")
    cooling = cooling_history(plan, option)
    heights = [2.0, 1.5] if cooling is None else [2.0, 1.5, 1.3]
    with style.chart(
        path, plan.case.title, (9.0, 2.6 * len(heights) + 0.8), invented=plan.case.aircraft.invented
    ) as figure:
        grid = figure.add_gridspec(len(heights), 1, height_ratios=heights)
        speed = figure.add_subplot(grid[0])
        forces = figure.add_subplot(grid[1], sharex=speed)
        _draw_speed(speed, decision, option)
        _draw_forces(forces, decision, option)
        if cooling is not None:
            _draw_temperatures(figure.add_subplot(grid[2]), decision, option, cooling)


def _units(display: Display) -> tuple[float, float]:
    """Return the display units of length and speed. [m], [m/s]"""
    length = 1.0 if display.length == "m" else FOOT
    return length, {"kt": KNOT, "m/s": 1.0, "km/h": 1.0 / 3.6}[display.speed]


def _history(decision: Decision, option: LandingOption, *, to_exit: bool) -> History:
    chosen = option is decision.chosen_option
    approach = decision.chosen_approach if to_exit and chosen else None
    history = roll_history(decision.plan, option, approach).history
    assert history is not None  # it was asked for
    return history


def _draw_speed(axes: Any, decision: Decision, option: LandingOption) -> None:
    plan = decision.plan
    display, wording = plan.case.display, Wording(plan.case.display)
    length, speed = _units(display)
    others = [one for one in plan.options if one is not option and one.reverse == option.reverse and one.stopped]
    for number, other in enumerate(others, start=1):
        history = _history(decision, other, to_exit=False)
        axes.plot(
            history.distance / length,
            history.ground_speed / speed,
            color=style.LIMIT,
            linewidth=0.9,
            linestyle=style.DASHES[number % len(style.DASHES)],
            label=other.brake,
        )
    held = _history(decision, option, to_exit=False)
    if decision.chosen_approach is not None:
        axes.plot(held.distance / length, held.ground_speed / speed, color=style.BLUE, linewidth=1.2, label="held")
    planned = _history(decision, option, to_exit=True)
    name = wording.choice(option.brake, option.reverse)
    axes.plot(planned.distance / length, planned.ground_speed / speed, color=style.BLUE, linewidth=2.8, label=name)
    top = HEADROOM * float(held.ground_speed[0]) / speed
    _draw_limits(axes, decision, option, length, speed, top)
    axes.set_ylim(0.0, top)
    axes.set_ylabel(f"ground speed, {display.speed}")
    axes.set_title(f"{plan.case.title}: {plan.case.runway.aerodrome} {plan.case.direction}, {name}")
    axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5), fontsize=8)
    axes.grid(visible=True, alpha=0.25)


def _draw_limits(axes: Any, decision: Decision, option: LandingOption, length: float, speed: float, top: float) -> None:
    """Shade what lies beyond the limits: too fast for the plan, too fast at an exit, beyond the runway."""
    available = decision.plan.conditions.landing_distance_available / length
    reach = max(available, (option.stop_distance or 0.0) / length)
    axes.set_xlim(0.0, 1.03 * reach)
    shade = {"facecolor": "none", "edgecolor": style.LIMIT, "linewidth": 0.0}
    axes.axvspan(available, 1.03 * reach, hatch="xxx", **shade)
    axes.axvline(available, color=style.INK, linewidth=1.4)
    half = 0.006 * reach  # a gate is a place: nothing is said of the speeds between two of them
    for number, gate in enumerate(decision.gates):
        at, limit = gate.distance / length, gate.same_means.value
        if limit is not None:
            label = "too fast at a gate" if number == 0 else None
            axes.fill_between([at - half, at + half], limit / speed, top, hatch="////", label=label, **shade)
            axes.plot([at - half, at + half], [limit / speed] * 2, color=style.VERMILION, linewidth=2.2)
    for passage in option.exits:
        at_exit, allowed = passage.distance / length, passage.allowed_speed / speed
        axes.plot([at_exit, at_exit], [0.0, allowed], color=style.GREEN, linewidth=2.2, solid_capstyle="butt")
        axes.plot([at_exit], [allowed], color=style.GREEN, marker="_", markersize=9, markeredgewidth=2.0)
        axes.annotate(
            passage.name, (at_exit, allowed), xytext=(0, 3), textcoords="offset points", ha="center", fontsize=8
        )


def _draw_forces(axes: Any, decision: Decision, option: LandingOption) -> None:
    """Stack the share of each force in all that slows the aeroplane; what drives it on is left out."""
    length, _ = _units(decision.plan.case.display)
    history = _history(decision, option, to_exit=True)
    retarding = [np.maximum(sign * getattr(history, name), 0.0) for name, sign, _, _ in FORCES]
    total = np.sum(retarding, axis=0)
    shares = [100.0 * np.divide(one, total, out=np.zeros_like(total), where=total > 0.0) for one in retarding]
    shown = [number for number, share in enumerate(shares) if float(share.max()) >= 0.5]
    stacks = axes.stackplot(
        history.distance / length,
        [shares[number] for number in shown],
        colors=[FORCES[number][3] for number in shown],
        labels=[FORCES[number][2] for number in shown],
        edgecolor=style.INK,
        linewidth=0.4,
    )
    for number, stack in zip(shown, stacks, strict=True):
        stack.set_hatch(style.HATCHES[number])
    axes.set_ylim(0.0, 100.0)
    axes.set_ylabel("share of the slowing force, %")
    axes.set_xlabel(f"distance from the threshold, {decision.plan.case.display.length}")
    axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5), fontsize=8, reverse=True)


def _draw_temperatures(axes: Any, decision: Decision, option: LandingOption, cooling: CoolingHistory) -> None:
    case = decision.plan.case
    fahrenheit = case.display.temperature == "degF"

    def shown(kelvin: Any) -> Any:
        celsius = kelvin - ZERO_CELSIUS
        return celsius * 1.8 + 32.0 if fahrenheit else celsius

    until = LONGEST_SHOWN if option.cooling_time is None else 1.3 * option.cooling_time
    until = min(max(until, LEAST_SHOWN), LONGEST_SHOWN, float(cooling.time[-1]))
    times = np.linspace(0.0, until, 400)
    for name, label, colour, dashes in NODES:
        values = shown(cooling.at(times, name))  # type: ignore[arg-type]
        axes.plot(times / 60.0, values, linestyle=dashes, color=colour, label=label, linewidth=1.6)
    data = case.aircraft.brake_cooling
    assert data is not None  # there is no history without it
    highest = float(axes.get_ylim()[1])
    for label, limit in (
        ("take-off limit (indicated)", data.take_off_limit),
        ("fuse plugs (wheel)", data.fuse_plug_release),
    ):
        if shown(limit) < 1.5 * highest:
            axes.axhline(shown(limit), color=style.LIMIT, linewidth=0.9, linestyle=":")
            axes.annotate(label, (until / 60.0, shown(limit)), ha="right", va="bottom", fontsize=8, color=style.LIMIT)
    axes.set_xlim(0.0, until / 60.0)
    axes.set_xlabel("time from touchdown, min  (held to a stop, then parked, fans off)")
    axes.set_ylabel(f"hottest brake, {case.display.temperature.replace('deg', '°')}")
    axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5), fontsize=8)
    axes.grid(visible=True, alpha=0.25)
