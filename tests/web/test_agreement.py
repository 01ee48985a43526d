"""The API answers what the commands answer, to the last digit, and the models of the page's types read the answers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from groundroll.commands import run
from groundroll.web import answers as shape
from groundroll.web.api import openapi_text
from groundroll.web.workspace import Workspace

ROOT = Path(__file__).parents[2]
SHAPES: dict[str, type[shape.Answer]] = {
    "land": shape.LandAnswer,
    "reject": shape.RejectAnswer,
    "turn": shape.TurnAnswer,
    "read": shape.ReadAnswer,
}


def _of_command(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> Any:
    assert run(arguments) in (0, 1)
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("command", "name"),
    [
        ("land", "wet-gusty-arrival"),
        ("land", "contaminated-arrival"),
        ("land", "failures-and-dispatch"),
        ("land", "nothing-fits"),
        ("reject", "departure-wet"),
        ("reject", "departure-nothing-works"),
        ("turn", "day"),
    ],
)
def test_api__answers_as_the_command(
    command: str, name: str, client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    file = workspace.folder / "cases" / f"{name}.toml"
    expected = _of_command([command, str(file), "--json"], capsys)
    answer = client.post(f"/api/{command}", json={"case": file.read_text(encoding="utf-8")})
    assert answer.status_code == 200
    found = answer.json()
    for content in (expected, found):  # the case is sent, so its file has no name of its own
        content["inputs"].pop("file", None)
        content["inputs"].get("files", {}).pop("case", None)
    assert found == expected
    SHAPES[command].model_validate(found)
    content = client.get(f"/api/workspace/cases/{name}.toml").json()["content"]
    values = client.post(f"/api/{command}", json={"case": content}).json()
    values["inputs"].pop("file", None)
    values["inputs"].get("files", {}).pop("case", None)
    assert values == expected


@pytest.mark.parametrize("text", ["METAR QDEM 170620Z 21018G29KT 8000 RA 07/05 Q0998 XYZZY", "runway 25 wet 5/5/3"])
def test_read__answers_as_the_command(text: str, client: TestClient, capsys: pytest.CaptureFixture[str]) -> None:
    expected = _of_command(["read", text, "--json"], capsys)
    assert client.post("/api/read", json={"text": text}).json() == expected
    with_words = client.post("/api/read", json={"text": text, "words": True}).json()
    assert run(["read", text]) == 0
    printed = capsys.readouterr().out
    assert all(line.strip() in printed for line in with_words["words"])
    shape.ReadAnswer.model_validate(with_words)


def test_land__history_is_added_and_changes_nothing_else(client: TestClient, workspace: Workspace) -> None:
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    plain = client.post("/api/land", json={"case": case, "decide": False}).json()
    drawn = client.post("/api/land", json={"case": case, "decide": False, "history_step_s": 0.5}).json()
    history = drawn.pop("history")
    assert drawn == plain
    assert plain["decision"] is None
    assert len(history) == len(plain["options"])
    first = shape.History.model_validate(history[0])
    assert first.distance_m[0] == pytest.approx(plain["options"][0]["air_distance_m"], rel=1e-4)
    assert first.distance_m[-1] == pytest.approx(plain["options"][0]["stop_distance_m"], rel=1e-4)


def test_land__changes_as_after_set(
    client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    file = workspace.folder / "cases" / "dry-short.toml"
    expected = _of_command(["land", str(file), "--set", "landing.margin=20 %", "--json"], capsys)
    found = client.post("/api/land", json={"case": file.read_text(encoding="utf-8"), "set": ["landing.margin=20 %"]})
    assert found.json()["options"] == expected["options"]


def test_land__wrong_input_in_the_words_of_the_command_with_its_field(
    client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    file = workspace.folder / "cases" / "case.toml"
    text = workspace.text("cases", "wet-gusty-arrival.toml").replace('"62.5 t"', '"62.5"')
    file.write_text(text, encoding="utf-8")
    assert run(["land", str(file)]) == 2
    said = capsys.readouterr().err.strip()
    answer = client.post("/api/land", json={"case": text})
    assert answer.status_code == 422
    error = answer.json()["error"]
    assert error["message"] == said
    (problem,) = error["problems"]
    assert problem["field"] == "landing.mass"
    assert problem["file"] == "case.toml"
    assert '"62.5" has no unit' in problem["text"]


def test_check__answers_as_the_command(client: TestClient, workspace: Workspace) -> None:
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    good = client.post("/api/check", json={"case": case}).json()
    assert good["files"][0]["valid"]
    bad = client.post("/api/check", json={"case": case.replace("[landing]", "[landings]")}).json()
    assert not bad["files"][0]["valid"]
    assert any("landings" in one for one in bad["files"][0]["problems"])


@pytest.mark.parametrize(("form", "start"), [("pdf", b"%PDF"), ("html", b"<!"), ("txt", b"")])
def test_brief__is_made_of_a_case(form: str, start: bytes, client: TestClient, workspace: Workspace) -> None:
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    answer = client.post("/api/brief", json={"case": case, "form": form})
    assert answer.status_code == 200
    assert answer.content.lower().startswith(start.lower())
    assert len(answer.content) > 500


def test_openapi__the_document_of_the_page_is_the_present_one() -> None:
    kept = json.loads((ROOT / "webui" / "openapi.json").read_text(encoding="utf-8"))
    assert kept == json.loads(openapi_text()), "stale; run: make web-types"
