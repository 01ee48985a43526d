"""Two surfaces to draw on with the same strokes: pixels, for video and PNG, and SVG.

Places are in pixels, x to the right and y downwards. A drawing on pixels begins as a copy of a background that was
drawn once, so a picture costs only what moves in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, Final, Literal, Protocol, TypeAlias
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

Anchor: TypeAlias = Literal["left", "middle", "right"]
Points: TypeAlias = Sequence[tuple[float, float]] | NDArray[np.float64]

FAMILY: Final = "DejaVu Sans"
"""The type comes with Matplotlib: the same letters on every machine."""

BASELINE: Final = 0.36
"""Baseline below the middle of a line of type, over its size. [-] Half of the height of its capitals."""


class Canvas(Protocol):
    """What the pictures are drawn with."""

    def polygon(self, points: Points, fill: str | None, edge: str | None = None, width: float = 1.0) -> None:
        """Fill a closed shape and draw its edge."""

    def line(self, points: Points, colour: str, width: float = 1.0, dashes: Sequence[float] = ()) -> None:
        """Draw a line through points."""

    def text(
        self, x: float, y: float, words: str, size: float, colour: str, anchor: Anchor = "left", bold: bool = False
    ) -> None:
        """Write one line of words; y is the middle of its capitals."""

    def clip(self, left: float, top: float, right: float, bottom: float) -> None:
        """Draw only inside a rectangle from here on."""

    def unclip(self) -> None:
        """Draw everywhere again."""


def rectangle(left: float, top: float, right: float, bottom: float) -> list[tuple[float, float]]:
    """Return the corners of a rectangle."""
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


@lru_cache(maxsize=256)
def _font(size: float, bold: bool) -> Any:
    import matplotlib
    from PIL import ImageFont

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    file = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name
    # The plain layout gives the same places whatever libraries a machine has.
    return ImageFont.truetype(str(file), size, layout_engine=ImageFont.Layout.BASIC)


def text_width(words: str, size: float, bold: bool = False) -> float:
    """Return the width of one line of words."""
    return float(_font(max(round(size, 1), 1.0), bold).getlength(words))


def wrapped(words: str, size: float, width: float, bold: bool = False) -> list[str]:
    """Return words as lines no wider than ``width``."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


@lru_cache(maxsize=4096)
def _letters(words: str, size: float, bold: bool) -> tuple[NDArray[np.float32], int, int]:
    """Return the share of ink of each pixel of a line of words, and where they begin against its left baseline."""
    mask, (left, top) = _font(size, bold).getmask2(words, mode="L", anchor="ls")
    width, height = mask.size
    shares = np.frombuffer(bytes(mask), dtype=np.uint8).reshape(height, width).astype(np.float32) / 255.0
    return shares, int(left), int(top)


@lru_cache(maxsize=256)
def _colour(text: str) -> tuple[float, float, float]:
    return (int(text[1:3], 16) / 255.0, int(text[3:5], 16) / 255.0, int(text[5:7], 16) / 255.0)


class PixelCanvas:
    """A picture of pixels, drawn with anti-aliased edges."""

    def __init__(self, width: int, height: int, ground: str) -> None:
        from matplotlib.backends import backend_agg
        from matplotlib.transforms import IdentityTransform

        self.width, self.height = width, height
        agg: Any = backend_agg  # its renderer has no types
        self._renderer: Any = agg.RendererAgg(width, height, 72)
        self.pixels: NDArray[np.uint8] = np.asarray(self._renderer.buffer_rgba())
        """Rows of red, green, blue and 255; drawn in place."""
        self.pixels[:] = [*(round(255.0 * one) for one in _colour(ground)), 255]
        self._plain = IdentityTransform()
        self._bounds = (0, 0, width, height)
        self._box: Any = None

    def restore(self, background: NDArray[np.uint8]) -> None:
        """Begin again from a background."""
        self.pixels[:] = background

    def _path(self, points: Points, *, closed: bool) -> Any:
        from matplotlib.path import Path as Outline

        places = np.array(points, dtype=np.float64).reshape(-1, 2)
        places[:, 1] = self.height - places[:, 1]
        return Outline(np.vstack([places, places[:1]]), closed=True) if closed else Outline(places)

    def _pen(self, colour: str, width: float) -> Any:
        pen = self._renderer.new_gc()
        pen.set_foreground(_colour(colour))
        pen.set_linewidth(width)
        pen.set_snap(False)
        pen.set_joinstyle("round")
        pen.set_capstyle("butt")
        if self._box is not None:
            pen.set_clip_rectangle(self._box)
        return pen

    def polygon(self, points: Points, fill: str | None, edge: str | None = None, width: float = 1.0) -> None:
        """Fill a closed shape and draw its edge."""
        pen = self._pen(edge or fill or "#000000", width if edge else 0.0)
        self._renderer.draw_path(pen, self._path(points, closed=True), self._plain, _colour(fill) if fill else None)

    def line(self, points: Points, colour: str, width: float = 1.0, dashes: Sequence[float] = ()) -> None:
        """Draw a line through points."""
        if len(points) < 2:
            return
        pen = self._pen(colour, width)
        if dashes:
            pen.set_dashes(0.0, list(dashes))
        self._renderer.draw_path(pen, self._path(points, closed=False), self._plain)

    def text(
        self, x: float, y: float, words: str, size: float, colour: str, anchor: Anchor = "left", bold: bool = False
    ) -> None:
        """Write one line of words; y is the middle of its capitals."""
        if not words:
            return
        size = max(round(size, 1), 1.0)
        shares, left, top = _letters(words, size, bold)
        shift = {"left": 0.0, "middle": 0.5, "right": 1.0}[anchor]
        x0 = round(x - shift * text_width(words, size, bold)) + left
        y0 = round(y + BASELINE * size) + top
        first_x, first_y, last_x, last_y = self._bounds
        cut_left, cut_top = max(first_x - x0, 0), max(first_y - y0, 0)
        cut_right, cut_bottom = min(last_x - x0, shares.shape[1]), min(last_y - y0, shares.shape[0])
        if cut_left >= cut_right or cut_top >= cut_bottom:
            return
        ink = shares[cut_top:cut_bottom, cut_left:cut_right, np.newaxis]
        place = self.pixels[y0 + cut_top : y0 + cut_bottom, x0 + cut_left : x0 + cut_right, :3]
        wanted = np.array(_colour(colour), dtype=np.float32) * 255.0
        place[:] = np.rint(place + ink * (wanted - place)).astype(np.uint8)

    def clip(self, left: float, top: float, right: float, bottom: float) -> None:
        """Draw only inside a rectangle from here on."""
        from matplotlib.transforms import Bbox

        self._box = Bbox([[left, self.height - bottom], [right, self.height - top]])
        self._bounds = (
            max(round(left), 0),
            max(round(top), 0),
            min(round(right), self.width),
            min(round(bottom), self.height),
        )

    def unclip(self) -> None:
        """Draw everywhere again."""
        self._box = None
        self._bounds = (0, 0, self.width, self.height)


class VectorCanvas:
    """A picture as SVG."""

    def __init__(self, width: int, height: int, ground: str) -> None:
        self.width, self.height = width, height
        self._parts: list[str] = []
        self._clips = 0
        self._open = False
        self.polygon(rectangle(0, 0, width, height), ground)

    @staticmethod
    def _places(points: Points) -> str:
        return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)

    def polygon(self, points: Points, fill: str | None, edge: str | None = None, width: float = 1.0) -> None:
        """Fill a closed shape and draw its edge."""
        stroke = f' stroke="{edge}" stroke-width="{width:.2f}" stroke-linejoin="round"' if edge else ""
        self._parts.append(f'<polygon points="{self._places(points)}" fill="{fill or "none"}"{stroke}/>')

    def line(self, points: Points, colour: str, width: float = 1.0, dashes: Sequence[float] = ()) -> None:
        """Draw a line through points."""
        if len(points) < 2:
            return
        dashed = f' stroke-dasharray="{" ".join(f"{one:.2f}" for one in dashes)}"' if dashes else ""
        self._parts.append(
            f'<polyline points="{self._places(points)}" fill="none" stroke="{colour}" stroke-width="{width:.2f}" '
            f'stroke-linejoin="round"{dashed}/>'
        )

    def text(
        self, x: float, y: float, words: str, size: float, colour: str, anchor: Anchor = "left", bold: bool = False
    ) -> None:
        """Write one line of words; y is the middle of its capitals."""
        if not words:
            return
        where = {"left": "start", "middle": "middle", "right": "end"}[anchor]
        weight = ' font-weight="bold"' if bold else ""
        self._parts.append(
            f'<text x="{x:.2f}" y="{y + BASELINE * size:.2f}" font-size="{size:.1f}" fill="{colour}" '
            f'text-anchor="{where}"{weight}>{escape(words)}</text>'
        )

    def clip(self, left: float, top: float, right: float, bottom: float) -> None:
        """Draw only inside a rectangle from here on."""
        self.unclip()
        self._clips += 1
        self._open = True
        self._parts.append(
            f'<clipPath id="inside{self._clips}"><rect x="{left:.2f}" y="{top:.2f}" width="{right - left:.2f}" '
            f'height="{bottom - top:.2f}"/></clipPath><g clip-path="url(#inside{self._clips})">'
        )

    def unclip(self) -> None:
        """Draw everywhere again."""
        if self._open:
            self._parts.append("</g>")
            self._open = False

    def document(self, title: str) -> str:
        """Return the whole picture as an SVG document."""
        self.unclip()
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" '
            f'font-family="{FAMILY}, sans-serif">\n<title>{escape(title)}</title>\n'
            + "\n".join(self._parts)
            + "\n</svg>\n"
        )
