"""A workspace with the examples in it, and a client that speaks to the guarded server without a socket."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from groundroll.web.api import create_application
from groundroll.web.workers import Workers
from groundroll.web.workspace import Workspace

ADDRESS = "http://127.0.0.1:8642"
HOSTS = frozenset({"127.0.0.1", "localhost", "::1"})


@pytest.fixture
def workspace(tmp_path: Path) -> Workspace:
    found = Workspace(tmp_path / "workspace")
    found.prepare()
    return found


@pytest.fixture
def client(workspace: Workspace) -> Iterator[TestClient]:
    application = create_application(workspace, Workers(0), hosts=HOSTS)
    with TestClient(application, base_url=ADDRESS, raise_server_exceptions=False) as found:
        yield found
