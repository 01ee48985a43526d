"""The workspace: plain files, seeded from the examples, written all or nothing; TOML that reads back as it was."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from groundroll.errors import ScenarioError
from groundroll.scenario.toml_text import to_toml
from groundroll.web.workspace import Workspace, kind_of

_KEYS = st.text(min_size=1, max_size=12)
_PLAIN = st.one_of(st.booleans(), st.integers(-(2**62), 2**62), st.floats(allow_nan=False), st.text(max_size=30))
_VALUES = st.recursive(
    st.one_of(_PLAIN, st.lists(_PLAIN, max_size=3)),
    lambda inner: st.one_of(
        st.dictionaries(_KEYS, inner, max_size=3), st.lists(st.dictionaries(_KEYS, inner, max_size=2), max_size=2)
    ),
    max_leaves=12,
)


@given(st.dictionaries(_KEYS, _VALUES, max_size=5))
def test_to_toml__what_is_written_reads_back(content: dict[str, Any]) -> None:
    """Property: the writer and the reader of the standard library agree on every value."""
    assert tomllib.loads(to_toml(content)) == content


def test_to_toml__leaves_out_what_has_no_value_and_refuses_what_has_no_form() -> None:
    assert to_toml({"a": None, "b": 1}) == "b = 1\n"
    with pytest.raises(ScenarioError, match="a: a object has no place"):
        to_toml({"a": object()})
    with pytest.raises(ScenarioError, match=r"a\.entry: a dict has no place"):
        to_toml({"a": [1, {"b": 2}]})
    deep: dict[str, Any] = {}
    for _ in range(40):
        deep = {"x": deep}
    with pytest.raises(ScenarioError, match="nested more than 12 deep"):
        to_toml(deep)


def test_prepare__seeds_a_new_folder_once(tmp_path: Path) -> None:
    workspace = Workspace(tmp_path / "new")
    workspace.prepare()
    kinds = {kind_of(tomllib.loads(workspace.text("cases", one))) for one in workspace.names("cases")}
    assert kinds == {"land", "reject", "turn"}
    assert len(workspace.names("aircraft")) == 3
    workspace.delete("cases", "day.toml")
    workspace.write("cases", "dry-short.toml", 'title = "mine"\n')
    workspace.prepare()
    assert "day.toml" not in workspace.names("cases")
    assert workspace.text("cases", "dry-short.toml") == 'title = "mine"\n'


def test_write__is_all_or_nothing(workspace: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    before = workspace.text("cases", "dry-short.toml")

    def fails(self: Path, target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", fails)
    with pytest.raises(ScenarioError, match=r"dry-short\.toml cannot be written: No space left"):
        workspace.write("cases", "dry-short.toml", "x = 1\n")
    assert workspace.text("cases", "dry-short.toml") == before
    assert not [one for one in (workspace.folder / "cases").iterdir() if one.name.endswith(".part")]


def test_files__are_saved_opened_listed_and_removed(client: TestClient, workspace: Workspace) -> None:
    case = client.get("/api/workspace/cases/wet-gusty-arrival.toml").json()["content"]
    case["title"] = "Mine"
    assert client.put("/api/workspace/cases/my case.toml", json={"case": case}).status_code == 200
    listed = client.get("/api/workspace").json()
    assert {"file": "my case.toml", "title": "Mine", "kind": "land"} in listed["cases"]
    found = client.get("/api/workspace/cases/my case.toml").json()
    assert found["content"] == case
    assert client.post("/api/land", json={"case": found["text"], "decide": False}).status_code == 200
    assert client.delete("/api/workspace/cases/my case.toml").status_code == 200
    assert client.get("/api/workspace/cases/my case.toml").status_code == 404


def test_files__a_text_that_is_no_toml_is_refused_with_the_words_of_the_reader(client: TestClient) -> None:
    answer = client.put("/api/workspace/cases/bad.toml", json={"text": "mass = 62,5 t"})
    assert answer.status_code == 422
    assert "bad.toml is not valid TOML" in answer.json()["error"]["message"]


def test_listing__tells_a_form_what_to_choose_from(client: TestClient, workspace: Workspace) -> None:
    workspace.write("aircraft", "broken.toml", "format = 1\n")
    listed = client.get("/api/workspace").json()
    aircraft = {one["file"]: one for one in listed["aircraft"]}
    assert aircraft["demo-narrowbody.toml"]["brakes"] == ["gentle", "steady", "firm", "strong", "manual"]
    assert aircraft["demo-narrowbody.toml"]["maximum_landing_mass_kg"] == 66_000.0
    assert aircraft["broken.toml"]["valid"] is False
    runway = next(one for one in listed["runways"] if one["aerodrome"] == "QDEM")
    assert [one["designator"] for one in runway["directions"]] == ["07", "25"]


def test_state__is_kept_and_survives_a_spoiled_file(client: TestClient, workspace: Workspace) -> None:
    assert client.get("/api/state").json() == {"state": None}
    state = {"saved_at": 12.0, "land": {"case": {"title": "half typed"}}}
    assert client.put("/api/state", json=state).status_code == 200
    assert client.get("/api/state").json()["state"] == state
    (workspace.folder / "page.json").write_text("{", encoding="utf-8")
    assert client.get("/api/state").json() == {"state": None}


def test_examples__are_listed_with_their_text(client: TestClient) -> None:
    found = client.get("/api/examples").json()["examples"]
    assert {"land", "reject", "turn", "runway", "aircraft"} == {one["kind"] for one in found}
    assert all(tomllib.loads(one["text"]) for one in found)


def test_toml__there_and_back(client: TestClient, workspace: Workspace) -> None:
    text = workspace.text("cases", "wet-gusty-arrival.toml")
    found = client.post("/api/content", json={"text": text}).json()
    assert found["kind"] == "land"
    written = client.post("/api/toml", json={"case": found["case"]}).json()["text"]
    assert client.post("/api/content", json={"text": written}).json() == found
