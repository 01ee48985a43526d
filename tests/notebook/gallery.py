"""The gallery of docs/gallery.ipynb: read, executed, and written with its outputs, or as one page to look at.

Run it by `python -m tests.notebook.gallery FILE.ipynb` or `FILE.html`.
"""

from __future__ import annotations

import json
import sys
import tempfile
from html import escape
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
GALLERY = ROOT / "docs" / "gallery.ipynb"


def executed() -> Any:
    """Return the gallery with the outputs of its cells; fail as its first failing cell does."""
    import nbformat
    from jupyter_client.manager import AsyncKernelManager
    from nbclient import NotebookClient

    notebook = nbformat.read(GALLERY, as_version=4)
    # The kernel talks through files of its own, not through the network of the machine.
    with tempfile.TemporaryDirectory() as folder:
        manager = AsyncKernelManager(kernel_name="python3", transport="ipc", ip=f"{folder}/kernel")
        where = {"metadata": {"path": str(GALLERY.parent)}}
        return NotebookClient(notebook, km=manager, timeout=120, startup_timeout=60, resources=where).execute()


def page(notebook: Any) -> str:
    """Return an executed notebook as one page."""
    parts = ["<!doctype html><html lang='en'><meta charset='utf-8'><title>Gallery</title>"]
    parts.append("<style>body{font:16px sans-serif;max-width:1000px;margin:auto;padding:1em}pre{overflow:auto}</style>")
    for cell in notebook.cells:
        parts.append(f"<pre>{escape(cell.source)}</pre>")
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            shown = data.get("text/html") or data.get("image/svg+xml") or escape(output.get("text", ""))
            parts.append(f"<div>{shown or '<pre>' + escape(data.get('text/plain', '')) + '</pre>'}</div>")
    return "\n".join(parts)


if __name__ == "__main__":
    target = Path(sys.argv[1])
    done = executed()
    target.write_text(page(done) if target.suffix == ".html" else json.dumps(done), encoding="utf-8")
