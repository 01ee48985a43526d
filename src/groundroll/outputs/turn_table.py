"""The day of sectors as text for a terminal: what breaks first and what mends it, then the tables."""

from __future__ import annotations

import io
import shutil
import sys

from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table
from rich.text import Text

from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.spacing import single_spaced
from groundroll.outputs.turn_json import ENERGY_KINDS, turn_sources
from groundroll.planning.turnaround import Breach, DayResult, SectorResult
from groundroll.planning.wording import Wording

LEAST_WIDTH = 110
"""Columns that the tables need; a narrower terminal wraps them."""

IN_WORDS = {
    "take_off_temperature": "indicated brake temperature at take-off",
    "reject_energy": "energy of a rejected take-off, one brake",
    "landing_energy": "energy of the landing, one brake",
    "heat_sink_temperature": "heat-sink temperature",
    "fuse_plugs": "wheel temperature (fuse plugs open)",
}
"""Kinds of limits as a reader sees them."""


def turn_text(result: DayResult) -> str:
    """Return the day as text, as wide as the terminal but never below `LEAST_WIDTH`."""
    width = max(shutil.get_terminal_size((LEAST_WIDTH, 40)).columns, LEAST_WIDTH)
    console = Console(
        file=io.StringIO(),
        width=min(width, 120),
        highlight=False,
        force_terminal=sys.stdout.isatty(),
        color_system=None,
        force_jupyter=False,  # text is returned, not displayed, in a notebook too
    )
    wording = Wording(result.day.display)
    console.print(Text(result.day.title, style="bold"))
    console.print(f"{result.day.aircraft.name}, {len(result.sectors)} sectors{_released(result)}")
    console.print()
    _answer(console, result, wording)
    console.print()
    console.print(_departures(result, wording))
    console.print()
    console.print(_landings(result, wording))
    console.print()
    _turns(console, result, wording)
    console.print()
    _costs(console, result)
    _notes(console, result)
    text: str = console.file.getvalue()  # type: ignore[attr-defined]
    return single_spaced(text)


def _released(result: DayResult) -> str:
    numbers = ", ".join(str(number + 1) for number in result.day.released_brakes)
    return f", brakes released: {numbers}" if numbers else ""


def minutes(time: float | None) -> str:
    """Return a time as whole minutes, rounded up; a wait of 0.2 min is a minute."""
    return "-" if time is None else f"{-int(-(time - 1e-6) // 60.0) if time > 0.0 else 0} min"


def breach_text(breach: Breach, result: DayResult, wording: Wording) -> str:
    """Return a broken limit in one sentence."""
    if breach.kind in ENERGY_KINDS:
        value, limit = f"{breach.value / 1e6:.1f} MJ", f"{breach.limit / 1e6:.1f} MJ"
    else:
        value, limit = wording.temperature(breach.value), wording.temperature(breach.limit)
    return f"{result.sectors[breach.sector].name}: {IN_WORDS[breach.kind]} {value}, limit {limit}."


def _answer(console: Console, result: DayResult, wording: Wording) -> None:
    if not result.breaches:
        console.print(Text("Every departure and every landing keeps the limits of the brakes.", style="bold"))
        return
    first = result.breaches[0]
    console.print(Text(f"Breaks a limit first: {breach_text(first, result, wording)}", style="bold"))
    mend = result.mend
    if mend is not None:
        if mend.delay is not None:
            console.print(f"Mended by waiting {minutes(mend.delay)} longer before it.")
        else:
            console.print("Waiting does not mend it.")
        if mend.changes:
            console.print(f"Mended without waiting by: {'; '.join(mend.changes)}.")
        else:
            console.print("No single change that was tried mends it without waiting.")
    for other in result.breaches[1:]:
        console.print(f"Also: {breach_text(other, result, wording)}")


def _departures(result: DayResult, wording: Wording) -> Table:
    unit = result.day.display.temperature
    table = Table(
        box=SIMPLE, pad_edge=False, collapse_padding=True, header_style="bold", title="Departures, worst brake"
    )
    table.title_justify, table.title_style = "left", ""
    table.add_column("sector")
    for column in (f"indicated\n{unit}", f"heat sink\n{unit}", f"wheel\n{unit}", "reject\nMJ", "left\nMJ"):
        table.add_column(column, justify="right")
    table.add_column("limits", no_wrap=True, min_width=6)
    kinds = ("take_off_temperature", "reject_energy")
    for number, one in enumerate(result.sectors):
        departure = one.departure
        table.add_row(
            one.name,
            _degrees(departure.indicated_temperature, wording),
            _degrees(departure.heat_sink_temperature, wording),
            _degrees(departure.wheel_temperature, wording),
            f"{departure.reject_energy / 1e6:.1f}",
            f"{departure.energy_left / 1e6:.1f}",
            _kept(result, number, kinds),
        )
    return table


def _kept(result: DayResult, number: int, kinds: tuple[str, ...]) -> str:
    return "BROKEN" if any(one.sector == number and one.kind in kinds for one in result.breaches) else "kept"


def _degrees(temperature: float, wording: Wording) -> str:
    return wording.temperature(temperature).split()[0]


def _landings(result: DayResult, wording: Wording) -> Table:
    unit = result.day.display.temperature
    table = Table(
        box=SIMPLE,
        pad_edge=False,
        collapse_padding=True,
        header_style="bold",
        title="Landings, hottest brake; times from the stop, if the aeroplane then stayed",
    )
    table.title_justify, table.title_style = "left", ""
    table.add_column("sector", min_width=14)
    table.add_column("brakes, reverse", no_wrap=True)
    for column in ("MJ a\nbrake", f"heat sink\n{unit}", f"indicated\n{unit} at min", f"wheel\n{unit} at min"):
        table.add_column(column, justify="right")
    table.add_column("plugs")
    table.add_column("cooled\nafter", justify="right")
    table.add_column("quick-\nturn", justify="right")
    table.add_column("limits", no_wrap=True, min_width=6)
    kinds = ("landing_energy", "heat_sink_temperature", "fuse_plugs")
    for number, one in enumerate(result.sectors):
        landing = one.arrival
        mass = landing.quick_turnaround_mass
        table.add_row(
            one.name,
            f"{landing.option.brake}, {landing.option.reverse}",
            f"{landing.brake_energy / 1e6:.1f}",
            _degrees(landing.heat_sink.temperature, wording),
            f"{_degrees(landing.indicated.temperature, wording)} at {landing.indicated.time / 60.0:.0f}",
            f"{_degrees(landing.wheel.temperature, wording)} at {landing.wheel.time / 60.0:.0f}",
            landing.fuse_plugs,
            minutes(landing.cooling_time),
            "none" if mass is None else wording.mass(mass),
            _kept(result, number, kinds),
        )
    return table


def _turns(console: Console, result: DayResult, wording: Wording) -> None:
    console.print(
        f"Cooled: indicated at or below {wording.temperature(_take_off_limit(result))} for good. Quick-turn: "
        "greatest landing mass, up to the maximum, with which the wheels stay short of the fuse plugs without a fan."
    )
    console.print()
    last = len(result.sectors) - 1
    for number, one in enumerate(result.sectors):
        console.print(_turn(one, number == last), markup=False)
        for change in one.changes:
            console.print(f"  shorter: {change.text}, {minutes(change.minimum_ground_time)}", markup=False)
        if one.arrival.fans_off_time is not None and result.day.sectors[number].written.ground.fans:
            console.print(f"  fans may be off {minutes(one.arrival.fans_off_time)} after the stop", markup=False)


def _take_off_limit(result: DayResult) -> float:
    cooling = result.day.aircraft.brake_cooling
    assert cooling is not None  # no day without it
    return cooling.take_off_limit


def _turn(one: SectorResult, last: bool) -> str:
    until = "until the brakes are cooled" if last else "until the next departure"
    planned = minutes(one.planned_ground_time)
    if one.minimum_ground_time is None:
        return f"After {one.name}: no ground time within a day is long enough; planned {planned}."
    return f"After {one.name}: least ground time {until} {minutes(one.minimum_ground_time)}; planned {planned}."


def _costs(console: Console, result: DayResult) -> None:
    for one in result.sectors:
        wear, cost = one.arrival.wear, one.arrival.cost
        parts = []
        if wear is not None:
            parts.append(
                f"brake wear {wear.relative:.2f} of the reference stop ({wear.least:.2f} to {wear.greatest:.2f})"
            )
        if cost is not None:
            priced = (
                ("brakes", cost.brakes),
                ("tyres", cost.tyres),
                ("reverse fuel", cost.reverse_fuel),
                ("runway time", cost.runway_time),
            )
            shown = ", ".join(f"{name} {value:.0f}" for name, value in priced if value is not None)
            parts.append(f"cost {cost.total:.0f} ({cost.least:.0f} to {cost.greatest:.0f}) {cost.currency}: {shown}")
        if parts:
            console.print(f"{one.name}: {'; '.join(parts)}.", markup=False)


def _notes(console: Console, result: DayResult) -> None:
    console.print()
    for note in (*result.cautions, *result.day.remarks):
        console.print(f"- {note}", markup=False)
    console.print()
    console.print("Rests on:")
    for entry in turn_sources(result):
        console.print(f"  {entry['document']}, {entry['paragraph']} [{entry['status']}]", markup=False)
    console.print()
    if result.day.aircraft.invented:
        console.print(INVENTED)
    console.print(CAUTION)
