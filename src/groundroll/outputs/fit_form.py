"""A fit in words, as JSON, and as the content of the new aircraft file."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from typing import Any, Literal

from groundroll.constants import KNOT, ZERO_CELSIUS
from groundroll.outputs.caution import cautions
from groundroll.outputs.json_form import source_entry
from groundroll.physics.sources import source
from groundroll.planning.fit.parameters import Parameter, value_at
from groundroll.planning.fit.quality import worst_row
from groundroll.planning.fit.solve import Comparison, Fit, FittedParameter
from groundroll.planning.fit.table import PublishedRow
from groundroll.scenario.model import Aircraft

SOURCES = ("fit-profile-likelihood", "fit-rounded-alike", "fit-spreads", "cfr-25-109-a")
"""What a fit rests on beyond the physics of a roll."""

SHOWN_IN: dict[str, tuple[float, str]] = {"N m": (1e-3, "kN m")}
"""Units that are shown larger."""


def quantity_text(parameter: Parameter, value: float) -> str:
    """Return a value of a parameter with its unit."""
    if parameter.scale:
        return f"{value:.4g} times the start"
    factor, unit = SHOWN_IN.get(parameter.unit, (1.0, parameter.unit))
    return f"{factor * value:.4g} {unit}".strip()


def interval_text(one: FittedParameter) -> str:
    """Return both ends of the 95 % interval with their unit."""
    factor, unit = SHOWN_IN.get(one.parameter.unit, (1.0, one.parameter.unit))
    unit = "times the start" if one.parameter.scale else unit
    return f"{factor * one.low:.4g} to {factor * one.high:.4g} {unit}".strip()


def parameter_text(one: FittedParameter) -> str:
    """Return what the fit says of a parameter."""
    parameter = one.parameter
    start = "1" if parameter.scale else quantity_text(parameter, parameter.start)
    if one.fitted:
        return f"{quantity_text(parameter, one.value)}, {interval_text(one)} (start {start})"
    return f"NOT determined by this table, left at {start}; {interval_text(one)} is possible"


def says_alone(one: FittedParameter) -> str:
    """Return what the table says of a parameter without what was known before, from its profile."""
    if one.profile.determined:
        return "limited on both sides" if one.fitted else "limited on both sides, too widely to move it"
    if one.profile.below:
        return "limited from below only"
    if one.profile.above:
        return "limited from above only"
    return "not limited"


def fit_verdict(fit: Fit) -> str:
    """Return the answer in one sentence."""
    count = len(fit.table.rows)
    if fit.refusals:
        return f"Refused: no file may be written from {fit.table.name}."
    return f"Fitted to {count} rows of {fit.table.name}: 95 % of further rows within {fit.within:.0f} m, unfactored."


def quality_lines(fit: Fit) -> list[str]:
    """Return how good the fit is, a sentence each."""
    row, miss = worst_row(fit.table.rows, fit.misses)
    lines = [
        f"Worst row: {row.number}, published {row.middle:.0f} m, computed {miss:+.1f} m ({percent_of(row, miss)}).",
        f"Rows left out of the fit are met within {fit.cross_validation:.1f} m (root mean square).",
        f"Limits: {100.0 * fit.worst:.1f} % for a row, {100.0 * fit.typical:.1f} % for all (root mean square).",
    ]
    if fit.excess > 1.0:
        lines.append(
            f"Misses scatter {fit.excess:.2f} times as much as rounding alone would: intervals are widened by that."
        )
    return lines


def validity_lines(fit: Fit) -> list[str]:
    """Return for what the table speaks, a line for landings and one for accelerate-stop rows."""
    rows = fit.table.rows
    lines = []
    for kind, name in (("landing", "Landings"), ("accelerate-stop", "Rejected take-offs")):
        chosen = [row for row in rows if row.kind == kind]
        if not chosen:
            continue
        parts = [
            _range("mass", [row.mass / 1_000.0 for row in chosen], "t", 1),
            _range("pressure altitude", [row.pressure_altitude for row in chosen], "m", 0),
            _range("temperature", [row.temperature - ZERO_CELSIUS for row in chosen], "degC", 0),
            _range("headwind", [row.headwind / KNOT for row in chosen], "kt", 0),
            _range("slope", [100.0 * row.slope for row in chosen], "%", 1),
            f"codes {', '.join(str(one) for one in sorted({row.code for row in chosen}, reverse=True))}",
            f"flap {', '.join(sorted({row.flap for row in chosen}))}",
        ]
        if kind == "landing":
            parts.append(f"brakes {', '.join(sorted({row.brake for row in chosen}))}")
        else:
            parts.append(_range("V1", [row.decision_speed / KNOT for row in chosen], "kt", 0))
        parts.append(f"reverse {', '.join(sorted({row.reverse for row in chosen}))}")
        lines.append(f"{name}, {len(chosen)} rows: {'; '.join(parts)}.")
    return lines


def _range(name: str, values: Sequence[float], unit: str, digits: int) -> str:
    low, high = f"{min(values):.{digits}f}", f"{max(values):.{digits}f}"
    return f"{name} {low} {unit}" if low == high else f"{name} {low} to {high} {unit}"


def percent_of(row: PublishedRow, miss: float) -> str:
    """Return a miss as a share of its distance."""
    return f"{100.0 * miss / row.middle:+.1f} %"


def fit_text(fit: Fit) -> str:
    """Return the fit in words: the verdict first, then quality, parameters, bias and every row."""
    lines = [fit_verdict(fit), *(f"  {one}" for one in fit.refusals), *quality_lines(fit), ""]
    lines.append("Parameters (95 % interval)")
    lines += [f"  {one.parameter.key}: {parameter_text(one)}" for one in fit.parameters]
    lines += ["", "What the table says by itself (profile likelihood)"]
    lines += [f"  {one.parameter.key}: {says_alone(one)}" for one in fit.parameters]
    values = ", ".join(f"{one:.3g}" for one in fit.singular_values)
    lines += [f"  Singular values, in spreads before the table: {values}", "", "Bias, computed less published"]
    lines += [f"  {one.name}: {one.bias:+.1f} m over {one.rows} rows" for one in fit.groups]
    lines += ["", "Holds for", *(f"  {one}" for one in validity_lines(fit))]
    lines += ["", "Rows (unfactored): published, computed less published"]
    lines += [_row(row, miss) for row, miss in zip(fit.table.rows, fit.misses, strict=True)]
    return "\n".join([*lines, "", *cautions(invented=fit.start.invented)])


def _row(row: PublishedRow, miss: float) -> str:
    return f"  {row.number:4d}  {row.middle:7.1f} m  {miss:+7.1f} m  ({percent_of(row, miss)})"


def parameter_json(parameter: Parameter, *, fitted: bool, value: float, low: float, high: float) -> dict[str, Any]:
    """Return a parameter and what was found for it, by a table or by recordings."""
    return {
        "key": parameter.key,
        "unit": parameter.unit,
        "factor_on_list": parameter.scale,
        "fitted": fitted,
        "start": parameter.start,
        "value": value,
        "low": low,
        "high": high,
    }


def fit_json(fit: Fit) -> dict[str, Any]:
    """Return the fit as plain values, SI."""
    row, miss = worst_row(fit.table.rows, fit.misses)
    return {
        "format": 1,
        "kind": "fit",
        "table": fit.table.name,
        "digest": fit.table.digest,
        "accepted": not fit.refusals,
        "refusals": list(fit.refusals),
        "limits": {"worst_row": fit.worst, "root_mean_square": fit.typical},
        "within_m": fit.within,
        "cross_validation_m": fit.cross_validation,
        "excess_scatter": fit.excess,
        "worst_row": {"row": row.number, "published_m": row.middle, "miss_m": miss},
        "singular_values": list(fit.singular_values),
        "parameters": [
            {
                **parameter_json(one.parameter, fitted=one.fitted, value=one.value, low=one.low, high=one.high),
                "half_width": one.half_width,
                "profile": {
                    "limited_below": one.profile.below,
                    "limited_above": one.profile.above,
                    "points": [
                        {"value": one.parameter.start + one.parameter.spread * place, "rise": rise}
                        for place, rise in one.profile.points
                    ],
                },
            }
            for one in fit.parameters
        ],
        "bias": [{"name": one.name, "rows": one.rows, "bias_m": one.bias} for one in fit.groups],
        "validity": validity_lines(fit),
        "rows": _rows(fit.table.rows, fit.misses),
        "sources": [source_entry(key, source(key)) for key in SOURCES],
        "cautions": cautions(invented=fit.start.invented),
    }


def _rows(rows: Sequence[PublishedRow], misses: Sequence[float]) -> list[dict[str, Any]]:
    return [
        {"row": row.number, "kind": row.kind, "published_m": row.middle, "miss_m": miss}
        for row, miss in zip(rows, misses, strict=True)
    ]


def comparison_text(comparison: Comparison) -> str:
    """Return how an aircraft file meets a table, in words."""
    rows, name = comparison.table.rows, comparison.aircraft.name
    verdict = "does NOT meet" if comparison.problems else "meets"
    lines = [f"{name} {verdict} the {len(rows)} rows of {comparison.table.name}."]
    lines += [f"  {one}" for one in comparison.problems]
    row, miss = worst_row(rows, comparison.misses)
    lines.append(
        f"Worst row: {row.number}, published {row.middle:.0f} m, computed {miss:+.1f} m ({percent_of(row, miss)})."
    )
    fit = comparison.aircraft.fit
    if fit is not None:
        same = fit.digest == comparison.table.digest
        lines.append(
            f"The file was fitted to {fit.rows} rows of {fit.table}, "
            + ("this very table." if same else "NOT this table, or an earlier state of it.")
        )
    lines += ["", "Bias, computed less published"]
    lines += [f"  {one.name}: {one.bias:+.1f} m over {one.rows} rows" for one in comparison.groups]
    lines += ["", "Rows (unfactored): published, computed less published"]
    lines += [_row(row, miss) for row, miss in zip(rows, comparison.misses, strict=True)]
    return "\n".join([*lines, "", *cautions(invented=comparison.aircraft.invented)])


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """Return how an aircraft file meets a table as plain values, SI."""
    fit = comparison.aircraft.fit
    return {
        "format": 1,
        "kind": "check-against",
        "table": comparison.table.name,
        "digest": comparison.table.digest,
        "fitted_to_this_table": fit is not None and fit.digest == comparison.table.digest,
        "meets": not comparison.problems,
        "problems": list(comparison.problems),
        "bias": [{"name": one.name, "rows": one.rows, "bias_m": one.bias} for one in comparison.groups],
        "rows": _rows(comparison.table.rows, comparison.misses),
        "cautions": cautions(invented=comparison.aircraft.invented),
    }


def aircraft_content(fit: Fit, start: dict[str, Any], outside: Literal["warn", "refuse"]) -> dict[str, Any]:
    """Return the content of the new aircraft file: that of the start with fitted values, provenance and validity."""
    content = copy.deepcopy(start)
    rows = fit.table.rows
    sources = content.setdefault("sources", {})
    for one in fit.parameters:
        if not one.fitted:
            continue
        put_fitted(content, fit.aircraft, one.parameter)
        sources[one.parameter.key] = f"fitted to {fit.table.name}, 95 % interval {interval_text(one)}"
    content["source"] = (
        f"Fitted to {len(rows)} rows of {fit.table.name}, 95 % within {fit.within:.0f} m; "
        f"what the table does not determine is from {fit.start.name}."
    )
    content["fit"] = _provenance(fit, outside)
    return content


def put_fitted(content: dict[str, Any], aircraft: Aircraft, parameter: Parameter) -> None:
    """Put the value of a fitted parameter into the content of an aircraft file, in the unit of its key."""
    *path, last = parameter.key.split(".")
    inside = content
    for part in path:
        inside = inside[part]
    value = value_at(aircraft, parameter.key)
    if parameter.scale:
        inside[last] = [f"{force:.1f} {parameter.unit}" for force in value]
    else:
        inside[last] = f"{value:.5f} {parameter.unit}" if parameter.unit else round(float(value), 6)


def _provenance(fit: Fit, outside: Literal["warn", "refuse"]) -> dict[str, Any]:
    rows = fit.table.rows
    landings = [row for row in rows if row.kind == "landing"]
    stops = [row for row in rows if row.kind == "accelerate-stop"]
    automatic = fit.start.automatic_brakes
    settings = [*(() if automatic is None else automatic.settings), "manual"]
    found = {
        "table": fit.table.name[:80],
        "digest": fit.table.digest,
        "start": fit.start.name,
        "rows": len(rows),
        "landing_rows": len(landings),
        "within": f"{fit.within:.1f} m",
        "fitted": _keys(fit.parameters, fitted=True),
        "left": _keys(fit.parameters, fitted=False),
        "outside": outside,
        **_seen(landings or rows),
    }
    if landings:
        found["brakes"] = [one for one in settings if any(row.brake == one for row in landings)]
        found["reverses"] = [one for one in ("none", "idle", "full") if any(row.reverse == one for row in landings)]
    if stops:
        speeds = _ends(stops, lambda row: row.decision_speed, "m/s", 5)
        found["stops"] = {"rows": len(stops), "decision_speeds": speeds, **_seen(stops)}
    return found


def _seen(rows: Sequence[PublishedRow]) -> dict[str, Any]:
    """Return the conditions that rows cover."""
    return {
        "masses": _ends(rows, lambda row: row.mass, "kg"),
        "pressure_altitudes": _ends(rows, lambda row: row.pressure_altitude, "m"),
        "temperatures": _ends(rows, lambda row: row.temperature - ZERO_CELSIUS, "degC"),
        "headwinds": _ends(rows, lambda row: row.headwind, "m/s", 5),
        "slopes": _ends(rows, lambda row: 100.0 * row.slope, "%", 4),
        "codes": sorted({row.code for row in rows}, reverse=True),
        "flaps": sorted({row.flap for row in rows}),
    }


def _ends(rows: Sequence[PublishedRow], of: Callable[[PublishedRow], float], unit: str, digits: int = 3) -> list[str]:
    values = [of(row) for row in rows]
    return [f"{min(values):.{digits}f} {unit}", f"{max(values):.{digits}f} {unit}"]


def _keys(parameters: Sequence[FittedParameter], *, fitted: bool) -> list[str]:
    return [one.parameter.key for one in parameters if one.fitted == fitted]
