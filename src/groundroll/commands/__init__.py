"""The command line: one module a subcommand, and the only place where an error becomes an exit code.

Exit codes: 0 done; 1 the plan does not fit (a result, still printed); 2 bad input (one message on stderr);
3 unexpected fault. Heavy packages are imported inside the functions that use them, so `groundroll --help` stays quick.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, Final

import typer

from groundroll.errors import GroundrollError

COMMANDS: Final = (
    "land",
    "reject",
    "turn",
    "brief",
    "review",
    "fleet",
    "fit",
    "teach",
    "animate",
    "read",
    "check",
    "serve",
)
"""Names of the modules here, each with a function of the same name; the order of `groundroll --help`."""

DONE: Final = 0
DOES_NOT_FIT: Final = 1
BAD_INPUT: Final = 2
UNEXPECTED: Final = 3
STOPPED: Final = 130

AsJson = Annotated[bool, typer.Option("--json", help="Write JSON on stdout and nothing else there.")]
Overrides = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="KEY=VALUE", help='Change one input, such as "landing.mass=60 t"; may be repeated.'),
]
OutputFile = Annotated[Path | None, typer.Option("-o", "--output", metavar="FILE", help="Write to FILE instead.")]


def emit(text: str, output: Path | None) -> None:
    """Write a result to a file, all of it or nothing, or to stdout.

    Raises
    ------
    GroundrollError
        If the file cannot be written.
    """
    text = text if text.endswith("\n") else text + "\n"
    if output is None:
        try:
            sys.stdout.write(text)
            sys.stdout.flush()
        except BrokenPipeError:
            # The reader has seen enough (`| head`); nothing more may be written, not even at the end of Python.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return
    emit_bytes(text.encode("utf-8"), output)


def emit_bytes(content: bytes, output: Path) -> None:
    """Write a result that is no text to a file, all of it or nothing.

    Raises
    ------
    GroundrollError
        If the file cannot be written.
    """
    try:
        _replace(output, content)
    except OSError as error:
        raise GroundrollError(f"{output} cannot be written: {error.strerror or error}.") from error


def _replace(output: Path, content: bytes) -> None:
    target = output.resolve()
    if target.exists() and not target.is_file():  # a folder fails here with its own reason; a device takes the bytes
        target.write_bytes(content)
        return
    part = target.with_name(f".{target.name[:100]}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def emit_json(content: Mapping[str, Any], output: Path | None) -> None:
    """Write a result as JSON; NaN and infinity have no place in it."""
    import json

    emit(json.dumps(content, indent=2, allow_nan=False), output)


def announce_compiling() -> None:
    """Say on stderr, once for each machine, why the first answer takes some seconds."""
    from groundroll.kernels.jit import is_cached

    if not is_cached():
        _say("Compiling the model for this machine, once; this takes some seconds ...")


def application() -> typer.Typer:
    """Return the command line with all its subcommands."""
    app = typer.Typer(
        name="groundroll",
        help="Plan, brief, review and teach the landing roll and the rejected take-off of a transport aeroplane.",
        epilog="A planning, training and review aid: the approved flight manual and the commander prevail.",
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )

    @app.callback(invoke_without_command=True)
    def options(
        version: Annotated[bool, typer.Option("--version", help="Show the version and stop.", is_eager=True)] = False,
    ) -> None:
        if version:
            from groundroll import __version__

            emit(f"groundroll {__version__}", None)
            raise typer.Exit

    for name in COMMANDS:
        module = importlib.import_module(f"groundroll.commands.{name}")
        app.command(name)(getattr(module, name))
    return app


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that lacks a character shows ? instead of failing
    try:
        command = typer.main.get_command(application())
        code = command.main(
            args=None if arguments is None else list(arguments), prog_name="groundroll", standalone_mode=False
        )
        return code if isinstance(code, int) else DONE
    except (typer.Abort, KeyboardInterrupt):
        return STOPPED
    except GroundrollError as error:
        _say(str(error))
        return BAD_INPUT
    except Exception as error:
        usage = _usage(error)
        if usage:
            _say(usage)
            return BAD_INPUT
        if os.environ.get("GROUNDROLL_DEBUG") == "1":
            raise
        reason = " ".join(str(error).split())[:200]
        _say(
            f"An unexpected fault in groundroll ({type(error).__name__}: {reason}). Set GROUNDROLL_DEBUG=1 and run it "
            "again to see where."
        )
        return UNEXPECTED


def _usage(error: Exception) -> str:
    """Return the message of a mistake on the command line, an empty text for any other error.

    Typer keeps the class of its usage errors private; they are known by the message they can format.
    """
    format_message = getattr(error, "format_message", None)
    if format_message is None:
        return ""
    context = getattr(error, "ctx", None)
    path = context.command_path if context is not None else "groundroll"
    return f"{' '.join(str(format_message()).split())} See: {path} --help"


def _say(text: str) -> None:
    sys.stderr.write(text + "\n")


def main() -> None:
    """Entry point of the `groundroll` command."""
    sys.exit(run())
