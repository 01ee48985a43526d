"""Every quantity that a recording may hold, declared once: unit, kind, one sentence, and the names it goes by.

Inside, values are SI and radians; discretes are 0 or 1.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal, TypeAlias

from groundroll.constants import FOOT, GRAVITY, INCH_OF_MERCURY, KNOT, POUND, PSI, ZERO_CELSIUS

Kind: TypeAlias = Literal["analogue", "discrete", "angle"]

DEGREE: Final = math.pi / 180.0

UNITS: Final[dict[str, dict[str, tuple[float, float]]]] = {
    "time": {"s": (1.0, 0.0), "ms": (1e-3, 0.0), "min": (60.0, 0.0)},
    "speed": {"kt": (KNOT, 0.0), "m/s": (1.0, 0.0), "km/h": (1.0 / 3.6, 0.0), "ft/min": (FOOT / 60.0, 0.0)},
    "length": {"m": (1.0, 0.0), "ft": (FOOT, 0.0), "km": (1000.0, 0.0)},
    "angle": {"deg": (DEGREE, 0.0), "rad": (1.0, 0.0)},
    "acceleration": {"g": (GRAVITY, 0.0), "m/s2": (1.0, 0.0), "ft/s2": (FOOT, 0.0)},
    "pressure": {
        "psi": (PSI, 0.0),
        "bar": (1e5, 0.0),
        "kPa": (1e3, 0.0),
        "hPa": (100.0, 0.0),
        "Pa": (1.0, 0.0),
        "inHg": (INCH_OF_MERCURY, 0.0),
    },
    "temperature": {"degC": (1.0, ZERO_CELSIUS), "K": (1.0, 0.0)},
    "mass": {"kg": (1.0, 0.0), "t": (1000.0, 0.0), "lb": (POUND, 0.0)},
    "share": {"%": (0.01, 0.0), "1": (1.0, 0.0)},
    "discrete": {"1": (1.0, 0.0)},
}
"""Units of each dimension: SI value = factor x number + offset."""

_UNIT_WORDS: Final[dict[str, str]] = {
    "s": "s",
    "sec": "s",
    "seconds": "s",
    "secs": "s",
    "ms": "ms",
    "millis": "ms",
    "milliseconds": "ms",
    "kt": "kt",
    "kn": "kt",
    "knot": "kt",
    "kts": "kt",
    "knots": "kt",
    "mps": "m/s",
    "m_s": "m/s",
    "kmh": "km/h",
    "fpm": "ft/min",
    "ft_min": "ft/min",
    "m": "m",
    "metres": "m",
    "meters": "m",
    "ft": "ft",
    "feet": "ft",
    "deg": "deg",
    "degrees": "deg",
    "rad": "rad",
    "g": "g",
    "mps2": "m/s2",
    "m_s2": "m/s2",
    "psi": "psi",
    "bar": "bar",
    "kpa": "kPa",
    "hpa": "hPa",
    "pa": "Pa",
    "c": "degC",
    "degc": "degC",
    "k": "K",
    "kg": "kg",
    "t": "t",
    "lb": "lb",
    "lbs": "lb",
    "pct": "%",
    "percent": "%",
}
"""Words at the end of a column name that say its unit."""


@dataclass(frozen=True)
class RecordedQuantity:
    """One quantity of a recording."""

    name: str
    dimension: str
    kind: Kind
    description: str
    names: tuple[str, ...]
    """Column names without unit, lower case, words joined by an underscore."""
    unit_without_word: str | None = None
    """Unit that is taken, and said, where neither the column nor a mapping names one; None: it must be named."""
    spare: bool = False
    """Without a unit it is left out, and said, rather than asked for: a review does not need it."""
    several: bool = False
    """Whether several columns are put together; otherwise the first one counts."""


_Q = RecordedQuantity
QUANTITIES: Final[dict[str, RecordedQuantity]] = {
    one.name: one
    for one in (
        _Q(
            "time",
            "time",
            "analogue",
            "Time since any origin.",
            (
                "t",
                "time",
                "timestamp",
                "frame_time",
                "frame",
                "ts",
                "elapsed",
                "elapsed_time",
                "seconds",
                "datetime",
                "date_time",
                "epoch",
                "unix",
                "unix_time",
                "unixtime",
                "time_utc",
                "timestamp_utc",
                "utc",
            ),
            "s",
        ),
        _Q(
            "ground_speed",
            "speed",
            "analogue",
            "Speed over the ground.",
            (
                "gs",
                "groundspeed",
                "ground_speed",
                "gnd_spd",
                "ground_spd",
                "gnd_speed",
                "gspeed",
                "gspd",
                "speed_over_ground",
                "sog",
                "surface_speed",
                "speed",
                "velocity",
            ),
        ),
        _Q("true_airspeed", "speed", "analogue", "Speed through the air.", ("tas", "true_airspeed", "true_air_speed")),
        _Q(
            "calibrated_airspeed",
            "speed",
            "analogue",
            "Speed that the indicator shows.",
            ("cas", "ias", "calibrated_airspeed", "computed_airspeed", "indicated_airspeed"),
        ),
        _Q("distance", "length", "analogue", "Along the runway from the landing threshold.", ("distance", "along")),
        _Q("latitude", "angle", "analogue", "WGS-84, north positive.", ("lat", "latp", "latitude"), "deg"),
        _Q(
            "longitude",
            "angle",
            "analogue",
            "WGS-84, east positive.",
            ("lon", "lng", "long", "lonp", "longitude"),
            "deg",
        ),
        _Q(
            "altitude",
            "length",
            "analogue",
            "Pressure or geometric altitude; only its change is used.",
            (
                "alt",
                "altitude",
                "baro_altitude",
                "baroaltitude",
                "alt_baro",
                "altitude_baro",
                "baro_alt",
                "pressure_altitude",
                "geoaltitude",
                "geo_altitude",
                "alt_geom",
                "altitude_geo",
            ),
            spare=True,
        ),
        _Q(
            "radio_altitude",
            "length",
            "analogue",
            "Height of the wheels above the ground by radio altimeter.",
            ("ralt", "radio_altitude", "radio_height", "radalt", "ra"),
        ),
        _Q(
            "longitudinal_acceleration",
            "acceleration",
            "analogue",
            "Along the body axis, forward positive, gravity included as an accelerometer feels it.",
            ("longitudinal_acceleration", "blac", "nx", "long_acc", "longacc"),
        ),
        _Q(
            "normal_acceleration",
            "acceleration",
            "analogue",
            "Across the body axis, 1 g at rest.",
            ("vrtg", "normal_acceleration", "vertical_acceleration", "nz", "vert_acc"),
        ),
        _Q("pitch", "angle", "analogue", "Attitude, nose up positive.", ("ptch", "pitch", "pitch_attitude")),
        _Q(
            "heading",
            "angle",
            "angle",
            "True heading or track.",
            ("th", "heading", "true_heading", "trk", "track", "true_track", "track_angle", "hdg", "course"),
            "deg",
        ),
        _Q("wind_speed", "speed", "analogue", "Wind as recorded on board.", ("ws", "wind_speed")),
        _Q(
            "wind_direction",
            "angle",
            "angle",
            "Where it comes from, true.",
            ("wd", "wind_direction", "wind_dir"),
        ),
        _Q(
            "temperature",
            "temperature",
            "analogue",
            "Static air temperature.",
            ("sat", "oat", "static_air_temperature", "outside_air_temperature", "temperature"),
        ),
        _Q("mass", "mass", "analogue", "Mass of the aeroplane.", ("gw", "gross_weight", "mass", "weight")),
        _Q(
            "brake_pressure",
            "pressure",
            "analogue",
            "Pressure at the brakes; several columns are averaged.",
            ("bpgr_1", "bpgr_2", "bpyr_1", "bpyr_2", "brake_pressure", "brake_pressure_left", "brake_pressure_right"),
            several=True,
        ),
        _Q(
            "brake_pedal",
            "share",
            "analogue",
            "Pedal application; several columns are averaged.",
            ("brake_pedal", "brake_pedal_left", "brake_pedal_right"),
            several=True,
        ),
        _Q(
            "spoilers",
            "share",
            "analogue",
            "Ground spoilers, share deployed; several columns are averaged.",
            ("spoilers", "spoiler_position", "ground_spoiler", "splg", "sply"),
            several=True,
        ),
        _Q(
            "reverser_deployed",
            "discrete",
            "discrete",
            "1 when the reversers are deployed; several columns: all of them.",
            ("reverser_deployed", "reverser", "reverser_deployed_1", "reverser_deployed_2", "rev_deployed"),
            several=True,
        ),
        _Q(
            "reverse_selected",
            "discrete",
            "discrete",
            "1 when the levers ask for reverse.",
            ("reverse_selected", "rev_selected", "reverse_lever"),
        ),
        _Q(
            "engine_speed",
            "share",
            "analogue",
            "Fan speed; several columns are averaged.",
            ("n1", "n1_1", "n1_2", "n1_3", "n1_4", "engine_speed", "engine_speed_1", "engine_speed_2"),
            several=True,
        ),
        _Q(
            "on_ground",
            "discrete",
            "discrete",
            "1 on the ground, by the air/ground logic or the transponder; it comes late.",
            (
                "on_ground",
                "onground",
                "on_ground_flag",
                "onground_flag",
                "is_on_ground",
                "isonground",
                "ground",
                "gnd",
                "wow",
                "weight_on_wheels",
                "air_ground",
                "ground_flag",
            ),
        ),
        _Q(
            "main_gear_on_ground",
            "discrete",
            "discrete",
            "1 when a main gear is compressed; several columns: any of them.",
            ("main_gear_on_ground", "msqt_1", "msqt_2", "main_squat"),
            several=True,
        ),
        _Q(
            "nose_gear_on_ground",
            "discrete",
            "discrete",
            "1 when the nose gear is compressed.",
            ("nose_gear_on_ground", "nsqt", "nose_squat"),
        ),
        _Q(
            "automatic_brakes_active",
            "discrete",
            "discrete",
            "1 while the automatic brakes are armed or braking.",
            ("automatic_brakes_active", "autobrake", "autobrake_active", "auto_brake"),
        ),
        _Q(
            "interpolated",
            "discrete",
            "discrete",
            "1 where the source itself marks a row as filled in.",
            ("interp", "interpolated", "filled"),
        ),
    )
}
"""Quantities by name. Names of recorder parameters: those of published open sample data (second-hand)."""

_BRACKETS: Final = re.compile(r"^(.*?)\s*[\[(]\s*([^\])]+)\s*[\])]\s*$")


@lru_cache(maxsize=4_096)
def recognised(column: str) -> tuple[RecordedQuantity, str | None] | None:
    """Return the quantity that a column name means and the unit it names, if any; None for a name not known.

    Examples
    --------
    >>> found, unit = recognised("Ground speed [kt]")
    >>> found.name, unit
    ('ground_speed', 'kt')
    >>> recognised("gs_kt")[1], recognised("gs")[1], recognised("seat")
    ('kt', None, None)
    """
    bracketed = _BRACKETS.match(column)
    unit = None
    text = column
    if bracketed:
        text, word = bracketed.group(1), bracketed.group(2)
        unit = _unit_of(word)
    words = re.sub(r"[^a-z0-9%]+", "_", text.strip().lower()).strip("_")
    by_name = {name: one for one in QUANTITIES.values() for name in one.names}
    if words in by_name:
        return by_name[words], unit
    for length in (2, 1):  # "brake_pressure_m_s2" ends with two words of a unit
        parts = words.rsplit("_", length)
        if len(parts) == length + 1 and parts[0] in by_name:
            word = "_".join(parts[1:])
            found = by_name[parts[0]]
            named = _UNIT_WORDS.get(word)
            if named in UNITS[found.dimension]:
                return found, named
    return None


def _unit_of(word: str) -> str | None:
    exact = {unit for units in UNITS.values() for unit in units}
    if word.strip() in exact:
        return word.strip()
    return _UNIT_WORDS.get(re.sub(r"[^a-z0-9%]+", "_", word.strip().lower()).strip("_"))


@dataclass(frozen=True)
class LandingColumn:
    """One column of the data set of a fleet."""

    name: str
    kind: Literal["text", "number", "whole", "flag", "bins", "ledger"]
    description: str


_L = LandingColumn
LANDING_COLUMNS: Final = (
    _L("file", "text", "Name of the recording, relative to the folder."),
    _L("size", "whole", "Size of the file in bytes; with the name it tells whether the file was done."),
    _L("digest", "text", "SHA-256 of the file; the same recording under two names counts once."),
    _L("status", "text", "reviewed, or set aside."),
    _L("reason", "text", "Why a recording was set aside."),
    _L("period", "text", "Period the landing belongs to, as the index gives it."),
    _L("aircraft", "text", "Name of the aircraft file."),
    _L("aerodrome", "text", "Location indicator."),
    _L("direction", "text", "Landing direction."),
    _L("codes", "text", "Reported codes in landing direction."),
    _L("located", "flag", "Whether distances count from the threshold."),
    _L("touchdown_distance_m", "number", "From the threshold; null where that is not located."),
    _L("touchdown_distance_deviation_m", "number", "Its standard deviation."),
    _L("touchdown_ground_speed_mps", "number", "Ground speed at touchdown."),
    _L("mean_deceleration_mps2", "number", "From the speed below to 60 kt."),
    _L("mean_deceleration_from_mps", "number", "120 kt, or the whole ten of knots below touchdown speed."),
    _L("mean_deceleration_deviation_mps2", "number", "Its standard deviation."),
    _L("brake_energy_j", "number", "Into all brakes."),
    _L("brake_energy_deviation_j", "number", "Its standard deviation."),
    _L("brake_energy_low_j", "number", "5 % quantile; unrecorded reverse spans what the engines may have done."),
    _L("brake_energy_high_j", "number", "95 % quantile."),
    _L("brake_wear_share", "number", "Of one brake over its reference stop; null without [brake_wear] in the file."),
    _L("finding_measured", "flag", "Whether friction ruled somewhere."),
    _L("finding_code", "whole", "Braking action on the scale of the codes; a lower bound where not measured."),
    _L("finding_level", "number", "The same with a fraction."),
    _L("brake", "text", "Setting whose deceleration was held, or unknown."),
    _L("reverse", "text", "none, idle, full, or unknown."),
    _L("reverse_time_s", "number", "Touchdown to reverse effective."),
    _L("exit", "text", "Nearest exit of the runway file to where the runway was left."),
    _L("planned_exit", "text", "Exit that the plan chose; null where the plan is to stop."),
    _L("runway_used_share", "number", "Distance to the end speed over the landing distance available."),
    _L("planned_distance_m", "number", "Threshold to the end speed as planned."),
    _L("recorded_distance_m", "number", "The same as recorded."),
    _L("not_explained_m", "number", "Recorded less simulated."),
    _L("accelerometer_datum_mps2", "number", "Datum found for the accelerometer."),
    _L("remarks", "whole", "How many remarks the review made about the recording."),
    _L("bins", "bins", "Braking achieved by 50 m of runway."),
    _L("ledger", "ledger", "Metres by cause."),
)
"""The data set of a fleet, one row a landing: schema, Parquet files and docs follow this list."""
