"""The JSON API and the page: every answer is that of a command; every error has one shape."""

from __future__ import annotations

import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any, Final

from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from groundroll import __version__
from groundroll.errors import GroundrollError
from groundroll.outputs.caution import CAUTION
from groundroll.scenario.files import load
from groundroll.scenario.toml_text import plain, to_toml
from groundroll.web import answers as shape
from groundroll.web.safety import Application, Guard
from groundroll.web.work import Answer, answer_json, error_content
from groundroll.web.workers import Workers
from groundroll.web.workspace import NotInWorkspace, Workspace, content_of, example_files, is_toml, kind_of

_ERRORS: Final[dict[int | str, dict[str, Any]]] = {
    422: {"model": shape.ErrorAnswer, "description": "The input cannot be used; each problem names its field."},
    400: {"model": shape.ErrorAnswer, "description": "The body is not JSON."},
    413: {"model": shape.ErrorAnswer, "description": "The request is too large."},
    500: {"model": shape.ErrorAnswer, "description": "An unexpected fault; the server goes on."},
    503: {"model": shape.ErrorAnswer, "description": "The server is busy."},
    504: {"model": shape.ErrorAnswer, "description": "The computation took too long."},
}
_NOT_FOUND: Final[dict[int | str, dict[str, Any]]] = {
    404: {"model": shape.ErrorAnswer, "description": "There is no such file in the workspace."}
}


def static_folder() -> Path | None:
    """Return the folder of the built page; None where it has not been built."""
    folder = Path(__file__).parent / "static"
    return folder if (folder / "index.html").is_file() else None


def create_application(
    workspace: Workspace, workers: Workers, *, hosts: frozenset[str], token: str | None = None
) -> Application:
    """Return the server, guarded.

    Parameters
    ----------
    workspace
        Folder of the user's files.
    workers
        Who computes.
    hosts
        Names under which the server answers, without port.
    token
        What a browser must bring; None where the server is reached from this machine only.
    """
    return Guard(create_api(workspace, workers), hosts=hosts, token=token)


def create_api(workspace: Workspace, workers: Workers) -> FastAPI:
    """Return the API and the page, without the guard."""

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        workers.start()
        yield
        workers.stop()

    api = FastAPI(
        title="groundroll",
        version=__version__,
        description=f"The answers of the groundroll commands as JSON. {CAUTION}",
        openapi_url="/api/openapi.json",
        docs_url=None,  # those pages load scripts from elsewhere
        redoc_url=None,
        lifespan=lifespan,
    )
    _add_error_handlers(api)
    api.include_router(_computing(workspace, workers))
    api.include_router(_keeping(workspace))
    _add_page(api)
    return api


def _response(answer: Answer) -> Response:
    return Response(answer.body, status_code=answer.status, media_type=answer.media_type)


def _add_error_handlers(api: FastAPI) -> None:
    @api.exception_handler(RequestValidationError)
    async def refused(_: Request, error: RequestValidationError) -> Response:
        lines = []
        for one in error.errors():
            where = ".".join(str(part) for part in one["loc"] if part != "body")
            lines.append(f"request, {where}: {one['msg']}." if where else f"request: {one['msg']}.")
        return _response(answer_json(error_content("request", "\n".join(lines[:10])), 422))

    @api.exception_handler(NotInWorkspace)
    async def not_there(_: Request, error: NotInWorkspace) -> Response:
        return _response(answer_json(error_content("not found", str(error)), 404))

    @api.exception_handler(GroundrollError)
    async def wrong(_: Request, error: GroundrollError) -> Response:
        return _response(answer_json(error_content("input", str(error)), 422))

    @api.exception_handler(HTTPException)
    async def other(_: Request, error: HTTPException) -> Response:
        answer = _response(answer_json(error_content("request", str(error.detail)), error.status_code))
        for key, value in (error.headers or {}).items():
            answer.headers[key] = value
        return answer

    @api.exception_handler(Exception)
    async def unexpected(_: Request, error: Exception) -> Response:
        text = f"An unexpected fault in groundroll ({type(error).__name__})."
        return _response(answer_json(error_content("unexpected", text), 500))


def _computing(workspace: Workspace, workers: Workers) -> APIRouter:
    router = APIRouter(prefix="/api", tags=["answers of the commands"], responses=_ERRORS)
    folder = str(workspace.folder)

    async def work(kind: str, request: shape.Request) -> Response:
        return _response(await workers.compute(kind, folder, request.model_dump()))

    @router.post("/land", responses={200: {"model": shape.LandAnswer}}, operation_id="land")
    async def land(request: shape.LandRequest) -> Response:
        """Plan a landing: every brake setting with every use of reverse, the exit to take, what would break it."""
        return await work("land", request)

    @router.post("/reject", responses={200: {"model": shape.RejectAnswer}}, operation_id="reject")
    async def reject(request: shape.RejectRequest) -> Response:
        """Find the decision speeds from which a take-off can be stopped and continued."""
        return await work("reject", request)

    @router.post("/turn", responses={200: {"model": shape.TurnAnswer}}, operation_id="turn")
    async def turn(request: shape.CaseRequest) -> Response:
        """Follow brake heat through a day."""
        return await work("turn", request)

    @router.post("/read", responses={200: {"model": shape.ReadAnswer}}, operation_id="read")
    async def read(request: shape.ReadRequest) -> Response:
        """Say what a weather or condition report means."""
        return await work("read", request)

    @router.post("/check", responses={200: {"model": shape.CheckAnswer}}, operation_id="check")
    async def check(request: shape.CaseRequest) -> Response:
        """Say whether a case is in order; nothing is computed."""
        return await work("check", request)

    @router.post("/fleet", responses={200: {"model": shape.FleetAnswer}, **_NOT_FOUND}, operation_id="fleet")
    async def fleet(request: shape.FleetRequest) -> Response:
        """Say what a fleet of the workspace says, from its data set as it is."""
        return await work("fleet", request)

    @router.post("/review", responses={200: {"model": shape.ReviewAnswer}, **_NOT_FOUND}, operation_id="review")
    async def review(request: shape.ReviewRequest) -> Response:
        """Review a recorded landing of the workspace against its plan."""
        return await work("review", request)

    @router.post("/teach", responses={200: {"model": shape.LessonAnswer}, **_NOT_FOUND}, operation_id="teach")
    async def teach(request: shape.TeachRequest) -> Response:
        """Work out a lesson."""
        return await work("teach", request)

    @router.post("/compare", responses={200: {"model": shape.LessonAnswer}}, operation_id="compare")
    async def compare(request: shape.CompareRequest) -> Response:
        """Set two landings side by side, in the form of a lesson."""
        return await work("compare", request)

    forms: dict[int | str, dict[str, Any]] = {
        200: {"content": {one: {} for one in ("application/pdf", "text/html", "text/plain")}}
    }

    @router.post("/brief", responses=forms, operation_id="brief", response_class=Response)
    async def brief(request: shape.BriefRequest) -> Response:
        """Return the brief of a case, to be kept or printed."""
        return await work("brief", request)

    return router


def _keeping(workspace: Workspace) -> APIRouter:
    router = APIRouter(
        prefix="/api",
        tags=["files of the workspace"],
        responses={number: _ERRORS[number] for number in (400, 413, 422)},
    )

    @router.get("/examples", responses={200: {"model": shape.ExamplesAnswer}}, operation_id="examples")
    def examples() -> Response:
        """Return the worked examples."""
        found = []
        for path, section, name in example_files():
            content = plain(load(path))
            entry = {"section": section, "name": name, "title": _title(content, name), "kind": kind_of(content)}
            found.append(entry | {"text": path.read_text(encoding="utf-8")})
        return _response(answer_json({"examples": found}))

    @router.get("/lessons", responses={200: {"model": shape.LessonsAnswer}}, operation_id="lessons")
    def lessons() -> Response:
        """Return the lessons to choose from."""
        from groundroll.web.teaching import lessons_content

        return _response(answer_json(lessons_content(workspace)))

    @router.get("/workspace", responses={200: {"model": shape.WorkspaceAnswer}}, operation_id="workspace")
    def listing() -> Response:
        """Return what the workspace holds, with what a form needs to choose from it."""
        content = {
            "folder": str(workspace.folder),
            "version": __version__,
            "aircraft": [_aircraft(workspace, one) for one in workspace.names("aircraft")],
            "runways": [_runway(workspace, one) for one in workspace.names("runways")],
            "cases": [_case(workspace, one) for one in workspace.names("cases")],
            "fleets": workspace.fleets(),
            "recordings": workspace.recordings(),
        }
        return _response(answer_json(content))

    @router.get(
        "/workspace/{section}/{name}",
        responses={200: {"model": shape.FileAnswer}, **_NOT_FOUND},
        operation_id="open_file",
    )
    def open_file(section: str, name: str) -> Response:
        """Return a file of the workspace."""
        text = workspace.text(section, name)
        content = content_of(text, name) if is_toml(text) else None
        kind = kind_of(content) if content is not None else "unknown"
        return _response(
            answer_json({"section": section, "name": name, "kind": kind, "text": text, "content": content})
        )

    @router.put(
        "/workspace/{section}/{name}", responses={200: {"model": shape.Done}, **_NOT_FOUND}, operation_id="save_file"
    )
    def save_file(section: str, name: str, request: shape.FileRequest) -> Response:
        """Write a file of the workspace, all of it or nothing."""
        text = request.text if request.text is not None else to_toml(request.case or {})
        workspace.write(section, name, text)
        return _response(answer_json({"done": True}))

    @router.delete(
        "/workspace/{section}/{name}", responses={200: {"model": shape.Done}, **_NOT_FOUND}, operation_id="delete_file"
    )
    def delete_file(section: str, name: str) -> Response:
        """Remove a file of the workspace."""
        workspace.delete(section, name)
        return _response(answer_json({"done": True}))

    @router.post("/toml", responses={200: {"model": shape.TextAnswer}}, operation_id="to_toml")
    def as_toml(request: shape.ContentRequest) -> Response:
        """Return the text of a case file."""
        return _response(answer_json({"text": to_toml(request.case)}))

    @router.post("/content", responses={200: {"model": shape.ContentAnswer}}, operation_id="from_toml")
    def as_content(request: shape.TextRequest) -> Response:
        """Return the content of a case file."""
        content = content_of(request.text, "case.toml")
        return _response(answer_json({"kind": kind_of(content), "case": content}))

    @router.get("/state", responses={200: {"model": shape.StateAnswer}}, operation_id="state")
    def state() -> Response:
        """Return what the page kept."""
        return _response(answer_json({"state": workspace.state()}))

    @router.put("/state", responses={200: {"model": shape.Done}}, operation_id="keep_state")
    def keep_state(request: shape.State) -> Response:
        """Keep what stands in the page."""
        workspace.keep_state(request.model_dump())
        return _response(answer_json({"done": True}))

    return router


def _title(content: dict[str, Any], name: str) -> str:
    return str(content.get("title") or content.get("name") or name)


def _read(workspace: Workspace, section: str, name: str) -> dict[str, Any]:
    try:
        return plain(load(workspace.path(section, name)))  # type: ignore[no-any-return]
    except GroundrollError:
        return {}


def _case(workspace: Workspace, name: str) -> dict[str, Any]:
    content = _read(workspace, "cases", name)
    return {"file": name, "title": _title(content, name), "kind": kind_of(content)}


def _aircraft(workspace: Workspace, name: str) -> dict[str, Any]:
    from groundroll.scenario.read import read_aircraft

    entry: dict[str, Any] = {
        "file": name,
        "name": name,
        "valid": False,
        "invented": False,
        "flaps": [],
        "take_off_flaps": [],
        "ratings": [],
        "brakes": [],
        "minimum_mass_kg": None,
        "maximum_landing_mass_kg": None,
        "maximum_take_off_mass_kg": None,
    }
    try:
        found = read_aircraft(workspace.path("aircraft", name))
    except GroundrollError:
        return entry
    take_off, automatic = found.take_off, found.automatic_brakes
    return entry | {
        "name": found.name,
        "valid": True,
        "invented": found.invented,
        "flaps": list(found.flaps),
        "take_off_flaps": list(take_off.flaps) if take_off else [],
        "ratings": list(take_off.ratings) if take_off else [],
        "brakes": [*(automatic.settings if automatic else ()), "manual"],
        "minimum_mass_kg": found.mass.minimum,
        "maximum_landing_mass_kg": found.mass.maximum_landing,
        "maximum_take_off_mass_kg": found.mass.maximum_take_off,
    }


def _runway(workspace: Workspace, name: str) -> dict[str, Any]:
    from groundroll.scenario.read import read_runway

    entry: dict[str, Any] = {"file": name, "aerodrome": "", "name": name, "valid": False, "directions": []}
    try:
        found = read_runway(workspace.path("runways", name))
    except GroundrollError:
        return entry
    directions = [
        {
            "designator": key,
            "landing_distance_available_m": one.landing_distance_available,
            "exits": [exit_.name for exit_ in one.exits],
        }
        for key, one in sorted(found.directions.items())
    ]
    return entry | {
        "aerodrome": found.aerodrome,
        "name": found.name or found.aerodrome,
        "valid": True,
        "directions": directions,
    }


def _add_page(api: FastAPI) -> None:
    folder = static_folder()
    if folder is None:

        @api.get("/", include_in_schema=False)
        def not_built() -> Response:
            text = "The page has not been built; only the API answers. Build it with: make web\n"
            return Response(text, status_code=503, media_type="text/plain")

        return
    from starlette.staticfiles import StaticFiles

    api.mount("/", StaticFiles(directory=folder, html=True, follow_symlink=False), name="page")


def openapi_text() -> str:
    """Return the OpenAPI document, from which the types of the page are made."""
    import json

    document = create_api(Workspace(Path("workspace")), Workers(0)).openapi()
    return json.dumps(document, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(openapi_text())
