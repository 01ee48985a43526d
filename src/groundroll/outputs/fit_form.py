"""A fit in words, as JSON, and as the content of the new aircraft file."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from typing import Any, Literal

from groundroll.constants import ZERO_CELSIUS
from groundroll.outputs.caution import cautions
from groundroll.planning.fit.parameters import value_at
from groundroll.planning.fit.solve import Comparison, Fit, FittedParameter
from groundroll.planning.fit.table import PublishedRow


def _said(one: FittedParameter, value: float) -> str:
    if one.parameter.scale:
        return f"{value:.4g} times the start"
    return f"{value:.4g} {one.parameter.unit}".strip()


def fit_text(fit: Fit) -> str:
    """Return the fit in words: the verdict first, then parameters, bias and every row."""
    count = len(fit.table.rows)
    verdict = (
        f"Refused: no file may be written from {fit.table.name}."
        if fit.refusals
        else f"Fitted to {count} rows of {fit.table.name}: 95 % of further rows within {fit.within:.0f} m, unfactored."
    )
    lines = [verdict, *(f"  {one}" for one in fit.refusals), "", "Parameters (95 % interval)"]
    for one in fit.parameters:
        start = _said(one, one.parameter.start)
        value = f"{_said(one, one.value)}, +/- {one.half_width:.2g}"
        lines.append(
            f"  {one.parameter.key}: {value} (start {start})"
            if one.fitted
            else f"  {one.parameter.key}: NOT determined by this table, left at {start}"
        )
    values = ", ".join(f"{one:.3g}" for one in fit.singular_values)
    lines += [f"  Singular values, in spreads before the table: {values}", "", "Bias, computed less published"]
    lines += [f"  {one.name}: {one.bias:+.1f} m over {one.rows} rows" for one in fit.groups]
    lines += ["", f"Rows left out of the fit are met within {fit.cross_validation:.1f} m (root mean square).", ""]
    lines += ["Rows (unfactored): published, computed less published"]
    lines += [_row(row, miss) for row, miss in zip(fit.table.rows, fit.misses, strict=True)]
    return "\n".join([*lines, "", *cautions(invented=fit.start.invented)])


def _row(row: PublishedRow, miss: float) -> str:
    return f"  {row.number:4d}  {row.middle:7.1f} m  {miss:+7.1f} m  ({100.0 * miss / row.middle:+.1f} %)"


def fit_json(fit: Fit) -> dict[str, Any]:
    """Return the fit as plain values, SI."""
    return {
        "format": 1,
        "kind": "fit",
        "table": fit.table.name,
        "digest": fit.table.digest,
        "accepted": not fit.refusals,
        "refusals": list(fit.refusals),
        "within_m": fit.within,
        "cross_validation_m": fit.cross_validation,
        "singular_values": list(fit.singular_values),
        "parameters": [
            {
                "key": one.parameter.key,
                "unit": one.parameter.unit,
                "factor_on_list": one.parameter.scale,
                "fitted": one.fitted,
                "start": one.parameter.start,
                "value": one.value,
                "half_width": one.half_width,
            }
            for one in fit.parameters
        ],
        "bias": [{"name": one.name, "rows": one.rows, "bias_m": one.bias} for one in fit.groups],
        "rows": [
            {"row": row.number, "published_m": row.middle, "miss_m": miss}
            for row, miss in zip(fit.table.rows, fit.misses, strict=True)
        ],
        "cautions": cautions(invented=fit.start.invented),
    }


def comparison_text(comparison: Comparison) -> str:
    """Return how an aircraft file meets a table, in words."""
    rows, name = comparison.table.rows, comparison.aircraft.name
    verdict = "does NOT meet" if comparison.problems else "meets"
    lines = [f"{name} {verdict} the {len(rows)} rows of {comparison.table.name}."]
    lines += [f"  {one}" for one in comparison.problems]
    lines += ["", "Bias, computed less published"]
    lines += [f"  {one.name}: {one.bias:+.1f} m over {one.rows} rows" for one in comparison.groups]
    lines += ["", "Rows (unfactored): published, computed less published"]
    lines += [_row(row, miss) for row, miss in zip(rows, comparison.misses, strict=True)]
    return "\n".join([*lines, "", *cautions(invented=comparison.aircraft.invented)])


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """Return how an aircraft file meets a table as plain values, SI."""
    return {
        "format": 1,
        "kind": "check-against",
        "table": comparison.table.name,
        "digest": comparison.table.digest,
        "meets": not comparison.problems,
        "problems": list(comparison.problems),
        "bias": [{"name": one.name, "rows": one.rows, "bias_m": one.bias} for one in comparison.groups],
        "rows": [
            {"row": row.number, "published_m": row.middle, "miss_m": miss}
            for row, miss in zip(comparison.table.rows, comparison.misses, strict=True)
        ],
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
        parameter = one.parameter
        *path, last = parameter.key.split(".")
        inside = content
        for part in path:
            inside = inside[part]
        value = value_at(fit.aircraft, parameter.key)
        if parameter.scale:
            inside[last] = [f"{force:.1f} {parameter.unit}" for force in value]
        else:
            inside[last] = f"{value:.5f} {parameter.unit}" if parameter.unit else round(float(value), 6)
        sources[parameter.key] = (
            f"fitted to {fit.table.name}, 95 % within {one.half_width:.3g} {parameter.unit}".strip()
        )
    content["source"] = (
        f"Fitted to {len(rows)} rows of {fit.table.name}, 95 % within {fit.within:.0f} m; "
        f"what the table does not determine is from {fit.start.name}."
    )

    def ends(of: Callable[[PublishedRow], float], unit: str, digits: int = 3) -> list[str]:
        values = [of(row) for row in rows]
        return [f"{min(values):.{digits}f} {unit}", f"{max(values):.{digits}f} {unit}"]

    content["fit"] = {
        "table": fit.table.name[:80],
        "digest": fit.table.digest,
        "start": fit.start.name,
        "rows": len(rows),
        "within": f"{fit.within:.1f} m",
        "fitted": _keys(fit.parameters, fitted=True),
        "left": _keys(fit.parameters, fitted=False),
        "outside": outside,
        "masses": ends(lambda row: row.mass, "kg"),
        "pressure_altitudes": ends(lambda row: row.pressure_altitude, "m"),
        "temperatures": ends(lambda row: row.temperature - ZERO_CELSIUS, "degC"),
        "headwinds": ends(lambda row: row.headwind, "m/s", 5),
        "codes": sorted({row.code for row in rows}, reverse=True),
        "flaps": sorted({row.flap for row in rows}),
    }
    return content


def _keys(parameters: Sequence[FittedParameter], *, fitted: bool) -> list[str]:
    return [one.parameter.key for one in parameters if one.fitted == fitted]
