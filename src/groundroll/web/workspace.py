"""The workspace: a folder of plain scenario files, seeded from the examples, written all or nothing.

workspace/
  aircraft/  runways/     files of aeroplanes and runways
  cases/                  landings, take-offs and days; they name the others by relative path, as the commands read
  fleets/NAME/            folders of recordings that `groundroll fleet` has reviewed, with their data set
  recordings/             recordings of single landings, CSV or Parquet
  lessons/                lessons that somebody writes; they name cases by relative path
  page.json               what stands in the form of the page, so that nothing typed is lost
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import secrets
import shutil
import tomllib
from pathlib import Path
from typing import Any, Final

from groundroll.errors import ScenarioError
from groundroll.scenario.files import LARGEST_FILE, load, parse
from groundroll.scenario.toml_text import plain, to_toml

SECTIONS: Final = ("aircraft", "runways", "cases")
FLEETS: Final = "fleets"
RECORDINGS: Final = "recordings"
LESSONS: Final = "lessons"
MOST_FILES: Final = 2_000
"""Files listed of one section. Assumption of this project: far above what one person keeps."""

LARGEST_STATE: Final = 1_000_000
"""Largest `page.json`. [bytes] Assumption of this project."""

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}\.toml\Z")
_FOLDER = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}\Z")
_RECORDING = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}\.(csv|parquet)\Z")


class NotInWorkspace(ScenarioError):  # noqa: N818 - the family of errors is named for what is wrong
    """A name that is not a file of the workspace."""


def examples_folder() -> Path:
    """Return the folder of worked examples, beside the package when installed, in the checkout otherwise."""
    package = Path(__file__).parents[1]
    installed = package / "examples"
    return installed if installed.is_dir() else package.parents[1] / "examples"


class Workspace:
    """One folder of scenario files."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()

    def prepare(self) -> None:
        """Make the folder and put the examples into it, where it is new."""
        if self.folder.exists() and not self.folder.is_dir():
            raise ScenarioError(f"{self.folder} is not a folder; name a folder for the workspace.")
        new = not any((self.folder / one).is_dir() for one in SECTIONS)
        try:
            for one in (*SECTIONS, FLEETS, RECORDINGS, LESSONS):
                (self.folder / one).mkdir(parents=True, exist_ok=True)
            if new:
                for source, section, name in example_files():
                    shutil.copyfile(source, self.folder / section / name)
        except OSError as error:
            raise ScenarioError(f"{self.folder} cannot be written: {error.strerror or error}.") from error

    def path(self, section: str, name: str) -> Path:
        """Return the path of a file by section and name; nothing outside the workspace can be named."""
        if section not in SECTIONS:
            raise NotInWorkspace(f'"{section[:40]}" is not a part of the workspace. Known: {", ".join(SECTIONS)}.')
        if not _NAME.match(name):
            raise NotInWorkspace(
                f'"{name[:90]}" is not a name for a file here. Use letters, digits, space, dot, dash and underscore, '
                "with .toml at the end, at most 85 characters."
            )
        path = self.folder / section / name
        if path.resolve().parent != self.folder / section:
            raise NotInWorkspace(f"{section}/{name} leads out of the workspace.")
        return path

    def names(self, section: str) -> list[str]:
        """Return the names of the files in a section."""
        folder = self.folder / section
        found = sorted(one.name for one in folder.glob("*.toml") if _NAME.match(one.name)) if folder.is_dir() else []
        return found[:MOST_FILES]

    def text(self, section: str, name: str) -> str:
        """Return the text of a file.

        Raises
        ------
        NotInWorkspace
            If there is no such file.
        """
        path = self.path(section, name)
        if not path.is_file():
            raise NotInWorkspace(f"{section}/{name}: there is no such file.")
        if path.stat().st_size > LARGEST_FILE:
            raise ScenarioError(f"{section}/{name} is larger than {LARGEST_FILE / 1e6:.0f} MB.")
        try:
            return path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise ScenarioError(f"{section}/{name} cannot be read as text.") from error

    def write(self, section: str, name: str, text: str) -> None:
        """Write a file, all of it or nothing; what is not TOML is refused."""
        path = self.path(section, name)
        content = text.encode("utf-8", "replace")
        parse(content, name)
        _replace(path, content)

    def delete(self, section: str, name: str) -> None:
        """Remove a file."""
        path = self.path(section, name)
        if not path.is_file():
            raise NotInWorkspace(f"{section}/{name}: there is no such file.")
        path.unlink()

    def fleets(self) -> list[str]:
        """Return the names of the fleets that have a data set."""
        folder = self.folder / FLEETS
        found = sorted(folder.glob("*/reviewed/parts")) if folder.is_dir() else []
        names = [one.parents[1].name for one in found if one.resolve() == one]
        return [one for one in names if _FOLDER.match(one)][:MOST_FILES]

    def fleet(self, name: str) -> Path:
        """Return the data set of a fleet by its name.

        Raises
        ------
        NotInWorkspace
            If there is none of that name, or it lies elsewhere.
        """
        path = self.folder / FLEETS / name / "reviewed"
        if not _FOLDER.match(name) or not (path / "parts").is_dir():
            raise NotInWorkspace(
                f'"{name[:90]}" is not a reviewed fleet of the workspace. Put its folder into {FLEETS} and run: '
                f"groundroll fleet {FLEETS}/NAME"
            )
        if path.resolve() != self.folder / FLEETS / name / "reviewed":
            raise NotInWorkspace(f"{FLEETS}/{name} leads out of the workspace.")
        return path

    def recordings(self) -> list[str]:
        """Return the names of the recordings of single landings."""
        folder = self.folder / RECORDINGS
        found = sorted(one.name for one in folder.iterdir() if _RECORDING.match(one.name)) if folder.is_dir() else []
        return found[:MOST_FILES]

    def recording(self, name: str) -> Path:
        """Return the path of a recording by its name; nothing outside the workspace can be named."""
        path = self.folder / RECORDINGS / name
        if not _RECORDING.match(name) or not path.is_file():
            raise NotInWorkspace(
                f'"{name[:90]}" is not a recording of the workspace. Put a CSV or Parquet file into {RECORDINGS}.'
            )
        if path.resolve().parent != self.folder / RECORDINGS:
            raise NotInWorkspace(f"{RECORDINGS}/{name} leads out of the workspace.")
        return path

    def state(self) -> dict[str, Any] | None:
        """Return what the page kept; None where there is nothing that can be read."""
        path = self.folder / "page.json"
        with contextlib.suppress(OSError, ValueError, RecursionError):
            found = json.loads(path.read_text(encoding="utf-8"))
            return found if isinstance(found, dict) else None
        return None

    def keep_state(self, state: dict[str, Any]) -> None:
        """Keep what stands in the page."""
        content = json.dumps(state, ensure_ascii=False).encode("utf-8", "replace")
        if len(content) > LARGEST_STATE:
            raise ScenarioError(f"The content of the page is larger than {LARGEST_STATE // 1_000_000} MB.")
        _replace(self.folder / "page.json", content)

    def named(self, name: object, key: str, file: str) -> Path:
        """Return the file that a case names relative to itself, refused outside the workspace.

        Parameters
        ----------
        name
            As the case has it: "../aircraft/mine.toml".
        key
            Key of the case, for the message.
        file
            Name of the case file, for the message.
        """
        if not isinstance(name, str) or not name or "\0" in name or len(name) > 1_000:
            raise ScenarioError(f"{file}, {key}: is missing. Name a file of the workspace.")
        try:
            path = (self.folder / "cases" / name).resolve()
            inside = path.is_relative_to(self.folder)
        except (OSError, RuntimeError, ValueError):
            inside = False
        if not inside or Path(name).is_absolute():
            raise ScenarioError(f'{file}, {key}: "{name[:200]}" is outside the workspace.')
        if not path.is_file():
            raise ScenarioError(f"{file}, {key}: {name[:200]}: there is no such file in the workspace.")
        return path


def example_files() -> list[tuple[Path, str, str]]:
    """Return source, section and name in the workspace of every example."""
    folder, found = examples_folder(), list[tuple[Path, str, str]]()
    for section in ("aircraft", "runways"):
        found += [(one, section, one.name) for one in sorted((folder / section).glob("*.toml"))]
    for one in sorted(folder.glob("*/*.toml")):
        if one.parent.name in SECTIONS or kind_of(_content(one)) not in ("land", "reject", "turn"):
            continue
        name = f"{one.parent.name}.toml" if one.name == "case.toml" else one.name
        found.append((one, "cases", name))
    return found


def _content(path: Path) -> dict[str, Any]:
    try:
        return load(path)
    except ScenarioError:
        return {}


def kind_of(content: dict[str, Any]) -> str:
    """Return which command a scenario is for: land, reject, turn; aircraft, runway or unknown otherwise."""
    if "sectors" in content:
        return "turn"
    if "take_off" in content and ("condition" in content or "direction" in content):
        return "reject"
    if "landing" in content or "condition" in content:
        return "land"
    if "directions" in content:
        return "runway"
    return "aircraft" if "flaps" in content else "unknown"


def content_of(text: str, name: str) -> dict[str, Any]:
    """Return the content of a file as JSON-ready values."""
    found: dict[str, Any] = plain(parse(text.encode("utf-8", "replace"), name))
    return found


def toml_of(case: dict[str, Any] | str) -> dict[str, Any]:
    """Return the content of a case sent as TOML text or as values, as the file would be read."""
    text = case if isinstance(case, str) else to_toml(case)
    return parse(text.encode("utf-8", "replace"), "case.toml")


def is_toml(text: str) -> bool:
    """Return whether a text is TOML."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _replace(path: Path, content: bytes) -> None:
    """Write a file beside the old one and put it in its place in one step."""
    part = path.with_name(f".{path.name[:100]}.{secrets.token_hex(4)}.part")
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        raise ScenarioError(f"{path.name} cannot be written: {error.strerror or error}.") from error
    finally:
        part.unlink(missing_ok=True)
