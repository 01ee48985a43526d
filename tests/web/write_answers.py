"""Write the answers on which the component tests of the page run: `python -m tests.web.write_answers`.

They are real answers of the present program, written before each run of those tests and not kept.
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Final

from groundroll.web.work import compute
from groundroll.web.workspace import Workspace
from tests.web.recordings import FLEET, put_recordings

FOLDER: Final = Path(__file__).parents[2] / "out" / "answers"
ANSWERS: Final = {
    "land": ("land", "wet-gusty-arrival", {"history_step_s": 0.5}),
    "nothing-fits": ("land", "nothing-fits", {"history_step_s": 0.5}),
    "reject": ("reject", "departure-wet", {"strip": True}),
    "turn": ("turn", "day", {}),
}


def main() -> None:
    """Write one file for each answer."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        workspace = Workspace(Path(folder) / "workspace")
        workspace.prepare()
        for name, (kind, case, more) in ANSWERS.items():
            text = workspace.text("cases", f"{case}.toml")
            answer = compute(kind, str(workspace.folder), {"case": text} | more)
            if answer.status != 200:
                raise SystemExit(answer.body.decode())
            (FOLDER / f"{name}.json").write_bytes(answer.body)
        first, other = (workspace.text("cases", f"{one}.toml") for one in ("wet-gusty-arrival", "nothing-fits"))
        put_recordings(workspace.folder)
        more = {
            "against": ("land", {"case": first, "against": other}),
            "fleet": ("fleet", {"name": FLEET}),
            "review": ("review", {"recording": "invented.parquet", "case": first}),
        }
        for name, (kind, request) in more.items():
            answer = compute(kind, str(workspace.folder), request)
            if answer.status != 200:
                raise SystemExit(answer.body.decode())
            (FOLDER / f"{name}.json").write_bytes(answer.body)
        report = compute("read", str(workspace.folder), {"text": "runway 25 wet 5/5/3", "words": True})
        (FOLDER / "read.json").write_bytes(report.body)
    json.loads((FOLDER / "land.json").read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
