"""Temperature against time through a day, with the limits, as SVG or PNG."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from groundroll.constants import ZERO_CELSIUS
from groundroll.outputs.charts.style import BLUE, GREEN, LIMIT, PALE, VERMILION, chart, check_chart_name
from groundroll.planning.turnaround import DayResult

_NODES: Final = (
    ("heat_sink", "heat sink", VERMILION, "-"),
    ("indicated", "indicated", BLUE, "--"),
    ("wheel", "wheel", GREEN, "-."),
)


def write_turn_chart(result: DayResult, path: Path) -> None:
    """Write the chart of the hottest brake through the day.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    check_chart_name(path)
    with chart(path, result.day.title, (11.0, 5.6), invented=result.day.aircraft.invented) as figure:
        _draw(figure, result)


def _draw(figure: Any, result: DayResult) -> None:
    axes = figure.add_subplot()
    history = result.hottest.history
    hours = history.time / 3600.0
    fahrenheit = result.day.display.temperature == "degF"

    def shown(kelvin: Any) -> Any:
        celsius = kelvin - ZERO_CELSIUS
        return celsius * 1.8 + 32.0 if fahrenheit else celsius

    for node, label, colour, style in _NODES:
        axes.plot(hours, shown(getattr(history, node)), style, color=colour, label=label, linewidth=1.6)
    cooling, end = result.day.aircraft.brake_cooling, float(hours[-1])
    assert cooling is not None  # no day without it
    limits = [
        ("take-off limit (indicated)", cooling.take_off_limit),
        ("fans-off limit (indicated)", cooling.fans_off_limit),
        ("fuse plugs open (wheel)", cooling.fuse_plug_release),
        ("heat-sink limit", result.day.aircraft.brakes.temperature_limit),
    ]
    for name, limit in limits:
        if limit is not None:
            axes.axhline(shown(limit), color=LIMIT, linewidth=0.9, linestyle=":")
            axes.annotate(name, (end, shown(limit)), ha="right", va="bottom", fontsize=8, color=LIMIT)
    time = 0.0
    for stage in result.stages:
        if stage.name == "taxi out":
            axes.axvline(time / 3600.0, color=PALE, linewidth=0.8)
            name = result.sectors[stage.sector].name
            axes.annotate(name, (time / 3600.0, 1.0), xycoords=("data", "axes fraction"), va="bottom", fontsize=8)
        if stage.name == "gear in the bay":
            axes.axvspan(time / 3600.0, (time + stage.duration) / 3600.0, color="#EEEEEE", linewidth=0)
        if stage.fans:
            axes.axvspan(
                time / 3600.0, (time + stage.duration) / 3600.0, facecolor="none", edgecolor="#999999", hatch="..", lw=0
            )
        time += stage.duration
    numbers = ", ".join(str(number + 1) for number in result.hottest.numbers)
    axes.set_xlim(0.0, end)
    axes.set_xlabel("time from the first taxi out, h  (grey: gear in the bay; dotted: fans on)")
    axes.set_ylabel(f"temperature, {result.day.display.temperature.replace('deg', '°')}")
    title = f"{result.day.title}: {result.day.aircraft.name}, brake {numbers}"
    axes.set_title(title, loc="left", pad=18.0, fontsize=10)
    axes.legend(loc="upper left", frameon=True, framealpha=0.9)
