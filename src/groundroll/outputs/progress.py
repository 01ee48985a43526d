"""A progress bar on stderr for work that is counted: in rolls, or in pictures."""

from __future__ import annotations

import sys
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, Progress, ProgressColumn, Task, TaskID, TextColumn, TimeRemainingColumn
from rich.text import Text


class _Rate(ProgressColumn):
    """Rolls, or what else is counted, a second."""

    def __init__(self, unit: str) -> None:
        super().__init__()
        self._unit = unit

    def render(self, task: Task) -> Text:
        """Return the rate, empty while there is none."""
        speed = task.finished_speed or task.speed
        return Text("" if speed is None else f"{speed:,.0f} {self._unit}/s".replace(",", " "))


class RollProgress:
    """What is being done, how much of it, how fast and how long still; nothing where stderr is no terminal."""

    def __init__(self, unit: str = "rolls") -> None:
        console = Console(file=sys.stderr)
        self._bar = Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            TextColumn("{task.completed:.0f}"),
            _Rate(unit),
            TimeRemainingColumn(),
            console=console,
            transient=True,
            disable=not console.is_terminal,
        )
        self._tasks: dict[str, TaskID] = {}

    def __enter__(self) -> RollProgress:
        """Show the bar."""
        self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Take the bar away."""
        self._bar.stop()

    def __call__(self, text: str, done: int, total: int) -> None:
        """Add rolls done of what ``text`` says; a total of 0 is not known."""
        if text not in self._tasks:
            self._tasks[text] = self._bar.add_task(text, total=total or None)
        self._bar.advance(self._tasks[text], done)
