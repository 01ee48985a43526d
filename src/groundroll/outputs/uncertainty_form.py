"""How sure a plan is, as text and as JSON."""

from __future__ import annotations

import io
import math
import shutil
import sys
from collections.abc import Sequence
from typing import Any

from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table

from groundroll.outputs.landing_table import LEAST_WIDTH
from groundroll.physics.sources import source
from groundroll.planning.uncertainty.answers import SOURCE_KEYS, OptionOdds, Uncertainty
from groundroll.planning.uncertainty.inputs import LABELS
from groundroll.planning.uncertainty.overrun import Overrun
from groundroll.planning.uncertainty.rare import LEAST_PROBABILITY, RareEstimate
from groundroll.planning.uncertainty.samples import CONFIDENCE, Estimate
from groundroll.planning.uncertainty.sensitivity import Indices, in_words
from groundroll.planning.wording import Wording, percent

SMALL = 1e-3
"""Smaller probabilities are shown with an exponent and as one in so many. [-]"""


# --------------------------------------------------------------------------------------------------------------- JSON


def uncertainty_json(found: Uncertainty | None) -> dict[str, Any] | None:
    """Return the answer as plain, JSON-ready values; None where nothing was asked or nothing is known."""
    if found is None:
        return None
    return {
        "seed": found.seed,
        "samples_asked": found.asked,
        "samples": found.samples,
        "replicates": found.replicates,
        "confidence": CONFIDENCE,
        "complete": found.complete,
        "inputs": [
            {
                "name": one.name,
                "label": one.label,
                "planned_si": one.planned,
                "distribution": one.text,
                "status": one.status,
                "reason": one.reason,
            }
            for one in found.inputs
        ],
        "remarks": list(found.remarks),
        "options": [_option(one) for one in found.options],
        "chosen": found.focus,
        "planned_exit": found.planned_exit,
        "more_than_planned": _estimate(found.more_than_planned),
        "everything_not_enough": _estimate(found.everything_not_enough),
        "overrun": None if found.overrun is None else _overrun(found.overrun),
        "sensitivity": {
            "margin": _indices(found.margin_indices),
            "exit_speed": _indices(found.exit_indices),
            "exit": found.exit_asked,
            "words": _words(found),
        },
        "sources": [
            {"key": key, "document": one.document, "paragraph": one.paragraph, "status": one.status}
            | ({"note": one.note} if one.note else {})
            for key, one in ((key, source(key)) for key in SOURCE_KEYS)
        ],
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _estimate(one: Estimate) -> dict[str, float | None]:
    return {"value": _finite(one.value), "low": _finite(one.low), "high": _finite(one.high)}


def _percentiles(found: dict[float, Estimate]) -> dict[str, Any]:
    return {f"p{100.0 * share:.0f}": _estimate(one) for share, one in found.items()}


def _option(one: OptionOdds) -> dict[str, Any]:
    return {
        "brake": one.brake,
        "reverse": one.reverse,
        "stop_distance_m": _percentiles(one.stop_distance),
        "margin_m": _percentiles(one.margin),
        "overrun": _estimate(one.overrun),
        "beyond_factored": _estimate(one.beyond_factored),
        "target_not_held": None if one.target_not_held is None else _estimate(one.target_not_held),
        "exits": [
            {
                "name": exit_.name,
                "distance_m": exit_.distance,
                "allowed_speed_mps": exit_.allowed_speed,
                "below_allowed": _estimate(exit_.below_allowed),
            }
            for exit_ in one.exits
        ],
        "limits": [{"name": limit.name, "exceeded": _estimate(limit.exceeded)} for limit in one.limits],
    }


def _rare(one: RareEstimate) -> dict[str, Any]:
    return {
        "probability": one.probability,
        "low": _finite(one.interval.low),
        "high": _finite(one.interval.high),
        "coefficient_of_variation": _finite(one.coefficient_of_variation),
        "resolved": one.resolved,
        "rolls": one.evaluations,
        "time_s": one.seconds,
        "complete": one.complete,
    }


def _overrun(one: Overrun) -> dict[str, Any]:
    return {
        "importance_sampling": _rare(one.importance),
        "subset_simulation": _rare(one.subset),
        "agree": one.agreed,
        "not_told_apart_below": LEAST_PROBABILITY,
        "causes": [
            {"name": cause.name, "label": cause.label, "deviations": cause.deviations, "status": cause.status}
            for cause in one.causes
        ],
        "warning": one.warning,
        "speed_at_end_mps": {f"p{100.0 * share:.0f}": value for share, value in one.speeds.items()},
        "stop_beyond_end_m": {f"p{100.0 * share:.0f}": value for share, value in one.stops.items()},
        "share_within": [{"beyond_end_m": distance, "share": share} for distance, share in one.within.items()],
    }


def _indices(found: Sequence[Indices]) -> list[dict[str, Any]]:
    return [
        {"name": one.name, "first_order": _estimate(one.first_order), "total": _estimate(one.total)} for one in found
    ]


def _words(found: Uncertainty) -> dict[str, list[str]]:
    return {
        "margin": list(in_words(found.margin_indices, LABELS, "margin")),
        "exit_speed": list(in_words(found.exit_indices, LABELS, "exit speed")),
    }


# --------------------------------------------------------------------------------------------------------------- text


def chance(one: Estimate) -> str:
    """Return a probability with its interval: percents, or an exponent and one in so many where it is small.

    Examples
    --------
    >>> chance(Estimate(0.032, 0.023, 0.041))
    '3.2 % (2.3 to 4.1)'
    >>> chance(Estimate(0.0, 0.0, 0.0036))
    'not met (at most 0.36 %)'
    """
    if one.value <= 0.0:
        return f"not met (at most {_bound(one.high)})"
    if one.value >= 1.0:
        return f"always (but for at most {_bound(1.0 - one.low)})"
    if one.value < SMALL:
        return f"{one.value:.1e} ({one.low:.1e} to {one.high:.1e})"
    if one.value > 1.0 - SMALL:
        return f"all but {1.0 - one.value:.1e} ({1.0 - one.high:.1e} to {1.0 - one.low:.1e})"
    return f"{_share(one.value)} % ({_share(one.low)} to {_share(one.high)})"


def _bound(value: float) -> str:
    return f"{value:.1e}" if value < SMALL else f"{_share(value)} %"


def _share(value: float) -> str:
    number = 100.0 * value
    return f"{number:.2f}" if number < 1.0 or 99.0 < number < 100.0 else f"{number:.1f}"


def uncertainty_text(found: Uncertainty | None) -> str:
    """Return how sure the plan is as text, as wide as the terminal but never below the width of the plan's tables."""
    width = max(shutil.get_terminal_size((LEAST_WIDTH, 40)).columns, LEAST_WIDTH)
    console = Console(
        file=io.StringIO(),
        width=min(width, 130),
        highlight=False,
        markup=False,
        force_terminal=sys.stdout.isatty(),
        color_system=None,
        force_jupyter=False,  # text is returned, not displayed, in a notebook too
    )
    if found is None:
        console.print("How sure: not worked out, because there is no choice to ask about.")
    else:
        _print(console, found)
    text: str = console.file.getvalue()  # type: ignore[attr-defined]
    return "\n".join(line.rstrip() for line in text.splitlines()).strip("\n") + "\n"


def _print(console: Console, found: Uncertainty) -> None:
    wording = Wording(found.plan.case.display)
    chosen = found.chosen
    available = found.plan.conditions.landing_distance_available
    if not found.complete:
        console.print("STOPPED before the end: what follows holds for what had been done until then.")
    console.print(
        f"How sure: {_grouped(found.samples)} landings for each choice, seed {found.seed}; in brackets the interval "
        f"that holds the truth with {percent(CONFIDENCE)}."
    )
    stops = chosen.stop_distance
    console.print(
        f"{wording.choice(chosen.brake, chosen.reverse).capitalize()}, held to a stop: half of them within "
        f"{_stop(stops[0.5], wording)}, 95 of 100 within {_stop(stops[0.95], wording)}, 99 of 100 within "
        f"{_stop(stops[0.99], wording)} of {wording.length(available)}."
    )
    aim = "a stop within the distance" if found.planned_exit is None else f"exit {found.planned_exit}"
    console.print(f"  More than planned needed for {aim}: {chance(found.more_than_planned)}.")
    console.print(
        f"  Less than {percent(found.plan.case.landing.margin)} margin: {chance(chosen.beyond_factored)}. Beyond "
        f"{wording.length(available)}: {chance(chosen.overrun)}; with manual braking and all reverse from touchdown: "
        f"{chance(found.everything_not_enough)}."
    )
    for one in chosen.exits:
        console.print(
            f"  At or below {wording.speed(one.allowed_speed)} at exit {one.name}, {wording.length(one.distance)}: "
            f"{chance(one.below_allowed)}."
        )
    for limit in chosen.limits:
        console.print(f"  Brakes, {limit.name}: {chance(limit.exceeded)}.")
    console.print(_table(found, wording))
    if found.overrun is not None:
        _print_overrun(console, found.overrun, wording)
    _print_what_matters(console, found)
    console.print("Spread of inputs:")
    for given in found.inputs:
        console.print(f"  {given.label}: {given.text} [{given.status}]")
    for remark in found.remarks:
        console.print(f"  {remark}")
    console.print("These answers rest on:")
    for key in SOURCE_KEYS:
        console.print(f"  {source(key)}")


def _stop(one: Estimate, wording: Wording) -> str:
    if not math.isfinite(one.value):
        return "no distance worked out here"
    high = wording.length(one.high).split()[0] if math.isfinite(one.high) else "more"
    return f"{wording.length(one.value)} ({wording.length(one.low).split()[0]} to {high})"


def _grouped(number: int) -> str:
    return f"{number:,}".replace(",", " ")


def _table(found: Uncertainty, wording: Wording) -> Table:
    unit = found.plan.case.display.length
    table = Table(box=SIMPLE, pad_edge=False, collapse_padding=True, header_style="bold")
    table.add_column("", width=1)
    table.add_column("brakes")
    table.add_column("reverse")
    for name in ("half\n", "95 %\n", "99 %\n"):
        table.add_column(name + unit, justify="right")
    table.add_column("no margin\n%", justify="right")
    table.add_column("beyond\n%", justify="right")
    table.add_column("target\nnot held %", justify="right")
    asked = found.planned_exit or found.exit_asked
    if asked is not None:
        table.add_column(f"exit {asked}\n%", justify="right")
    for number, one in enumerate(found.options):
        at_exit = [_share(exit_.below_allowed.value) for exit_ in one.exits if exit_.name == asked]
        table.add_row(
            ">" if number == found.focus else "",
            one.brake,
            one.reverse,
            *(
                wording.length(one.stop_distance[share].value).split()[0]
                if math.isfinite(one.stop_distance[share].value)
                else "no stop"
                for share in (0.5, 0.95, 0.99)
            ),
            _share(one.beyond_factored.value),
            _share(one.overrun.value),
            "-" if one.target_not_held is None else _share(one.target_not_held.value),
            *at_exit,
        )
    return table


def _method(one: RareEstimate) -> str:
    stopped = "" if one.complete else ", stopped"
    work = f"{_grouped(one.evaluations)} rolls, {one.seconds:.1f} s{stopped}"
    if not one.resolved:
        return f"{one.method}: below {LEAST_PROBABILITY:.0e} ({work})" if one.complete else f"{one.method}: {work}"
    return f"{one.method}: {one.probability:.2e} +- {100.0 * one.coefficient_of_variation:.0f} % ({work})"


def _print_overrun(console: Console, one: Overrun, wording: Wording) -> None:
    best = one.best
    if best.resolved:
        often = f"about 1 in {_grouped(_rounded(1.0 / best.probability))}" if best.probability < 0.5 else "likely"
        console.print(f"Stop beyond the end with the chosen means and nothing done about it: {often}.")
    else:
        console.print("Stop beyond the end with the chosen means and nothing done about it: none found.")
    agreed = {True: "They agree", False: "They DO NOT AGREE: trust neither", None: "Only one has an answer"}
    console.print(f"  {_method(one.importance)}; {_method(one.subset)}. {agreed[one.agreed]}.")
    if one.speeds and best.resolved:
        shares = ", ".join(
            f"{100.0 * share:.0f} % within {wording.length(distance)}" for distance, share in one.within.items()
        )
        slow, middle, fast = (wording.speed(one.speeds[share]) for share in (0.05, 0.5, 0.95))
        near, usual, far = (wording.length(one.stops[share]) for share in (0.05, 0.5, 0.95))
        console.print(
            f"  When it happens it passes the end at {middle} ({slow} to {fast} in 90 of 100) and stops {usual} beyond "
            f"it ({near} to {far}): {shares}."
        )
    if one.warning:
        console.print(f"  {one.warning}")


def _rounded(number: float) -> int:
    """Return a number rounded to two digits."""
    digits = max(int(math.log10(max(number, 1.0))) - 1, 0)
    return int(round(number / 10**digits) * 10**digits)


def _print_what_matters(console: Console, found: Uncertainty) -> None:
    words = _words(found)
    if found.margin_indices:
        console.print("What the spread of the margin comes from (total index):")
        for line in words["margin"]:
            console.print(f"  {line}")
    if found.exit_indices:
        console.print(f"What the spread of the speed at exit {found.exit_asked} comes from:")
        for line in words["exit_speed"]:
            console.print(f"  {line}")
