"""`groundroll serve`: the workbench, a page on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DONE


def serve(
    workspace: Annotated[
        Path, typer.Option(metavar="FOLDER", help="Folder of plain files; made, with the examples in it, where new.")
    ] = Path("groundroll-workspace"),
    port: Annotated[int, typer.Option(min=0, max=65_535, help="Port; 0 takes a free one.")] = 8642,
    host: Annotated[
        str, typer.Option(metavar="ADDRESS", help="Address to listen at; any but this machine needs a token.")
    ] = "127.0.0.1",
    token: Annotated[
        str | None,
        typer.Option(help="Token that a browser must bring; made up where --host needs one.", show_default=False),
    ] = None,
    name: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="With --host: a name under which others reach it; may be repeated."),
    ] = None,
) -> int:
    """Open the workbench: a page in the browser of this machine, with the same answers as the commands."""
    from groundroll.web.server import run_server

    run_server(workspace, host=host, port=port, token=token, names=tuple(name or ()))
    return DONE
