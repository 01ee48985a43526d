"""Processes that compute for the server: one that crashes or takes too long is replaced, and the server goes on."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any, Final

from groundroll.web.work import Answer, answer_json, compute, error_content, warm_up

COMPUTING_TIME: Final = 30.0
"""Longest computation. [s] Assumption of this project: the slowest demonstration case needs a second."""

WARMING_TIME: Final = 600.0
"""Longest time in which a new worker imports and, once on a machine, compiles. [s] Assumption of this project."""

WAITING_TIME: Final = 60.0
"""Longest wait for a free worker. [s] Assumption of this project."""

MOST_WORKERS: Final = 4
"""Assumption of this project: one person works with the page, a class with a few."""


def sensible_count() -> int:
    """Return how many workers suit this machine."""
    return max(1, min(MOST_WORKERS, os.cpu_count() or 1))


class Workers:
    """Worker processes, each with one task at a time; with none, the work is done in threads of this process."""

    def __init__(self, count: int, *, computing_time: float = COMPUTING_TIME, waiting_time: float = WAITING_TIME):
        self._count = count
        self._computing_time = computing_time
        self._waiting_time = waiting_time
        self._free: asyncio.Queue[ProcessPoolExecutor] = asyncio.Queue()
        self._all: set[ProcessPoolExecutor] = set()
        self._warming: dict[ProcessPoolExecutor, Future[None]] = {}
        self._alone = asyncio.Lock()

    def start(self) -> None:
        """Start the processes; each compiles and imports what it needs while nobody waits for it."""
        for _ in range(self._count):
            self._free.put_nowait(self._new())

    def _new(self) -> ProcessPoolExecutor:
        # Spawned, not forked: a fork of a process with threads may hang.
        executor = ProcessPoolExecutor(max_workers=1, mp_context=multiprocessing.get_context("spawn"))
        self._all.add(executor)
        self._warming[executor] = executor.submit(warm_up)
        return executor

    def stop(self) -> None:
        """End all processes."""
        for one in list(self._all):
            self._end(one)

    def _end(self, executor: ProcessPoolExecutor) -> None:
        self._all.discard(executor)
        self._warming.pop(executor, None)
        processes = list((executor._processes or {}).values())
        executor.shutdown(wait=False, cancel_futures=True)
        for one in processes:
            one.kill()

    async def _warm(self, executor: ProcessPoolExecutor) -> None:
        """Wait until a new worker is ready: the time that takes once on a machine is not that of the request."""
        future = self._warming.get(executor)
        if future is not None:
            # Shielded: a request that is given up does not cancel the warming. What fails there fails again below.
            with contextlib.suppress(Exception):
                await asyncio.wait_for(asyncio.shield(asyncio.wrap_future(future)), WARMING_TIME)
            self._warming.pop(executor, None)

    async def compute(self, kind: str, folder: str, request: dict[str, Any]) -> Answer:
        """Return the answer to one request; a worker that fails gives an answer that says so."""
        if self._count == 0:
            async with self._alone:
                return await asyncio.to_thread(compute, kind, folder, request)
        try:
            executor = await asyncio.wait_for(self._free.get(), self._waiting_time)
        except TimeoutError:
            text = f"The server has been busy for {self._waiting_time:.0f} s. Try again in a moment."
            return answer_json(error_content("busy", text), 503)
        replace, done = False, False
        try:
            await self._warm(executor)
            future = executor.submit(compute, kind, folder, request)
            answer = await asyncio.wait_for(asyncio.wrap_future(future), self._computing_time)
            done = True
            return answer
        except TimeoutError:
            replace = True
            text = f"The computation took longer than {self._computing_time:.0f} s and was given up."
            return answer_json(error_content("timeout", text), 504)
        except BrokenProcessPool:
            replace = True
            text = "The computation ended unexpectedly. The server goes on; try again, or change the case."
            return answer_json(error_content("unexpected", text), 500)
        except asyncio.CancelledError:
            replace = not done  # the reader has gone; what is still computing would keep the next one waiting
            raise
        finally:
            if replace:
                self._end(executor)
                executor = self._new()
            self._free.put_nowait(executor)
