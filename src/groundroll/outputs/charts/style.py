"""The one style of every chart: type, palette, line styles and hatches, caution, and how a file is written.

Nothing is told by colour alone: every line has its own dashes, every surface its own hatch. A chart is the same, byte
by byte, each time it is drawn from the same result.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

from groundroll.errors import GroundrollError
from groundroll.outputs.caution import cautions

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FORMATS: Final = (".svg", ".png")
"""Kinds of chart files."""

BLUE: Final = "#0072B2"
VERMILION: Final = "#D55E00"
GREEN: Final = "#009E73"
PURPLE: Final = "#CC79A7"
SKY: Final = "#56B4E9"
ORANGE: Final = "#E69F00"
"""Okabe and Ito's palette, which people with any colour vision can tell apart (second-hand)."""

INK: Final = "#000000"
LIMIT: Final = "#555555"
PALE: Final = "#BBBBBB"

DASHES: Final = ("-", "--", "-.", ":", (0, (8, 2, 1, 2, 1, 2)), (0, (3, 1)))
"""Line styles in the order of use."""

HATCHES: Final = ("", "///", "...", "\\\\\\", "xx", "--")
"""Hatches in the order of use."""


def check_chart_name(path: Path, formats: tuple[str, ...] = FORMATS) -> None:
    """Refuse a chart file whose kind is not known, before anything is computed.

    Raises
    ------
    GroundrollError
        If the name does not end with one of ``formats``.
    """
    if path.suffix.lower() not in formats:
        raise GroundrollError(f"{path}: a chart is written as {' or '.join(formats)}; end the name with one of them.")


@contextmanager
def chart(path: Path, title: str, size: tuple[float, float], *, invented: bool) -> Iterator[Figure]:
    """Give a figure to draw on; write it, with the caution below, when the drawing is done.

    Parameters
    ----------
    path
        Where to; the end of the name says which kind.
    title
        Stands in the file.
    size
        Width and height. [in]
    invented
        Whether the aeroplane is.

    Raises
    ------
    GroundrollError
        If the file cannot be written.
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    settings = mpl.RcParams(
        {
            "svg.hashsalt": "groundroll",
            "svg.fonttype": "none",
            "font.size": 9.0,
            "axes.spines.top": False,
            "axes.spines.right": False,
            "axes.titlelocation": "left",
            "axes.titlesize": 10.0,
            "hatch.linewidth": 0.5,
            "legend.frameon": False,
        }
    )
    with mpl.rc_context(settings):
        figure = Figure(figsize=size, layout="constrained")
        FigureCanvasSVG(figure)
        yield figure
        figure.supxlabel("\n".join(cautions(invented=invented)), fontsize=6.5)
        kind = path.suffix.lower().removeprefix(".")
        metadata = {"svg": {"Date": None, "Title": title}, "png": {"Title": title}}.get(kind)
        if kind == "pdf":
            metadata = {"CreationDate": None, "Title": title}
        try:
            figure.savefig(path, format=kind, dpi=150, metadata=metadata)
        except OSError as error:
            raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error
