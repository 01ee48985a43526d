"""Write the output shown in ``README.md``: ``python -m tests.render_readme`` at the root."""

from __future__ import annotations

import io
import os
from contextlib import redirect_stdout
from pathlib import Path
from typing import Final
from unittest import mock

from groundroll.commands import DONE, run

ROOT: Final = Path(__file__).parents[1]
PAGE: Final = ROOT / "README.md"
COMMAND: Final = "python -m tests.render_readme"
CASE: Final = "examples/wet-gusty-arrival/case.toml"
BEGIN: Final = f"<!-- output: begin; written by `{COMMAND}`, do not edit -->\n"
END: Final = "<!-- output: end -->\n"


def block() -> str:
    """Return what the command prints now, as the page shows it."""
    printed = io.StringIO()
    with mock.patch.dict(os.environ, {"COLUMNS": "100"}), redirect_stdout(printed):
        code = run(["land", str(ROOT / CASE)])
    assert code == DONE, f"groundroll land {CASE} ended with {code}"
    return f"```text\n$ groundroll land {CASE}\n{printed.getvalue()}```\n"


def render(page: str) -> str:
    """Return the page with its output fresh."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    assert begin, "README.md has lost the mark where the output begins"
    assert end, "README.md has lost the mark where the output ends"
    return before + BEGIN + block() + END + after


if __name__ == "__main__":
    PAGE.write_text(render(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    print(f"wrote {PAGE}")
