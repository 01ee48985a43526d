"""What a crew sees of the runway: aiming point, touchdown zone, signs of the distance remaining."""

from __future__ import annotations

from groundroll.constants import FOOT
from groundroll.physics.arguments import check_range
from groundroll.physics.exits import exit_data

_SIGN_SPACING = 1_000.0 * FOOT


def aiming_point_distance(landing_distance_available: float) -> float:
    """Return the distance from the threshold to the start of the aiming point marking.

    Parameters
    ----------
    landing_distance_available : scalar
        300 to 7000 m. [m]

    Raises
    ------
    ValueError
        If the distance lies outside its range.

    Notes
    -----
    With a visual slope indicator the marking stands where its slope begins, which may be further in: take the real
    position where it is known.

    References
    ----------
    .. [1] EASA CS ADR-DSN.L.540, table L-1.
    """
    check_range("landing_distance_available", landing_distance_available, 300.0, 7_000.0, "m")
    table = exit_data()["aiming_point"]
    row = sum(landing_distance_available >= limit for limit in table["landing_distance_m"])
    return float(table["distance_m"][row])


def touchdown_zone_length(landing_distance_available: float) -> float:
    """Return the length of the touchdown zone: the first 3000 ft or the first third, whichever is less.

    Parameters
    ----------
    landing_distance_available : scalar
        300 to 7000 m. [m]

    Raises
    ------
    ValueError
        If the distance lies outside its range.
    """
    check_range("landing_distance_available", landing_distance_available, 300.0, 7_000.0, "m")
    zone = exit_data()["touchdown_zone"]
    longest = zone["greatest_length_ft"]["value"] * FOOT
    return float(min(longest, zone["share_of_runway"]["value"] * landing_distance_available))


def distance_sign_places(landing_distance_available: float) -> list[tuple[int, float]]:
    """Return the signs of the distance remaining: thousands of feet shown, and distance from the threshold.

    Parameters
    ----------
    landing_distance_available : scalar
        300 to 7000 m. [m]

    Raises
    ------
    ValueError
        If the distance lies outside its range.

    References
    ----------
    .. [1] FAA AIM 2-3-13: thousands of feet left, the last sign at least 950 ft from the end.
    """
    check_range("landing_distance_available", landing_distance_available, 300.0, 7_000.0, "m")
    count = int(landing_distance_available / _SIGN_SPACING + 1e-9)
    return [(number, landing_distance_available - number * _SIGN_SPACING) for number in range(count, 0, -1)]
