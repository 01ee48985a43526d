"""Runway files from open data: AIXM 5.1.1, extracts of OpenStreetMap, the OurAirports runway table.

Nothing is fetched; the files are the user's. What is worked out is marked as derived in the file that is written, and
what is odd in the data is said.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal, TypeAlias, cast, get_args

from pydantic import ValidationError

from groundroll.errors import DataError, ScenarioError
from groundroll.scenario.check_runway import check_runway
from groundroll.scenario.messages import Problems
from groundroll.scenario.model import Runway
from groundroll.scenario.quantity import shown
from groundroll.scenario.runway_data.strip import Reader, Warnings, plain

Source: TypeAlias = Literal["aixm", "geojson", "csv"]
"""Kinds of open data."""

SOURCES: Final[tuple[str, ...]] = get_args(Source)
"""The same, as a list for messages."""

LARGEST_FILE: Final = 64_000_000
"""Most bytes of all files together. Assumption of this project: an aerodrome has a hundredth, the whole OurAirports
table a tenth of it."""

MOST_FILES: Final = 100
"""Assumption of this project: one file for each of the feature types of AIXM that are read, several times over."""


@dataclass(frozen=True)
class RunwayData:
    """A runway file made from open data."""

    text: str
    """The file, TOML."""
    runway: Runway
    """What it holds: it has been read back."""
    warnings: tuple[str, ...]
    """What is odd about the data, one sentence each."""


def guess_source(content: bytes) -> Source:
    """Return the kind of data that a file begins like.

    Examples
    --------
    >>> guess_source(b'  <?xml version="1.0"?>'), guess_source(b'{"type": 1}'), guess_source(b"id,airport_ref")
    ('aixm', 'geojson', 'csv')
    """
    start = content[:4_000].removeprefix(b"\xef\xbb\xbf").lstrip()
    if start.startswith((b"<", b"\xff\xfe", b"\xfe\xff")):
        return "aixm"
    return "geojson" if start.startswith((b"{", b"[")) else "csv"


def _content(paths: Sequence[Path]) -> list[tuple[str, bytes]]:
    if not paths:
        raise DataError("No file is named: groundroll read --runway FILE...")
    if len(paths) > MOST_FILES:
        raise DataError(f"{len(paths)} files are named; at most {MOST_FILES} are read.")
    files: list[tuple[str, bytes]] = []
    total = 0
    for path in paths:
        name = plain(str(path), 200)
        try:
            if path.is_dir():
                raise DataError(f"{name} is a folder; name the files in it: {name}/*.xml")
            with path.open("rb") as file:
                content = file.read(LARGEST_FILE - total + 1)
        except FileNotFoundError as error:
            raise DataError(f"{name}: there is no such file.") from error
        except (OSError, ValueError) as error:
            raise DataError(f"{name} cannot be read: {getattr(error, 'strerror', None) or error}.") from error
        total += len(content)
        if total > LARGEST_FILE:
            raise DataError(f"The files have more than {LARGEST_FILE // 1_000_000} MB; cut them down to one aerodrome.")
        if not content.strip():
            raise DataError(f"{name} is empty.")
        files.append((plain(path.name, 100), content))
    return files


def _reader(source: Source) -> Reader:
    if source == "aixm":
        from groundroll.scenario.runway_data.aixm import read_aixm

        return read_aixm
    if source == "geojson":
        from groundroll.scenario.runway_data.geojson import read_geojson

        return read_geojson
    from groundroll.scenario.runway_data.our_airports import read_our_airports

    return read_our_airports


def read_runway_data(
    paths: Sequence[Path],
    *,
    aerodrome: str | None = None,
    designator: str | None = None,
    source: str | None = None,
    given: Mapping[str, str] | None = None,
) -> RunwayData:
    """Return the runway file that open data make.

    Parameters
    ----------
    paths
        Files of one kind: AIXM 5.1.1 (also one file a feature type), GeoJSON or Overpass JSON, the OurAirports table.
    aerodrome
        Location indicator; needed where the data give none or several.
    designator
        Runway, or one of its directions: "07/25", "07"; needed where the aerodrome has several.
    source
        One of `SOURCES`; by default guessed from the content.
    given
        Values that the data lack, as texts: elevation, magnetic_variation, name, surface, width.

    Raises
    ------
    DataError
        If the data cannot be read, do not hold the runway, lack something that a runway file needs, or contradict
        themselves so far that no runway file can be made.
    ScenarioError
        If a value in ``given`` is no such quantity.
    """
    if source is not None and source not in SOURCES:
        raise DataError(f"--source {shown(source)} is not known. Write {', '.join(SOURCES)}.")
    indicator = aerodrome.strip().upper() if aerodrome is not None else None
    files = _content(paths)
    kinds = {source} if source is not None else {guess_source(content) for _, content in files}
    if len(kinds) > 1:
        raise DataError(
            f"The files are of different kinds ({', '.join(sorted(map(str, kinds)))}); give files of one kind."
        )
    warnings = Warnings()
    strip = _reader(cast(Source, kinds.pop()))(files, indicator, designator, warnings)
    from groundroll.scenario.runway_data.assemble import assemble
    from groundroll.scenario.runway_data.write import runway_text

    text = runway_text(assemble(strip, indicator, given or {}, warnings), warnings.lines)
    return RunwayData(text, _read_back(text), warnings.lines)


def _read_back(text: str) -> Runway:
    """Return the runway in the text just written, by the same checks as any runway file."""
    problems, file = Problems(), "the runway"
    try:
        runway = Runway.model_validate(tomllib.loads(text))
        check_runway(runway, file, problems)
        problems.raise_if_any()
    except ValidationError as error:
        problems.add_validation(error, Runway, file)
        raise DataError(f"The data make no runway file. {'; '.join(problems.lines[:4])}") from error
    except ScenarioError as error:
        raise DataError(f"The data make no runway file. {'; '.join(problems.lines[:4])}") from error
    return runway
