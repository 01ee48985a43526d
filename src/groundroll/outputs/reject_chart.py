"""Chart of stop and go distance against decision speed."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from groundroll.constants import FOOT, KNOT
from groundroll.errors import GroundrollError
from groundroll.outputs.charts.style import BLUE, GREEN, VERMILION, chart
from groundroll.planning.reject import RejectPlan

SUFFIXES: Final = (".svg", ".png", ".pdf")


def write_reject_chart(plan: RejectPlan, path: Path) -> None:
    """Draw both distances over decision speed, with what is available and the window.

    Raises
    ------
    GroundrollError
        If the kind of file is not one of `SUFFIXES`, or the file cannot be written.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise GroundrollError(f"--chart {path}: the name must end with {', '.join(SUFFIXES)}.")
    with chart(path, plan.case.title, (8.0, 5.4), invented=plan.case.aircraft.invented) as figure:
        _draw(figure, plan)


def _draw(figure: Any, plan: RejectPlan) -> None:
    speed_unit = {"kt": KNOT, "m/s": 1.0, "km/h": 1.0 / 3.6}[plan.case.display.speed]
    length_unit = 1.0 if plan.case.display.length == "m" else FOOT
    axes = figure.add_subplot()
    speeds = [one.decision_speed / speed_unit for one in plan.curve]

    def lengths(values: list[float | None]) -> list[float]:
        return [float("nan") if one is None else one / length_unit for one in values]

    curve, run, window = plan.curve, plan.rule_run, plan.window
    stop, go = lengths([one.stop_distance for one in curve]), lengths([one.go_distance for one in curve])
    axes.plot(speeds, stop, color=BLUE, linewidth=2.0, label="stop, by the rule")
    axes.plot(speeds, go, color=VERMILION, linewidth=2.0, dashes=(6, 2), label="go, by the rule")
    axes.plot(
        speeds,
        lengths([one.flown_stop_distance for one in curve]),
        color=BLUE,
        linewidth=1.0,
        dashes=(2, 2),
        label="stop, as flown",
    )
    axes.plot(
        speeds,
        lengths([one.flown_go_distance for one in curve]),
        color=VERMILION,
        linewidth=1.0,
        dashes=(1, 2),
        label="go, as flown (engine failed)",
    )
    axes.axhline(run.stop_available / length_unit, color=BLUE, linewidth=1.0, label="available to stop")
    axes.axhline(
        run.go_available / length_unit, color=VERMILION, linewidth=1.0, dashes=(8, 3, 1, 3), label="available to go"
    )
    low, high = window.low, window.high
    if not window.empty and low is not None and high is not None:
        axes.axvspan(
            low / speed_unit,
            high / speed_unit,
            facecolor="none",
            edgecolor=GREEN,
            hatch="//",
            linewidth=0.0,
            label="window",
        )
    axes.axvline(plan.decision_speed / speed_unit, color="black", linewidth=1.0, label="decision speed")
    if window.minimum_control >= window.searched_from:
        axes.axvline(
            window.minimum_control / speed_unit, color="black", linewidth=1.0, dashes=(1, 3), label="minimum control"
        )
    limit = window.brake_energy_limit
    if limit is not None and limit <= window.rotation:
        axes.axvline(limit / speed_unit, color="black", linewidth=1.0, dashes=(5, 3), label="brake-energy limit")
    axes.set_xlim(speeds[0], speeds[-1])
    axes.set_ylim(bottom=0.0)
    axes.set_xlabel(f"decision speed, calibrated [{plan.case.display.speed}]")
    axes.set_ylabel(f"distance from brake release [{plan.case.display.length}]")
    axes.set_title(plan.case.title + (": NO decision speed works" if window.empty else ""))
    axes.grid(visible=True, alpha=0.3)
    axes.legend(fontsize="small", ncols=2, frameon=True)
