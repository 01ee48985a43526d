"""What a worker of the server computes: the functions of the commands, a case in, the JSON of the command out.

A case comes as values or as TOML text. Files that it names are looked up in the workspace and nowhere else.
"""

from __future__ import annotations

import json
import sys
import tempfile
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.scenario.overrides import read_override
from groundroll.scenario.read import read_case
from groundroll.scenario.toml_text import plain, to_toml
from groundroll.web.workspace import NotInWorkspace, Workspace, toml_of

if TYPE_CHECKING:
    from groundroll.planning.landing import LandingPlan

FILE: Final = "case.toml"
"""Name of the case in messages."""

NAMES_A_FILE: Final = ("aircraft", "runway", "case", "braking_table")
"""Last part of every key whose value is the name of a file."""


@dataclass(frozen=True)
class Answer:
    """What goes back to the page."""

    status: int
    body: bytes
    media_type: str = "application/json"


def answer_json(content: Any, status: int = 200) -> Answer:
    """Return JSON without blanks; numbers as the commands write them."""
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Answer(status, text.encode("utf-8", "replace"))


def error_content(kind: str, message: str) -> dict[str, Any]:
    """Return the one shape of an error: kind, message, and each problem with file and field where they are named."""
    return {"error": {"kind": kind, "message": message, "problems": [_problem(one) for one in message.splitlines()]}}


def _problem(line: str) -> dict[str, str | None]:
    """Split `case.toml, landing.mass: text` into file, field and text; a line of another form is all text."""
    where, colon, text = line.partition(": ")
    if not colon:
        return {"file": None, "field": None, "text": line}
    if where.startswith("--set "):
        return {"file": None, "field": where.removeprefix("--set ").strip(), "text": text}
    file, comma, field = where.partition(", ")
    if comma and file.endswith(".toml"):
        return {"file": file, "field": field, "text": text}
    return {"file": None, "field": None, "text": line}


def compute(kind: str, folder: str, request: dict[str, Any]) -> Answer:
    """Return the answer to one request; never raises, so that a worker lives on."""
    try:
        return _KINDS[kind](Workspace(Path(folder)), request)
    except NotInWorkspace as error:
        return answer_json(error_content("not found", str(error)), 404)
    except GroundrollError as error:
        text = str(error)
        for start, shown in ((f"{folder}/cases/", ""), (f"{folder}/", "../")):  # names as the case has them
            text = text.replace(start, shown)
        return answer_json(error_content("input", text), 422)
    except Exception as error:
        traceback.print_exc(file=sys.stderr)
        reason = " ".join(str(error).split())[:200]
        return answer_json(
            error_content("unexpected", f"An unexpected fault in groundroll ({type(error).__name__}: {reason})."), 500
        )


class _Given:
    """A case written where the readers of the commands find it, its names led into the workspace."""

    def __init__(self, workspace: Workspace, case: dict[str, Any] | str) -> None:
        content = toml_of(case)
        # A day leads to its landing cases; their own names are relative to the folder of cases already.
        for key in ("aircraft", "runway"):
            if key in content:
                content[key] = str(workspace.named(content[key], key, FILE))
        sectors = content.get("sectors")
        for number, sector in enumerate(sectors if isinstance(sectors, list) else []):
            landing = sector.get("landing") if isinstance(sector, dict) else None
            if isinstance(landing, dict):
                _check_changes(landing.get("changes"))
            if isinstance(landing, dict) and "case" in landing:
                key = f"sectors entry {number + 1}, landing.case"
                landing["case"] = str(workspace.named(landing["case"], key, FILE))
                _check_names(workspace, Path(landing["case"]))
        self.content = content
        if "aircraft" in content:
            _check_table(workspace, Path(content["aircraft"]))
        self._folder = tempfile.TemporaryDirectory(prefix="groundroll-")

    def __enter__(self) -> Path:
        path = Path(self._folder.name) / FILE
        path.write_text(to_toml(plain(self.content)), encoding="utf-8")
        return path

    def __exit__(self, *_: object) -> None:
        self._folder.cleanup()


def _changes(request: dict[str, Any]) -> list[str]:
    """Return the changes of a request, those that would name another file refused."""
    changes = [str(one) for one in request.get("set") or ()]
    _check_changes(changes)
    return changes


def _check_changes(changes: object) -> None:
    for one in changes if isinstance(changes, list) else []:
        if isinstance(one, str) and read_override(one).parts[-1] in NAMES_A_FILE:
            raise ScenarioError(f'--set "{one[:80]}": a change cannot name another file here; change the case itself.')


def _check_names(workspace: Workspace, case: Path) -> None:
    """Refuse a landing case of the workspace that itself leads out of it."""
    from groundroll.scenario.files import load

    content = load(case)
    for key in ("aircraft", "runway"):
        if key in content:
            named = workspace.named(content[key], key, case.name)
            if key == "aircraft":
                _check_table(workspace, named)


def _check_table(workspace: Workspace, aircraft: Path) -> None:
    """Refuse an aircraft file whose own table of braking coefficients lies outside the workspace."""
    status = aircraft.stat()
    name = _named_table(str(aircraft), status.st_mtime_ns, status.st_size)
    if isinstance(name, str) and not (aircraft.parent / name).resolve().is_relative_to(workspace.folder):
        raise ScenarioError(f'{aircraft.name}, braking_table: "{name[:200]}" is outside the workspace.')


@lru_cache(maxsize=64)
def _named_table(aircraft: str, _modified: int, _size: int) -> object:
    """Return what an aircraft file names as its table; a file is parsed again when it has changed."""
    from groundroll.scenario.files import load

    return load(Path(aircraft)).get("braking_table")


def _land(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.json_form import land_json
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing

    against = request.get("against")
    with _Given(workspace, request["case"]) as path:
        case = read_case(path, _changes(request))
        plan = plan_landing(case)
        decision = decide(plan) if request.get("decide", True) or against is not None else None
    content = land_json(plan, decision)
    if against is not None and decision is not None:
        from groundroll.outputs.ledger_form import comparison_json
        from groundroll.planning.comparison import compare

        with _Given(workspace, against) as path:
            content["against"] = comparison_json(compare(decision, decide(plan_landing(read_case(path)))))
    if request.get("history_step_s") is not None:
        content["history"] = _histories(plan, request["history_step_s"])
    return answer_json(content)


_HISTORY: Final = {
    "time_s": ("time", 3),
    "distance_m": ("distance", 2),
    "ground_speed_mps": ("ground_speed", 3),
    "deceleration_mps2": ("deceleration", 4),
    "brake_force_n": ("brake_force", 0),
    "aerodynamic_drag_n": ("aerodynamic_drag", 0),
    "thrust_n": ("thrust", 0),
    "rolling_resistance_n": ("rolling_resistance", 0),
    "contaminant_drag_n": ("contaminant_drag", 0),
    "slope_force_n": ("slope_force", 0),
}
"""What is sent of a history, with its decimals: it is drawn, not read."""


def _histories(plan: LandingPlan, step: float) -> list[dict[str, list[float]] | None]:
    """Return what is drawn of each roll.

    Rolled once more for it: a roll cut at the moments drawn ends a last digit beside the one that the command gives.
    """
    from groundroll.physics.rollout import simulate
    from groundroll.planning.landing_roll import landing_roll

    rolls = (landing_roll(plan.case.aircraft, plan.conditions, one.brake, one.reverse) for one in plan.options)
    return [_history(simulate(one, history_step=step).history) for one in rolls]


def _history(history: Any) -> dict[str, list[float]] | None:
    if history is None:
        return None
    return {key: getattr(history, name).round(decimals).tolist() for key, (name, decimals) in _HISTORY.items()}


def _reject(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.reject_form import reject_json
    from groundroll.planning.reject import plan_reject
    from groundroll.scenario.take_off import read_take_off_case

    with _Given(workspace, request["case"]) as path:
        plan = plan_reject(read_take_off_case(path, _changes(request)))
    content = reject_json(plan)
    if request.get("strip"):
        from groundroll.web.take_off_strip import strip_of

        content["strip"] = strip_of(plan)
    return answer_json(content)


def _turn(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.turn_json import turn_json
    from groundroll.planning.turnaround import plan_day
    from groundroll.scenario.day import read_day

    with _Given(workspace, request["case"]) as path:
        result = plan_day(read_day(path, _changes(request)))
    content = turn_json(result)
    for shown, sent in zip(content["inputs"]["sectors"], toml_of(request["case"])["sectors"], strict=True):
        shown["landing"]["case"] = sent["landing"]["case"]
    return answer_json(content)


def _check(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.check_form import check_json

    with _Given(workspace, request["case"]) as path:
        content = check_json([path], _changes(request))
    for one in content["files"]:
        one["file"] = FILE
    return answer_json(content)


def _read(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.caution import cautions
    from groundroll.reports.describe import describe_condition, describe_weather
    from groundroll.reports.model import ConditionReport
    from groundroll.reports.recognise import read_report
    from groundroll.reports.to_json import to_json

    report = read_report(request["text"])
    content: dict[str, Any] = {"format": 1, "report": to_json(report), "cautions": cautions()}
    if request.get("words"):
        is_condition = isinstance(report, ConditionReport)
        content["words"] = describe_condition(report) if is_condition else describe_weather(report)  # type: ignore[arg-type]
    return answer_json(content)


def _brief(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.scenario.read import read_any
    from groundroll.scenario.resolved import Case
    from groundroll.scenario.take_off import TakeOffCase

    computed = datetime.now(UTC)
    with _Given(workspace, request["case"]) as path:
        resolved = read_any(path, _changes(request))
        page: Any
        if isinstance(resolved, Case):
            from groundroll.outputs.brief.landing import landing_brief
            from groundroll.planning.decision import decide
            from groundroll.planning.landing import plan_landing

            page = landing_brief(decide(plan_landing(resolved)), computed)
        elif isinstance(resolved, TakeOffCase):
            from groundroll.outputs.brief.take_off import take_off_brief
            from groundroll.planning.reject import plan_reject

            page = take_off_brief(plan_reject(resolved), computed)
        else:
            raise ScenarioError("A brief is made of a landing or a take-off case.")
    if request["form"] == "pdf":
        from groundroll.outputs.brief.pdf import brief_pdf

        return Answer(200, brief_pdf(page, computed, request["paper"]), "application/pdf")
    if request["form"] == "html":
        from groundroll.outputs.brief.html import brief_html

        return Answer(200, brief_html(page, request["paper"]).encode(), "text/html; charset=utf-8")
    from groundroll.outputs.brief.text import brief_text

    return Answer(200, brief_text(page).encode(), "text/plain; charset=utf-8")


def _fleet(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.fleet_report import fleet_json, fleet_notes
    from groundroll.review.fleet import read_parts
    from groundroll.review.fleet_answers import answers

    place = workspace.fleet(request["name"])
    return answer_json(fleet_json(answers(read_parts(place)), notes=fleet_notes(place.parent)))


def _review(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.outputs.review_form import review_json
    from groundroll.planning.comparison import compared_option
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.planning.ledger import side_of
    from groundroll.review.landing import review_recording
    from groundroll.review.reading import read_recording
    from groundroll.review.setting import setting_of_case

    recorded = read_recording(workspace.recording(request["recording"]), None)
    with _Given(workspace, request["case"]) as path:
        case = read_case(path, _changes(request))
        decision = decide(plan_landing(case))
        option = compared_option(decision)
        planned = side_of(case.aircraft, decision.plan.conditions, option.brake, option.reverse)
        result = review_recording(recorded, setting_of_case(case, None), planned)
    return answer_json(review_json(result))


def _teach(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.web.teaching import lesson_content

    content = lesson_content(workspace, request["lesson"], own=request["own"], changes=_changes(request))
    return answer_json(content)


def _compare(workspace: Workspace, request: dict[str, Any]) -> Answer:
    from groundroll.web.teaching import compare_content

    choice, other_choice = ((request[f"{one}brake"], request[f"{one}reverse"]) for one in ("", "other_"))
    against = request["against"]
    with _Given(workspace, request["case"]) as path:
        if against is None:
            return answer_json(compare_content(path, None, choice=choice, other_choice=other_choice))
        with _Given(workspace, against) as other:
            return answer_json(compare_content(path, other, choice=choice, other_choice=other_choice))


_KINDS: Final[dict[str, Callable[[Workspace, dict[str, Any]], Answer]]] = {
    "brief": _brief,
    "land": _land,
    "reject": _reject,
    "turn": _turn,
    "check": _check,
    "read": _read,
    "fleet": _fleet,
    "review": _review,
    "teach": _teach,
    "compare": _compare,
}


def warm_up() -> None:
    """Import and compile what the first request needs."""
    import groundroll.outputs.json_form
    import groundroll.planning.decision
    import groundroll.planning.reject
    import groundroll.planning.turnaround  # noqa: F401 - imported for the time it takes
    from groundroll.web.workspace import examples_folder

    case = examples_folder() / "wet-gusty-arrival" / "case.toml"
    if case.is_file():
        from groundroll.planning.decision import decide
        from groundroll.planning.landing import plan_landing

        decide(plan_landing(read_case(case), history_step=1.0))
