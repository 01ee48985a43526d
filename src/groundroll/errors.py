"""Errors of groundroll, the whole family.

    Exception
    ├── ValueError              physics: an argument outside the range its docstring states
    └── GroundrollError         anything a user can mend; one clear message, exit code 2
        ├── ScenarioError       a scenario file, or a value given with --set
        ├── ReportError         a weather or runway condition report that cannot be used
        └── DataError           recorded data and tables

Only `groundroll.commands` (and the web API) turn an exception into an exit code or a JSON error.
"""

from __future__ import annotations


class GroundrollError(Exception):
    """Something the user can mend: what was given, what is allowed, in which unit, and the next step."""


class ScenarioError(GroundrollError):
    """A scenario file or a value in it cannot be used."""


class ReportError(GroundrollError):
    """A weather report or a runway condition report cannot be used."""


class DataError(GroundrollError):
    """Recorded data or a table cannot be used."""
