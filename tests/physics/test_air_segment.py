"""From threshold to touchdown."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import FOOT, KNOT
from groundroll.physics.air_segment import air_distance_by_speed, air_distance_by_time, air_segment_to

SPEEDS = st.floats(80.0 * KNOT, 200.0 * KNOT)


@pytest.mark.parametrize(("knots", "feet"), [(120, 1389), (140, 1621), (160, 1853)])
def test_air_distance_by_time__seven_seconds_at_98_per_cent(knots: int, feet: int) -> None:
    """By hand: 120 kt is 202.537 ft/s; 7 * 0.98 * 202.537 = 1389.4 ft. The 7 s and the 96 % are from memory."""
    segment = air_distance_by_time(knots * KNOT)
    assert segment.distance / FOOT == pytest.approx(feet, abs=0.5)
    assert segment.touchdown_ground_speed == pytest.approx(0.96 * knots * KNOT)
    assert segment.time == 7.0


@pytest.mark.parametrize(("knots", "feet"), [(120, 1225), (130, 1305), (140, 1390), (150, 1480)])
def test_air_distance_by_speed__still_air_from_memory(knots: int, feet: int) -> None:
    """FAA AC 25-7D, parametric air distance (from memory), to the whole foot."""
    segment = air_distance_by_speed(knots * KNOT)
    assert segment.distance / FOOT == pytest.approx(feet, abs=1.0)
    assert segment.touchdown_ground_speed / KNOT == pytest.approx(knots - 3)


@given(SPEEDS, st.floats(-20.0, 20.0))
def test_air_distance_by_speed__headwind_shortens_it_by_the_drift_of_the_air(speed: float, headwind: float) -> None:
    still, windy = air_distance_by_speed(speed), air_distance_by_speed(speed, headwind)
    assert windy.time == still.time
    assert still.distance - windy.distance == pytest.approx(headwind * still.time, abs=1e-9)
    assert still.touchdown_ground_speed - windy.touchdown_ground_speed == pytest.approx(headwind, abs=1e-9)


@given(SPEEDS, st.floats(3.0, 15.0), st.floats(0.0, 0.2))
def test_air_segment_to__given_the_point_of_the_timed_segment_gives_the_segment(
    speed: float, time: float, loss: float
) -> None:
    timed = air_distance_by_time(speed, time, loss)
    pointed = air_segment_to(timed.distance, speed, loss)
    assert pointed.time == pytest.approx(time)
    assert pointed.touchdown_ground_speed == timed.touchdown_ground_speed


@given(SPEEDS, st.floats(3.0, 15.0), st.floats(0.001, 0.2))
def test_air_distance_by_time__losing_speed_never_lengthens_it(speed: float, time: float, loss: float) -> None:
    assert air_distance_by_time(speed, time, loss).distance < air_distance_by_time(speed, time, 0.0).distance


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: air_distance_by_time(140.0), r"ground_speed_at_threshold 140 m/s is outside .*40 to 220 kt"),
        (lambda: air_distance_by_time(70.0, 1.0), r"time 1 s is outside 2 to 20 s"),
        (lambda: air_distance_by_time(70.0, 7.0, 0.96), r"speed_loss_share 0.96 is outside 0 to 0.2"),
        (lambda: air_segment_to(0.0, 70.0), r"touchdown_distance 0 m is outside 1 to 3000 m"),
        (lambda: air_segment_to(400.0, 70.0, -0.1), r"speed_loss_share -0.1 is outside"),
        (lambda: air_distance_by_speed(40.0), r"true_airspeed_at_threshold 40 m/s is outside .*80 to 200 kt"),
        (lambda: air_distance_by_speed(70.0, 30.0), r"headwind 30 m/s is outside"),
    ],
)
def test_air_segment__out_of_range_is_refused(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
