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
from tests.web.recordings import FLEET, put_recordings

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


def test_land__against_another_is_the_ledger_of_the_command(
    client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    first, other = (workspace.folder / "cases" / f"{one}.toml" for one in ("wet-gusty-arrival", "contaminated-arrival"))
    expected = _of_command(["land", str(first), "--against", str(other), "--json"], capsys)["against"]
    content = client.get("/api/workspace/cases/contaminated-arrival.toml").json()["content"]
    for against in (other.read_text(encoding="utf-8"), content):
        answer = client.post("/api/land", json={"case": first.read_text(encoding="utf-8"), "against": against}).json()
        assert answer["against"] == expected
    shape.LandAnswer.model_validate(answer)
    wrong = client.post("/api/land", json={"case": content, "against": content | {"aircraft": "../../x.toml"}})
    assert wrong.status_code == 422
    assert wrong.json()["error"]["problems"][0]["field"] == "aircraft"


def test_reject__the_strip_is_added_and_changes_nothing_else(client: TestClient, workspace: Workspace) -> None:
    """Properties: the places follow from the runway file, and a faster decision comes farther along.

    QDEM 25 (the demonstration runway file): 2650 m paved, stopway 60 m, clearway 150 m; departure-wet.toml begins at
    the runway end with a line-up allowance of 28 m to stop and 15 m to go.
    """
    case = workspace.text("cases", "departure-wet.toml")
    plain = client.post("/api/reject", json={"case": case}).json()
    drawn = client.post("/api/reject", json={"case": case, "strip": True}).json()
    strip = drawn.pop("strip")
    assert drawn == plain
    assert (strip["paved_begin_m"], strip["paved_end_m"]) == (-28.0, 2622.0)
    assert strip["stop_end_m"] - strip["run_end_m"] == pytest.approx(60.0)
    assert strip["clearway_end_m"] - strip["run_end_m"] == pytest.approx(150.0)
    assert strip["stop_end_m"] == plain["available"]["accelerate_stop_m"]
    assert strip["clearway_end_m"] - strip["go_offset_m"] == pytest.approx(plain["available"]["take_off_m"])
    assert [one["decision_speed_mps"] for one in plain["curve"]] == strip["decision_speed_mps"]
    reached = strip["decision_distance_m"]
    assert reached == sorted(set(reached))
    stops = [one["flown_stop_distance_m"] for one in plain["curve"]]
    assert all(one < stop for one, stop in zip(reached, stops, strict=True))
    shape.TakeOffStrip.model_validate(strip)


def test_fleet_and_review__answer_as_the_commands(
    client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    put_recordings(workspace.folder)
    assert client.get("/api/workspace").json()["fleets"] == [FLEET]
    assert client.get("/api/workspace").json()["recordings"] == ["invented.parquet"]
    expected = _of_command(["fleet", str(workspace.folder / "fleets" / FLEET), "--json"], capsys)
    found = client.post("/api/fleet", json={"name": FLEET})
    assert found.json() == expected
    shape.FleetAnswer.model_validate(expected)
    case = workspace.folder / "cases" / "wet-gusty-arrival.toml"
    recording = workspace.folder / "recordings" / "invented.parquet"
    expected = _of_command(["review", str(recording), "--case", str(case), "--json"], capsys)
    request = {"recording": "invented.parquet", "case": case.read_text(encoding="utf-8")}
    assert client.post("/api/review", json=request).json() == expected
    shape.ReviewAnswer.model_validate(expected)


@pytest.mark.parametrize("name", ["none", "../aircraft", "invented fleet/../x", ".", "", "linked"])
def test_fleet_and_review__nothing_outside_the_workspace(name: str, client: TestClient, workspace: Workspace) -> None:
    elsewhere = workspace.folder.parent / "elsewhere"
    (elsewhere / "reviewed" / "parts").mkdir(parents=True)
    (workspace.folder / "fleets" / "linked").symlink_to(elsewhere)
    (workspace.folder / "recordings" / "linked.csv").symlink_to(elsewhere / "landing.csv")
    (elsewhere / "landing.csv").write_text("time,speed\n0,hidden words\n", encoding="utf-8")
    case = workspace.text("cases", "dry-short.toml")
    for answer in (
        client.post("/api/fleet", json={"name": name}),
        client.post("/api/review", json={"recording": f"{name}.csv", "case": case}),
        client.post("/api/review", json={"recording": name, "case": case}),
    ):
        assert answer.status_code == 404
        assert "hidden words" not in answer.text


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


@pytest.mark.parametrize("name", ["wet-gusty-arrival", "departure-wet"])
@pytest.mark.parametrize(("form", "start"), [("pdf", b"%PDF"), ("html", b"<!"), ("txt", b"")])
def test_brief__is_made_of_a_case(form: str, start: bytes, name: str, client: TestClient, workspace: Workspace) -> None:
    case = workspace.text("cases", f"{name}.toml")
    answer = client.post("/api/brief", json={"case": case, "form": form})
    assert answer.status_code == 200
    assert answer.content.lower().startswith(start.lower())
    assert len(answer.content) > 500


def test_openapi__the_document_of_the_page_is_the_present_one() -> None:
    kept = json.loads((ROOT / "webui" / "openapi.json").read_text(encoding="utf-8"))
    assert kept == json.loads(openapi_text()), "stale; run: make web-types"
