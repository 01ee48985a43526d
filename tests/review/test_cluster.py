"""The same work on a real local cluster: a scheduler and two workers, one of them killed on the way."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from groundroll.errors import DataError
from groundroll.review.fleet import FleetProgress, read_fleet, read_parts, run_fleet
from groundroll.review.fleet_invent import invent_fleet

CASE = Path(__file__).parents[2] / "examples" / "wet-gusty-arrival" / "case.toml"

pytestmark = [
    # Distributed leaves sockets to the garbage collector when a worker dies; that is not ours to mend.
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """Return the address of a scheduler, and its two workers."""
    address = f"tcp://127.0.0.1:{_free_port()}"
    with ExitStack() as stack:

        def start(what: str, *arguments: str) -> subprocess.Popen[bytes]:
            command = [sys.executable, "-m", f"distributed.cli.dask_{what}", *arguments, "--no-dashboard"]
            run = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=tmp_path)
            stack.callback(run.wait)
            stack.callback(run.kill)
            return run

        start("scheduler", "--host", "127.0.0.1", "--port", address.rsplit(":", 1)[1])
        workers = [start("worker", address, "--nthreads", "1", "--no-nanny") for _ in range(2)]
        yield address, workers


def test_fleet_on_cluster__a_killed_worker_costs_nothing(
    cluster: tuple[str, list[subprocess.Popen[bytes]]], tmp_path: Path
) -> None:
    address, workers = cluster
    folder = tmp_path / "fleet"
    invent_fleet(folder, CASE, 80, seed=9)
    fleet = read_fleet(folder)
    killed = False

    def kill_one(state: FleetProgress) -> None:
        nonlocal killed
        if not killed:
            os.kill(workers[0].pid, signal.SIGKILL)
            killed = True

    last: Exception | None = None
    for _ in range(40):  # the scheduler needs a moment to come up
        try:
            run_fleet(fleet, tmp_path / "set", cluster=address, progress=kill_one)
            break
        except DataError as error:
            last = error
            time.sleep(0.5)
    else:
        raise AssertionError(last)
    assert killed
    rows = read_parts(tmp_path / "set")
    assert sorted(rows["file"].to_list()) == sorted(one.file for one in fleet.entries)
    run_fleet(fleet, tmp_path / "alone")
    assert rows.equals(read_parts(tmp_path / "alone"))


def test_fleet_on_cluster__no_scheduler_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("groundroll.review.fleet.CLUSTER_PATIENCE", "1s")
    invent_fleet(tmp_path / "fleet", CASE, 1)
    with pytest.raises(DataError, match="no scheduler answers there"):
        run_fleet(read_fleet(tmp_path / "fleet"), tmp_path / "set", cluster=f"tcp://127.0.0.1:{_free_port()}")
