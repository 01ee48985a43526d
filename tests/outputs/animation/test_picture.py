"""What the pictures look like: the aeroplane where the roll has it, words that can be read, the caution."""

from __future__ import annotations

import dataclasses
import math
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from groundroll.outputs.animation.canvas import PixelCanvas, rectangle, text_width, wrapped
from groundroll.outputs.animation.encode import Form, pictures, svg_pictures
from groundroll.outputs.animation.picture import Picture
from groundroll.outputs.animation.theme import THEMES
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.scenario.model import Display
from groundroll.teaching.animation import Clip, Scene, clip_of


def rgb(colour: str) -> NDArray[np.int64]:
    """Return a colour as three numbers of 0 to 255."""
    return np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)])


def near(pixels: NDArray[np.uint8], colour: str, within: int = 12) -> NDArray[np.bool_]:
    """Return which pixels have about a colour."""
    return np.asarray(np.all(np.abs(pixels[:, :, :3].astype(np.int64) - rgb(colour)) <= within, axis=2))


def drawn(clip: Clip, time: float, form: Form) -> NDArray[np.uint8]:
    """Return the picture of one time."""
    theme = THEMES[form.theme]
    picture = Picture(clip, form.width, form.height, theme)
    canvas = PixelCanvas(form.width, form.height, theme.ground)
    picture.draw_background(canvas)
    picture.draw(canvas, time)
    return canvas.pixels.copy()


def trail_end_share(pixels: NDArray[np.uint8], theme: str, surfaces: set[str]) -> float:
    """Return how far along the paved strip the trail of the aeroplane reaches, 0 to 1, from the pixels alone.

    The strip is the row with most pixels of the surfaces' tints; the trail lies in its lower part.
    """
    colours = THEMES[theme]
    tinted = np.any([near(pixels, colour, 2) for colour in surfaces], axis=0)
    row = int(np.argmax(tinted.sum(axis=1)))
    columns = np.nonzero(tinted[row])[0]
    begin, end = columns[0], columns[-1] + 1
    below = pixels[row : row + pixels.shape[0] // 16, begin:end]
    trail = near(below, colours.trail, 30)
    lane = int(np.argmax(trail.sum(axis=1)))
    places = np.nonzero(trail[lane])[0]
    return float((places[-1] + 1) / (end - begin)) if len(places) else 0.0


@pytest.mark.parametrize(("width", "height"), [(1280, 720), (720, 1280)])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_picture__aeroplane_is_where_the_roll_has_it(
    scenes: tuple[Scene, Scene], width: int, height: int, theme: str
) -> None:
    """At three times the share of the strip that is covered, found in the pixels, is that of the distance rolled."""
    scene = scenes[0]
    clip = clip_of([scene])
    strip = scene.strip
    surfaces = {THEMES[theme].surfaces[third.code] for third in strip.thirds}
    for time in (9.0, 15.0, 30.0):
        moment = scene.at(clip.scene_time(time))
        pixels = drawn(clip, time, Form(width, height, theme))  # type: ignore[arg-type]
        wanted = (moment.distance - strip.paved_begin) / (strip.paved_end - strip.paved_begin)
        # The point of the arrow hides the end of the trail: its length, 26 thousandths of the shorter side.
        hidden = 0.026 * min(width, height) / (0.58 * width)
        found = trail_end_share(pixels, theme, surfaces)
        assert wanted - hidden - 0.006 <= found <= wanted + 0.004


def close_up_figures(scene: Scene, moment_distance: float, pixels: NDArray[np.uint8]) -> tuple[float, float]:
    """Return the scale of the close-up along and across the runway, in pixels a metre, from the pixels alone.

    Along: the period of the centre-line stripes, 50 m. Across: the distance between the edge lines, whose outer sides
    are 1 m inside the width of the runway.
    """
    theme = THEMES["light"]
    paved = near(pixels, theme.paved, 2)
    rows = np.nonzero(paved.sum(axis=1) > 0.4 * pixels.shape[1])[0]
    middle = (rows[0] + rows[-1]) // 2
    line = near(pixels, theme.marking, 40)[middle]
    left, right = np.nonzero(paved[rows[0]])[0][[0, -1]]
    starts = [
        place
        for place in range(left + 1, right)
        if line[place] and not line[place - 1] and line[place : place + 30].all()
    ]
    gaps = [second - first for first, second in pairwise(starts)]
    return float(np.median(gaps)) / 50.0, float(rows[-1] - rows[0] + 1) / scene.strip.width


def test_picture__close_up_is_to_scale_both_ways(scenes: tuple[Scene, Scene]) -> None:
    """A metre along the runway is as long as one across it."""
    scene = scenes[0]
    clip = clip_of([scene])
    pixels = drawn(clip, 26.0, Form(1920, 1080))
    along, across = close_up_figures(scene, scene.at(25.0).distance, pixels)
    assert along == pytest.approx(across, rel=0.02)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_picture__colours_of_the_forces_are_there_when_they_work(scenes: tuple[Scene, Scene], theme: str) -> None:
    """Wheel brakes, drag, reverse and heat have their colours on the ground; nothing slows before touchdown."""
    clip, colours = clip_of([scenes[0]]), THEMES[theme]
    form = Form(1280, 720, theme)  # type: ignore[arg-type]
    rolling, flying = drawn(clip, 27.0, form), drawn(clip, 3.0, form)
    values = slice(int(0.68 * 1280), 1280)
    for name in ("brakes", "drag", "thrust", "rolling"):
        assert near(rolling[:, values], colours.forces[name]).sum() > 200, name
        assert near(flying[:, values], colours.forces[name]).sum() < 20, name
    assert near(rolling, colours.heat).sum() > near(flying, colours.heat).sum() + 200


def luminance(colour: str) -> float:
    """Return the relative luminance of WCAG 2.2."""
    parts = rgb(colour) / 255.0
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of WCAG 2.2."""
    low, high = sorted([luminance(first), luminance(second)])
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("name", ["light", "dark"])
def test_theme__words_and_bars_stand_out(name: str) -> None:
    """WCAG 2.2, 1.4.3: words at least 4.5 to 1 on what they stand on; 1.4.11: what brakes and heats at least 3 to 1."""
    theme = THEMES[name]
    for ground in (theme.ground, theme.panel, theme.grass):
        assert contrast(theme.ink, ground) >= 4.5
    for ground in (theme.ground, theme.panel):
        assert contrast(theme.quiet, ground) >= 4.5
        assert contrast(theme.forces["brakes"], ground) >= 3.0
        assert contrast(theme.heat, ground) >= 3.0
    for surface in theme.surfaces:
        assert max(contrast("#111417", surface), contrast("#FFFFFF", surface)) >= 4.5


def texts(document: str) -> list[str]:
    """Return the words of an SVG picture."""
    root = ElementTree.fromstring(document)
    return [one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}text")]


def test_svg_pictures__say_what_is_shown_and_the_caution(scenes: tuple[Scene, Scene]) -> None:
    """Numbers at 10 s by the plan's own words, names of the forces, caution; two pictures differ."""
    clip = clip_of([scenes[0]], 10.0)
    found = list(svg_pictures(clip, Form(1920, 1080, "light", 1.0)))
    assert len(found) == math.ceil(1.0 + scenes[0].duration / 10.0 + 4.0)
    moment = scenes[0].at(10.0)
    words = texts(found[2])
    assert f"{moment.ground_speed / 0.514444:.0f} kt" in words
    assert f"{moment.distance:.0f} m" in words
    assert "10.0 s" in words
    assert {"wheel brakes", "aerodynamic drag", "engines", "rolling", "hottest brake"} <= set(words)
    assert {"code 5, wet", "code 3, slippery wet"} <= set(words)
    together = " ".join(words)
    assert CAUTION in together
    assert INVENTED in together
    assert "Stopped after 1829 m, 671 m left" in texts(found[-1])
    assert found[2] != found[3]


def test_picture__numbers_come_in_the_units_of_the_case(scenes: tuple[Scene, Scene]) -> None:
    """Feet, km/h and degrees Fahrenheit: 1 ft = 0.3048 m, F = 1.8 C + 32."""
    display = Display(speed="km/h", length="ft", mass="lb", temperature="degF")
    scene = dataclasses.replace(scenes[0], display=display)
    moment = scene.at(20.0)
    words = texts(list(svg_pictures(clip_of([scene], 20.0), Form(1920, 1080, "light", 1.0)))[2])
    assert f"{moment.ground_speed * 3.6:.0f} km/h" in words
    assert f"{moment.distance / 0.3048:.0f} ft" in words
    assert f"{(moment.brake_temperature - 273.15) * 1.8 + 32.0:.0f} °F" in words


def test_picture__a_temperature_that_is_not_known_is_said_to_be_so(scenes: tuple[Scene, Scene]) -> None:
    """Beyond the heat formula there is no bar but the reason."""
    nothing = np.zeros(0)
    scene = dataclasses.replace(
        scenes[0], heat_time=nothing, brake_temperature=nothing, heat_words="beyond the range of the heat formula"
    )
    words = texts(next(svg_pictures(clip_of([scene]), Form(1920, 1080, "light", 1.0))))
    assert "beyond the range of the heat formula" in words
    assert not any("°C" in one for one in words)


def test_picture__two_cases_name_what_each_is(scenes: tuple[Scene, Scene]) -> None:
    """With titles that differ each roll bears its own."""
    other = dataclasses.replace(scenes[1], title="Another day")
    words = texts(next(svg_pictures(clip_of([scenes[0], other]), Form(1920, 1080, "light", 1.0))))
    assert "Two rolls in step" in words
    assert "Another day: setting steady with no reverse" in words


@pytest.mark.parametrize(("width", "height"), [(1920, 1080), (1080, 1920), (640, 360)])
def test_svg_pictures__words_stay_inside(scenes: tuple[Scene, Scene], width: int, height: int) -> None:
    """No line of words leaves the picture, but for those of the close-up, which pass through its frame."""
    clip = clip_of(scenes, 5.0)
    for document in list(svg_pictures(clip, Form(width, height, "dark", 0.5))):
        root = ElementTree.fromstring(document)
        space = "{http://www.w3.org/2000/svg}"
        passing = {id(one) for group in root.iter(f"{space}g") for one in group.iter(f"{space}text")}
        for one in root.iter(f"{space}text"):
            if id(one) in passing:
                continue
            size, x = float(one.attrib["font-size"]), float(one.attrib["x"])
            wide = text_width(one.text or "", size, one.attrib.get("font-weight") == "bold")
            shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[one.attrib["text-anchor"]]
            assert x - shift * wide >= -1.0, one.text
            assert x + (1.0 - shift) * wide <= width + 1.0, one.text


def test_pictures__same_clip_same_bytes(quick: Clip) -> None:
    """Drawn twice, every picture is the same to the last bit."""
    form = Form(320, 180, "dark", 3.0)
    first = [one.copy() for one in pictures(quick, form)]
    again = [one.copy() for one in pictures(quick, form)]
    assert len(first) == len(quick.frame_times(3.0))
    assert all(np.array_equal(one, other) for one, other in zip(first, again, strict=True))
    assert not np.array_equal(first[3], first[9])


def test_canvas__edges_are_where_they_should_be() -> None:
    """A rectangle fills its pixels and no others; y counts downwards."""
    canvas = PixelCanvas(20, 10, "#FFFFFF")
    canvas.polygon(rectangle(2, 3, 6, 5), "#000000")
    dark = canvas.pixels[:, :, 0] == 0
    assert dark.sum() == 8
    assert dark[3:5, 2:6].all()
    canvas.clip(0, 0, 10, 10)
    canvas.polygon(rectangle(8, 0, 20, 10), "#000000")
    canvas.text(8.0, 5.0, "MMMM", 8.0, "#FF0000")
    assert (canvas.pixels[:, 10:, :3] == 255).all()
    canvas.unclip()
    canvas.line([(12.0, 5.5), (20.0, 5.5)], "#000000", 1.0)
    assert (canvas.pixels[5, 12:, 0] == 0).all()


def test_wrapped__lines_fit() -> None:
    """Every line is as long as it can be; no word is lost."""
    words = "The judgement of the commander prevails over every number that is shown here"
    lines = wrapped(words, 16.0, 200.0)
    assert " ".join(lines) == words
    assert all(text_width(line, 16.0) <= 200.0 for line in lines)
    assert all(text_width(f"{first} {second.split()[0]}", 16.0) > 200.0 for first, second in pairwise(lines))
