"""Cases of the small physics: atmosphere, braking, hydroplaning, energy, wind, landing distance rules."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from functools import partial
from typing import Final

from groundroll.constants import FOOT, GRAVITY, KNOT, POUND, PSI
from groundroll.physics.atmosphere import density, density_ratio, standard_pressure, standard_temperature
from groundroll.physics.brake_heat import kinetic_energy_per_brake
from groundroll.physics.braking import (
    AntiSkid,
    braking_table,
    curve_for_code,
    maximum_wet_braking_coefficient,
    wet_braking_coefficient,
)
from groundroll.physics.hydroplaning import hydroplaning_speed, spin_up_hydroplaning_speed
from groundroll.physics.landing_factors import (
    FactorKind,
    distance_with_arrival_margin,
    factored_distance,
    required_landing_distance,
)
from groundroll.physics.wind import factored_headwind
from tests.validation.case import ValidationCase

FOOT_POUND: Final = FOOT * POUND * GRAVITY
"""One foot times one pound-force. [J]"""

# ---- standard atmosphere --------------------------------------------------------------------------------------------

# ft, K, Pa, kg/m3, density ratio, square root of its inverse. Computed by others from the constants of ICAO Doc 7488,
# which are from memory.
STANDARD_ATMOSPHERE: Final = """
0      288.15  101325.0  1.22500  1.00000  1.0000
1000   286.17   97716.6  1.18955  0.97106  1.0148
2000   284.19   94212.9  1.15490  0.94277  1.0299
4000   280.23   87510.5  1.08791  0.88809  1.0611
6000   276.26   81199.6  1.02393  0.83586  1.0938
8000   272.30   75262.4  0.96287  0.78602  1.1279
10000  268.34   69681.6  0.90464  0.73848  1.1637
"""


def _standard_density(altitude: float) -> float:
    return density(standard_pressure(altitude), standard_temperature(altitude))


def _standard_density_ratio(altitude: float) -> float:
    return density_ratio(standard_pressure(altitude), standard_temperature(altitude))


def _speed_ratio(altitude: float) -> float:
    return math.sqrt(1.0 / _standard_density_ratio(altitude))


_COLUMNS: Final[tuple[tuple[str, str, int, Callable[[float], float]], ...]] = (
    ("temperature", "K", 2, standard_temperature),
    ("pressure", "Pa", 1, standard_pressure),
    ("density", "kg/m³", 5, _standard_density),
    ("density ratio", "", 5, _standard_density_ratio),
    ("true over equivalent airspeed", "", 4, _speed_ratio),
)

ATMOSPHERE: Final = [
    ValidationCase(
        key=f"Standard atmosphere/{feet} ft, {quantity}",
        source="ICAO Doc 7488, constants",
        case=f"{quantity} at {feet} ft",
        published=float(value),
        unit=unit,
        tolerance=0.5 * 10.0**-decimals,
        status="from memory",
        compute=partial(function, float(feet) * FOOT),
        decimals=decimals,
    )
    for feet, *values in (line.split() for line in STANDARD_ATMOSPHERE.strip().splitlines())
    for (quantity, unit, decimals, function), value in zip(_COLUMNS, values, strict=True)
]

# ---- wet braking ----------------------------------------------------------------------------------------------------


def _efficiency(anti_skid: AntiSkid) -> float:
    pressure = 200.0 * PSI
    return float(
        wet_braking_coefficient(100.0 * KNOT, pressure, anti_skid)
        / maximum_wet_braking_coefficient(100.0 * KNOT, pressure)
    )


def _grooved_share_of_dry() -> float:
    table = dataclasses.replace(braking_table(), grooved_rule="share-of-dry")
    curve = curve_for_code(
        5,
        tyre_pressure=200.0 * PSI,
        anti_skid=AntiSkid.FULLY_MODULATING,
        certified_dry_coefficient=0.40,
        surface_treatment="grooved",
        dry_share=1.0,
        table=table,
    )
    return float(curve.coefficient(100.0 * KNOT)) / 0.40


WET_BRAKING: Final = [
    *(
        ValidationCase(
            key=f"Wet braking/{name}",
            source="14 CFR 25.109(c)(2), table of efficiency values",
            case=f"{name} anti-skid: wet coefficient over the maximum one",
            published=published,
            unit="",
            tolerance=0.005,
            status="confirmed",
            compute=partial(_efficiency, kind),
            decimals=2,
        )
        for name, kind, published in (
            ("on-off", AntiSkid.ON_OFF, 0.30),
            ("quasi-modulating", AntiSkid.QUASI_MODULATING, 0.50),
            ("fully modulating", AntiSkid.FULLY_MODULATING, 0.80),
        )
    ),
    ValidationCase(
        key="Wet braking/grooved",
        source="14 CFR 25.109(d)(1)",
        case="grooved or porous friction course: share of the dry coefficient",
        published=70.0,
        unit="%",
        tolerance=0.5,
        status="confirmed",
        compute=lambda: 100.0 * _grooved_share_of_dry(),
    ),
]

# ---- hydroplaning ---------------------------------------------------------------------------------------------------

HYDROPLANING: Final = [
    *(
        ValidationCase(
            key=f"Hydroplaning/{psi} psi",
            source="list of hydroplaning speeds in an article for pilots, after NASA",
            case=f"rolling tyre at {psi} psi",
            published=float(knots),
            unit="kt",
            tolerance=0.5,
            status="second-hand",
            compute=partial(lambda pressure: hydroplaning_speed(pressure) / KNOT, psi * PSI),
        )
        for psi, knots in ((100, 90), (150, 110), (200, 127))
    ),
    ValidationCase(
        key="Hydroplaning/100 psi, not rotating",
        source="NASA TM-85652, 7.7 √p",
        case="tyre that does not rotate yet, at 100 psi",
        published=77.0,
        unit="kt",
        tolerance=0.05,
        status="second-hand",
        compute=lambda: spin_up_hydroplaning_speed(100.0 * PSI) / KNOT,
        decimals=1,
    ),
]

# ---- brake energy ---------------------------------------------------------------------------------------------------

BRAKE_ENERGY: Final = [
    ValidationCase(
        key="Brake energy/constant",
        source="14 CFR 23.735(a)(2), edition before 2017",
        case="kinetic energy of 1 lb at 1 kt on one brake",
        published=0.0443,
        unit="ft·lbf",
        tolerance=0.00005,
        status="confirmed",
        compute=lambda: kinetic_energy_per_brake(POUND, KNOT, 1) / FOOT_POUND,
        decimals=4,
    ),
    ValidationCase(
        key="Brake energy/constant, SI",
        source="arithmetic: ½ (1852/3600)²",
        case="kinetic energy of 1 kg at 1 kt on one brake",
        published=0.13233,
        unit="J",
        tolerance=0.000005,
        status="derived",
        compute=lambda: kinetic_energy_per_brake(1.0, KNOT, 1),
        decimals=5,
    ),
    ValidationCase(
        key="Brake energy/example",
        source="14 CFR 23.735(a)(2), with the rounded constant 0.0443",
        case="150 000 lb at 140 kt on 8 brakes; the rounding of the constant allows 0.011",
        published=16.28,
        unit="million ft·lbf",
        tolerance=0.016,
        status="derived",
        compute=lambda: kinetic_energy_per_brake(150_000.0 * POUND, 140.0 * KNOT, 8) / FOOT_POUND / 1e6,
        decimals=2,
    ),
    ValidationCase(
        key="Brake energy/10 % heavier",
        source="FAA Airplane Flying Handbook, rejected take-off",
        case="energy with 10 % more mass over the energy without",
        published=1.10,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: kinetic_energy_per_brake(6.6e4, 70.0, 4) / kinetic_energy_per_brake(6e4, 70.0, 4),
        decimals=2,
    ),
    ValidationCase(
        key="Brake energy/10 % faster",
        source="FAA Airplane Flying Handbook, rejected take-off",
        case="energy with 10 % more speed over the energy without",
        published=1.21,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: kinetic_energy_per_brake(6e4, 77.0, 4) / kinetic_energy_per_brake(6e4, 70.0, 4),
        decimals=2,
    ),
]

# ---- wind -----------------------------------------------------------------------------------------------------------

WIND: Final = [
    ValidationCase(
        key=f"Wind/{word}",
        source="14 CFR 25.105(d); CAT.POL.A.330(c)(2)",
        case=f"share of a 10 kt {word} to plan with",
        published=published,
        unit="%",
        tolerance=0.5,
        status="confirmed",
        compute=partial(lambda knots: 100.0 * factored_headwind(knots * KNOT) / (knots * KNOT), knots),
    )
    for word, knots, published in (("headwind", 10.0, 50.0), ("tailwind", -10.0, 150.0))
]

# ---- landing distance rules -----------------------------------------------------------------------------------------

_FACTOR_TABLE: Final[tuple[tuple[FactorKind, str, tuple[float, ...]], ...]] = (
    ("turbojet-without-reverse", "turbojet, no reverse", (1.67, 2.6, 2.8, 3.2, 4.0, 5.1)),
    ("turbojet-with-reverse", "turbojet, with reverse", (1.67, 2.2, 2.3, 2.5, 2.9, 3.4)),
    ("turboprop", "turboprop", (1.67, 2.0, 2.2, 2.4, 2.7, 2.9)),
)

LANDING_FACTORS: Final = [
    *(
        ValidationCase(
            key=f"Landing distance factors/{words}, code {code}",
            source="FAA landing distance factors, reference card of 2018",
            case=f"{words}, code {code}: 1000 m unfactored dry",
            published=1_000.0 * factor,
            unit="m",
            tolerance=0.5,
            status="second-hand",
            compute=partial(lambda code, kind: factored_distance(1_000.0, code, kind).distance, code, kind),
        )
        for kind, words, factors in _FACTOR_TABLE
        for code, factor in zip((6, 5, 4, 3, 2, 1), factors, strict=True)
    ),
    ValidationCase(
        key="Landing distance factors/grooved",
        source="FAA landing distance factors, reference card of 2018",
        case="turbojet, code 5 on a grooved runway: 1000 m unfactored dry",
        published=1_920.0,
        unit="m",
        tolerance=0.5,
        status="second-hand",
        compute=lambda: factored_distance(1_000.0, 5, "turbojet-without-reverse", grooved=True).distance,
    ),
]

LANDING_RULES: Final = [
    ValidationCase(
        key="Landing distance rules/60 %",
        source="14 CFR 121.195(b)",
        case="full stop within 60 % of the runway: 1000 m unfactored dry; worked: 1000 / 0.60",
        published=1_667.0,
        unit="m",
        tolerance=0.5,
        status="derived",
        compute=lambda: required_landing_distance(1_000.0, "turbojet").distance,
    ),
    ValidationCase(
        key="Landing distance rules/turbojet dry",
        source="GM2 CAT.POL.A.230; Flight Safety Foundation, ALAR Briefing Note 8.3",
        case="turbojet, dry: factor",
        published=1.67,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: required_landing_distance(1_000.0, "turbojet").factor,
        decimals=2,
    ),
    ValidationCase(
        key="Landing distance rules/turbojet wet",
        source="Flight Safety Foundation, ALAR Briefing Note 8.3",
        case="turbojet, wet: factor",
        published=1.92,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: required_landing_distance(1_000.0, "turbojet", wet=True).factor,
        decimals=2,
    ),
    ValidationCase(
        key="Landing distance rules/turboprop dry",
        source="GM2 CAT.POL.A.230",
        case="turboprop, dry: factor",
        published=1.43,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: required_landing_distance(1_000.0, "turboprop").factor,
        decimals=2,
    ),
    ValidationCase(
        key="Landing distance rules/reduced",
        source="GM2 CAT.POL.A.230",
        case="approved reduced required landing distance: factor",
        published=1.25,
        unit="",
        tolerance=0.005,
        status="confirmed",
        compute=lambda: required_landing_distance(1_000.0, "turbojet", reduced=True).factor,
        decimals=2,
    ),
    ValidationCase(
        key="Landing distance rules/arrival margin",
        source="CAT.OP.MPA.303(a)",
        case="landing distance available over the distance at time of arrival",
        published=115.0,
        unit="%",
        tolerance=0.5,
        status="confirmed",
        compute=lambda: 100.0 * distance_with_arrival_margin(1_000.0).factor,
    ),
]

PHYSICS_CASES: Final = [
    *ATMOSPHERE,
    *WIND,
    *WET_BRAKING,
    *HYDROPLANING,
    *BRAKE_ENERGY,
    *LANDING_FACTORS,
    *LANDING_RULES,
]
