"""Chart of stop and go distance against decision speed."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from groundroll.constants import FOOT, KNOT
from groundroll.errors import GroundrollError
from groundroll.outputs.caution import cautions
from groundroll.planning.reject import RejectPlan

STOP_COLOUR: Final = "#0072b2"
GO_COLOUR: Final = "#d55e00"
WINDOW_COLOUR: Final = "#009e73"
"""Three colours that stay apart with every kind of colour vision; lines differ in their dashes as well."""

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
    from matplotlib.figure import Figure

    speed_unit = {"kt": KNOT, "m/s": 1.0, "km/h": 1.0 / 3.6}[plan.case.display.speed]
    length_unit = 1.0 if plan.case.display.length == "m" else FOOT
    figure = Figure(figsize=(8.0, 5.4), layout="constrained")
    axes = figure.add_subplot()
    speeds = [one.decision_speed / speed_unit for one in plan.curve]

    def lengths(values: list[float | None]) -> list[float]:
        return [float("nan") if one is None else one / length_unit for one in values]

    curve, run, window = plan.curve, plan.rule_run, plan.window
    stop, go = lengths([one.stop_distance for one in curve]), lengths([one.go_distance for one in curve])
    axes.plot(speeds, stop, color=STOP_COLOUR, linewidth=2.0, label="stop, by the rule")
    axes.plot(speeds, go, color=GO_COLOUR, linewidth=2.0, dashes=(6, 2), label="go, by the rule")
    axes.plot(
        speeds,
        lengths([one.flown_stop_distance for one in curve]),
        color=STOP_COLOUR,
        linewidth=1.0,
        dashes=(2, 2),
        label="stop, as flown",
    )
    axes.plot(
        speeds,
        lengths([one.flown_go_distance for one in curve]),
        color=GO_COLOUR,
        linewidth=1.0,
        dashes=(1, 2),
        label="go, as flown (engine failed)",
    )
    axes.axhline(run.stop_available / length_unit, color=STOP_COLOUR, linewidth=1.0, label="available to stop")
    axes.axhline(
        run.go_available / length_unit, color=GO_COLOUR, linewidth=1.0, dashes=(8, 3, 1, 3), label="available to go"
    )
    low, high = window.low, window.high
    if not window.empty and low is not None and high is not None:
        axes.axvspan(low / speed_unit, high / speed_unit, color=WINDOW_COLOUR, alpha=0.15, label="window")
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
    axes.legend(fontsize="small", ncols=2)
    figure.supxlabel("\n".join(cautions(invented=plan.case.aircraft.invented)), fontsize=6.0)
    try:
        figure.savefig(path, dpi=150)
    except OSError as error:
        raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error
