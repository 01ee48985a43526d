"""Numbers in words: in the units that the user's file asks for."""

from __future__ import annotations

from dataclasses import dataclass

from groundroll.constants import FOOT, KNOT, POUND, ZERO_CELSIUS
from groundroll.scenario.model import Display


def percent(share: float) -> str:
    """Return a share as whole percent."""
    return f"{100.0 * share:.0f} %"


@dataclass(frozen=True)
class Wording:
    """Formats SI values in the display units of a case."""

    display: Display

    def speed(self, speed: float | None) -> str:
        """Return a speed, whole knots or km/h, a decimal for m/s."""
        if speed is None:
            return "-"
        if self.display.speed == "kt":
            return f"{speed / KNOT:.0f} kt"
        return f"{speed:.1f} m/s" if self.display.speed == "m/s" else f"{speed * 3.6:.0f} km/h"

    def length(self, *lengths: float | None) -> str:
        """Return the sum of lengths along the runway in whole metres or feet."""
        if any(length is None for length in lengths):
            return "-"
        total = sum(length for length in lengths if length is not None)
        return f"{total:.0f} m" if self.display.length == "m" else f"{total / FOOT:.0f} ft"

    def altitude(self, altitude: float) -> str:
        """Return an altitude or elevation in feet, as the trade gives it."""
        return f"{altitude / FOOT:.0f} ft"

    def mass(self, mass: float) -> str:
        """Return a mass."""
        if self.display.mass == "t":
            return f"{mass / 1000.0:.1f} t"
        return f"{mass:.0f} kg" if self.display.mass == "kg" else f"{mass / POUND:.0f} lb"

    @property
    def fuel_unit(self) -> str:
        """Return the unit of small masses such as fuel: lb where masses are in lb, else kg."""
        return "lb" if self.display.mass == "lb" else "kg"

    def fuel(self, mass: float) -> str:
        """Return a mass of fuel in whole `fuel_unit`, without the unit."""
        return f"{mass / POUND if self.fuel_unit == 'lb' else mass:.0f}"

    def temperature(self, temperature: float | None) -> str:
        """Return a temperature in whole degrees."""
        if temperature is None:
            return "-"
        celsius = temperature - ZERO_CELSIUS
        return f"{celsius:.0f} degC" if self.display.temperature == "degC" else f"{celsius * 1.8 + 32.0:.0f} degF"

    def choice(self, brake: str, reverse: str) -> str:
        """Return a choice of brakes and reverse in words."""
        brakes = "manual braking" if brake == "manual" else f"setting {brake}"
        return f"{brakes} with {'no' if reverse == 'none' else reverse} reverse"
