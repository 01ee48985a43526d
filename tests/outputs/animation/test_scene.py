"""What is shown at each time: mechanics, agreement with the plan, captions."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.planning.decision import Decision
from groundroll.planning.reject import plan_reject
from groundroll.scenario.read import read_aircraft, read_any
from groundroll.scenario.take_off import read_take_off_case
from groundroll.teaching.animation import HOLD_BEFORE, Event, Scene, clip_of
from groundroll.teaching.animation_landing import landing_scene
from groundroll.teaching.animation_scene import Choice, scene_of
from tests.outputs.animation.conftest import EXAMPLES

DEPARTURE = EXAMPLES / "departure-wet" / "case.toml"


def check_mechanics(scene: Scene) -> None:
    """Newton's second law at every moment on the ground, and distance as the integral of speed."""
    # Touchdown stands twice: as the end of the air part, where forces are not computed, and as the begin of the roll.
    ground = np.arange(len(scene.time)) > np.argmax(scene.time >= scene.airborne_until)
    total = np.sum(list(scene.forces.values()), axis=0)
    np.testing.assert_allclose(total[ground], scene.mass * scene.deceleration[ground], rtol=1e-9, atol=1.0)
    steps = np.diff(scene.time)
    covered = np.concatenate([[0.0], np.cumsum(0.5 * (scene.ground_speed[1:] + scene.ground_speed[:-1]) * steps)])
    # The trapezoidal rule in steps of at most 0.1 s at less than 1 m/s2 a second: millimetres a step.
    np.testing.assert_allclose(scene.distance - scene.distance[0], covered, atol=0.3)
    assert np.all(steps >= 0.0)


def test_landing_scene__forces_make_the_deceleration_and_speed_the_distance(scenes: tuple[Scene, Scene]) -> None:
    """F = m a; from the laws of motion, not from our code."""
    for scene in scenes:
        check_mechanics(scene)


def test_landing_scene__agrees_with_the_plan(decision: Decision, scenes: tuple[Scene, Scene]) -> None:
    """Touchdown, stop and brake temperature are those that `groundroll land` prints."""
    scene, segment = scenes[0], decision.plan.air_segment
    option = next(one for one in decision.plan.options if (one.brake, one.reverse) == ("steady", "full"))
    touchdown = scene.at(segment.time)
    assert touchdown.distance == pytest.approx(segment.distance, abs=0.01)
    assert touchdown.ground_speed == pytest.approx(segment.touchdown_ground_speed, abs=0.01)
    end = scene.at(1_000.0)
    assert end.over
    assert end.distance == pytest.approx(option.stop_distance, abs=0.01)
    assert scene.duration == pytest.approx(option.stop_time, abs=1e-6)
    # The plan spreads the heat evenly over the roll, the scene as the brakes work: the end differs by what is lost.
    assert end.brake_temperature == pytest.approx(option.peak_brake_temperature, abs=1.0)


def test_landing_scene__in_the_air_speed_falls_evenly(decision: Decision, scenes: tuple[Scene, Scene]) -> None:
    """Half of the time: v0 t - a t^2 / 2 with a = (v0 - v1) / T, worked from both speeds."""
    first, segment = decision.plan.threshold_ground_speed, decision.plan.air_segment
    half = 0.5 * segment.time
    loss = (first - segment.touchdown_ground_speed) / segment.time
    moment = scenes[0].at(half)
    assert moment.airborne
    assert moment.distance == pytest.approx(first * half - 0.5 * loss * half**2, abs=0.05)
    assert sum(moment.forces.values()) == 0.0


def test_landing_scene__reverse_takes_work_off_the_brakes_not_metres(scenes: tuple[Scene, Scene]) -> None:
    """While the target is held both slow alike; with reverse the wheel brakes do less of it."""
    with_reverse, without = (scene.at(22.0) for scene in scenes)
    assert with_reverse.deceleration == pytest.approx(without.deceleration, abs=0.02)
    assert with_reverse.forces["thrust"] > 0.0 > without.forces["thrust"]
    assert with_reverse.forces["brakes"] < 0.5 * without.forces["brakes"]
    assert with_reverse.reverse == 1.0
    assert without.reverse == 0.0


def test_landing_scene__spoilers_move_evenly_in_their_time(decision: Decision, scenes: tuple[Scene, Scene]) -> None:
    """The aircraft file says 0.5 s after touchdown to the start and 1.0 s for the movement."""
    touchdown = decision.plan.air_segment.time
    for after, share in ((0.4, 0.0), (0.75, 0.25), (1.0, 0.5), (1.25, 0.75), (1.6, 1.0)):
        assert scenes[0].at(touchdown + after).spoilers == pytest.approx(share, abs=0.01), after


def test_landing_scene__standing_still_nothing_slows(scenes: tuple[Scene, Scene]) -> None:
    """After the stop there is no force to show."""
    end = scenes[0].at(scenes[0].duration + 1.0)
    assert end.deceleration == 0.0
    assert set(end.forces.values()) == {0.0}
    assert end.ground_speed == pytest.approx(0.0, abs=1e-6)


def test_landing_scene__to_the_exit_arrives_as_planned(decision: Decision) -> None:
    """Speed abeam the exit is that of the plan."""
    option, approach = decision.chosen_option, decision.chosen_approach
    assert option is not None
    assert approach is not None
    scene = landing_scene(decision.plan, option, approach)
    assert scene.at(1e3).distance == pytest.approx(approach.exit_distance, abs=0.01)
    assert scene.at(1e3).ground_speed == pytest.approx(approach.arrival_speed, abs=0.05)
    assert any(event.text.startswith("Brakes released") for event in scene.events)
    assert not scene.stopped


def test_landing_scene__without_cooling_data_shows_a_heat_sink_that_loses_nothing(tmp_path: Path) -> None:
    """The end temperature is then that of the plan exactly: both are the same heat into the same mass."""
    text = (EXAMPLES / "aircraft" / "demo-narrowbody.toml").read_text(encoding="utf-8")
    begin = text.index("[brake_cooling]")
    cut = text[:begin] + text[text.index("\n[", begin) :]
    (tmp_path / "aeroplane.toml").write_text(cut, encoding="utf-8")
    assert read_aircraft(tmp_path / "aeroplane.toml").brake_cooling is None
    case = (EXAMPLES / "wet-gusty-arrival" / "case.toml").read_text(encoding="utf-8")
    case = case.replace("../aircraft/demo-narrowbody.toml", "aeroplane.toml")
    case = case.replace("../runways", (EXAMPLES / "runways").as_posix())
    (tmp_path / "case.toml").write_text(case, encoding="utf-8")
    scene = scene_of(read_any(tmp_path / "case.toml"), Choice("steady", "none"))
    from groundroll.planning.landing import plan_landing
    from groundroll.scenario.read import read_case

    plan = plan_landing(read_case(tmp_path / "case.toml"))
    option = next(one for one in plan.options if (one.brake, one.reverse) == ("steady", "none"))
    assert scene.brake_temperature[-1] == pytest.approx(option.peak_brake_temperature, abs=0.01)
    assert scene.limits == ()


def test_scenes__say_when_the_plan_does_not_fit(scenes: tuple[Scene, Scene]) -> None:
    """Nobody shall take a stop with a few metres left for a plan; what fits says nothing."""
    short = scene_of(read_any(EXAMPLES / "nothing-fits" / "case.toml"))
    assert "does not fit" in short.name
    assert "too little for the margin of 15 %" in short.events[-1].text
    assert "does not fit" in scene_of(read_any(EXAMPLES / "departure-nothing-works" / "case.toml")).name
    tailwind = ["weather.wind=070/20 kt"]
    assert "does not fit" in scene_of(read_any(EXAMPLES / "wet-gusty-arrival" / "case.toml", tailwind)).name
    assert not any("does not fit" in one.name for one in scenes)


@pytest.mark.parametrize("event", ["all engines", "engine failure"])
def test_reject_scene__mechanics_and_the_plan(event: str) -> None:
    """Driven, then slowed: F = m a throughout, and the stop as `groundroll reject` prints it."""
    case = read_take_off_case(DEPARTURE, [f"take_off.event={event}"])
    scene, plan = scene_of(case), plan_reject(case)
    check_mechanics(scene)
    flown = plan.flown.stop_all_engines if event == "all engines" else plan.flown.stop_engine_failure
    assert scene.at(1e3).distance == pytest.approx(flown, abs=0.01)
    assert scene.at(5.0).deceleration < 0.0
    assert scene.at(0.0).distance == pytest.approx(0.0, abs=1e-9)
    assert any(one.text.startswith("An engine fails") for one in scene.events) is (event == "engine failure")
    assert plan.aftermath is not None
    assert scene.at(1e3).brake_temperature == pytest.approx(plan.aftermath.peak_brake_temperature, abs=1.5)


def test_reject_scene__manual_braking_without_reverse_needs_more() -> None:
    """Fewer means, later: the stop is longer."""
    case = read_take_off_case(DEPARTURE)
    assert scene_of(case, Choice("manual", "none")).distance[-1] > scene_of(case).distance[-1]


@pytest.mark.parametrize(
    ("file", "choice", "match"),
    [
        ("wet-gusty-arrival/case.toml", Choice("violent"), 'brakes "violent" .* gentle, steady, firm, strong, manual'),
        ("departure-wet/case.toml", Choice("firm"), 'brakes "firm" is not one of automatic, manual'),
        ("departure-wet/case.toml", Choice(reverse="much"), 'reverse "much" is not one of none, idle, full'),
        ("departure-wet/case.toml", Choice(to_exit=True), "this case is a take-off"),
        ("wet-gusty-arrival/case.toml", Choice("manual", "none", to_exit=True), "no exit is planned"),
    ],
)
def test_scene_of__refuses_what_the_case_does_not_have(file: str, choice: Choice, match: str) -> None:
    """With what it has."""
    with pytest.raises(GroundrollError, match=match):
        scene_of(read_any(EXAMPLES / file), choice)


def test_scene_of__other_files_are_no_cases() -> None:
    """An aircraft file has no roll."""
    with pytest.raises(ScenarioError, match="not a case"):
        scene_of(read_any(EXAMPLES / "aircraft" / "demo-regional.toml"))


# ------------------------------------------------------------------------------------------------------- the clip


@pytest.mark.parametrize("speed", [0.25, 1.0, 2.0, 20.0])
def test_clip_of__captions_follow_one_another_and_tell_how_it_ends(scenes: tuple[Scene, Scene], speed: float) -> None:
    """None overlaps the next, all lie within the clip, and what happens is shown within six seconds of it."""
    clip = clip_of(scenes, speed)
    assert clip.captions[0].begin == 0.0
    assert clip.captions[-1].end == clip.duration
    for one, following in zip(clip.captions, clip.captions[1:], strict=False):
        assert one.begin < one.end <= following.begin
    told = {one.begin: one.text for one in clip.captions}
    for name, scene in zip(("Upper", "Lower"), scenes, strict=True):
        begin = next(at for at, text in told.items() if scene.result.lower() in text.lower() and name in text)
        assert abs(begin - HOLD_BEFORE - scene.duration / speed) < 6.0


def test_clip_of__what_happens_in_both_is_said_once(scenes: tuple[Scene, Scene]) -> None:
    """Both cross the threshold alike; only the upper one opens its reversers."""
    texts = [one.text for one in clip_of(scenes).captions]
    assert texts[0] == "Both: over the threshold with 137 kt of ground speed."
    assert any("Upper: engines go to full reverse." in one for one in texts)
    assert not any("Lower: engines" in one for one in texts)


def test_clip_of__where_all_cannot_be_read_the_least_is_left_out(scenes: tuple[Scene, Scene]) -> None:
    """Ranks 0 stay whatever the length; of the others the highest goes first."""
    events = (
        Event(0.0, "A" * 60, rank=0),
        Event(0.0, "B" * 60, rank=1),
        Event(0.0, "C" * 60, rank=2),
        Event(0.0, "D" * 40, rank=0),
    )
    scene = dataclasses.replace(scenes[0], events=events)
    (caption,) = clip_of([scene]).captions
    assert "A" * 60 in caption.text
    assert "D" * 40 in caption.text
    assert "C" not in caption.text
    assert "B" not in caption.text


def test_clip_of__times(scenes: tuple[Scene, Scene]) -> None:
    """At twice the speed the middle part takes half as long; the pictures are counted from zero."""
    real, twice = clip_of(scenes), clip_of(scenes, 2.0)
    longest = max(one.duration for one in scenes)
    assert real.duration - twice.duration == pytest.approx(0.5 * longest)
    assert twice.scene_time(HOLD_BEFORE + 3.0) == pytest.approx(6.0)
    times = twice.frame_times(10.0)
    assert times[1] == pytest.approx(0.1)
    assert len(times) == int(np.ceil(twice.duration * 10.0))


@pytest.mark.parametrize("speed", [0.05, 0.0, -1.0, 21.0, float("nan")])
def test_clip_of__speed_outside_its_range_is_refused(scenes: tuple[Scene, Scene], speed: float) -> None:
    """The value and the range are shown."""
    with pytest.raises(GroundrollError, match=r"outside 0.1 to 20"):
        clip_of(scenes, speed)


def test_clip_of__a_landing_and_a_take_off_are_not_in_step(scenes: tuple[Scene, Scene]) -> None:
    """Over the threshold and at brake release are not the same moment."""
    with pytest.raises(GroundrollError, match="no moment in common"):
        clip_of([scenes[0], scene_of(read_take_off_case(DEPARTURE))])


def test_clip_of__refuses_a_film(scenes: tuple[Scene, Scene]) -> None:
    """A landing that takes three hours is a mistake; the speed that works is named."""
    scene = dataclasses.replace(scenes[0], time=scenes[0].time * 200.0)
    with pytest.raises(GroundrollError, match=r"at most 600 s .* --speed"):
        clip_of([scene])
