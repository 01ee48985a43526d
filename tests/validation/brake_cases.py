"""Cases of brake heat over time: materials, radiation, cooling formulas, times of the rule."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

from groundroll.physics.brake_cooling import (
    BrakeHeatModel,
    BrakeTemperatures,
    CoolingPhase,
    brake_temperatures,
    cooling_rate_from_readings,
    radiated_power,
    time_to_temperature,
)
from groundroll.physics.brake_heat import HeatSinkMaterial, heat_content, specific_heat
from groundroll.physics.brake_limits import NO_HAZARD_TIME, PARKING_BRAKE_TIME
from tests.validation.case import ValidationCase

ZERO: Final = 273.15

# degC; carbon J/(kg K) and kJ/kg from 20 degC; steel the same. Computed by others from formulas that are from memory.
HEAT: Final = """
20 693 0 440 0
100 919 65 488 37
200 1162 169 530 88
300 1348 295 565 143
400 1488 437 606 201
500 1595 592 666 265
600 1678 756 760 336
800 1797 1104 803 562
1000 1876 1472 650 697
1200 1933 1853 650 827
1500 1991 2442 - -
2000 2049 3454 - -
"""


def _specific_heat(celsius: float, material: HeatSinkMaterial) -> float:
    return float(specific_heat(celsius + ZERO, material))


def _heat_content(celsius: float, material: HeatSinkMaterial) -> float:
    return float(heat_content(celsius + ZERO, material)) / 1e3


_FORMULA: Final[dict[HeatSinkMaterial, str]] = {
    "carbon": "Butland and Maddison, J. Nucl. Mater. 49 (1973/74) 45",
    "steel": "EN 1993-1-2, 3.4.1.2",
}


def _material_cases() -> list[ValidationCase]:
    found = []
    for line in HEAT.strip().splitlines():
        celsius, *values = line.split()
        for place, value in enumerate(values):
            if value == "-":
                continue
            material: HeatSinkMaterial = "carbon" if place < 2 else "steel"
            content = place % 2 == 1
            found.append(
                ValidationCase(
                    key=f"Heat of the heat sink/{material}, {celsius} degC, {'content' if content else 'specific'}",
                    source=f"{_FORMULA[material]}, worked by others",
                    case=f"{material}: {'heat content from 20 °C' if content else 'specific heat'} at {celsius} °C",
                    published=float(value),
                    unit="kJ/kg" if content else "J/(kg K)",
                    tolerance=0.5,
                    status="from memory",
                    compute=partial(_heat_content if content else _specific_heat, float(celsius), material),
                )
            )
    return found


_INSULATED: Final = BrakeHeatModel("carbon", 64.0, 50e3, 0.0, 0.6, 1.0, 0.0, 0.0, 0.0, 0.0, 90.0, 1.0)


def _landing_temperature(heat: float) -> float:
    """Return the peak of an insulated heat sink of the model after a landing of 20 s. [degC]"""
    start = BrakeTemperatures(20.0 + ZERO, 20.0 + ZERO, 20.0 + ZERO)
    phase = CoolingPhase(20.0, 20.0 + ZERO, power=64.0 * heat / 20.0)
    return brake_temperatures(_INSULATED, start, [phase]).peak("heat_sink").temperature - ZERO


def _two_node_peak() -> float:
    """Return when the wheel of a linear pair is hottest: steel below 20 degC, no radiation. [s]"""
    model = BrakeHeatModel("steel", 46.0, 26e3, 14.0, 0.5, 0.6, 0.0, 9.0, 0.0, 0.0, 90.0, 1.0)
    start = BrakeTemperatures(290.0, 218.15, 218.15)
    return brake_temperatures(model, start, [CoolingPhase(20_000.0, 218.15)], history_step=20.0).peak("wheel").time


# By hand for the pair above: C1 = 46 * 439.80 J/K, C2 = 26 kJ/K, k = 14 W/K, h A = 4.5 and 5.4 W/K; the decay rates are
# the roots of l^2 - l (a + d) + a d - b c with a = 18.5/C1, d = 19.4/C2, b = 14/C1, c = 14/C2.
def _two_node_peak_by_hand() -> float:
    first = 46.0 * (425.0 + 20.0 * (0.773 + 20.0 * (-1.69e-3 + 20.0 * 2.22e-6)))
    a, d, b, c = 18.5 / first, 19.4 / 26e3, 14.0 / first, 14.0 / 26e3
    root = math.sqrt((a - d) ** 2 + 4.0 * b * c)
    fast, slow = 0.5 * (a + d + root), 0.5 * (a + d - root)
    return math.log(fast / slow) / (fast - slow)


BRAKE_CASES: Final = [
    *_material_cases(),
    ValidationCase(
        key="Brake cooling/radiation",
        source="Stefan-Boltzmann law, 5.670e-8 W/(m² K⁴)",
        case="0.5 m² black surface at 773 K",
        published=10.1,
        unit="kW",
        tolerance=0.05,
        status="derived",
        compute=lambda: float(radiated_power(773.0, 0.5, 1.0)) / 1e3,
        decimals=1,
    ),
    *(
        ValidationCase(
            key=f"Brake cooling/landing at {heat} kJ/kg",
            source="ASME Summer Heat Transfer Conference, HT2003, p. 847, landing temperatures",
            case=f"carbon heat sink with {heat} kJ/kg from 20 °C; the heat is worked by others, to 5 kJ/kg",
            published=celsius,
            unit="°C",
            tolerance=3.0,
            status="derived",
            compute=partial(_landing_temperature, 1e3 * heat),
        )
        for heat, celsius in ((480, 427.0), (635, 527.0))
    ),
    ValidationCase(
        key="Brake cooling/two readings",
        source="EP 3048018, summary; the exponential worked by hand",
        case="from 120 K above the air to 60 K in 600 s; time on to 15 K",
        published=1_200.0,
        unit="s",
        tolerance=0.5,
        status="derived",
        compute=lambda: time_to_temperature(
            360.0, 315.0, cooling_rate_from_readings(420.0, 360.0, 600.0, 300.0), 300.0
        ),
    ),
    ValidationCase(
        key="Brake cooling/two-node peak",
        source="ln(l1/l2)/(l1 - l2), linear pair with decay rates l1 > l2",
        case="time of the wheel's peak, 46 kg of steel below 20 °C beside a wheel of 26 kJ/K",
        published=round(_two_node_peak_by_hand(), 1),
        unit="s",
        tolerance=0.1,
        status="derived",
        compute=_two_node_peak,
        decimals=1,
    ),
    ValidationCase(
        key="After the stop/parking brake",
        source="14 CFR 25.735(g)",
        case="least time that the parking brake holds after the demonstrated stop",
        published=3.0,
        unit="min",
        tolerance=0.5,
        status="confirmed",
        compute=lambda: PARKING_BRAKE_TIME / 60.0,
    ),
    ValidationCase(
        key="After the stop/no hazard",
        source="14 CFR 25.735(g)",
        case="least time without hazard to an evacuation after the parking brake is set",
        published=5.0,
        unit="min",
        tolerance=0.5,
        status="confirmed",
        compute=lambda: NO_HAZARD_TIME / 60.0,
    ),
]
