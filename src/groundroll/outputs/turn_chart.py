"""Temperature against time through a day, with the limits, as SVG or PNG."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from groundroll.constants import ZERO_CELSIUS
from groundroll.errors import GroundrollError
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.planning.turnaround import DayResult

FORMATS: Final = (".svg", ".png")
"""Kinds of chart files."""

# Okabe and Ito's palette, which people with any colour vision can tell apart; line styles differ as well.
_NODES: Final = (
    ("heat_sink", "heat sink", "#D55E00", "-"),
    ("indicated", "indicated", "#0072B2", "--"),
    ("wheel", "wheel", "#009E73", "-."),
)
_LIMIT_COLOUR: Final = "#555555"


def check_chart_name(path: Path) -> None:
    """Refuse a chart file whose kind is not known, before anything is computed.

    Raises
    ------
    GroundrollError
        If the name ends neither with .svg nor with .png.
    """
    if path.suffix.lower() not in FORMATS:
        raise GroundrollError(f"{path}: a chart is written as {' or '.join(FORMATS)}; end the name with one of them.")


def write_turn_chart(result: DayResult, path: Path) -> None:
    """Write the chart of the hottest brake through the day.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    check_chart_name(path)
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with mpl.rc_context({"svg.hashsalt": "groundroll", "svg.fonttype": "none", "font.size": 9.0}):
        figure = Figure(figsize=(11.0, 5.6), layout="constrained")
        FigureCanvasSVG(figure)
        _draw(figure, result)
        try:
            if path.suffix.lower() == ".svg":
                figure.savefig(path, format="svg", metadata={"Date": None, "Title": result.day.title})
            else:
                figure.savefig(path, format="png", dpi=150)
        except OSError as error:
            raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error


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
            axes.axhline(shown(limit), color=_LIMIT_COLOUR, linewidth=0.9, linestyle=":")
            axes.annotate(name, (end, shown(limit)), ha="right", va="bottom", fontsize=8, color=_LIMIT_COLOUR)
    time = 0.0
    for stage in result.stages:
        if stage.name == "taxi out":
            axes.axvline(time / 3600.0, color="#BBBBBB", linewidth=0.8)
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
    axes.legend(loc="upper left", framealpha=0.9)
    invented = f"{INVENTED} " if result.day.aircraft.invented else ""
    figure.supxlabel(f"{invented}{CAUTION}", fontsize=6.5)
