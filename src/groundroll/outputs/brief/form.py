"""A brief as JSON: what stands on the page, in words, beside the plan in SI values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from groundroll.outputs.brief.content import Brief

BRIEF_FORMAT: Final = 1
"""Format number of the JSON of a brief."""


def _with_units(value: Any, suffix: str) -> Any:
    """Return plain values, the names of all real numbers in them ending with their unit."""
    if isinstance(value, dict):
        return {
            f"{name}_{suffix}" if isinstance(one, float) else name: _with_units(one, suffix)
            for name, one in value.items()
        }
    return [_with_units(one, suffix) for one in value] if isinstance(value, list | tuple) else value


def brief_json(brief: Brief, plan: dict[str, Any]) -> dict[str, Any]:
    """Return the brief as plain, JSON-ready values.

    Parameters
    ----------
    brief
        What stands on the page.
    plan
        The JSON of the landing or of the rejected take-off.
    """
    page = asdict(brief)
    page["strip"] = _with_units(page["strip"], "m")
    page["window"] = _with_units(page["window"], "mps")
    return {
        "format": BRIEF_FORMAT,
        "kind": "brief",
        "title": brief.title,
        "fits": brief.fits,
        "computed": brief.computed,
        "version": brief.version,
        "inputs_digest": brief.digest,
        "aloud": list(brief.aloud),
        "page": page,
        "plan": plan,
        "cautions": plan["cautions"],
        "sources": plan["sources"],
        "inputs": plan["inputs"],
    }
