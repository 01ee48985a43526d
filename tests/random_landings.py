"""Random landings across all demo aeroplanes and conditions, for the accuracy comparison and the benchmark."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np

from groundroll.physics.rollout import BrakeStage, Control, Roll, Trigger
from groundroll.planning.landing_roll import LandingConditions, brakes_of, landing_roll, reverses_of
from groundroll.scenario.model import Aircraft
from groundroll.scenario.read import read_aircraft
from groundroll.scenario.resolved import SurfaceThird

AIRCRAFT = Path(__file__).parents[1] / "examples" / "aircraft"
SURFACES = {
    6: ["DRY"],
    5: ["WET", "FROST", "SLUSH"],
    4: ["COMPACTED SNOW"],
    3: ["SLIPPERY WET", "DRY SNOW", "WET SNOW"],
    2: ["STANDING WATER", "SLUSH"],
    1: ["ICE"],
}
LOOSE = ("STANDING WATER", "SLUSH", "DRY SNOW", "WET SNOW")


def aircraft_files() -> list[Aircraft]:
    """Return all demo aeroplanes."""
    return [read_aircraft(path) for path in sorted(AIRCRAFT.glob("*.toml"))]


def _third(random: np.random.Generator) -> SurfaceThird:
    code = int(random.integers(1, 7))
    descriptor = str(random.choice(SURFACES[code]))
    depth = float(random.uniform(0.004, 0.02)) if descriptor in LOOSE and code != 5 else None
    return SurfaceThird(code=code, descriptor=descriptor, depth=depth, coverage=1.0)


def random_rolls(count: int, seed: int) -> list[Roll]:
    """Return ``count`` random landing rolls that stop; the same for the same seed."""
    random = np.random.default_rng(seed)
    fleet = aircraft_files()
    rolls: list[Roll] = []
    while len(rolls) < count:
        aircraft = fleet[int(random.integers(len(fleet)))]
        flap = str(random.choice(list(aircraft.flaps)))
        mass = float(random.uniform(aircraft.mass.minimum, aircraft.mass.maximum_landing))
        data = aircraft.flaps[flap]
        reference = data.reference_speed * math.sqrt(mass / data.reference_mass)
        one_surface = random.uniform() < 0.5
        first = _third(random)
        thirds = (first, first, first) if one_surface else (first, _third(random), _third(random))
        length = float(random.uniform(1_500.0, 3_600.0))
        conditions = LandingConditions(
            mass=mass,
            flap=flap,
            approach_speed=reference + float(random.uniform(0.0, 8.0)),
            pressure=float(random.uniform(85_000.0, 103_500.0)),
            temperature=float(random.uniform(250.0, 313.0)),
            headwind=float(random.uniform(-6.0, 15.0)),
            slope=float(random.uniform(-0.015, 0.015)),
            runway_length=length,
            displaced_threshold=float(random.choice([0.0, 150.0, 300.0])),
            landing_distance_available=length,
            surface=str(random.choice(["smooth", "grooved", "porous-friction-course"])),  # type: ignore[arg-type]
            thirds=thirds,
            touchdown_distance=float(random.uniform(250.0, 900.0)) if random.uniform() < 0.5 else None,
            pedal=float(random.choice([1.0, random.uniform(0.2, 0.95)])),
            reversers_inoperative=int(random.choice([0, 0, 1])),
            brakes_released=int(random.choice([0, 0, 0, 1])),
            anti_skid_operative=bool(random.uniform() < 0.9),
            spoilers_share=float(random.choice([1.0, 1.0, 0.5, 0.0])),
        )
        brake = str(random.choice(brakes_of(aircraft, conditions)))
        reverse = random.choice(reverses_of(aircraft, conditions))
        roll = landing_roll(aircraft, conditions, brake, reverse)
        if random.uniform() < 0.2:  # pedals over the automatic brakes, or a release, somewhere on the way
            share = float(random.uniform(0.2, 1.0))
            further = (
                BrakeStage(Trigger.SPEED_BELOW, float(random.uniform(15.0, 50.0)), Control.PEDAL, share, 0.8)
                if random.uniform() < 0.5
                else BrakeStage(Trigger.DISTANCE, float(random.uniform(700.0, 1_800.0)), Control.PEDAL, share, 0.8)
            )
            roll = replace(roll, brake_program=(*roll.brake_program, further))
        if min(third.braking.cap for third in roll.thirds) <= 0.09 and roll.slope < -0.005:
            continue  # ice downhill with idle thrust may never stop: not a case for comparing stops
        rolls.append(replace(roll, limit_distance=50_000.0))
    return rolls
