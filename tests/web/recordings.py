"""Recordings for the tests of the workbench: a reviewed fleet and a single landing, all invented."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Final

from groundroll.review.fleet import read_fleet, run_fleet
from groundroll.review.fleet_invent import invent_fleet
from groundroll.web.workspace import Workspace, examples_folder

FLEET: Final = "invented fleet"
SIZE: Final = 24


def put_recordings(workspace: Path) -> None:
    """Put them where a user would."""
    Workspace(workspace).prepare()
    fleet = workspace / "fleets" / FLEET
    invent_fleet(fleet, examples_folder() / "wet-gusty-arrival" / "case.toml", SIZE, sensors="recorder")
    run_fleet(read_fleet(fleet), fleet / "reviewed")
    shutil.copyfile(min(fleet.glob("*.parquet")), workspace / "recordings" / "invented.parquet")
