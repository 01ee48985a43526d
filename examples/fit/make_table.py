"""Writes table.csv: an invented table of an invented, hidden aeroplane, rounded up and made longer, as real ones are.

Run it from the repository root: `python examples/fit/make_table.py`.
"""

from __future__ import annotations

from itertools import product
from pathlib import Path

from groundroll.planning.fit.distances import computed_distances
from groundroll.planning.fit.parameters import parameters_of, with_values
from groundroll.planning.fit.table import read_table
from groundroll.scenario.read import read_aircraft

HERE = Path(__file__).parent
HEADING = (
    "mass [t],flap,pressure_altitude [ft],temperature [degC],headwind [kt],code,brake,reverse,"
    "dry_share,distance [m],rounded_to [m],rounding"
)
HIDDEN = {
    "brakes.certified_dry_coefficient": 0.43,
    "flaps.full.drag_coefficient_deployed": 0.160,
    "automatic_brakes.settings.steady": 1.70,
    "engines.thrust.reverse_full": 0.90,
}
"""What the hidden aeroplane has other than demo-narrowbody; reverse is a factor on the list."""

CONSERVATISM = 1.004
"""The maker of the table adds a little before rounding up: invented."""


def text(distances: list[float]) -> str:
    """Return the table with its distances."""
    grid = product((50, 58, 66), (0, 4000), (15,), (-10, 20), (6, 5), ("manual", "steady"), ("none", "full"))
    lines = [
        f"{mass},full,{altitude},{temperature},{wind},{code},{brake},{reverse},1.0,{distance:.0f},10,up"
        for (mass, altitude, temperature, wind, code, brake, reverse), distance in zip(grid, distances, strict=True)
    ]
    return "\n".join(["# INVENTED table of an invented aeroplane. Do not fly with it.", HEADING, *lines, ""])


def main() -> None:
    """Compute the distances and write the file."""
    start = read_aircraft(HERE.parent / "aircraft" / "demo-narrowbody.toml")
    path = HERE / "table.csv"
    path.write_text(text([1_000.0] * 96), encoding="utf-8")
    rows = read_table(path, start).rows
    parameters = parameters_of(start, rows)
    hidden = with_values(start, parameters, [HIDDEN.get(one.key, one.start) for one in parameters])
    distances = [-(-float(one) * CONSERVATISM // 10.0) * 10.0 for one in computed_distances(hidden, rows)]
    path.write_text(text(distances), encoding="utf-8")


if __name__ == "__main__":
    main()
