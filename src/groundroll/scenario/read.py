"""Reading scenario files: text in, a checked `Aircraft`, `Runway` or `Case` out, or one clear `ScenarioError`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from pydantic import ValidationError

from groundroll.errors import ScenarioError
from groundroll.scenario import resolve
from groundroll.scenario.check_runway import check_runway, landing_direction
from groundroll.scenario.files import load
from groundroll.scenario.messages import Problems, nearest
from groundroll.scenario.model import Aircraft, CaseFile, Runway, Section
from groundroll.scenario.overrides import apply, apply_to_runway, read_overrides
from groundroll.scenario.quantity import shown
from groundroll.scenario.resolved import Case
from groundroll.scenario.upgrade import upgrade

if TYPE_CHECKING:
    from groundroll.scenario.day import Day
    from groundroll.scenario.take_off import TakeOffCase

AnySection = TypeVar("AnySection", bound=Section)


def _validated(
    model: type[AnySection], data: dict[str, Any], file: str, problems: Problems, prefix: str = ""
) -> AnySection | None:
    """Return the content of a file as a model; None, with the problems added, where it cannot be."""
    try:
        return model.model_validate(upgrade(data))
    except ScenarioError as error:
        key, _, text = str(error).partition(": ")
        problems.add(file, key, text, prefix=prefix)
    except ValidationError as error:
        problems.add_validation(error, model, file, prefix)
    return None


def _aircraft(data: dict[str, Any], path: Path, problems: Problems) -> Aircraft | None:
    aircraft = _validated(Aircraft, data, path.name, problems, "aircraft.")
    if aircraft is not None and aircraft.braking_table is not None:
        _check_braking_table(aircraft.braking_table, path, problems)
    return aircraft


def _check_braking_table(name: str, path: Path, problems: Problems) -> None:
    from groundroll.physics.braking import read_braking_table

    try:
        load(path.parent / name)
        read_braking_table(path.parent / name)
    except (ScenarioError, ValueError) as error:
        problems.add(path.name, "braking_table", str(error), prefix="aircraft.")


def _runway(data: dict[str, Any], path: Path, problems: Problems) -> Runway | None:
    runway = _validated(Runway, data, path.name, problems, "runway.")
    if runway is None:
        return None
    before = len(problems.lines)
    check_runway(runway, path.name, problems)
    return runway if len(problems.lines) == before else None


def read_aircraft(path: Path | str) -> Aircraft:
    """Return the aeroplane in a file.

    Raises
    ------
    ScenarioError
        With all problems of the file, one line each.
    """
    path, problems = Path(path), Problems()
    aircraft = _aircraft(load(path), path, problems)
    problems.raise_if_any()
    assert aircraft is not None  # without a problem there is a result
    return aircraft


def read_runway(path: Path | str) -> Runway:
    """Return the runway in a file; raise one `ScenarioError` with all problems."""
    path, problems = Path(path), Problems()
    runway = _runway(load(path), path, problems)
    problems.raise_if_any()
    assert runway is not None  # without a problem there is a result
    return runway


@dataclass(frozen=True)
class OpenedCase(Generic[AnySection]):
    """A case file and the files it names, changes applied, each validated; what is wrong is in `problems`."""

    case: AnySection | None
    data: dict[str, Any]
    aircraft: Aircraft | None
    runway: Runway | None
    files: dict[str, Path]
    problems: Problems


def opened_case(
    path: Path | str,
    overrides: Sequence[str],
    model: type[AnySection],
    refuse: Callable[[dict[str, Any], str, Problems], None] | None = None,
) -> OpenedCase[AnySection]:
    """Return a case file of any kind with its aircraft and runway files.

    Parameters
    ----------
    path
        Case file; it names aircraft and runway files relative to itself.
    overrides
        Changes as `key=value`.
    model
        What the case file must be.
    refuse
        Looks at the content, the file's name and the problems before the file is validated.
    """
    path = Path(path)
    changes = read_overrides(overrides)
    data = load(path)
    overridden: set[str] = set()
    for one in changes:
        if one.file == "case":
            apply(one, data)
        if one.file != "runway":
            overridden.add(".".join(one.parts if one.file == "case" else ("aircraft", *one.parts)))
    problems = Problems(overridden)
    if refuse is not None:
        refuse(data, path.name, problems)
    case = _validated(model, data, path.name, problems)
    aircraft_path, aircraft_data = _named_file("aircraft", data, path, problems)
    runway_path, runway_data = _named_file("runway", data, path, problems)
    for one in changes:
        if one.file == "aircraft" and aircraft_data is not None:
            apply(one, aircraft_data)
        if one.file == "runway" and runway_data is not None:
            overridden.add(apply_to_runway(one, runway_data, _designator(data.get("direction"))))
    aircraft = _aircraft(aircraft_data, aircraft_path, problems) if aircraft_data is not None else None
    runway = _runway(runway_data, runway_path, problems) if runway_data is not None else None
    files = {"case": path, "aircraft": aircraft_path, "runway": runway_path}
    return OpenedCase(case, data, aircraft, runway, files, problems)


def read_case(path: Path | str, overrides: Sequence[str] = ()) -> Case:
    """Return the case in a file with everything it names read, looked up and checked.

    Parameters
    ----------
    path
        Case file; it names aircraft and runway files relative to itself.
    overrides
        Changes as `key=value`, such as "landing.mass=60 t"; keys beginning with `aircraft.` or `runway.` reach into
        those files.

    Raises
    ------
    ScenarioError
        With all problems of all three files, one line each, at most ten.
    """
    opened = opened_case(path, overrides, CaseFile)
    case, problems = opened.case, opened.problems
    resolved = None
    if case is not None:
        written = resolve.Written(case, opened.data, opened.files["case"].name, problems)
        resolved = _resolved(written, opened.aircraft, opened.runway, opened.files)
    problems.raise_if_any()
    assert resolved is not None  # without a problem there is a result
    return resolved


def _designator(value: object) -> str | None:
    """Return the landing direction of a case not yet validated, None where it is no direction at all."""
    text = f"{value:02d}" if isinstance(value, int) and not isinstance(value, bool) else value
    return text.strip().upper() if isinstance(text, str) else None


def _named_file(key: str, data: dict[str, Any], path: Path, problems: Problems) -> tuple[Path, dict[str, Any] | None]:
    """Return path and content of a file that the case names."""
    name = data.get(key)
    if not isinstance(name, str) or not name:
        return path, None  # the validation of the case says so
    named = path.parent / name
    try:
        return named, load(named)
    except ScenarioError as error:
        problems.add(path.name, key, str(error))
        return named, None


def _resolved(
    written: resolve.Written, aircraft: Aircraft | None, runway: Runway | None, files: dict[str, Path]
) -> Case | None:
    """Return the case with everything looked up; None, with the problems added, where something is wrong."""
    case = written.case
    landing = resolve.resolve_landing(written, aircraft, files["aircraft"].name) if aircraft is not None else None
    if aircraft is not None:
        resolve.check_failures(written, aircraft)
    if runway is None:
        return None
    weather, weather_report = resolve.resolve_weather(written, runway)
    if case.direction not in runway.directions:
        hint = nearest(case.direction, runway.directions)
        written.problems.add(
            written.file, "direction", f'"{case.direction}" is not a direction of {files["runway"].name}. {hint}'
        )
        return None
    condition, line = resolve.resolve_condition(written, runway, weather.temperature if weather else None)
    resolve.check_touchdown(written, runway)
    resolve.check_choice(written, runway)
    if aircraft is None or landing is None or weather is None or condition is None:
        return None
    direction = landing_direction(runway, case.direction)
    remarks = (
        *weather.remarks,
        *condition.remarks,
        *resolve.remarks_on_times(case.time, weather_report, line),
        *resolve.remarks_on_slope(runway, case.direction, direction.slope),
    )
    table = files["aircraft"].parent / aircraft.braking_table if aircraft.braking_table is not None else None
    return Case(
        title=case.title,
        aircraft=aircraft,
        runway=runway,
        direction=case.direction,
        direction_data=direction,
        time=case.time,
        weather=weather,
        condition=condition,
        landing=landing,
        failures=case.failures,
        dispatch=case.dispatch,
        choice=case.choice,
        display=case.display,
        remarks=remarks,
        braking_table=table,
        sources=files if table is None else {**files, "braking_table": table},
        uncertainty=case.uncertainty,
    )


def read_any(path: Path | str, overrides: Sequence[str] = ()) -> Aircraft | Runway | Case | TakeOffCase | Day:
    """Return what is in a scenario file of any kind; a case or a day is read with the files it names."""
    path = Path(path)
    data = load(path)
    if "sectors" in data:
        from groundroll.scenario.day import read_day  # it reads cases, from here

        return read_day(path, overrides)
    if "take_off" in data and "landing" not in data and ("condition" in data or "direction" in data):
        from groundroll.scenario.take_off import read_take_off_case  # it shares the helpers here

        return read_take_off_case(path, overrides)
    if "landing" in data or "condition" in data or "direction" in data:
        return read_case(path, overrides)
    if overrides:
        raise ScenarioError(f"--set {shown(overrides[0])}: changes a case; {path.name} is none.")
    if "directions" in data or "aerodrome" in data:
        return read_runway(path)
    if "flaps" in data or "brakes" in data or "tyres" in data:
        return read_aircraft(path)
    raise ScenarioError(
        f"{path.name}: is not a case (no [landing]), a day (no [[sectors]]), a runway (no [directions]) or an aircraft "
        "(no [flaps])."
    )
