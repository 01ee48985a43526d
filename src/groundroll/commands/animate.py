"""`groundroll animate`: a roll as a moving picture, or two in step."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated, Literal

import typer

from groundroll.commands import DONE, Overrides, announce_compiling

Reverse = Literal["none", "idle", "full"]


def animate(
    case: Annotated[Path, typer.Argument(help="The case file, of a landing or a take-off.", show_default=False)],
    output: Annotated[
        Path,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="Where to: .mp4, .webm, .gif, or a new folder for pictures. Subtitles are written beside.",
            show_default=False,
        ),
    ],
    against: Annotated[
        Path | None,
        typer.Option(metavar="CASE", help="Show this case below, in step, as its own plan says.", show_default=False),
    ] = None,
    brakes: Annotated[
        str | None, typer.Option(metavar="NAME", help="Brake setting, or manual; left out: the one recommended.")
    ] = None,
    reverse: Annotated[Reverse | None, typer.Option(help="Reverse; left out: as recommended.")] = None,
    against_brakes: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Brakes of the lower roll; without --against the case stays the same."),
    ] = None,
    against_reverse: Annotated[Reverse | None, typer.Option(help="Reverse of the lower roll.")] = None,
    set_: Overrides = None,
    against_set: Annotated[
        list[str] | None,
        typer.Option("--against-set", metavar="KEY=VALUE", help="Change one input of the lower roll."),
    ] = None,
    exit_: Annotated[bool, typer.Option("--exit", help="Landing: show the way to the exit instead of a stop.")] = False,
    speed: Annotated[float, typer.Option(metavar="N", help="How fast time runs; 1 is real time.")] = 1.0,
    size: Annotated[
        str | None,
        typer.Option(
            metavar="SIZE", help="1080p, 720p, 540p, vertical (1080x1920) or such as 800x600.", show_default=False
        ),
    ] = None,
    rate: Annotated[
        float | None, typer.Option(metavar="N", help="Pictures a second; left out: 30, GIF 12.5.", show_default=False)
    ] = None,
    theme: Annotated[Literal["light", "dark"], typer.Option(help="Colours.")] = "light",
    frames: Annotated[Literal["png", "svg"], typer.Option(help="Kind of the pictures in a folder.")] = "png",
) -> int:
    """Draw the roll to scale in real time: runway, aeroplane, speed, forces, brake temperature, with captions."""
    from groundroll.outputs.animation.encode import check_clip_name, form_of, write_clip
    from groundroll.outputs.progress import RollProgress
    from groundroll.scenario.read import read_any
    from groundroll.teaching.animation import clip_of
    from groundroll.teaching.animation_scene import Choice, scene_of

    check_clip_name(output)
    form = form_of(size, output.suffix.lower(), theme, rate)
    first = read_any(case, set_ or ())
    announce_compiling()
    scenes = [scene_of(first, Choice(brakes, reverse, to_exit=exit_))]
    if against is not None:
        other = read_any(against, against_set or ())
        scenes.append(scene_of(other, Choice(against_brakes, against_reverse, to_exit=exit_)))
    elif against_brakes or against_reverse or against_set:
        # What is not said of the lower roll is as above it: one thing changed shows what that thing does.
        shown = scenes[0]
        lower = Choice(against_brakes or shown.brakes, against_reverse or shown.reverse_used, to_exit=exit_)
        scene = scene_of(read_any(case, [*(set_ or ()), *(against_set or ())]), lower)
        scenes.append(replace(scene, name=", ".join([scene.name, *(against_set or ())])))
    clip = clip_of(scenes, speed)
    with RollProgress(unit="pictures") as progress:
        write_clip(clip, output, form, progress, frames)
    return DONE
