"""Lessons through the API are those of the command; own lessons name nothing outside the workspace."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from groundroll.commands import run
from groundroll.web import answers as shape
from groundroll.web.workspace import Workspace

LESSON = """format = 1
title = "Mine"
summary = "A lesson of my own."
goals = ["See it."]
minutes = 3
[cases.base]
label = "base"
file = "../cases/wet-gusty-arrival.toml"
set = ["landing.mass=60 t"]
[[steps]]
title = "One"
text = "You stop at {base.stop_distance m}."
show = [{ kind = "strip", cases = ["base"] }]
"""


def _of_command(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> Any:
    assert run(arguments) == 0
    return json.loads(capsys.readouterr().out)


def test_lessons__are_those_of_the_command(client: TestClient, capsys: pytest.CaptureFixture[str]) -> None:
    found = client.get("/api/lessons").json()
    shape.LessonsAnswer.model_validate(found)
    assert found.pop("workspace") == []
    assert found == _of_command(["teach", "--list", "--json"], capsys)


@pytest.mark.parametrize("name", ["one-second-late", "automatic-reject", "weight-and-speed", "reading-a-report"])
def test_teach__answers_as_the_command(name: str, client: TestClient, capsys: pytest.CaptureFixture[str]) -> None:
    found = client.post("/api/teach", json={"lesson": name}).json()
    assert found == _of_command(["teach", name, "--json"], capsys)
    shape.LessonAnswer.model_validate(found)


def test_teach__own_lesson_as_the_command(
    client: TestClient, workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    path = workspace.folder / "lessons" / "mine.toml"
    path.write_text(LESSON, encoding="utf-8")
    (path.parent / "broken.toml").write_text("format = 1\n", encoding="utf-8")
    broken, mine = client.get("/api/lessons").json()["workspace"]
    assert "not a lesson" in broken["fault"]
    assert (mine["name"], mine["title"], mine["fault"]) == ("mine", "Mine", None)
    found = client.post("/api/teach", json={"lesson": "mine", "own": True}).json()
    assert found == _of_command(["teach", str(path), "--json"], capsys)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("../cases/wet-gusty-arrival.toml", "../../outside.toml"),
        ("../cases/wet-gusty-arrival.toml", "/etc/hostname"),
        ("landing.mass=60 t", "aircraft=../../outside.toml"),
        ("landing.mass=60 t", "{base.brake}=../../outside.toml"),
        ("landing.mass=60 t", "aircraft.braking_table=../../outside.toml"),
        ("../cases/wet-gusty-arrival.toml", "../cases/leads-out.toml"),
    ],
)
def test_teach__own_lesson_names_nothing_outside_the_workspace(
    old: str, new: str, client: TestClient, workspace: Workspace
) -> None:
    (workspace.folder.parent / "outside.toml").write_text('hidden = "hidden words"\n', encoding="utf-8")
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    leads_out = case.replace("../aircraft/demo-narrowbody.toml", "../../outside.toml")
    assert leads_out != case
    (workspace.folder / "cases" / "leads-out.toml").write_text(leads_out, encoding="utf-8")
    (workspace.folder / "lessons" / "mine.toml").write_text(LESSON.replace(old, new), encoding="utf-8")
    answer = client.post("/api/teach", json={"lesson": "mine", "own": True})
    assert answer.status_code == 422
    assert "outside the workspace" in answer.text or "cannot name another file" in answer.text
    assert "hidden words" not in answer.text


@pytest.mark.parametrize("own", [False, True])
@pytest.mark.parametrize("name", ["none", "../x", "", "linked"])
def test_teach__a_name_that_is_no_lesson(name: str, own: bool, client: TestClient, workspace: Workspace) -> None:
    outside = workspace.folder.parent / "outside.toml"
    outside.write_text(LESSON, encoding="utf-8")
    (workspace.folder / "lessons" / "linked.toml").symlink_to(outside)
    assert client.post("/api/teach", json={"lesson": name, "own": own}).status_code == 404


def test_compare__one_thing_alone_differs(client: TestClient, workspace: Workspace) -> None:
    """Properties: same brakes in both, the ledger closes, and a heavier landing stops later."""
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    heavier = case.replace("62.5 t", "65 t")
    assert heavier != case
    found = client.post("/api/compare", json={"case": case, "against": heavier}).json()
    shape.LessonAnswer.model_validate(found)
    first, other = found["cases"]
    for key in ("brake", "reverse", "air_distance_m"):
        assert first["numbers"][key] == other["numbers"][key] or key == "air_distance_m"
    difference = other["numbers"]["stop_distance_m"] - first["numbers"]["stop_distance_m"]
    assert difference > 0.0
    (ledger,) = (one for one in found["steps"][0]["pictures"] if one["kind"] == "ledger")
    assert sum(metres for _, metres in ledger["entries"]) == pytest.approx(difference, abs=0.1)
    alone = client.post("/api/compare", json={"case": case}).json()
    assert alone["cases"] == [first]


def test_compare__brakes_and_reverse_by_choice(client: TestClient, workspace: Workspace) -> None:
    case = workspace.text("cases", "wet-gusty-arrival.toml")
    request = {"case": case, "against": case, "brake": "manual", "reverse": "none", "other_reverse": "full"}
    first, other = client.post("/api/compare", json=request).json()["cases"]
    assert (first["numbers"]["brake"], other["numbers"]["brake"]) == ("manual", "manual")
    assert (first["numbers"]["reverse"], other["numbers"]["reverse"]) == ("none", "full")
    assert first["numbers"]["stop_distance_m"] > other["numbers"]["stop_distance_m"]
    wrong = client.post("/api/compare", json={"case": case, "brake": "plainly-not"})
    assert wrong.status_code == 422
    assert "plainly-not" in wrong.json()["error"]["message"]
