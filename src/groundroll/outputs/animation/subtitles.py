"""Captions of a clip as subtitle files: WebVTT and SubRip."""

from __future__ import annotations

from collections.abc import Sequence

from groundroll.outputs.caution import cautions
from groundroll.teaching.animation import Caption, Clip


def _moment(seconds: float, mark: str) -> str:
    """Return hours, minutes, seconds and thousandths."""
    thousandths = round(1000.0 * seconds)
    whole, rest = divmod(thousandths, 1000)
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}{mark}{rest:03d}"


def _cues(captions: Sequence[Caption], mark: str) -> list[str]:
    return [
        f"{number}\n{_moment(one.begin, mark)} --> {_moment(one.end, mark)}\n{one.text}\n"
        for number, one in enumerate(captions, start=1)
    ]


def web_vtt(clip: Clip) -> str:
    """Return the captions as WebVTT, with the caution in a note."""
    notes = cautions(invented=any(scene.invented for scene in clip.scenes))
    # "-->" may not stand in a note, and an empty line would end it.
    return "\n".join(["WEBVTT\n", f"NOTE {' '.join(notes)}\n", *_cues(clip.captions, ".")])


def sub_rip(clip: Clip) -> str:
    """Return the captions as SubRip, which has no place for a note."""
    return "\n".join(_cues(clip.captions, ","))
