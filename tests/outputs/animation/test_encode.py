"""Clips as files: decoded again, counted and looked at."""

from __future__ import annotations

import re
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from groundroll.commands import run
from groundroll.errors import GroundrollError
from groundroll.outputs.animation.encode import Form, form_of, write_clip
from groundroll.outputs.animation.subtitles import sub_rip, web_vtt
from groundroll.outputs.animation.theme import LIGHT
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.teaching.animation import Clip, Scene, clip_of
from tests.outputs.animation.conftest import EXAMPLES, SMALL
from tests.outputs.animation.test_picture import near, trail_end_share


def decoded(path: Path) -> tuple[list[NDArray[np.uint8]], float]:
    """Return the pictures of a video, and how many there are a second."""
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        assert stream.average_rate is not None
        return [one.to_ndarray(format="rgb24") for one in container.decode(video=0)], float(stream.average_rate)


@pytest.mark.parametrize("kind", ["mp4", "webm"])
def test_write_clip__video_has_every_picture(quick: Clip, tmp_path: Path, kind: str) -> None:
    """Counted after decoding: length times rate; in size, not blank, and something moves."""
    path = tmp_path / f"clip.{kind}"
    written = write_clip(quick, path, SMALL)
    assert [one.name for one in written] == [f"clip.{kind}", "clip.vtt", "clip.srt"]
    assert sorted(one.name for one in tmp_path.iterdir()) == sorted(one.name for one in written)
    found, rate = decoded(path)
    assert rate == pytest.approx(6.0)
    assert len(found) == int(np.ceil(quick.duration * 6.0))
    assert all(one.shape == (180, 320, 3) for one in found)
    middle = found[len(found) // 3]
    assert middle.std() > 20.0
    assert np.mean(np.abs(middle.astype(float) - found[0].astype(float))) > 0.5
    assert np.mean(np.abs(found[-1].astype(float) - found[-2].astype(float))) < 0.5  # it stands still at the end


def test_write_clip__in_the_video_the_aeroplane_is_where_the_roll_has_it(
    scenes: tuple[Scene, Scene], tmp_path: Path
) -> None:
    """Decoded again, the trail along the strip ends where the distance of the roll lies, at three times."""
    scene = scenes[0]
    clip = clip_of([scene], 10.0)
    write_clip(clip, tmp_path / "clip.mp4", Form(960, 540, "light", 4.0))
    found, _ = decoded(tmp_path / "clip.mp4")
    strip = scene.strip
    surfaces = {LIGHT.surfaces[third.code] for third in strip.thirds}
    for number in (6, 10, 16):
        distance = scene.at(clip.scene_time(number / 4.0)).distance
        wanted = (distance - strip.paved_begin) / (strip.paved_end - strip.paved_begin)
        # The arrow, 26 thousandths of the shorter side, covers the end of the trail.
        assert (
            wanted - 0.026 * 540 / (0.58 * 960) - 0.01
            <= trail_end_share(found[number], "light", surfaces)
            <= wanted + 0.01
        )


def test_write_clip__colours_survive_encoding(scenes: tuple[Scene, Scene], tmp_path: Path) -> None:
    """Large flat parts have the colours of the theme, to what the video format allows."""
    clip = clip_of([scenes[0]], 20.0)
    write_clip(clip, tmp_path / "clip.mp4", Form(640, 360, "light", 2.0))
    found, _ = decoded(tmp_path / "clip.mp4")
    rolling = found[int(2.0 * (1.0 + 24.0 / 20.0))]
    for colour in (LIGHT.ground, LIGHT.paved, LIGHT.grass, LIGHT.forces["thrust"], LIGHT.forces["drag"]):
        assert near(rolling, colour, 24).sum() > 60, colour


@pytest.mark.parametrize("name", ["clip.mp4", "clip.webm", "clip.gif"])
def test_write_clip__same_clip_same_file(quick: Clip, tmp_path: Path, name: str) -> None:
    """Byte by byte, on one machine: no time and no place is written into it."""
    form = Form(320, 180, "dark", 3.0)
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
        write_clip(quick, tmp_path / folder / name, form)
    for one in (tmp_path / "one").iterdir():
        assert one.read_bytes() == (tmp_path / "two" / one.name).read_bytes()


def test_write_clip__gif(quick: Clip, tmp_path: Path) -> None:
    """Every picture is there for its time; the colours of the theme are close."""
    path = tmp_path / "clip.gif"
    write_clip(quick, path, Form(320, 180, "light", 5.0))
    with Image.open(path) as image:
        times, seen = [], []
        for number in range(image.n_frames):
            image.seek(number)
            times.append(image.info["duration"])
            seen.append(np.asarray(image.convert("RGB")))
        assert image.size == (320, 180)
    # Pictures that are the same are written once, with the time of all.
    assert sum(times) == pytest.approx(1_000.0 * len(quick.frame_times(5.0)) / 5.0, abs=1.0)
    assert len(seen) > 10
    assert near(seen[4], LIGHT.grass, 24).sum() > 100
    assert not np.array_equal(seen[0], seen[8])


@pytest.mark.parametrize("kind", ["png", "svg"])
def test_write_clip__folder_of_pictures(quick: Clip, tmp_path: Path, kind: str) -> None:
    """Numbered from 1, each readable, the caption files among them."""
    folder = tmp_path / "pictures"
    written = write_clip(quick, folder, Form(320, 180, "light", 2.0), frames=kind)  # type: ignore[arg-type]
    count = len(quick.frame_times(2.0))
    names = sorted(one.name for one in folder.iterdir())
    assert names == sorted(one.name for one in written)
    assert names == ["captions.srt", "captions.vtt", *(f"frame-{number:05d}.{kind}" for number in range(1, count + 1))]
    first = folder / f"frame-00001.{kind}"
    if kind == "png":
        with Image.open(first) as image:
            assert image.size == (320, 180)
    else:
        assert ElementTree.parse(first).getroot().attrib["viewBox"] == "0 0 320 180"
    assert list(tmp_path.iterdir()) == [folder]


# ------------------------------------------------------------------------------------------------------ subtitles


def moment(text: str) -> float:
    """Return the seconds of a time as subtitle files write it."""
    hours, minutes, seconds = text.replace(",", ".").split(":")
    return 3600.0 * int(hours) + 60.0 * int(minutes) + float(seconds)


@pytest.mark.parametrize(("kind", "mark"), [("vtt", r"\."), ("srt", ",")])
def test_subtitles__can_be_read_and_agree_with_the_captions(quick: Clip, kind: str, mark: str) -> None:
    """Number, begin --> end, words; WebVTT writes a point before the thousandths, SubRip a comma."""
    text = web_vtt(quick) if kind == "vtt" else sub_rip(quick)
    if kind == "vtt":
        head, note, text = text.split("\n\n", 2)
        assert head == "WEBVTT"
        assert note == f"NOTE {CAUTION} {INVENTED}"
    cues = re.findall(
        rf"(\d+)\n(\d\d:\d\d:\d\d{mark}\d\d\d) --> (\d\d:\d\d:\d\d{mark}\d\d\d)\n([^\n]+)\n(?:\n|$)", text
    )
    assert len(cues) == len(quick.captions)
    for number, (cue, caption) in enumerate(zip(cues, quick.captions, strict=True), start=1):
        assert int(cue[0]) == number
        assert moment(cue[1]) == pytest.approx(caption.begin, abs=0.0006)
        assert moment(cue[2]) == pytest.approx(caption.end, abs=0.0006)
        assert cue[3] == caption.text


# ------------------------------------------------------------------------------------------------------- what fails


@pytest.mark.parametrize("name", ["clip.mp4", "clip.webm", "clip.gif", "pictures"])
def test_write_clip__interrupted_leaves_nothing(quick: Clip, tmp_path: Path, name: str) -> None:
    """After a Ctrl-C the folder is as it was: no half file, and what stood there before stands there still."""
    old = tmp_path / "clip.mp4"
    old.write_bytes(b"an older clip")
    seen = []

    def stop(text: str, done: int, total: int) -> None:
        seen.append((text, done, total))
        if len(seen) == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_clip(quick, tmp_path / name, SMALL, stop)
    assert [one.name for one in tmp_path.iterdir()] == ["clip.mp4"]
    assert old.read_bytes() == b"an older clip"
    assert seen[0] == ("pictures", 1, len(quick.frame_times(SMALL.rate)))


def test_write_clip__without_the_extra_says_how_to_get_it(
    quick: Clip, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """MP4 and WebM need it; a GIF does not."""
    monkeypatch.setitem(sys.modules, "av", None)
    with pytest.raises(GroundrollError, match=r"extra `video`: pip install 'groundroll\[video\]'"):
        write_clip(quick, tmp_path / "clip.mp4", SMALL)
    write_clip(quick, tmp_path / "clip.gif", Form(320, 180, "light", 1.0))


@pytest.mark.parametrize(
    ("size", "suffix", "rate", "wanted"),
    [
        (None, ".mp4", None, Form(1920, 1080, "light", 30.0)),
        (None, ".gif", None, Form(960, 540, "light", 12.5)),
        ("vertical", ".webm", 25.0, Form(1080, 1920, "light", 25.0)),
        ("800x600", "", None, Form(800, 600, "light", 30.0)),
    ],
)
def test_form_of__sizes(size: str | None, suffix: str, rate: float | None, wanted: Form) -> None:
    """By name or by numbers."""
    assert form_of(size, suffix, "light", rate) == wanted


@pytest.mark.parametrize(
    ("size", "rate", "match"),
    [
        ("large", None, '--size "large": write 1080p, 720p, 540p, vertical'),
        ("801x600", None, "--size 801x600: both must be even and between 180 and 4320"),
        ("100x100", None, "both must be even and between"),
        (None, 0.0, "--rate 0 is outside 0.1 to 60"),
        (None, float("nan"), "--rate nan is outside"),
    ],
)
def test_form_of__refuses(size: str | None, rate: float | None, match: str) -> None:
    """What was given, and what is allowed."""
    with pytest.raises(GroundrollError, match=match):
        form_of(size, ".mp4", "light", rate)


# ------------------------------------------------------------------------------------------------------ the command

CASE = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")


def test_animate__one_thing_changed(tmp_path: Path) -> None:
    """Two rolls of one case, the lower with what is asked for; the captions tell them apart."""
    path = tmp_path / "clip.gif"
    arguments = ["animate", CASE, "--against-set", "condition.report=wet 5/5/5", "--speed", "20", "--rate", "1"]
    assert run([*arguments, "--size", "320x180", "-o", str(path)]) == 0
    assert path.exists()
    text = path.with_suffix(".srt").read_text(encoding="utf-8")
    assert "Both: touchdown" in text
    assert "Upper: stopped after 1829 m" in text  # as README.md prints it
    assert "Lower: stopped after" in text


def test_animate__a_take_off_against_another(tmp_path: Path) -> None:
    """Case against case, dark, as SVG."""
    departure = str(EXAMPLES / "departure-wet" / "case.toml")
    other = str(EXAMPLES / "departure-contaminated" / "case.toml")
    folder = tmp_path / "pictures"
    arguments = ["animate", departure, "--against", other, "--speed", "20", "--rate", "0.5", "--theme", "dark"]
    assert run([*arguments, "--frames", "svg", "-o", str(folder)]) == 0
    last = sorted(folder.glob("*.svg"))[-1].read_text(encoding="utf-8")
    assert last.count("Stopped after") >= 2


@pytest.mark.parametrize(
    ("arguments", "match"),
    [
        (["-o", "clip.mov"], "a clip is written as .mp4, .webm or .gif"),
        (["-o", "clip.mp4", "--speed", "99"], "--speed 99 is outside 0.1 to 20"),
        (["-o", "clip.gif", "--brakes", "violent"], 'brakes "violent"'),
        (["-o", "missing/clip.gif", "--size", "320x180", "--rate", "0.5"], "cannot be written"),
        (["-o", "full"], "exists and is not an empty folder"),
    ],
)
def test_animate__refuses(
    arguments: list[str],
    match: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """One message, exit code 2, no file."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "kept.txt").write_text("kept", encoding="utf-8")
    assert run(["animate", CASE, *arguments]) == 2
    assert match in capsys.readouterr().err
    assert [one.name for one in tmp_path.rglob("*")] == ["full", "kept.txt"]
