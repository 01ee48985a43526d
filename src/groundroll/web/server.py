"""Starting the server: a socket, the address in words, and an orderly end."""

from __future__ import annotations

import contextlib
import re
import secrets
import signal
import socket
import sys
from pathlib import Path
from typing import Final

import uvicorn

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.web.api import create_application, static_folder
from groundroll.web.safety import is_loopback
from groundroll.web.workers import Workers, sensible_count
from groundroll.web.workspace import Workspace

SHORTEST_TOKEN: Final = 16
"""Characters. Assumption of this project: too many to be guessed over a network."""

MOST_CONNECTIONS: Final = 1_000

_TOKEN = re.compile(r"[A-Za-z0-9_-]+\Z")


def run_server(workspace: Path, *, host: str, port: int, token: str | None, names: tuple[str, ...] = ()) -> None:
    """Serve the workbench until it is stopped.

    Raises
    ------
    GroundrollError
        If the workspace cannot be written, the token is too short, or the address is taken.
    """
    if token is None and not is_loopback(host):
        token = secrets.token_urlsafe(24)
    if token is not None and (len(token) < SHORTEST_TOKEN or not _TOKEN.match(token)):
        raise ScenarioError(f"--token: use at least {SHORTEST_TOKEN} letters, digits, dashes and underscores.")
    kept = Workspace(workspace)
    kept.prepare()
    listener = _listener(host, port)
    port = listener.getsockname()[1]
    hosts = frozenset(one.lower().strip("[]") for one in ("127.0.0.1", "localhost", "::1", host, *names))
    application = create_application(kept, Workers(sensible_count()), hosts=hosts, token=token)
    address = f"http://{_in_address(host)}:{port}/" + (f"?token={token}" if token else "")
    _say(f"The workbench is at {address}", f"Its files are in {kept.folder}", "Stop it with Ctrl-C.")
    if static_folder() is None:
        _say("The page has not been built; only the API answers. Build it with: make web")
    if not is_loopback(host):
        _say("Anybody on the network who has the token can read and change the workspace; it is not encrypted.")
    config = uvicorn.Config(
        application,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=3,
        limit_concurrency=MOST_CONNECTIONS,
        h11_max_incomplete_event_size=64_000,
        ws="none",
        http="h11",
    )
    # Ended by its service or by Ctrl-C, it ends as any command does, so that nothing of the workers is left behind.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    with contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[listener])


def _listener(host: str, port: int) -> socket.socket:
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        listener = socket.socket(family, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host.strip("[]"), port))
        listener.listen(1_024)  # at once: whoever follows the printed address waits instead of being refused
    except OSError as error:
        reason = error.strerror or str(error)
        raise GroundrollError(f"{host} port {port} cannot be listened at: {reason}. Try another --port.") from error
    return listener


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host and not host.startswith("[") else host


def _say(*lines: str) -> None:
    sys.stdout.write("".join(f"{one}\n" for one in lines))
    sys.stdout.flush()
