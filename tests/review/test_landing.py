"""The review of one landing against landings whose truth is known."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import polars as pl
import pytest

from groundroll.constants import GRAVITY, KNOT
from groundroll.errors import DataError
from groundroll.planning.landing_roll import conditions_of
from groundroll.review.forces import NORMAL_90
from groundroll.review.invent import Faults, invent
from groundroll.review.mapping import Mapping
from groundroll.review.reading import recording_of
from groundroll.review.repair import repaired
from tests.review.landings import Tried, case, tried

RECORDER = Faults(accelerometer_datum=0.1 * GRAVITY, inverted_discretes=True, flag_delay=9.0, time_shifts=0.1)


@pytest.fixture(scope="module")
def slippery() -> Tried:
    """A wet landing whose last third is half as good as reported, on a recorder with every tolerable fault."""
    return tried(12, brake="steady", reverse="full", friction=(1.0, 1.0, 0.5), faults=RECORDER)


def test_review__datum_shift_of_a_tenth_of_g_is_found(slippery: Tried) -> None:
    """14 CFR 121 Appendix M no. 11: datum within 5 % of the range of 2 g, that is 0.1 g."""
    motion = slippery.review.motion
    assert motion.datum == pytest.approx(0.1 * GRAVITY, abs=0.06)
    assert any("datum was taken off" in one for one in slippery.review.remarks)


def test_review__inverted_discretes_are_turned_round_and_said(slippery: Tried) -> None:
    said = " ".join(slippery.review.remarks)
    for name in ("main gear on ground", "nose gear on ground", "reverser deployed"):
        assert f"{name}: says" in said
    assert "polarity was turned round" in said


def test_repair__a_held_deceleration_is_no_filled_gap_where_the_accelerometer_trembles() -> None:
    """The same straight speed twice: beside a trembling accelerometer it counts, beside a filled one it does not."""
    time = np.arange(0.0, 90.0, 0.25)
    speed = np.clip(140.0 - 3.5 * np.maximum(time - 30.0, 0.0), 20.0, None) + 0.001 * np.sin(40.0 * time)
    lost = (speed < 118.0) & (speed > 62.0)
    speed = np.where(lost, np.interp(time, time[~lost], speed[~lost]), np.round(speed * 2.0) / 2.0)
    slowing = np.where((time > 30.0) & (speed > 20.5), -0.18, 0.0)
    tremble = np.random.default_rng(1).normal(0.0, 0.01, time.size)
    for trembling in (True, False):
        felt = slowing + (tremble if trembling else np.where(lost, 0.0, tremble))
        frame = pl.DataFrame({"time_s": time, "ground_speed_kt": speed, "longitudinal_acceleration_g": felt})
        recording = recording_of(frame, "held.csv", Mapping())
        if trembling:
            repaired(recording)
        else:
            with pytest.raises(DataError, match="lies on straight lines"):
                repaired(recording)


def test_review__inverted_reversers_never_used_are_not_reverse() -> None:
    """Recorded as deployed from the approach to the exit, levers never raised: no reverse, not "not recorded"."""
    one = tried(4, brake="steady", reverse="none", faults=Faults(inverted_discretes=True))
    assert any("reverser deployed: says deployed in the air and ever after" in said for said in one.review.remarks)
    assert one.review.controls.reverse_known
    assert float(one.review.controls.engines[:, 1:3].max()) == 0.0


def test_invent__pressure_is_what_the_pedals_ask_and_more_than_brakes_with_another_gain_give() -> None:
    """Half pedal asks for half of 3000 psi, held back by friction or not; weak brakes show more for the same force."""
    for gain, expected in ((1.0, 1500.0), (0.8, 1875.0)):
        conditions = replace(conditions_of(case()), pedal=0.5)
        made = invent(
            case().aircraft,
            conditions,
            brake="manual",
            reverse="none",
            bearing=1.0,
            generator=np.random.default_rng(1),
            faults=Faults(brake_gain=gain),
        )
        time = made.frame["time_s"].to_numpy() - made.truth.events["brakes on"]
        pressure = made.frame.filter((time > 3.0) & (time < 12.0))["brake_pressure_psi"].drop_nulls().to_numpy()
        assert pressure == pytest.approx(expected, abs=10.0)


def test_review__events_lie_within_their_uncertainty(slippery: Tried) -> None:
    """Three standard deviations of what the recorder's rates allow."""
    truth = slippery.invented.truth
    touchdown = slippery.review.event("touchdown")
    assert touchdown is not None
    assert abs(touchdown.time - truth.touchdown_time) < 3.0 * touchdown.time_deviation
    assert abs(touchdown.distance - truth.touchdown_distance) < 3.0 * touchdown.distance_deviation
    assert touchdown.ground_speed == pytest.approx(truth.touchdown_ground_speed, abs=1.0)
    for name in ("brakes on", "nose wheel down", "spoilers start"):
        found = slippery.review.event(name)
        assert found is not None, name
        assert abs(found.time - truth.events[name]) < 3.0 * found.time_deviation + 0.3, name
    threshold = slippery.review.event("threshold")
    assert threshold is not None
    assert threshold.time == pytest.approx(truth.threshold_time, abs=0.3)


def test_review__friction_is_measured_where_it_ruled(slippery: Tried) -> None:
    """The last third gives half of the 0.16 of code 3."""
    pieces = [one for one in slippery.review.forces.bins if one.ruled == "friction"]
    assert len(pieces) >= 3
    for one in pieces:
        assert one.reported_code == 3
        assert abs(one.coefficient - 0.08) < 3.0 * one.deviation
    finding = slippery.review.forces.finding
    assert finding.measured
    assert finding.code == 1
    assert finding.word == "POOR"
    assert finding.confidence > 0.8


def test_review__demand_limited_pieces_only_bound_from_below() -> None:
    """On a dry surface with gentle braking nothing is measured, and the bound is not above the truth."""
    one = tried(3, brake="gentle", reverse="none", friction=(3.0, 3.0, 3.0), faults=Faults(time_shifts=0.1))
    assert not any(piece.ruled == "friction" for piece in one.review.forces.bins)
    finding = one.review.forces.finding
    assert not finding.measured
    assert finding.code is not None
    assert finding.code <= 6


def test_review__automatic_braking_and_reverse_are_told(slippery: Tried) -> None:
    names = [one.name for one in slippery.review.events]
    for name in (
        "automatic braking holding",
        "automatic braking released",
        "reverse selected",
        "reverse effective",
        "reverse reduced",
        "reverse stowed",
        "taxi speed",
    ):
        assert name in names
    held = next(one for one in slippery.review.events if one.name == "automatic braking holding")
    assert "near setting steady" in held.found_by
    assert all(a.time <= b.time for a, b in pairwise(slippery.review.events))


def test_review__ledger_adds_up_and_explains_the_landing(slippery: Tried) -> None:
    """Entries, hand-over and the rest add up to the difference to 0.1 m; the model explains it within 20 m."""
    ledger = slippery.review.ledger
    assert ledger is not None
    total = sum(one.metres for one in ledger.ledger.entries) + ledger.not_explained
    assert total == pytest.approx(ledger.difference, abs=0.1)
    assert abs(ledger.not_explained) < 20.0
    surface = next(one for one in ledger.ledger.entries if one.cause == "surface")
    assert surface.metres > 20.0


def test_review__air_ground_flag_is_never_the_touchdown() -> None:
    """Surveillance: the flag comes 12 s late; the touchdown is found from the speed within three deviations."""
    one = tried(8, sensors="surveillance", brake="steady", reverse="idle", faults=Faults(flag_delay=12.0))
    touchdown = one.review.event("touchdown")
    assert touchdown is not None
    assert abs(touchdown.time - one.invented.truth.touchdown_time) < 3.0 * touchdown.time_deviation
    assert any("not taken for the touchdown" in remark for remark in one.review.remarks)


def test_review__surveillance_without_threshold_counts_from_touchdown() -> None:
    from dataclasses import replace

    from groundroll.review.landing import review_recording
    from groundroll.review.mapping import Mapping
    from groundroll.review.reading import recording_of
    from tests.review.landings import landing

    made, setting = landing(9, sensors="surveillance", brake="firm", reverse="idle")
    review = review_recording(recording_of(made.frame, "track.csv", Mapping()), replace(setting, threshold=None), None)
    assert not review.located
    touchdown = review.event("touchdown")
    assert touchdown is not None
    assert touchdown.distance == 0.0
    assert review.mean_deceleration.value == pytest.approx(
        made.truth.mean_decelerations[round(review.mean_deceleration.fast / KNOT)], rel=0.05
    )


def test_review__without_threshold_the_ledger_keeps_the_recorded_speed_at_touchdown() -> None:
    """It is recorded wherever the threshold lies. Wind and approach speed of the landing are not those of the plan."""
    from dataclasses import replace

    from groundroll.review.landing import review_recording
    from groundroll.review.mapping import Mapping
    from groundroll.review.reading import recording_of
    from tests.review.landings import landing, planned

    made, setting = landing(9, brake="firm", reverse="idle")
    setting = replace(setting, threshold=None)
    review = review_recording(recording_of(made.frame, "track.csv", Mapping()), setting, planned())
    touchdown = review.event("touchdown")
    assert review.ledger is not None
    assert touchdown is not None
    assert review.ledger.from_touchdown
    assert review.ledger.ledger.other_touchdown[1] == pytest.approx(touchdown.ground_speed, abs=0.05)
    assert any(one.cause == "threshold speed" for one in review.ledger.ledger.entries)


def test_review__gap_filled_by_a_straight_line_is_refused() -> None:
    """A gap of 18 s bridged by interpolation looks like a perfectly held deceleration."""
    with pytest.raises(DataError, match="straight lines"):
        tried(4, sensors="surveillance", brake="steady", faults=Faults(flag_delay=5.0, gap=(4.0, 22.0), filled=True))


def test_review__gap_left_open_is_refused_with_its_length() -> None:
    with pytest.raises(DataError, match=r"has a gap of \d+ s between 120 and 60 kt"):
        tried(4, sensors="surveillance", brake="steady", faults=Faults(flag_delay=5.0, gap=(4.0, 18.0)))


def test_review__frozen_speed_is_left_out() -> None:
    """The speed stands still for 6 s while the positions go on slowing down."""
    one = tried(5, sensors="surveillance", brake="steady", faults=Faults(flag_delay=5.0, frozen=(6.0, 12.0)))
    assert any("frozen" in remark for remark in one.review.remarks)
    truth = one.mean_deceleration
    assert one.review.mean_deceleration.value == pytest.approx(truth, rel=0.05)


def test_review__honest_landings_are_not_called_filled() -> None:
    for number in range(30, 45):
        sensors = "surveillance" if number % 2 else "recorder"
        one = tried(number, sensors=sensors, with_plan=False)
        assert not any("straight" in remark or "frozen" in remark for remark in one.review.remarks), number


def test_review__intervals_cover_the_truth() -> None:
    """Over 60 recorder landings the 90 % intervals hold the truth in 80 to 100 % of cases (5 sigma of a binomial)."""
    inside: dict[str, list[bool]] = {"touchdown": [], "mean": [], "energy": [], "friction": []}
    for number in range(100, 160):
        one = tried(number, with_plan=False)
        truth, review = one.invented.truth, one.review
        touchdown = review.event("touchdown")
        assert touchdown is not None
        inside["touchdown"].append(abs(touchdown.time - truth.touchdown_time) < NORMAL_90 * touchdown.time_deviation)
        mean = review.mean_deceleration
        inside["mean"].append(abs(mean.value - one.mean_deceleration) < NORMAL_90 * mean.deviation)
        energy = review.forces.brake_energy - truth.result.brake_work
        inside["energy"].append(abs(energy) < NORMAL_90 * review.forces.brake_energy_deviation)
        ends = np.asarray(truth.roll.third_ends)
        pieces = [piece for piece in review.forces.bins if piece.ruled == "friction" and piece.ground_speed > 20 * KNOT]
        for piece in pieces[1:-1:4]:
            third = int(np.searchsorted(ends, 0.5 * (piece.start + piece.end)))
            true = float(truth.roll.thirds[third].braking.coefficient(piece.ground_speed))
            inside["friction"].append(abs(piece.coefficient - true) < NORMAL_90 * piece.deviation)
    for name, cases in inside.items():
        assert np.mean(cases) > 0.80, name
    assert len(inside["friction"]) > 30


def test_review__mean_deceleration_is_plausible() -> None:
    """Operational landings of a twin-jet of this size: mean 1.36 m/s2, central 90 % from 0.57 to 2.14 m/s2.

    Sun, Ellerbroek, Hoekstra, Transp. Res. C 98 (2019) 118-138, per-type tables. The gentle and the steady setting
    must fall there in the great majority.
    """
    brakes = ("gentle", "steady")
    values = [
        tried(number, with_plan=False, brake=brakes[number % 2]).review.mean_deceleration.value
        for number in range(200, 220)
    ]
    assert np.mean([0.57 <= one <= 2.14 for one in values]) >= 0.9
    assert all(math.isfinite(one) for one in values)
