"""The roll run backwards: from a measured deceleration to the force and the coefficient achieved."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from groundroll.constants import GRAVITY
from groundroll.kernels.achieved import achieved_forces
from groundroll.physics.arguments import FloatArray, check_range
from groundroll.physics.rollout import MAXIMUM_GROUND_SPEED, Roll


@dataclass(frozen=True)
class AchievedBraking:
    """Forces along the runway and what the wheel brakes achieved, moment by moment."""

    aerodynamic_drag: FloatArray
    thrust: FloatArray
    """Forward positive. [N]"""
    rolling_resistance: FloatArray
    contaminant_drag: FloatArray
    slope_force: float
    """Upslope positive. [N]"""
    brake_force: FloatArray
    """What is left for the wheel brakes; slightly negative values are errors of measurement. [N]"""
    load: FloatArray
    """On all wheels. [N]"""
    braked_load: FloatArray
    """On the wheels with a working brake. [N]"""

    def part(self, count: int) -> AchievedBraking:
        """Return the first ``count`` moments."""
        return AchievedBraking(
            aerodynamic_drag=self.aerodynamic_drag[:count],
            thrust=self.thrust[:count],
            rolling_resistance=self.rolling_resistance[:count],
            contaminant_drag=self.contaminant_drag[:count],
            slope_force=self.slope_force,
            brake_force=self.brake_force[:count],
            load=self.load[:count],
            braked_load=self.braked_load[:count],
        )

    @property
    def aeroplane_braking_coefficient(self) -> FloatArray:
        """Return braking force over the load on all wheels. [-]"""
        return self.brake_force / np.maximum(self.load, 1.0)

    @property
    def braking_coefficient(self) -> FloatArray:
        """Return braking force over the load on the braked wheels: that of the runway, where it ruled. [-]"""
        return self.brake_force / np.maximum(self.braked_load, 1.0)


def achieved_braking(
    roll: Roll,
    distance: FloatArray,
    ground_speed: FloatArray,
    deceleration: FloatArray,
    spoilers: FloatArray,
    nose: FloatArray,
    engines: FloatArray,
) -> AchievedBraking:
    """Return the forces of a recorded roll.

    The equation of the roll [1]_ solved for the wheel brakes: F = m a - D + T - R - C - W sin(slope).

    Parameters
    ----------
    roll
        Aeroplane, air and runway; its programs and its start are not used.
    distance : shape (n,)
        From the threshold. [m]
    ground_speed : shape (n,)
        0 to 200 kt. [m/s]
    deceleration : shape (n,)
        Along the runway, positive when slowing down. [m/s2]
    spoilers : shape (n,)
        Share deployed, 0 to 1. [-]
    nose : shape (n,)
        Share of the lowering of the nose that is done, 0 to 1. [-]
    engines : shape (n, 4)
        How many engines run at forward idle, reverse idle, full reverse and take-off thrust. [-]

    Returns
    -------
    AchievedBraking

    Raises
    ------
    ValueError
        If a speed or a share lies outside its range.

    References
    ----------
    .. [1] `groundroll.kernels.forces`; definitions of the two coefficients follow the usage of FAA AC 25-32 and ASTM
       E3188 (second-hand).
    """
    check_range("ground_speed", ground_speed, 0.0, MAXIMUM_GROUND_SPEED, "m/s", hint="0 to 200 kt")
    check_range("spoilers", spoilers, 0.0, 1.0, "")
    check_range("nose", nose, 0.0, 1.0, "")
    speed = np.ascontiguousarray(ground_speed, dtype=np.float64)
    airspeed = speed + roll.headwind
    tables = roll.thrust_tables
    nodes = np.asarray(tables.true_airspeed)
    thrust = np.zeros(speed.size)
    for number, (values, sign) in enumerate(
        ((tables.idle, 1.0), (tables.reverse_idle, -1.0), (tables.reverse_full, -1.0), (tables.take_off, 1.0))
    ):
        thrust += engines[:, number] * sign * np.interp(airspeed, nodes, np.asarray(values, dtype=np.float64))
    thrust *= roll.density_ratio
    deployed = np.asarray(spoilers, dtype=np.float64) * roll.spoilers_share
    up = 1.0 - np.asarray(nose, dtype=np.float64)
    lift = roll.lift_coefficient_stowed + deployed * (roll.lift_coefficient_deployed - roll.lift_coefficient_stowed)
    drag = roll.drag_coefficient_stowed + deployed * (roll.drag_coefficient_deployed - roll.drag_coefficient_stowed)
    third = np.searchsorted(np.asarray(roll.third_ends), distance, side="right")
    factors = np.array(
        [[one.drag_factor_main, one.drag_factor_nose, min(one.hydroplaning_speed, 1e9)] for one in roll.thirds]
    )[third]
    slope_angle = math.atan(roll.slope)
    weight = roll.mass * GRAVITY
    result = np.zeros((6, speed.size))
    achieved_forces(
        speed,
        np.ascontiguousarray(deceleration, dtype=np.float64),
        lift + up * roll.nose_up_lift_increment,
        drag + up * roll.nose_up_drag_increment,
        np.ascontiguousarray(nose, dtype=np.float64),
        thrust,
        np.ascontiguousarray(factors[:, 0]),
        np.ascontiguousarray(factors[:, 1]),
        np.ascontiguousarray(factors[:, 2]),
        roll.mass,
        weight * math.cos(slope_angle),
        weight * math.sin(slope_angle),
        roll.density,
        roll.headwind,
        roll.wing_area,
        roll.nose_share,
        roll.height_ratio,
        roll.braked_share,
        roll.rolling_resistance,
        int(roll.fall_off_exponent),
        result,
    )
    return AchievedBraking(
        aerodynamic_drag=result[0],
        thrust=thrust,
        rolling_resistance=result[1],
        contaminant_drag=result[2],
        slope_force=weight * math.sin(slope_angle),
        brake_force=result[3],
        load=result[4],
        braked_load=result[5],
    )
