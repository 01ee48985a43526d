"""Where a report and the assessment matrix disagree: sentences to show, never a reason to refuse."""

from __future__ import annotations

from groundroll.reports.model import RunwayCondition, ThirdCondition
from groundroll.reports.wording import (
    COVERAGE_STEPS,
    DEPTH_WORDS,
    SHALLOW_DEPTH,
    SMALL_COVERAGE,
    UPGRADE_CEILING,
    matrix_codes,
)

_PLACES = {
    "lower designator": ("first third", "second third", "last third"),
    "as named": ("first third", "second third", "last third"),
    "landing": ("touchdown third", "middle third", "roll-out third"),
}


def millimetres(depth: float) -> str:
    """Return a depth in millimetres as a pilot reads it.

    Examples
    --------
    >>> millimetres(0.006), millimetres(0.0254 / 8)
    ('6 mm', '3.2 mm')
    """
    value = round(depth * 1000.0, 1)
    return f"{value:.0f} mm" if value == round(value) else f"{value:.1f} mm"


def runway_name(runway: RunwayCondition) -> str:
    """Return "Runway 09L", or "Runway" where the report names none."""
    return f"Runway {runway.runway}" if runway.runway else "Runway"


def place_names(runway: RunwayCondition) -> tuple[str, str, str]:
    """Return what the three thirds are called, in the order of the report."""
    return _PLACES[runway.direction]


def check_runway(runway: RunwayCondition, steps: bool) -> list[str]:
    """Return a sentence for each disagreement between the thirds of a runway and the published rules.

    Parameters
    ----------
    runway
        What was reported.
    steps
        True where the form of the report knows only coverages of 25, 50, 75 and 100 %, whole codes for every third, and
        depth for every loose contaminant (SNOWTAM).
    """
    found: list[str] = []
    for place, third in zip(place_names(runway), runway.thirds, strict=True):
        found += [
            f"{runway_name(runway)}, {place}: {sentence}"
            for sentence in (
                *_check_code(third),
                *(_check_coverage(third) if steps else ()),
                *_check_depth(third, steps),
            )
        ]
    return found


def _check_code(third: ThirdCondition) -> list[str]:
    """Compare code and condition word with the matrix (Doc 9981 Table II-1-3, second-hand)."""
    if third.code is None:
        return ["no runway condition code is reported."]
    if third.descriptor is None:
        return []
    allowed = matrix_codes(third.descriptor, third.depth)
    depth = "" if third.depth is None else f" {millimetres(third.depth)}"
    base = " or ".join(str(code) for code in allowed)
    if third.code in allowed:
        return []
    small = third.coverage_percent is not None and third.coverage_percent <= SMALL_COVERAGE
    if third.code == 6 and third.descriptor != "DRY" and (small or third.coverage_percent is None):
        return []  # up to 25 % covered, or less than the smallest reported coverage: code 6 is the rule
    start = f"{third.descriptor}{depth} has code {base} in the assessment matrix, but {third.code} is reported: "
    if third.code < min(allowed):
        return [start + "downgraded."]
    if min(allowed) > 1:
        return [start + f"above the matrix, and code {base} may not be upgraded."]
    if third.code > UPGRADE_CEILING:
        return [start + f"above the matrix, and higher than {UPGRADE_CEILING}, the highest an upgrade may reach."]
    return [start + "upgraded."]


def _check_coverage(third: ThirdCondition) -> list[str]:
    """Compare coverage with code and steps (Doc 9981, second-hand; Reg. (EU) 2022/938, item E).

    A FICON notice follows another rule, over the whole runway (AOPA Pilot, December 2016, page 35), so it is not asked.
    """
    coverage = third.coverage_percent
    if coverage is None:
        return []
    found = []
    if coverage not in COVERAGE_STEPS:
        found.append(f"coverage {coverage} % is none of 25, 50, 75 and 100 %.")
    if coverage <= SMALL_COVERAGE and third.code is not None and third.code != 6:
        found.append(
            f"coverage {coverage} % with code {third.code}; a third of which 25 % or less is covered has code 6."
        )
    return found


def _check_depth(third: ThirdCondition, steps: bool) -> list[str]:
    """Compare depth with the condition word (PANS-AIM Appendix 4, item F, from memory)."""
    word, depth = third.descriptor, third.depth
    if word is None:
        return []
    if depth is None:
        missing = steps and word in DEPTH_WORDS and third.code != 6
        return [f"no depth is reported for {word}."] if missing else []
    found = []
    if word not in DEPTH_WORDS and "ON TOP OF" not in word:
        found.append(f"depth {millimetres(depth)} is reported for {word}, for which no depth is expected.")
    if word == "WET" and depth > SHALLOW_DEPTH:
        found.append(f"water {millimetres(depth)} deep is standing water (code 2), not WET.")
    if word == "STANDING WATER" and depth <= SHALLOW_DEPTH:
        found.append(f"water {millimetres(depth)} deep is WET (code 5), not standing water.")
    return found
