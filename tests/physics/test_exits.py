"""Speeds at exits, paths, occupancy and exit use against the books they come from."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import FOOT, KNOT
from groundroll.physics.exits import (
    ExitSpeed,
    allowed_exit_speed,
    exit_data,
    exit_use_share,
    is_rapid,
    lateral_share_for_code,
    lateral_share_source,
    path_to_holding_position,
    planned_occupancy_time,
    turn_speed,
    usual_exit_speed,
)
from groundroll.physics.sources import source

KMH = 1.0 / 3.6
MPH = 5_280.0 * FOOT / 3_600.0
RIGHT = math.radians(90.0)
RAPID = math.radians(30.0)

TABLE = Path(__file__).parents[1] / "data" / "exit_use_table_6_25.txt"
COLUMNS = [(surface, name) for surface in ("dry-regular", "dry-rapid", "wet") for name in "ABCD"]


# -------------------------------------------------------------------------------------------------- speed in a turn


@pytest.mark.parametrize(("printed", "radius"), [(16, 15), (32, 60), (48, 135), (64, 240), (80, 375), (96, 540)])
def test_turn_speed__radius_and_speed_of_taxiways_table_6_22(printed: float, radius: float) -> None:
    """Horonjeff, table 6-22, p. 237, credited to ICAO; whole km/h are printed, asked to half of one.

    The lateral share of 0.133 stands for code 6.
    """
    assert turn_speed(radius, lateral_share_for_code(6)) / KMH == pytest.approx(printed, abs=0.5)


@pytest.mark.parametrize(("printed", "radius", "lower"), [(65, 275, 0.5), (93, 550, 1.1)])
def test_allowed_exit_speed__rapid_exits_of_annex_14_on_a_wet_surface(
    printed: float, radius: float, lower: float
) -> None:
    """ICAO Annex 14, 3.8.15 to 3.8.18 as national standards repeat them; whole km/h are printed.

    Its two pairs are 0.121 g (275 m) and 0.124 g (550 m). The lower one is used for both: 1.0 km/h below the second
    pair, on the safe side, and never above either.
    """
    found = allowed_exit_speed(RAPID, 5, radius=radius)
    assert printed - lower <= found.speed / KMH <= printed + 0.1
    assert found.sources == ("annex-14-rapid-exit",)
    assert found.set_by == f"curve of {radius} m on code 5"


def test_turn_speed__right_angle_with_the_centre_line_radius_of_250_ft() -> None:
    """A. Trani, CEE 4674 notes (2009): 250 ft; by hand at 0.133 g: sqrt(0.133 * 9.81 * 76.2) = 9.97 m/s, 19 kt."""
    assert turn_speed(250.0 * FOOT, 0.133) / KNOT == pytest.approx(19.4, abs=0.05)


@given(radius=st.floats(5.0, 2_000.0), share=st.floats(0.01, 0.5))
def test_turn_speed__gives_back_its_lateral_share(radius: float, share: float) -> None:
    """By hand: V^2 / (R g) with 127.133 / 3.6^2 = 9.8097 m/s2."""
    assert turn_speed(radius, share) ** 2 / radius / (127.133 / 12.96) == pytest.approx(share, rel=1e-12)


@pytest.mark.parametrize(("radius", "share"), [(4.9, 0.1), (2_001.0, 0.1), (100.0, 0.009), (100.0, 0.51)])
def test_turn_speed__refuses_what_lies_outside(radius: float, share: float) -> None:
    with pytest.raises(ValueError, match=r"radius|lateral_share"):
        turn_speed(radius, share)


def test_lateral_share__half_of_the_braking_coefficient_on_codes_4_to_1() -> None:
    """Braking coefficients of FAA AC 25-32 (from memory): 0.20, 0.16, 0.07 on codes 4, 3, 1; halved by this project.

    On code 2 the coefficient changes with speed; 0.05 is half of 0.10.
    """
    assert [lateral_share_for_code(code) for code in (4, 3, 2, 1)] == [0.10, 0.08, 0.05, 0.035]
    assert all(lateral_share_source(code) == "exit-lateral-share" for code in (4, 3, 2, 1))
    assert source("exit-lateral-share").status == "assumption of this project"


@pytest.mark.parametrize("code", [0, 7, -1])
def test_lateral_share__no_code_beyond_the_table(code: int) -> None:
    """On code 0 nothing is planned."""
    with pytest.raises(ValueError, match=rf"code {code} is not .*6, 5, 4, 3, 2 or 1"):
        lateral_share_for_code(code)
    with pytest.raises(ValueError, match=f"code {code}"):
        lateral_share_source(code)


# ------------------------------------------------------------------------------------------------- what is allowed


def test_allowed_exit_speed__common_practice_where_nothing_is_known() -> None:
    """About 10 kt at a right angle, 40 kt (of "40 to 50") at a rapid exit; labelled as without a source."""
    right, rapid = allowed_exit_speed(RIGHT, 5), allowed_exit_speed(RAPID, 5)
    assert right.speed == pytest.approx(10.0 * KNOT)
    assert rapid.speed == pytest.approx(40.0 * KNOT)
    for found in (right, rapid):
        assert found.set_by == "common practice, no source"
        assert found.sources == ("exit-usual-speed",)
    assert source("exit-usual-speed").status == "common practice, no source"


@pytest.mark.parametrize(("degrees", "rapid"), [(5.0, True), (30.0, True), (45.0, True), (45.1, False), (90.0, False)])
def test_is_rapid__up_to_45_degrees(degrees: float, rapid: bool) -> None:
    """ICAO Annex 14: rapid exits leave at 25 to 45 degrees."""
    angle = math.radians(degrees)
    assert is_rapid(angle) is rapid
    assert usual_exit_speed(angle) == pytest.approx((40.0 if rapid else 10.0) * KNOT)


@pytest.mark.parametrize(("code", "factor"), [(6, 1.0), (5, 1.0), (4, 0.9091), (3, 0.8131), (2, 0.6428), (1, 0.5378)])
def test_allowed_exit_speed__a_given_speed_is_lowered_by_the_square_root_of_the_shares(
    code: int, factor: float
) -> None:
    """By hand: sqrt(0.10/0.121) = 0.9091, sqrt(0.08/0.121) = 0.8131, and so on; codes 6 and 5 leave it."""
    found = allowed_exit_speed(RAPID, code, given=20.0)
    assert found.speed == pytest.approx(20.0 * factor, abs=0.001)
    assert found.set_by == ("runway file" if code >= 5 else f"runway file lowered for code {code}")
    assert found.sources == (() if code >= 5 else ("exit-lateral-share",))
    usual = allowed_exit_speed(RIGHT, code)
    assert usual.speed == pytest.approx(10.0 * KNOT * factor, abs=0.001)
    assert usual.set_by.endswith(f" lowered for code {code}") is (code < 5)


def test_allowed_exit_speed__the_least_of_curve_file_and_ceiling() -> None:
    """By hand, code 6: 60 m gives sqrt(127.133 * 0.133 * 60) / 3.6 = 8.85 m/s."""
    curve = allowed_exit_speed(RIGHT, 6, radius=60.0, given=9.0, ceiling=10.0)
    assert curve == ExitSpeed(pytest.approx(8.85, abs=0.005), "curve of 60 m on code 6", ("taxiway-radius-speed",))  # type: ignore[arg-type]
    assert allowed_exit_speed(RIGHT, 6, radius=60.0, given=8.0, ceiling=10.0) == ExitSpeed(8.0, "runway file", ())
    ceiling = allowed_exit_speed(RIGHT, 6, radius=60.0, given=8.0, ceiling=7.5)
    assert ceiling == ExitSpeed(7.5, "the operator's ceiling", ())
    # With a radius alone the usual speed does not count; with nothing but a ceiling the usual speed does.
    assert allowed_exit_speed(RIGHT, 6, radius=60.0).speed > usual_exit_speed(RIGHT)
    assert allowed_exit_speed(RIGHT, 6, ceiling=20.0).speed == usual_exit_speed(RIGHT)


@given(
    angle=st.floats(math.radians(5.0), math.radians(175.0)),
    radius=st.none() | st.floats(5.0, 2_000.0),
    given_speed=st.none() | st.floats(0.5, 60.0),
    ceiling=st.none() | st.floats(0.5, 60.0),
)
def test_allowed_exit_speed__falls_with_the_code_and_keeps_every_bound(
    angle: float, radius: float | None, given_speed: float | None, ceiling: float | None
) -> None:
    speeds = [
        allowed_exit_speed(angle, code, radius=radius, given=given_speed, ceiling=ceiling).speed
        for code in (6, 5, 4, 3, 2, 1)
    ]
    assert all(worse <= better for better, worse in pairwise(speeds))
    for bound in (given_speed, ceiling):
        assert bound is None or speeds[0] <= bound


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"angle": math.radians(4.9)}, r"angle 0\.0855211 rad .*5 to 175 deg"),
        ({"angle": math.radians(175.1)}, "angle"),
        ({"given": 0.4}, r"given 0\.4 m/s"),
        ({"ceiling": 60.1}, r"ceiling 60\.1 m/s"),
        ({"radius": 4.0}, "radius 4 m"),
        ({"code": 0}, "code 0"),
    ],
)
def test_allowed_exit_speed__refuses_what_lies_outside(arguments: dict[str, float], message: str) -> None:
    whole = {"angle": RIGHT, "code": 5, "given": 5.0} | arguments
    with pytest.raises(ValueError, match=message):
        allowed_exit_speed(whole.pop("angle"), int(whole.pop("code")), **whole)


# -------------------------------------------------------------------------------------------- to the holding position


@pytest.mark.parametrize(
    ("degrees", "radius", "across", "path"),
    [
        (90.0, None, 90.0, 90.0),  # a corner: straight across
        (90.0, 40.0, 90.0, 40.0 * math.pi / 2.0 + 50.0),
        (30.0, None, 90.0, 180.0),  # 90 / sin 30
        (30.0, 550.0, 90.0, 550.0 * math.pi / 6.0 + (90.0 - 550.0 * (1.0 - math.cos(math.pi / 6.0))) / 0.5),
        (90.0, 120.0, 60.0, 120.0 * math.pi / 3.0),  # the arc alone: 120 (1 - cos 60) = 60
        (120.0, 30.0, 90.0, 30.0 * 2.0 * math.pi / 3.0 + 45.0 / math.sin(2.0 * math.pi / 3.0)),
        (90.0, None, None, 90.0),  # left out: 90 m
    ],
)
def test_path_to_holding_position__by_hand(
    degrees: float, radius: float | None, across: float | None, path: float
) -> None:
    """Plane geometry: arc R phi, ending R (1 - cos phi) from the centre line, then straight at the angle."""
    assert path_to_holding_position(math.radians(degrees), radius, across) == pytest.approx(path, rel=1e-12)


@given(
    angle=st.floats(math.radians(10.0), math.radians(170.0)),
    radius=st.floats(5.0, 2_000.0),
    across=st.floats(20.0, 499.0),
)
def test_path_to_holding_position__never_shorter_than_straight_across(
    angle: float, radius: float, across: float
) -> None:
    path = path_to_holding_position(angle, radius, across)
    assert path >= across * (1.0 - 1e-12)
    assert path_to_holding_position(angle, radius, across + 1e-6) == pytest.approx(path, rel=1e-3)


@pytest.mark.parametrize(
    ("angle", "radius", "across", "message"),
    [(0.01, 50.0, 90.0, "angle"), (RIGHT, 2_001.0, 90.0, "radius"), (RIGHT, 50.0, 19.0, "holding_distance 19 m")],
)
def test_path_to_holding_position__refuses_what_lies_outside(
    angle: float, radius: float, across: float, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        path_to_holding_position(angle, radius, across)


# ------------------------------------------------------------------------------------------------------- occupancy


@pytest.mark.parametrize(
    ("touchdown", "exit_speed", "printed"), [(130, 60, 43.7), (130, 15, 56.9), (140, 60, 47.0), (140, 15, 60.2)]
)
def test_planned_occupancy_time__results_of_the_book(touchdown: float, exit_speed: float, printed: float) -> None:
    """Horonjeff, equation 6-8, pp. 240-244, by hand with 6.5 kt lost in the flare; kt, and mph at the exit."""
    speed = touchdown * KNOT
    flare = exit_data()["occupancy"]["flare_speed_loss_knots"]["value"] * KNOT
    assert planned_occupancy_time(speed + flare, speed, exit_speed * MPH) == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize(("exit_speed", "least", "most"), [(60, 35.0, 45.0), (15, 45.0, 60.0)])
@pytest.mark.parametrize("touchdown", [115.0, 130.0])
def test_planned_occupancy_time__lies_in_the_stated_ranges(
    touchdown: float, exit_speed: float, least: float, most: float
) -> None:
    """Horonjeff, p. 244: 35 to 45 s at 60 mph exits, 45 to 60 s at 15 mph exits (air carrier)."""
    speed = touchdown * KNOT
    assert least <= planned_occupancy_time(speed + 6.5 * KNOT, speed, exit_speed * MPH) <= most


def test_planned_occupancy_time__refuses_rising_speeds_and_what_lies_outside() -> None:
    with pytest.raises(ValueError, match=r"must not rise: threshold 60\.0, touchdown 61\.0, exit 10\.0 m/s"):
        planned_occupancy_time(60.0, 61.0, 10.0)
    with pytest.raises(ValueError, match="must not rise"):
        planned_occupancy_time(60.0, 50.0, 51.0)
    with pytest.raises(ValueError, match="threshold_speed 111 m/s"):
        planned_occupancy_time(111.0, 60.0, 10.0)
    assert planned_occupancy_time(0.0, 0.0, 0.0) == pytest.approx(13.0)  # 3 s and 10 s are left


# -------------------------------------------------------------------------------------------------------- exit use


def _rows() -> list[list[float]]:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    return [[float(word) for word in line.split()] for line in lines if not line.startswith("#")]


@pytest.mark.parametrize("number", range(12))
def test_exit_use_share__whole_table_6_25(number: int) -> None:
    """Horonjeff, table 6-25, credited to the FAA; every printed cell."""
    surface, aeroplane_class = COLUMNS[number]
    rows = _rows()
    assert len(rows) == 10
    for row in rows:
        assert exit_use_share(row[0] * FOOT, aeroplane_class, surface) == pytest.approx(row[1 + number] / 100.0)


def test_exit_use_share__linear_between_the_printed_distances() -> None:
    """By hand between 4000 ft (26 %) and 5000 ft (76 %): 51 %; a quarter of the way 38.5 %."""
    assert exit_use_share(4_500.0 * FOOT, "C", "dry-rapid") == pytest.approx(0.51)
    assert exit_use_share(4_250.0 * FOOT, "C", "dry-rapid") == pytest.approx(0.385)


@pytest.mark.parametrize(
    ("distance", "aeroplane_class", "surface", "message"),
    [
        (-1.0, "C", "wet", r"distance -1 m .*0 to 9000 ft"),
        (2_744.0, "C", "wet", r"distance 2744 m"),
        (1_000.0, "E", "wet", 'no column "wet", class "E"'),
        (1_000.0, "C", "dry", 'no column "dry", class "C"'),
    ],
)
def test_exit_use_share__refuses_what_the_table_lacks(
    distance: float, aeroplane_class: str, surface: str, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        exit_use_share(distance, aeroplane_class, surface)
