"""Numbers of an aircraft file from recorded landings: recovery of what invented operators hide, and refusals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from groundroll.errors import DataError
from groundroll.review.fit_recordings import (
    Found,
    Piece,
    RecordingsFit,
    Witness,
    fit_witnesses,
    nearest_clearly,
    one_witness,
)
from groundroll.review.mapping import Mapping
from groundroll.review.reading import Recording, recording_of
from tests.review.landings import case, landing
from tests.review.operators import Operator, fitted, landing_of, operator

DRAG = "flaps.full.drag_coefficient_deployed"
FULL = "engines.thrust.reverse_full"


def of(fit: RecordingsFit, key: str) -> Found:
    return next(one for one in fit.parameters if one.parameter.key == key)


def fit(witnesses: Sequence[Witness]) -> RecordingsFit:
    return fit_witnesses("folder", "0" * 64, case().aircraft, witnesses)


def piece(speed: float, drag: float, full: float, own: float) -> Piece:
    """Return seconds in full reverse: drag with the square of the speed, thrust nearly steady."""
    by_drag, by_reverse = 1.0 * (speed / 70.0) ** 2, 1.0 + 0.002 * (speed - 50.0)
    missing = (drag - 1.0) * by_drag + (full - 1.0) * by_reverse + own
    return Piece("reverse_full", missing, by_drag, 0.0, 0.0, by_reverse, 0.14, 2.0 * by_drag / speed, 2.0)


def made(
    number: int,
    *,
    drag: float = 1.0,
    full: float = 1.0,
    own: float = 0.0,
    setting: str | None = None,
    held: float = 0.0,
) -> Witness:
    return Witness(
        file=f"landing-{number:02d}",
        flap="full",
        mass=60_000.0 + number,
        touchdown_speed=68.0,
        codes=(5,),
        reverse="full",
        pieces=tuple(piece(speed, drag, full, own) for speed in (35.0, 45.0, 55.0, 65.0)),
        fan=0.77,
        setting=setting,
        held=held if setting else math.nan,
        held_seconds=10.0 if setting else 0.0,
        delay=math.nan,
    )


# ---------------------------------------------------------------------------------------------- recovery of the hidden


@pytest.fixture(scope="module")
def operators() -> list[tuple[Operator, RecordingsFit]]:
    return [fitted(seed, 26) for seed in range(300, 304)]


def test_fit__intervals_hold_what_invented_operators_hide(operators: list[tuple[Operator, RecordingsFit]]) -> None:
    """Of intervals meant to hold in 95 %, fewer than the 0.1 % point of the binomial law would be a fault."""
    held = [
        one.low <= operator.truth[one.parameter.key] <= one.high
        for operator, fit in operators
        for one in fit.parameters
        if one.fitted
    ]
    assert len(held) >= 12
    assert sum(held) >= int(binom.ppf(0.001, len(held), 0.95))
    assert all(not fit.refusals for _, fit in operators)


def test_fit__comes_nearer_to_the_hidden_than_the_start(operators: list[tuple[Operator, RecordingsFit]]) -> None:
    """Root mean square error in spreads; the start has 1 by how operators are drawn."""
    away = [
        (one.value - operator.truth[one.parameter.key]) / one.parameter.spread
        for operator, fit in operators
        for one in fit.parameters
        if one.fitted
    ]
    assert float(np.sqrt(np.mean(np.square(away)))) < 0.6


def test_fit__leaves_at_the_start_what_no_segment_shows_and_says_why(
    operators: list[tuple[Operator, RecordingsFit]],
) -> None:
    """No invented crew used the strongest setting; a ramp of a second is not seen at one sample a second."""
    for _, fit in operators:
        strong, ramp = of(fit, "automatic_brakes.settings.strong"), of(fit, "automatic_brakes.ramp_rate")
        assert not strong.fitted
        assert strong.value == 3.6
        assert "no segment" in strong.words
        assert not ramp.fitted
        assert all(one.words for one in fit.parameters)


def test_fit__keeps_to_parameters_of_the_aircraft_file() -> None:
    """An aeroplane without reverse and without automatic brakes has neither to be fitted."""
    plane = case().aircraft
    thrust = plane.engines.thrust.model_copy(update={"reverse_idle": None, "reverse_full": None})
    bare = plane.model_copy(
        update={
            "automatic_brakes": None,
            "reverse": None,
            "engines": plane.engines.model_copy(update={"thrust": thrust}),
        }
    )
    found = fit_witnesses("folder", "0" * 64, bare, [made(number) for number in range(12)])
    assert [one.parameter.key for one in found.parameters] == [DRAG, "engines.thrust.idle"]


# ------------------------------------------------------------------------------------------------------ the regression


def test_forces__two_that_work_together_are_told_apart_by_speed() -> None:
    """Drag 8 % more, full reverse 12 % less than the start, put in by hand; priors pull both a little back."""
    found = fit([made(number, drag=1.08, full=0.88) for number in range(40)])
    assert of(found, DRAG).value / 0.175 == pytest.approx(1.08, abs=0.02)
    assert of(found, FULL).value == pytest.approx(0.88, abs=0.02)


def test_forces__a_landing_counts_once_however_many_samples_it_has() -> None:
    """Own errors of each landing, 0.1 m/s2: four times the seconds must not halve the interval."""
    errors = np.random.default_rng(5).normal(0.0, 0.1, 20)
    some = [made(number, own=float(own)) for number, own in enumerate(errors)]
    more = [
        replace(one, pieces=tuple(replace(part, seconds=4.0 * part.seconds) for part in one.pieces)) for one in some
    ]
    widths = [of(fit(each), FULL) for each in (some, more)]
    assert widths[1].high - widths[1].low > 0.85 * (widths[0].high - widths[0].low)
    assert widths[0].spread == pytest.approx(float(np.std(errors, ddof=1)), abs=0.03)


def test_forces__a_landing_far_off_is_left_out_and_named() -> None:
    errors = np.random.default_rng(6).normal(0.0, 0.03, 20)
    landings = [made(number, own=float(own)) for number, own in enumerate(errors)]
    found = fit([*landings, made(99, own=1.5)])
    assert [file for file, _ in found.left_out] == ["landing-99"]
    assert of(found, FULL).value == pytest.approx(of(fit(landings), FULL).value, abs=1e-9)


def test_forces__full_reverse_counts_only_near_the_fastest_fan() -> None:
    """Half of the landings reversed with less power: they say nothing about full reverse."""
    weak = [replace(made(number, full=0.5), fan=0.6) for number in range(10)]
    found = of(fit([*(made(number + 10, full=1.0) for number in range(10)), *weak]), FULL)
    assert found.landings == 10
    assert found.value == pytest.approx(1.0, abs=0.02)


# -------------------------------------------------------------------------------- automatic brakes


def test_setting__mean_and_interval_by_hand() -> None:
    """1.20 to 1.28 in five steps: mean 1.24, deviation 0.0316; Student's 2.776 for four degrees of freedom (any table).

    2.776 times the root of 0.0316^2 / 5 + 0.01^2 (common to all) is 0.0481.
    """
    values = (1.20, 1.22, 1.24, 1.26, 1.28)
    found = of(
        fit([made(number, setting="gentle", held=one) for number, one in enumerate(values)]),
        "automatic_brakes.settings.gentle",
    )
    assert found.fitted
    assert found.value == pytest.approx(1.24)
    assert found.high - found.value == pytest.approx(0.0481, abs=0.0002)


def test_setting__between_two_belongs_to_neither() -> None:
    """Settings 1.2 and 1.8: their geometric middle is 1.47."""
    plane = case().aircraft
    assert nearest_clearly(plane, 1.30) == "gentle"
    assert nearest_clearly(plane, 1.47) is None
    assert nearest_clearly(plane, 1.70) == "steady"
    assert nearest_clearly(plane, 9.0) is None


# -------------------------------------------------------------------------------- refusals


def test_refusal__too_few_landings() -> None:
    (reason,) = fit([made(number) for number in range(9)]).refusals
    assert reason == "9 landings hold a segment that speaks; at least 10 are needed."


def test_refusal__forces_that_contradict_each_other() -> None:
    """Every other landing 0.5 m/s2 off."""
    found = fit([made(number, own=0.5 * (number % 2)) for number in range(20)])
    assert any("contradict" in one for one in found.refusals)
    assert found.aircraft == case().aircraft


def test_refusal__a_setting_that_held_this_and_that() -> None:
    values = [1.05, 1.45] * 6
    found = fit([made(number, setting="gentle", held=one) for number, one in enumerate(values)])
    assert any("Landings with gentle contradict each other: they held 1.05 to 1.45" in one for one in found.refusals)


def test_refusal__nothing_determined() -> None:
    """Landings that hold no segment but those of other settings, too few of each."""
    bare = [replace(made(number, setting="firm", held=2.6), pieces=()) for number in range(4)]
    found = fit([*bare, *(replace(one, setting="steady", held=1.8) for one in bare)])
    assert any("determine no parameter" in one for one in found.refusals)


def test_refusal__another_aeroplane() -> None:
    """Reverse 1.9 times the start lies six spreads of 15 % away."""
    found = fit([made(number, full=1.9) for number in range(60)])
    assert any(one.startswith(FULL) and "same aeroplane" in one for one in found.refusals)


def without(recording: Recording, *names: str) -> Recording:
    return replace(recording, series={key: one for key, one in recording.series.items() if key not in names})


def test_witness__what_must_be_recorded() -> None:
    """Neither without brake pressure nor without reverse is it known what slows the aeroplane down."""
    one, setting = landing_of(operator(1), 1, 0)
    recording = recording_of(one.frame, "x", Mapping())
    with pytest.raises(DataError, match="brake pressure is not recorded"):
        one_witness(without(recording, "brake_pressure"), setting)
    with pytest.raises(DataError, match="reverse is not recorded"):
        one_witness(without(recording, "reverser_deployed"), setting)


def test_witness__surveillance_tells_nothing() -> None:
    one, setting = landing(3, sensors="surveillance")
    with pytest.raises(DataError, match="brake pressure is not recorded"):
        one_witness(recording_of(one.frame, "x", Mapping()), setting)
