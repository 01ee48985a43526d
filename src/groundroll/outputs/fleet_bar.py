"""A progress bar on stderr for recordings."""

from __future__ import annotations

import sys
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeElapsedColumn, TimeRemainingColumn

from groundroll.review.fleet import FleetProgress


class FleetBar:
    """How many recordings are done and set aside, how fast, and how long still; nothing where stderr is no terminal."""

    def __init__(self) -> None:
        console = Console(file=sys.stderr)
        self._bar = Progress(
            TextColumn("{task.completed:.0f} of {task.total:.0f} recordings, {task.fields[aside]} set aside"),
            BarColumn(),
            TextColumn("{task.fields[rate]}"),
            TimeElapsedColumn(),
            TimeRemainingColumn(),
            console=console,
            transient=True,
            disable=not console.is_terminal,
        )
        self._task: TaskID | None = None

    def __enter__(self) -> FleetBar:
        """Show the bar."""
        self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Take the bar away."""
        self._bar.stop()

    def __call__(self, state: FleetProgress) -> None:
        """Show how far it has come."""
        if self._task is None:
            self._task = self._bar.add_task("", total=state.total, completed=state.done, aside=0, rate="")
        speed = self._bar.tasks[0].speed
        rate = "" if speed is None else f"{speed:.0f} a second"
        self._bar.update(self._task, completed=state.done, aside=state.set_aside, rate=rate)
