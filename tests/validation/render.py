"""Write ``docs/validation.md`` from the validation cases: ``python -m tests.validation.render`` at the root."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Final

from groundroll.physics.sources import STATUSES
from tests.validation.case import ValidationCase
from tests.validation.cases import CASES

PAGE: Final = Path(__file__).parents[2] / "docs" / "validation.md"

COMMAND: Final = "python -m tests.validation.render"

_HEAD: Final = """# Validation

<!-- Written by `{command}` from `tests/validation/`; do not edit. -->

What groundroll gives beside what has been published. The same list is run by the tests: a row whose difference exceeds
its tolerance fails them. *Ours* is printed with as many decimals as the source prints. The status says how far the
published value itself has been checked against its document:

{statuses}

{count} cases, of which {counts}.
"""

_MEANING: Final = {
    "confirmed": "read in the document itself",
    "second-hand": "read in another text that quotes the document",
    "from memory": "recalled, not opened; a check of our arithmetic, not of the document",
    "derived": "worked by hand from other published values",
    "common practice, no source": "widely used, nobody to quote",
    "assumption of this project": "chosen here",
}


def _row(case: ValidationCase) -> str:
    ours = case.compute()
    unit = f" {case.unit}" if case.unit else ""
    difference = round(ours - case.published, case.decimals + 2) + 0.0  # + 0.0 turns a negative zero into zero
    return (
        f"| {case.case} | {case.source} | {case.published:.{case.decimals}f}{unit} | {ours:.{case.decimals}f}{unit} "
        f"| {difference:+.{case.decimals + 1}f} | {case.tolerance:.2g} | {case.status} |"
    )


def render(cases: list[ValidationCase]) -> str:
    """Return the page."""
    used = {case.status for case in cases}
    statuses = [status for status in STATUSES if status in used]
    counts = ", ".join(f"{sum(case.status == status for case in cases)} {status}" for status in statuses)
    lines = [
        _HEAD.format(
            command=COMMAND,
            statuses="\n".join(f"- **{status}**: {_MEANING[status]}" for status in statuses),
            count=len(cases),
            counts=counts,
        )
    ]
    for topic, group in groupby(cases, key=lambda case: case.topic):
        lines += [
            f"## {topic}\n",
            "| case | source | published | ours | difference | tolerance | status |",
            "| --- | --- | ---: | ---: | ---: | ---: | --- |",
            *(_row(case) for case in group),
            "",
        ]
    return "\n".join(lines)


if __name__ == "__main__":
    PAGE.write_text(render(CASES), encoding="utf-8")
    print(f"wrote {PAGE}")
