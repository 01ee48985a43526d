"""`groundroll review`: one recorded landing, and where its runway went."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from groundroll.commands import DONE, AsJson, OutputFile, Overrides, announce_compiling, emit, emit_json

if TYPE_CHECKING:
    from groundroll.review.setting import Setting


def review(
    recording: Annotated[Path, typer.Argument(help="CSV or Parquet file of a recorder or of surveillance.")],
    aircraft: Annotated[Path | None, typer.Option("--aircraft", metavar="FILE", help="Aircraft file.")] = None,
    runway: Annotated[Path | None, typer.Option("--runway", metavar="FILE", help="Runway file.")] = None,
    case: Annotated[
        Path | None,
        typer.Option("--case", metavar="FILE", help="The plan: a case file; it names aircraft and runway itself."),
    ] = None,
    mapping: Annotated[
        Path | None, typer.Option("--mapping", metavar="FILE", help="What the columns are; see docs/review.md.")
    ] = None,
    direction: Annotated[
        str | None, typer.Option(metavar="NN", help="Landing direction; by default from the track.")
    ] = None,
    threshold: Annotated[
        str | None,
        typer.Option(metavar="LAT,LON", help="Position of the landing threshold in degrees, north and east positive."),
    ] = None,
    mass: Annotated[str | None, typer.Option(help='Landing mass, such as "62.5 t", where it is not recorded.')] = None,
    flap: Annotated[str | None, typer.Option(help="Landing flap, as named in the aircraft file.")] = None,
    headwind: Annotated[str | None, typer.Option(help='Headwind, such as "8 kt"; a tailwind is negative.')] = None,
    temperature: Annotated[str | None, typer.Option(help='Air temperature, such as "12 degC".')] = None,
    qnh: Annotated[str | None, typer.Option(help='Altimeter setting, such as "1013 hPa".')] = None,
    codes: Annotated[str | None, typer.Option(help="Reported codes in landing direction, such as 5/5/3.")] = None,
    anonymous: Annotated[
        bool, typer.Option("--anonymous", "--strip", help="Leave out names, positions, dates and flight identity.")
    ] = False,
    page: Annotated[
        Path | None, typer.Option("--page", metavar="FILE", help="Also write one page with charts: .pdf, .svg, .png.")
    ] = None,
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
) -> int:
    """Review one recorded landing: events, braking achieved, the surface, and the ledger from plan to what happened."""
    from groundroll.errors import DataError
    from groundroll.review.landing import review_recording
    from groundroll.review.mapping import read_mapping, read_position
    from groundroll.review.reading import read_recording

    if page is not None:
        from groundroll.outputs.review_page import check_page_name

        check_page_name(page)
    alone = case is None and aircraft is None and runway is None
    if not alone and case is None and (aircraft is None or runway is None):
        raise DataError(
            "Name the aeroplane and the runway: --aircraft FILE --runway FILE, or a plan: --case FILE, or neither to "
            "review the track alone."
        )
    with _stripped(recording, mapping, anonymous=anonymous):
        recorded = read_recording(recording, None if mapping is None else read_mapping(mapping))
        place = None if threshold is None else read_position(threshold)
        planned: Any = None
        if alone:
            return _alone(recorded, None, page, anonymous=anonymous, as_json=as_json, output=output)
        if case is not None:
            setting, planned = _from_case(case, set_ or [], place)
        else:
            assert aircraft is not None  # checked above
            assert runway is not None
            if set_:
                raise DataError("--set changes a plan; give it with --case.")
            elsewhere = None if direction is not None or place is not None else _elsewhere(runway, recorded)
            if elsewhere is not None:
                return _alone(recorded, elsewhere, page, anonymous=anonymous, as_json=as_json, output=output)
            given = {"mass": mass, "headwind": headwind, "temperature": temperature, "pressure_setting": qnh}
            setting = _from_files(aircraft, runway, direction, recorded, place, flap, codes, given)
        announce_compiling()
        result = review_recording(recorded, setting, planned)
        if page is not None:
            from groundroll.outputs.review_page import write_review_page
            from groundroll.physics.rollout import simulate

            drawn = None if planned is None else (planned, simulate(planned.roll, history_step=0.25))
            write_review_page(result, page, drawn, anonymous=anonymous)
        if as_json:
            from groundroll.outputs.review_form import review_json

            emit_json(review_json(result, anonymous=anonymous), output)
        else:
            from groundroll.outputs.review_form import review_text

            emit(review_text(result, anonymous=anonymous), output)
        return DONE


@contextlib.contextmanager
def _stripped(recording: Path, mapping: Path | None, *, anonymous: bool) -> Iterator[None]:
    """Keep names of files and directions out of a refusal as well, where the review is to be anonymous."""
    from groundroll.errors import DataError

    try:
        yield
    except DataError as error:
        if not anonymous:
            raise
        said = str(error)
        for path, word in ((mapping, "the mapping file"), (recording, "the recording")):
            if path is not None:
                said = said.replace(str(path), word).replace(path.name, word)
        raise DataError(re.sub(r"-?\d+(\.\d+)? deg( true)?", "... deg", said)) from None


def _alone(
    recorded: Any, reason: str | None, page: Path | None, *, anonymous: bool, as_json: bool, output: Path | None
) -> int:
    """Review the track alone."""
    from groundroll.outputs.review_track_form import track_json, track_text, write_track_page
    from groundroll.review.track import review_track

    announce_compiling()
    result = review_track(recorded) if reason is None else review_track(recorded, reason)
    if page is not None:
        write_track_page(result, page, anonymous=anonymous)
    if as_json:
        emit_json(track_json(result, anonymous=anonymous), output)
    else:
        emit(track_text(result, anonymous=anonymous), output)
    return DONE


def _elsewhere(runway: Path, recorded: Any) -> str | None:
    """Return why a track cannot be on a runway, None where it can."""
    from groundroll.errors import DataError
    from groundroll.review.repair import find_landing
    from groundroll.review.setting import likely_direction, track_bearing
    from groundroll.scenario.read import read_runway

    bearing = track_bearing(recorded, find_landing(recorded).halfway)
    if bearing is None:
        return None
    try:
        likely_direction(read_runway(runway), bearing)
    except DataError as error:
        return str(error).partition(". ")[0]
    return None


def _from_case(case: Path, changes: list[str], place: tuple[float, float] | None) -> tuple[Setting, Any]:
    """Return the setting of a plan, and its recommended landing."""
    from groundroll.planning.comparison import compared_option
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.planning.ledger import side_of
    from groundroll.review.setting import setting_of_case
    from groundroll.scenario.read import read_case

    resolved = read_case(case, changes)
    decision = decide(plan_landing(resolved))
    option = compared_option(decision)
    planned = side_of(resolved.aircraft, decision.plan.conditions, option.brake, option.reverse)
    return setting_of_case(resolved, place), planned


def _from_files(
    aircraft: Path,
    runway: Path,
    direction: str | None,
    recorded: Any,
    place: tuple[float, float] | None,
    flap: str | None,
    codes: str | None,
    given: dict[str, str | None],
) -> Setting:
    from groundroll.constants import ZERO_CELSIUS
    from groundroll.errors import DataError, ScenarioError
    from groundroll.review.repair import find_landing
    from groundroll.review.setting import likely_direction, setting_of, track_bearing
    from groundroll.scenario.quantity import MASS, PRESSURE, SPEED, TEMPERATURE, Quantity
    from groundroll.scenario.read import read_aircraft, read_runway

    quantities = {
        "mass": Quantity(MASS, 1_000.0, 700_000.0),
        "headwind": Quantity(SPEED, -30.0, 60.0),
        "temperature": Quantity(TEMPERATURE, ZERO_CELSIUS - 60.0, ZERO_CELSIUS + 60.0),
        "pressure_setting": Quantity(PRESSURE, 85_000.0, 110_000.0),
    }
    values: dict[str, float] = {}
    for name, text in given.items():
        if text is not None:
            try:
                values[name] = quantities[name].read(text)
            except ScenarioError as error:
                raise DataError(f"--{'qnh' if name == 'pressure_setting' else name}: {error}") from error
    three: tuple[int, int, int] | None = None
    if codes is not None:
        parts = codes.split("/")
        if len(parts) != 3 or any(not one.strip().isdigit() for one in parts):
            raise DataError(f'--codes "{codes[:20]}": write three codes in landing direction: 5/5/3.')
        three = (int(parts[0]), int(parts[1]), int(parts[2]))
    strip = read_runway(runway)
    if direction is None:
        bearing = track_bearing(recorded, find_landing(recorded).halfway)
        if bearing is None:
            raise DataError("The recording does not say in which direction it landed: give --direction.")
        direction = likely_direction(strip, bearing)
    return setting_of(
        read_aircraft(aircraft), strip, direction.strip().upper(), flap=flap, codes=three, threshold=place, **values
    )
