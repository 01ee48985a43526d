"""groundroll: the landing roll and the rejected take-off of a transport aeroplane, from one physical model.

For notebooks: ``import groundroll as gr``, then ``gr.land(gr.read_case("case.toml"))``; see `groundroll.notebook`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from groundroll.notebook import animate, compare, land, read_case, reject, review_recording, turn

__version__ = "0.1.0"

__all__ = ["__version__", "animate", "compare", "land", "read_case", "reject", "review_recording", "turn"]

_FOR_NOTEBOOKS: Final = tuple(__all__[1:])


def __getattr__(name: str) -> Any:
    """Return what notebooks use; it is imported at its first use, for `groundroll --help` must stay quick."""
    if name in _FOR_NOTEBOOKS:
        from groundroll import notebook

        return getattr(notebook, name)
    raise AttributeError(f"module 'groundroll' has no attribute {name!r}")


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted([*globals(), *_FOR_NOTEBOOKS])
