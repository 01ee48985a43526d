"""One published value beside ours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from groundroll.physics.sources import Status


@dataclass(frozen=True)
class ValidationCase:
    """A published value, and the call that should give it."""

    key: str
    """Topic, a slash, and what tells the case from its neighbours: "hydroplaning/100 psi"."""
    source: str
    """Document and paragraph that print the value."""
    case: str
    """What was asked, with its inputs."""
    published: float
    """As printed. [``unit``]"""
    unit: str
    """Empty for a pure number."""
    tolerance: float
    """Greatest difference that passes; half a unit of the last printed digit where nothing else is said. [``unit``]"""
    status: Status
    """How far the published value has been checked against its document."""
    compute: Callable[[], float]
    """Our value. [``unit``]"""
    decimals: int = 0
    """Decimals printed by the source; ours is shown with as many."""

    @property
    def topic(self) -> str:
        """Return the part of the key before the slash."""
        return self.key.partition("/")[0]
