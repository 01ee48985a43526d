"""Clips as files: MP4, WebM and GIF, or a folder of pictures; all of it or nothing, with subtitles beside."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from groundroll.errors import GroundrollError
from groundroll.outputs.animation.canvas import PixelCanvas, VectorCanvas
from groundroll.outputs.animation.picture import Picture
from groundroll.outputs.animation.subtitles import sub_rip, web_vtt
from groundroll.outputs.animation.theme import THEMES, ThemeName
from groundroll.teaching.animation import Clip

FrameKind: TypeAlias = Literal["png", "svg"]
Tick: TypeAlias = Callable[[str, int, int], None]
"""What is done, how many more, of how many."""

SIZES: Final = {"1080p": (1920, 1080), "720p": (1280, 720), "540p": (960, 540), "vertical": (1080, 1920)}
"""Sizes with a name; any other is written 1280x720. [px]"""

LEAST_SIDE: Final = 180
GREATEST_SIDE: Final = 4320
"""Sides of a picture. [px] Assumption of this project: smaller cannot be read, larger is no screen."""

GREATEST_RATE: Final = 60.0
"""Pictures a second. Assumption of this project: the rate of common screens."""

RATES: Final = {".mp4": 30.0, ".webm": 30.0, ".gif": 12.5, "": 30.0}
"""Pictures a second where none are asked for. Assumption of this project; a GIF counts hundredths of a second."""

VIDEO: Final[dict[str, tuple[str, str, dict[str, str]]]] = {
    ".mp4": ("mp4", "libx264", {"preset": "veryfast", "crf": "20", "tune": "animation"}),
    ".webm": ("webm", "libvpx-vp9", {"deadline": "realtime", "cpu-used": "7", "crf": "31", "b": "0", "row-mt": "1"}),
}
"""Container, encoder and its options. Quality: assumption of this project, small letters stay sharp."""

THREADS: Final = 2
"""Of an encoder; a fixed number, for the bytes of a video depend on it."""

GIF_COLOURS: Final = 128


@dataclass(frozen=True)
class Form:
    """How a clip is drawn."""

    width: int
    height: int
    theme: ThemeName = "light"
    rate: float = 30.0
    """Pictures a second."""


def form_of(size: str | None, suffix: str, theme: ThemeName, rate: float | None) -> Form:
    """Return the form of a clip from what was asked for.

    Raises
    ------
    GroundrollError
        If the size or the rate cannot be.
    """
    text = size or ("540p" if suffix == ".gif" else "1080p")
    found = re.fullmatch(r"(\d{1,5})x(\d{1,5})", text)
    if text not in SIZES and found is None:
        raise GroundrollError(f'--size "{text[:20]}": write {", ".join(SIZES)}, or width and height such as 1280x720.')
    width, height = SIZES[text] if found is None else (int(found[1]), int(found[2]))
    if not all(LEAST_SIDE <= one <= GREATEST_SIDE and one % 2 == 0 for one in (width, height)):
        raise GroundrollError(
            f"--size {width}x{height}: both must be even and between {LEAST_SIDE} and {GREATEST_SIDE} pixels."
        )
    pictures = RATES.get(suffix, RATES[""]) if rate is None else rate
    if not 0.1 <= pictures <= GREATEST_RATE:
        raise GroundrollError(f"--rate {pictures:g} is outside 0.1 to {GREATEST_RATE:g} pictures a second.")
    return Form(width, height, theme, pictures)


def pictures(clip: Clip, form: Form) -> Iterator[NDArray[np.uint8]]:
    """Yield the pictures of a clip as rows of red, green, blue; each is overwritten by the next."""
    theme = THEMES[form.theme]
    picture = Picture(clip, form.width, form.height, theme)
    canvas = PixelCanvas(form.width, form.height, theme.ground)
    picture.draw_background(canvas)
    background = canvas.pixels.copy()
    for time in clip.frame_times(form.rate):
        canvas.restore(background)
        picture.draw(canvas, float(time))
        yield canvas.pixels


def svg_pictures(clip: Clip, form: Form) -> Iterator[str]:
    """Yield the pictures of a clip as SVG documents."""
    theme = THEMES[form.theme]
    picture = Picture(clip, form.width, form.height, theme)
    for time in clip.frame_times(form.rate):
        canvas = VectorCanvas(form.width, form.height, theme.ground)
        picture.draw_background(canvas)
        picture.draw(canvas, float(time))
        yield canvas.document(f"{clip.scenes[0].title}, {clip.scene_time(float(time)):.1f} s")


def write_clip(clip: Clip, path: Path, form: Form, tick: Tick | None = None, frames: FrameKind = "png") -> list[Path]:
    """Write a clip and its subtitles; return the files written.

    Parameters
    ----------
    clip, form
        What is shown, and how it is drawn.
    path
        Ends with .mp4, .webm or .gif; without an end it is a folder for pictures.
    tick
        Told of each picture that is done.
    frames
        Kind of the pictures of a folder.

    Raises
    ------
    GroundrollError
        If the kind is not known, what it needs is not installed, or the place cannot be written.
    """
    check_clip_name(path)
    suffix = path.suffix.lower()
    total = len(clip.frame_times(form.rate))

    def done() -> None:
        if tick is not None:
            tick("pictures", 1, total)

    if suffix == "":
        return _folder(clip, path, form, frames, done)
    with _whole(path) as part:
        if suffix == ".gif":
            _gif(clip, part, form, done)
        else:
            _video(clip, part, form, suffix, done)
    written = [path]
    for end, text in ((".vtt", web_vtt(clip)), (".srt", sub_rip(clip))):
        beside = path.with_suffix(end)
        with _whole(beside) as part:
            part.write_text(text, encoding="utf-8", newline="\n")
        written.append(beside)
    return written


def check_clip_name(path: Path) -> None:
    """Refuse a file whose kind is not known or cannot be made here, before anything is computed.

    Raises
    ------
    GroundrollError
        With what to do.
    """
    suffix = path.suffix.lower()
    if suffix not in RATES:
        raise GroundrollError(
            f"{path}: a clip is written as .mp4, .webm or .gif, or into a folder of pictures; end the name with one of "
            "these, or with none for a folder."
        )
    if suffix in VIDEO:
        _encoder()
    if suffix == "" and path.exists() and (not path.is_dir() or any(path.iterdir())):
        raise GroundrollError(f"{path} exists and is not an empty folder. Name a new one for the pictures.")


def _encoder() -> Any:
    try:
        import av
    except ImportError as error:
        raise GroundrollError(
            "MP4 and WebM need the extra `video`: pip install 'groundroll[video]'. GIF and folders of pictures do not."
        ) from error
    return av


@contextlib.contextmanager
def _whole(path: Path) -> Iterator[Path]:
    """Give a place to write to, and put it where it belongs only when all is written."""
    part = path.with_name(f".{path.name[:100]}.{os.getpid()}.part")
    try:
        yield part
        part.replace(path)
    except OSError as error:
        raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error
    finally:
        if part.is_dir():
            shutil.rmtree(part)
        else:
            part.unlink(missing_ok=True)


def _video(clip: Clip, part: Path, form: Form, suffix: str, done: Callable[[], None]) -> None:
    av = _encoder()
    container_name, codec, options = VIDEO[suffix]
    rate = Fraction(form.rate).limit_denominator(1000)
    settings = {"movflags": "+faststart"} if suffix == ".mp4" else {}
    # "bitexact" leaves out version and time: the same clip gives the same bytes.
    with av.open(str(part), "w", format=container_name, options={"fflags": "+bitexact", **settings}) as container:
        container.metadata["title"] = clip.scenes[0].title
        stream = container.add_stream(codec, rate=rate, options=options)
        stream.width, stream.height = form.width, form.height
        stream.pix_fmt = "yuv420p"
        stream.codec_context.thread_count = THREADS
        stream.codec_context.flags |= av.codec.context.Flags.bitexact
        for number, pixels in enumerate(pictures(clip, form)):
            frame = av.VideoFrame.from_ndarray(pixels, format="rgba")
            frame.pts, frame.time_base = number, 1 / rate
            container.mux(stream.encode(frame))
            done()
        container.mux(stream.encode())


def _gif(clip: Clip, part: Path, form: Form, done: Callable[[], None]) -> None:
    from PIL import Image

    def images() -> Iterator[Image.Image]:
        for pixels in pictures(clip, form):
            yield Image.fromarray(pixels[:, :, :3])

    palette = _palette(clip, form)
    # One palette for all pictures: what stands still stays the same, and only what changes is kept.
    drawn = (one.quantize(palette=palette, dither=Image.Dither.NONE) for one in images())

    def counted() -> Iterator[Image.Image]:
        for one in drawn:
            yield one
            done()

    rest = counted()
    first = next(rest)
    hundredths = max(round(100.0 / form.rate), 2)
    # Pillow leaves a file open that it opened itself when the pictures break off.
    with part.open("wb") as file:
        first.save(
            file,
            format="GIF",
            save_all=True,
            append_images=rest,
            duration=10 * hundredths,
            loop=0,
            disposal=1,
            optimize=False,
        )


def _palette(clip: Clip, form: Form) -> Any:
    """Return the colours that serve all pictures, taken from some of them."""
    from PIL import Image

    theme = THEMES[form.theme]
    picture = Picture(clip, form.width, form.height, theme)
    parts = []
    for share in (0.0, 0.2, 0.5, 0.8, 1.0):
        canvas = PixelCanvas(form.width, form.height, theme.ground)
        picture.draw_background(canvas)
        picture.draw(canvas, share * clip.duration)
        parts.append(canvas.pixels[:, :, :3].copy())
    return Image.fromarray(np.concatenate(parts)).quantize(GIF_COLOURS, method=Image.Quantize.MEDIANCUT)


def _folder(clip: Clip, path: Path, form: Form, frames: FrameKind, done: Callable[[], None]) -> list[Path]:
    from PIL import Image

    names: list[str] = []
    with _whole(path) as part:
        part.mkdir(parents=True)
        if frames == "svg":
            for number, document in enumerate(svg_pictures(clip, form), start=1):
                names.append(f"frame-{number:05d}.svg")
                (part / names[-1]).write_text(document, encoding="utf-8", newline="\n")
                done()
        else:
            for number, pixels in enumerate(pictures(clip, form), start=1):
                names.append(f"frame-{number:05d}.png")
                Image.fromarray(pixels[:, :, :3]).save(part / names[-1])
                done()
        for name, text in (("captions.vtt", web_vtt(clip)), ("captions.srt", sub_rip(clip))):
            names.append(name)
            (part / name).write_text(text, encoding="utf-8", newline="\n")
    return [path / name for name in names]
