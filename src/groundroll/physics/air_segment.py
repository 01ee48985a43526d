"""From the runway threshold to touchdown."""

from __future__ import annotations

from dataclasses import dataclass

from groundroll.physics.arguments import check_range
from groundroll.units import knots_from_metres_per_second, metres_from_feet, metres_per_second_from_knots

_LEAST_SPEED = metres_per_second_from_knots(40.0)
_GREATEST_SPEED = metres_per_second_from_knots(220.0)


@dataclass(frozen=True)
class AirSegment:
    """The part of the landing between threshold and touchdown."""

    distance: float
    """Threshold to touchdown of the main wheels. [m]"""
    time: float
    """[s]"""
    touchdown_ground_speed: float
    """[m/s]"""


def _check_speed(ground_speed_at_threshold: float) -> None:
    check_range(
        "ground_speed_at_threshold",
        ground_speed_at_threshold,
        _LEAST_SPEED,
        _GREATEST_SPEED,
        "m/s",
        hint="40 to 220 kt",
    )


def air_distance_by_time(
    ground_speed_at_threshold: float, time: float = 7.0, speed_loss_share: float = 0.04
) -> AirSegment:
    """Return the air segment by the published time and loss of speed.

    Parameters
    ----------
    ground_speed_at_threshold : scalar
        40 to 220 kt. [m/s]
    time : scalar
        Threshold to touchdown, 2 to 20 s. [s]
    speed_loss_share : scalar
        Share of the threshold speed lost until touchdown, 0 to 0.2. [-]

    Returns
    -------
    AirSegment
        Distance = time at the mean of both speeds.

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    References
    ----------
    .. [1] FAA AC 25-32 and AMC 25.1592: 7 s, touchdown at 96 % of the threshold speed (from memory).
    """
    _check_speed(ground_speed_at_threshold)
    check_range("time", time, 2.0, 20.0, "s")
    check_range("speed_loss_share", speed_loss_share, 0.0, 0.2, "")
    touchdown_ground_speed = ground_speed_at_threshold * (1.0 - speed_loss_share)
    mean_speed = 0.5 * (ground_speed_at_threshold + touchdown_ground_speed)
    return AirSegment(time * mean_speed, time, touchdown_ground_speed)


def air_segment_to(
    touchdown_distance: float, ground_speed_at_threshold: float, speed_loss_share: float = 0.04
) -> AirSegment:
    """Return the air segment that ends at a given point.

    Parameters
    ----------
    touchdown_distance : scalar
        Threshold to touchdown of the main wheels, 1 to 3000 m. [m]
    ground_speed_at_threshold : scalar
        40 to 220 kt. [m/s]
    speed_loss_share : scalar
        Share of the threshold speed lost until touchdown, 0 to 0.2. [-]

    Returns
    -------
    AirSegment
        Time = distance over the mean of both speeds.

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The speed falls evenly. The share lost does not grow with the distance by itself: give a larger one for a long
    float.
    """
    _check_speed(ground_speed_at_threshold)
    check_range("touchdown_distance", touchdown_distance, 1.0, 3_000.0, "m")
    check_range("speed_loss_share", speed_loss_share, 0.0, 0.2, "")
    touchdown_ground_speed = ground_speed_at_threshold * (1.0 - speed_loss_share)
    mean_speed = 0.5 * (ground_speed_at_threshold + touchdown_ground_speed)
    return AirSegment(touchdown_distance, touchdown_distance / mean_speed, touchdown_ground_speed)


def air_distance_by_speed(true_airspeed_at_threshold: float, headwind: float = 0.0) -> AirSegment:
    """Return the air segment by the published function of the reference speed.

    Parameters
    ----------
    true_airspeed_at_threshold : scalar
        Reference speed, 80 to 200 kt. [m/s]
    headwind : scalar
        Positive from ahead, magnitude up to 25 m/s. [m/s]

    Returns
    -------
    AirSegment
        In still air S = 1.55 (V - 80)^1.35 + 1000, feet and knots before conversion; touchdown 3 kt slower.

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The published form is for still air. With wind the time of the segment stays and the ground passes at the mean
    airspeed less the headwind.

    References
    ----------
    .. [1] FAA AC 25-7D, parametric air distance (from memory).
    """
    check_range(
        "true_airspeed_at_threshold",
        true_airspeed_at_threshold,
        metres_per_second_from_knots(80.0),
        metres_per_second_from_knots(200.0),
        "m/s",
        hint="80 to 200 kt",
    )
    check_range("headwind", headwind, -25.0, 25.0, "m/s")
    speed_in_knots = max(knots_from_metres_per_second(true_airspeed_at_threshold), 80.0)
    still_air_distance = metres_from_feet(1.55 * (speed_in_knots - 80.0) ** 1.35 + 1_000.0)
    touchdown_airspeed = true_airspeed_at_threshold - metres_per_second_from_knots(3.0)
    time = still_air_distance / (0.5 * (true_airspeed_at_threshold + touchdown_airspeed))
    return AirSegment(still_air_distance - headwind * time, time, touchdown_airspeed - headwind)
