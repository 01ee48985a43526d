"""What the server refuses: other names, other origins, other sites, large bodies, paths outside, a missing token."""

from __future__ import annotations

import asyncio
import os
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from groundroll.commands import run
from groundroll.web import server, workers
from groundroll.web.api import create_application
from groundroll.web.safety import LARGEST_BODY
from groundroll.web.work import Answer, answer_json
from groundroll.web.workers import Workers
from groundroll.web.workspace import Workspace
from tests.web.conftest import ADDRESS, HOSTS

TOKEN = "a-token-of-some-length"


@pytest.mark.parametrize("host", ["example.test", "127.0.0.1.example.test:8642", "", "192.0.2.1:8642", "[::1"])
def test_host__another_name_is_not_answered(host: str, client: TestClient) -> None:
    """A name made to point at this machine (DNS rebinding) arrives with that name as Host."""
    answer = client.get("/api/workspace", headers={"host": host})
    assert answer.status_code == 421
    assert "folder" not in answer.text


@pytest.mark.parametrize("host", ["localhost:8642", "127.0.0.1:8642", "[::1]:8642"])
def test_host__this_machine_is_answered(host: str, client: TestClient) -> None:
    assert client.get("/api/workspace", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("origin", ["http://example.test", "null", "https://127.0.0.1:8642", "http://127.0.0.1:9999"])
def test_origin__another_origin_may_neither_read_nor_write(origin: str, client: TestClient) -> None:
    assert client.get("/api/workspace", headers={"origin": origin}).status_code == 403
    answer = client.put("/api/state", json={"saved_at": 1}, headers={"origin": origin})
    assert answer.status_code == 403
    assert client.get("/api/state").json() == {"state": None}


def test_origin__the_page_itself_may_write(client: TestClient) -> None:
    headers = {"origin": ADDRESS, "sec-fetch-site": "same-origin"}
    assert client.put("/api/state", json={"saved_at": 1}, headers=headers).status_code == 200


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_site__no_write_across_sites(site: str, client: TestClient) -> None:
    assert client.put("/api/state", json={"saved_at": 1}, headers={"sec-fetch-site": site}).status_code == 403


def test_site__no_read_by_a_script_of_another_site(client: TestClient) -> None:
    headers = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    assert client.get("/api/workspace", headers=headers).status_code == 403


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data"])
def test_write__a_form_is_no_json(kind: str, client: TestClient) -> None:
    """Forms and plain text can be sent across sites without asking; JSON cannot."""
    answer = client.post("/api/read", content='{"text": "wet 5/5/5"}', headers={"content-type": kind})
    assert answer.status_code == 415


def test_size__a_large_body_is_refused_by_its_length_and_by_its_bytes(client: TestClient) -> None:
    headers = {"content-type": "application/json"}
    large = b'{"text": "' + b"x" * LARGEST_BODY + b'"}'
    assert client.post("/api/read", content=large, headers=headers).status_code == 413
    parts = (large[start : start + 65_536] for start in range(0, len(large), 65_536))
    answer = client.post("/api/read", content=parts, headers=headers)
    assert answer.status_code == 413
    assert answer.json()["error"]["kind"] == "size"


@pytest.mark.parametrize("path", ["/", "/api/workspace", "/api/nothing", "/api/openapi.json"])
def test_headers__every_answer_carries_the_policies(path: str, client: TestClient) -> None:
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert not re.search(r"https?:", policy)
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cross-origin-resource-policy"] == "same-origin"


@pytest.mark.parametrize(
    "name",
    ["../secret.toml", "..%2Fsecret.toml", "%2e%2e%2fsecret.toml", ".hidden.toml", "a%00.toml", "secret", "link.toml"],
)
def test_path__nothing_outside_the_workspace_is_read_or_written(
    name: str, client: TestClient, workspace: Workspace
) -> None:
    secret = workspace.folder.parent / "secret.toml"
    secret.write_text('title = "hidden words"\n', encoding="utf-8")
    (workspace.folder / "cases" / "link.toml").symlink_to(secret)
    for answer in (
        client.get(f"/api/workspace/cases/{name}"),
        client.put(f"/api/workspace/cases/{name}", json={"text": "x = 1"}),
        client.delete(f"/api/workspace/cases/{name}"),
    ):
        assert answer.status_code in (404, 405)
        assert "hidden words" not in answer.text
    assert secret.read_text(encoding="utf-8") == 'title = "hidden words"\n'


@pytest.mark.parametrize("key", ["aircraft", "runway"])
@pytest.mark.parametrize("name", ["/etc/passwd", "../../secret.toml", "../aircraft/../../secret.toml"])
def test_case__cannot_name_a_file_outside(key: str, name: str, client: TestClient, workspace: Workspace) -> None:
    (workspace.folder.parent / "secret.toml").write_text("hidden = 1\n", encoding="utf-8")
    case = client.get("/api/workspace/cases/dry-short.toml").json()["content"]
    answer = client.post("/api/land", json={"case": case | {key: name}})
    assert answer.status_code == 422
    (problem,) = answer.json()["error"]["problems"]
    assert problem["field"] == key
    assert "outside the workspace" in problem["text"]


def test_case__cannot_name_a_file_outside_by_other_ways(client: TestClient, workspace: Workspace) -> None:
    case = client.get("/api/workspace/cases/dry-short.toml").json()["content"]
    for change in ("aircraft=/etc/passwd", "aircraft.braking_table=/etc/passwd", 'runway="../../x.toml"'):
        answer = client.post("/api/land", json={"case": case, "set": [change]})
        assert answer.status_code == 422
        assert "cannot name another file" in answer.text
    aircraft = workspace.text("aircraft", "demo-narrowbody.toml")
    workspace.write("aircraft", "mine.toml", 'braking_table = "../../../etc/passwd"\n' + aircraft)
    answer = client.post("/api/land", json={"case": case | {"aircraft": "../aircraft/mine.toml"}})
    assert answer.status_code == 422
    assert "outside the workspace" in answer.text
    day = client.get("/api/workspace/cases/day.toml").json()["content"]
    day["sectors"][0]["landing"]["case"] = "../../secret.toml"
    assert "outside the workspace" in client.post("/api/turn", json={"case": day}).text
    day["sectors"][0]["landing"] |= {"case": "hot-plain.toml", "changes": ["aircraft=/etc/passwd"]}
    assert "cannot name another file" in client.post("/api/turn", json={"case": day}).text


def test_token__is_asked_for_and_kept_in_a_cookie(workspace: Workspace) -> None:
    application = create_application(workspace, Workers(0), hosts=HOSTS | {"192.0.2.7"}, token=TOKEN)
    with TestClient(application, base_url="http://192.0.2.7:8642", follow_redirects=False) as client:
        assert client.get("/").status_code == 401
        assert client.get("/api/workspace").status_code == 401
        assert client.get("/?token=wrong").status_code == 401
        assert client.get("/api/workspace?token=" + TOKEN).status_code == 401
        assert client.get("/api/workspace", headers={"authorization": f"Bearer {TOKEN}"}).status_code == 200
        entered = client.get(f"/?token={TOKEN}")
        assert entered.status_code == 303
        assert entered.headers["location"] == "/"
        assert "HttpOnly; SameSite=Strict" in entered.headers["set-cookie"]
        assert client.get("/api/workspace").status_code == 200


class _Started(Exception):  # noqa: N818 - ends a start before it waits for requests
    pass


def _start(monkeypatch: pytest.MonkeyPatch, arguments: list[str]) -> dict[str, Any]:
    """Run the command up to the start of the server and return what it would serve."""
    made: dict[str, Any] = {}

    def create(*_: object, **keys: object) -> object:
        made.update(keys)
        return object()

    class Quick:
        def __init__(self, config: Any) -> None: ...

        def run(self, sockets: list[Any]) -> None:
            made["address"] = sockets[0].getsockname()[0]
            sockets[0].close()

    monkeypatch.setattr(server, "create_application", create)
    monkeypatch.setattr(server.uvicorn, "Server", Quick)
    monkeypatch.setattr(server.signal, "signal", lambda *_: None)
    made["code"] = run(["serve", *arguments])
    return made


def test_serve__binds_to_this_machine_and_needs_no_token(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = _start(monkeypatch, ["--workspace", str(tmp_path / "new"), "--port", "0"])
    assert made["code"] == 0
    assert made["address"] == "127.0.0.1"
    assert made["token"] is None
    assert made["hosts"] == HOSTS
    assert "http://127.0.0.1:" in capsys.readouterr().out
    assert (tmp_path / "new" / "cases" / "wet-gusty-arrival.toml").is_file()


def test_serve__another_address_gets_a_token(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = _start(
        monkeypatch, ["--workspace", str(tmp_path), "--port", "0", "--host", "0.0.0.0", "--name", "Desk.test"]
    )
    assert len(made["token"]) >= 24
    assert "desk.test" in made["hosts"]
    said = capsys.readouterr().out
    assert f"?token={made['token']}" in said
    assert "not encrypted" in said


def test_serve__refuses_a_short_token_and_a_file_as_workspace(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["serve", "--workspace", str(tmp_path), "--port", "0", "--token", "short"]) == 2
    assert "at least 16" in capsys.readouterr().err
    file = tmp_path / "file"
    file.write_text("x", encoding="utf-8")
    assert run(["serve", "--workspace", str(file), "--port", "0"]) == 2
    assert "is not a folder" in capsys.readouterr().err


def _crash(kind: str, folder: str, request: dict[str, Any]) -> Answer:
    """Stand in for a computation: end the process, sleep, or answer."""
    if request.get("crash"):
        os._exit(11)
    if request.get("sleep"):
        import time

        time.sleep(60.0)
    return answer_json({"worker": os.getpid()})


def test_workers__a_crash_or_a_slow_computation_does_not_stop_the_server(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "compute", _crash)
    monkeypatch.setattr(workers, "warm_up", _nothing)

    async def scene() -> list[int]:
        found = Workers(1, computing_time=20.0)
        found.start()
        try:
            codes = [(await found.compute("land", "", {"crash": True})).status]
            codes.append((await found.compute("land", "", {})).status)
            found._computing_time = 0.5
            codes.append((await found.compute("land", "", {"sleep": True})).status)
            found._computing_time = 20.0
            codes.append((await found.compute("land", "", {})).status)
            return codes
        finally:
            found.stop()

    with ThreadPoolExecutor(1) as thread:  # of its own: a browser test may have left a loop running in this one
        assert thread.submit(asyncio.run, scene()).result() == [500, 200, 504, 200]


def _nothing() -> None:
    """Stand in for the warming up."""


def test_unexpected__a_fault_of_a_computation_is_an_answer(
    client: TestClient, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("a fault")

    monkeypatch.setattr("groundroll.planning.landing.plan_landing", broken)
    case = client.get("/api/workspace/cases/dry-short.toml").json()["content"]
    answer = client.post("/api/land", json={"case": case})
    assert answer.status_code == 500
    assert answer.json()["error"]["kind"] == "unexpected"
    assert "Traceback" not in answer.text
    assert client.get("/api/workspace").status_code == 200
