"""Braking coefficient by surface, speed, tyre pressure and anti-skid system, and the table it is read from."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, Literal, TypeAlias, cast, get_args

import numpy as np
from numpy.typing import ArrayLike

from groundroll.constants import KNOT, PSI
from groundroll.kernels.braking import braking_coefficients
from groundroll.physics.arguments import FloatArray, check_range
from groundroll.physics.hydroplaning import hydroplaning_speed
from groundroll.physics.sources import Source, source, source_from_table, sources

SurfaceTreatment: TypeAlias = Literal["smooth", "grooved", "porous-friction-course"]
GroovedRule: TypeAlias = Literal["own-curve", "share-of-dry"]
IceText: TypeAlias = Literal["lower", "higher"]
Polynomial: TypeAlias = tuple[float, float, float, float, float, float]

POWERS: Final = 6
"""Number of coefficients of a braking polynomial: powers 0 to 5 of ground speed."""


class AntiSkid(Enum):
    """Kind of anti-skid system, by the words of 14 CFR 25.109(c)(2)."""

    FULLY_MODULATING = "fully-modulating"
    QUASI_MODULATING = "quasi-modulating"
    ON_OFF = "on-off"


# ---- the table ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class PressureCurves:
    """Maximum tyre-to-ground coefficients published for a few tyre pressures."""

    tyre_pressures: tuple[float, ...]
    """Rising. [Pa]"""
    polynomials: tuple[Polynomial, ...]
    """For each pressure, coefficients of powers 0 to 5 of ground speed in m/s."""
    source: str
    """Key of the source."""


@dataclass(frozen=True)
class BrakingTable:
    """The numbers of the braking rule; `read_braking_table` makes one from a file, `braking_table` the default one."""

    greatest_speed: float
    """Upper end of the speed range. [m/s]"""
    efficiency: Mapping[AntiSkid, float]
    """Anti-skid efficiency on a wet runway. [-]"""
    inoperative_efficiency: float
    """The same with the anti-skid system inoperative. [-]"""
    dry_share: float
    """Code 6: share of the certified dry coefficient. [-]"""
    smooth: PressureCurves
    """Code 5 on an untreated surface."""
    grooved: PressureCurves
    """Code 5 on a maintained grooved or porous-friction-course surface."""
    grooved_rule: GroovedRule
    """Which of the two options of 14 CFR 25.109(d) holds."""
    grooved_share_of_dry: float
    """The 70 % of the option ``share-of-dry``. [-]"""
    code_4: float
    """Fully modulating anti-skid. [-]"""
    code_3: float
    """Fully modulating anti-skid. [-]"""
    code_2_share: float
    """Below the switch speed: share of the smooth code 5 value. [-]"""
    code_2_cap: float
    """Below the switch speed: not more than this; fully modulating anti-skid. [-]"""
    code_2_switch_share: float
    """Switch speed as a share of the hydroplaning speed. [-]"""
    code_2_above_switch: float
    """From the switch speed on; fully modulating anti-skid. [-]"""
    ice_text: IceText
    """Which of the two published values of code 1 holds."""
    code_1: Mapping[IceText, float]
    """Fully modulating anti-skid. [-]"""
    source_keys: Mapping[str, str]
    """Source key of each value, by the value's key in the file."""
    own_sources: Mapping[str, Source]
    """Sources that the file declares itself."""

    def source(self, key: str) -> Source:
        """Return the source under ``key``, declared in this table's file or registered in the product."""
        return self.own_sources[key] if key in self.own_sources else source(key)


def _packaged_table() -> dict[str, Any]:
    text = files("groundroll").joinpath("data", "braking_coefficients.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def braking_table() -> BrakingTable:
    """Return the table of the product, ``data/braking_coefficients.toml``."""
    return _table_from("braking_coefficients.toml", _packaged_table(), MappingProxyType({}))


def read_braking_table(path: Path) -> BrakingTable:
    """Return the table of a user's file; a key it leaves out keeps the value of the product.

    Parameters
    ----------
    path
        TOML with the keys of ``data/braking_coefficients.toml``, and ``[sources.KEY]`` for sources of its own.

    Raises
    ------
    ValueError
        If the file cannot be read, a key is unknown, or a value is outside what is allowed: file, key, value and the
        allowed range are in the message.
    """
    try:
        given = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise ValueError(f"{path}: cannot be read as TOML: {error}") from error
    if "format" not in given:
        raise ValueError(f"{path.name}: format is missing; write format = 1")
    declared = given.pop("sources", {})
    if not isinstance(declared, dict):
        raise ValueError(f"{path.name}, sources: {declared!r} is not a table; write [sources.your-key]")
    own = {key: source_from_table(f"{path.name}, sources.{key}", table) for key, table in declared.items()}
    return _table_from(path.name, _merged(path.name, "", _packaged_table(), given), MappingProxyType(own))


def _merged(file: str, place: str, base: dict[str, Any], given: dict[str, Any]) -> dict[str, Any]:
    """Return ``base`` with the entries of ``given``; a table with a value or with curves is taken as a whole."""
    result = dict(base)
    for key, entry in given.items():
        name = f"{place}{key}"
        if key not in base:
            nearest = difflib.get_close_matches(key, base, n=1)
            advice = f'the nearest is "{place}{nearest[0]}"' if nearest else f"allowed are {', '.join(base)}"
            raise ValueError(f"{file}, {name}: unknown key; {advice}")
        inner = base[key]
        if isinstance(inner, dict) and not isinstance(entry, dict):
            raise ValueError(f"{file}, {name}: {entry!r} is not a table with the keys {', '.join(inner)}")
        if isinstance(inner, dict) and "value" not in inner and "curves" not in inner:
            result[key] = _merged(file, f"{name}.", inner, entry)
        else:
            result[key] = entry
    return result


def _number(file: str, key: str, value: object, lower: float, upper: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not lower <= value <= upper:
        raise ValueError(f"{file}, {key}: {value!r} is not a number from {lower:g} to {upper:g}")
    return float(value)


def _word(file: str, key: str, value: object, allowed: tuple[str, ...]) -> str:
    if not isinstance(value, str) or value not in allowed:
        choices = " or ".join(f'"{word}"' for word in allowed)
        raise ValueError(f"{file}, {key}: {value!r} is not {choices}")
    return value


class _Reader:
    """Takes values out of the parsed file, each with its range, and keeps the source key of each."""

    def __init__(self, file: str, parsed: dict[str, Any], own_sources: Mapping[str, Source]) -> None:
        self.file = file
        self.parsed = parsed
        self.own_sources = own_sources
        self.source_keys: dict[str, str] = {}

    def entry(self, key: str) -> Any:
        found: Any = self.parsed
        for part in key.split("."):
            found = found[part]
        return found

    def source_key(self, key: str, table: dict[str, Any]) -> str:
        name = table.get("source")
        if not isinstance(name, str) or not (name in self.own_sources or name in sources()):
            known = [*self.own_sources, *sources()]
            nearest = difflib.get_close_matches(str(name), known, n=1)
            advice = f'the nearest is "{nearest[0]}"; ' if nearest else ""
            raise ValueError(
                f"{self.file}, {key}.source: {name!r} is not a known source; {advice}"
                f"declare your own as [sources.KEY] with document, paragraph and status"
            )
        self.source_keys[key] = name
        return name

    def only(self, key: str, table: dict[str, Any], allowed: tuple[str, ...]) -> None:
        for name in table:
            if name not in allowed:
                raise ValueError(f"{self.file}, {key}.{name}: unknown key; allowed are {', '.join(allowed)}")

    def value(self, key: str, lower: float, upper: float) -> float:
        table = self.entry(key)
        self.only(key, table, ("value", "source"))
        self.source_key(key, table)
        return _number(self.file, f"{key}.value", table.get("value"), lower, upper)

    def curves(self, key: str, greatest_speed: float) -> PressureCurves:
        table = self.entry(key)
        self.only(key, table, ("curves", "source"))
        curves = table.get("curves")
        if not isinstance(curves, list) or len(curves) < 2:
            raise ValueError(f"{self.file}, {key}.curves: two curves or more are needed")
        pressures: list[float] = []
        polynomials: list[Polynomial] = []
        for index, curve in enumerate(curves):
            place = f"{key}.curves[{index}]"
            if not isinstance(curve, dict):
                raise ValueError(f"{self.file}, {place}: {curve!r} is not a table")
            self.only(place, curve, ("tyre_pressure_psi", "coefficients"))
            pressure = PSI * _number(
                self.file, f"{place}.tyre_pressure_psi", curve.get("tyre_pressure_psi"), 10.0, 500.0
            )
            if pressures and pressure <= pressures[-1]:
                raise ValueError(f"{self.file}, {place}.tyre_pressure_psi: pressures must rise from curve to curve")
            listed = curve.get("coefficients")
            if not isinstance(listed, list) or not 1 <= len(listed) <= POWERS:
                raise ValueError(
                    f"{self.file}, {place}.coefficients: {listed!r} is not a list of 1 to {POWERS} numbers"
                )
            numbers = [_number(self.file, f"{place}.coefficients", number, -100.0, 100.0) for number in listed]
            polynomial = _polynomial_of_metres_per_second(numbers)
            self._check_curve(place, polynomial, greatest_speed)
            pressures.append(pressure)
            polynomials.append(polynomial)
        return PressureCurves(tuple(pressures), tuple(polynomials), self.source_key(key, table))

    def _check_curve(self, place: str, polynomial: Polynomial, greatest_speed: float) -> None:
        """Refuse a curve that leaves 0 to 1 at a whole knot: a misprinted coefficient nearly always does."""
        speeds = np.arange(0.0, greatest_speed / KNOT + 0.5) * KNOT
        values = _evaluate(polynomial, math.inf, math.inf, 0.0, speeds)
        worst = int(np.argmax(np.abs(values - 0.5)))
        if not 0.0 < values[worst] <= 1.0:
            raise ValueError(
                f"{self.file}, {place}.coefficients: give {values[worst]:.3f} at {speeds[worst] / KNOT:.0f} kt; "
                f"a braking coefficient lies between 0 and 1"
            )


def _polynomial_of_metres_per_second(coefficients: list[float]) -> Polynomial:
    """Return coefficients for powers of m/s from those for powers of 100 kt, the published form."""
    c0, c1, c2, c3, c4, c5 = (
        (coefficients[power] if power < len(coefficients) else 0.0) / (100.0 * KNOT) ** power for power in range(POWERS)
    )
    return (c0, c1, c2, c3, c4, c5)


def _table_from(file: str, parsed: dict[str, Any], own_sources: Mapping[str, Source]) -> BrakingTable:
    reader = _Reader(file, parsed, own_sources)
    if parsed.get("format") != 1:
        raise ValueError(f"{file}, format: {parsed.get('format')!r} is not read; this version reads format = 1")
    greatest_speed = KNOT * reader.value("range.greatest_speed_knots", 60.0, 250.0)
    table = BrakingTable(
        greatest_speed=greatest_speed,
        efficiency=MappingProxyType(
            {kind: reader.value(f"anti_skid_efficiency.{kind.value}", 0.05, 1.0) for kind in AntiSkid}
        ),
        inoperative_efficiency=reader.value("anti_skid_efficiency.inoperative", 0.05, 1.0),
        dry_share=reader.value("code_6.share_of_certified_dry", 0.05, 1.0),
        smooth=reader.curves("code_5.smooth", greatest_speed),
        grooved=reader.curves("code_5.grooved.own_curve", greatest_speed),
        grooved_rule=(
            "own-curve"
            if _word(file, "code_5.grooved.rule", reader.entry("code_5.grooved.rule"), get_args(GroovedRule))
            == "own-curve"
            else "share-of-dry"
        ),
        grooved_share_of_dry=reader.value("code_5.grooved.share_of_dry", 0.05, 1.0),
        code_4=reader.value("code_4.coefficient", 0.01, 1.0),
        code_3=reader.value("code_3.coefficient", 0.01, 1.0),
        code_2_share=reader.value("code_2.share_of_code_5", 0.01, 1.0),
        code_2_cap=reader.value("code_2.cap", 0.01, 1.0),
        code_2_switch_share=reader.value("code_2.switch_share_of_hydroplaning_speed", 0.1, 2.0),
        code_2_above_switch=reader.value("code_2.above_switch", 0.0, 1.0),
        ice_text=(
            "lower"
            if _word(file, "code_1.text", reader.entry("code_1.text"), get_args(IceText)) == "lower"
            else "higher"
        ),
        code_1=MappingProxyType(
            {"lower": reader.value("code_1.lower", 0.01, 1.0), "higher": reader.value("code_1.higher", 0.01, 1.0)}
        ),
        source_keys=MappingProxyType(reader.source_keys),
        own_sources=own_sources,
    )
    if not table.code_4 >= table.code_3 >= table.code_1["lower"]:
        raise ValueError(
            f"{file}, code_4, code_3, code_1.lower: {table.code_4:g}, {table.code_3:g}, {table.code_1['lower']:g} "
            f"must not rise as the code falls"
        )
    if table.code_1["lower"] > table.code_1["higher"]:
        raise ValueError(
            f"{file}, code_1.lower: {table.code_1['lower']:g} is above code_1.higher, {table.code_1['higher']:g}"
        )
    return table


# ---- wet runway -----------------------------------------------------------------------------------------------------


def _evaluate(
    polynomial: Polynomial, cap: float, switch_speed: float, above_switch: float, ground_speed: FloatArray
) -> FloatArray:
    flat = np.ascontiguousarray(ground_speed, dtype=np.float64).ravel()
    result = np.empty_like(flat)
    braking_coefficients(flat, *polynomial, cap, switch_speed, above_switch, result)
    return result.reshape(np.shape(ground_speed))


def _polynomial_at(curves: PressureCurves, tyre_pressure: float) -> Polynomial:
    """Return the polynomial at a pressure; linear between coefficients is linear between curves."""
    lowest, highest = curves.tyre_pressures[0], curves.tyre_pressures[-1]
    check_range(
        "tyre_pressure",
        tyre_pressure,
        lowest,
        highest,
        "Pa",
        hint=f"{lowest / PSI:.0f} to {highest / PSI:.0f} psi, the published curves, which are not extrapolated",
    )
    columns = np.array(curves.polynomials).T
    c0, c1, c2, c3, c4, c5 = (float(np.interp(tyre_pressure, curves.tyre_pressures, column)) for column in columns)
    return (c0, c1, c2, c3, c4, c5)


def _curves_for(table: BrakingTable, surface_treatment: SurfaceTreatment) -> PressureCurves:
    if surface_treatment == "smooth":
        return table.smooth
    if surface_treatment in ("grooved", "porous-friction-course"):
        return table.grooved
    raise ValueError(
        f'surface_treatment "{surface_treatment}" is none of "smooth", "grooved", "porous-friction-course"'
    )


def _scaled(polynomial: Polynomial, factor: float) -> Polynomial:
    c0, c1, c2, c3, c4, c5 = polynomial
    return (c0 * factor, c1 * factor, c2 * factor, c3 * factor, c4 * factor, c5 * factor)


def maximum_wet_braking_coefficient(
    ground_speed: ArrayLike,
    tyre_pressure: float,
    surface_treatment: SurfaceTreatment = "smooth",
    table: BrakingTable | None = None,
) -> FloatArray:
    """Return the maximum tyre-to-ground braking coefficient of a wet runway.

    Parameters
    ----------
    ground_speed : shape (n,) or scalar
        True ground speed, 0 to 200 kt. [m/s]
    tyre_pressure : scalar
        Maximum operating pressure of the aeroplane's tyres, not the pressure at this weight; within the four published
        curves (50 to 300 psi). [Pa]
    surface_treatment
        "smooth" [1]_, or a maintained "grooved" or "porous-friction-course" surface [2]_.
    table
        The table to use; the product's own if not given.

    Returns
    -------
    shape of ``ground_speed``
        Before anti-skid efficiency. [-]

    Raises
    ------
    ValueError
        If the speed or the pressure lies outside its range: the curves are not extrapolated.

    Notes
    -----
    The rule works in knots and psi; the coefficients are converted once, when the table is read. Between curves it
    allows linear interpolation in pressure. The figures of the curves are from memory: the rule prints them as a
    graphic that has not been read.

    References
    ----------
    .. [1] 14 CFR 25.109(c)(1).
    .. [2] 14 CFR 25.109(d)(2).
    """
    used = braking_table() if table is None else table
    polynomial = _polynomial_at(_curves_for(used, surface_treatment), tyre_pressure)
    return BrakingCurve(polynomial, greatest_speed=used.greatest_speed).coefficient(ground_speed)


def wet_braking_coefficient(
    ground_speed: ArrayLike,
    tyre_pressure: float,
    anti_skid: AntiSkid,
    surface_treatment: SurfaceTreatment = "smooth",
    table: BrakingTable | None = None,
) -> FloatArray:
    """Return the braking coefficient of a wet runway, anti-skid included.

    The maximum tyre-to-ground coefficient [1]_ times the efficiency of the anti-skid system [2]_.

    Parameters
    ----------
    ground_speed : shape (n,) or scalar
        True ground speed, 0 to 200 kt. [m/s]
    tyre_pressure : scalar
        Maximum operating pressure, within the four published curves (50 to 300 psi). [Pa]
    anti_skid
        Kind of system: on-off, quasi-modulating or fully modulating.
    surface_treatment
        "smooth", or a maintained "grooved" or "porous-friction-course" surface.
    table
        The table to use; the product's own if not given.

    Returns
    -------
    shape of ``ground_speed``
        Braking force over the load on the braked wheels. [-]

    Raises
    ------
    ValueError
        If the speed or the pressure lies outside its range: the curves are not extrapolated.

    References
    ----------
    .. [1] 14 CFR 25.109(c)(1), (d)(2).
    .. [2] 14 CFR 25.109(c)(2), table of efficiency values.
    """
    used = braking_table() if table is None else table
    maximum = maximum_wet_braking_coefficient(ground_speed, tyre_pressure, surface_treatment, used)
    return np.asarray(maximum * used.efficiency[anti_skid], dtype=np.float64)


# ---- any condition code ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class BrakingCurve:
    """Braking coefficient as a function of ground speed, in the one form the kernels know."""

    coefficients: Polynomial
    """Of powers 0 to 5 of ground speed in m/s."""
    cap: float = math.inf
    """The polynomial counts up to this value. [-]"""
    switch_speed: float = math.inf
    """From this ground speed on ``above_switch`` holds instead. [m/s]"""
    above_switch: float = 0.0
    """[-]"""
    sources: tuple[str, ...] = ()
    """Keys of the sources."""
    greatest_speed: float = 200.0 * KNOT
    """Upper end of the speed range. [m/s]"""

    def coefficient(self, ground_speed: ArrayLike) -> FloatArray:
        """Return the braking coefficient at ``ground_speed``.

        Parameters
        ----------
        ground_speed : shape (n,) or scalar
            0 to ``greatest_speed``. [m/s]

        Returns
        -------
        shape of ``ground_speed``
            Braking force over the load on the braked wheels. [-]

        Raises
        ------
        ValueError
            If a speed lies outside the range.
        """
        speed = np.asarray(ground_speed, dtype=np.float64)
        hint = f"0 to {self.greatest_speed / KNOT:.0f} kt, the range of the braking coefficients"
        check_range("ground_speed", speed, 0.0, self.greatest_speed, "m/s", hint=hint)
        return _evaluate(self.coefficients, self.cap, self.switch_speed, self.above_switch, speed)

    def scaled(self, friction_share: float) -> BrakingCurve:
        """Return the curve with every value multiplied by ``friction_share``.

        Parameters
        ----------
        friction_share : scalar
            Greater than 0. [-]

        Raises
        ------
        ValueError
            If it is not greater than 0.
        """
        if not (math.isfinite(friction_share) and friction_share > 0.0):
            raise ValueError(f"friction_share {friction_share} must be greater than 0")
        return replace(
            self,
            coefficients=cast(Polynomial, tuple(friction_share * one for one in self.coefficients)),
            cap=friction_share * self.cap,
            above_switch=friction_share * self.above_switch,
        )


def _constant(value: float) -> Polynomial:
    return (value, 0.0, 0.0, 0.0, 0.0, 0.0)


def curve_for_code(
    code: int,
    *,
    tyre_pressure: float,
    anti_skid: AntiSkid,
    certified_dry_coefficient: float,
    surface_treatment: SurfaceTreatment = "smooth",
    dry_share: float | None = None,
    anti_skid_operative: bool = True,
    table: BrakingTable | None = None,
) -> BrakingCurve:
    """Return the braking coefficient of a runway condition code as a function of ground speed.

    Parameters
    ----------
    code
        Runway condition code, 6 to 1.
    tyre_pressure : scalar
        Maximum operating pressure, within the published curves (50 to 300 psi). [Pa]
    anti_skid
        Kind of system.
    certified_dry_coefficient : scalar
        Braking coefficient on a dry runway behind the certified distances, 0.1 to 1. [-]
    surface_treatment
        "smooth", or a maintained "grooved" or "porous-friction-course" surface. It changes code 5 only.
    dry_share : scalar
        Share of ``certified_dry_coefficient`` used on code 6; 0.9 if not given, 1 for a rejected take-off. [-]
    anti_skid_operative
        With the system inoperative every code is scaled by the table's efficiency for that case.
    table
        The table to use; the product's own if not given.

    Returns
    -------
    BrakingCurve
        With the keys of the sources that its numbers came from.

    Raises
    ------
    ValueError
        On code 0, for which nothing is planned; or if an argument lies outside its range.

    Notes
    -----
    Code 6 is a share of the certified dry coefficient [1]_. Code 5 is the wet-runway rule [2]_ with the efficiency of
    the anti-skid system; on a treated surface the table tells which of the two published options holds [3]_. Codes 4, 3
    and 1 are constants [1]_, times efficiency over 0.80. Code 2 has two branches [1]_: below 0.85 of the hydroplaning
    speed of water, half of the smooth code 5 value and not more than 0.16; a constant 0.05 from there on; the 0.16 and
    the 0.05 are scaled by efficiency over 0.80 like the other codes, while the half of code 5 holds it already.

    No code brakes better than the dry coefficient of the same call. Between the wet codes no order is forced: at high
    speed and pressure the smooth wet curve of code 5 lies below the constants of codes 4 and 3, as published.

    With the anti-skid system inoperative the dry coefficient is scaled by the inoperative efficiency over 0.80 as well,
    whatever the kind of system: an assumption of this project.

    References
    ----------
    .. [1] FAA AC 25-32 (2015) and AMC 25.1592; from memory, the 90 % second-hand.
    .. [2] 14 CFR 25.109(c); its equations from memory.
    .. [3] 14 CFR 25.109(d); 70 % confirmed, its equations from memory.
    """
    used = braking_table() if table is None else table
    keys = used.source_keys
    if code == 0:
        raise ValueError(
            "no plan on code 0: braking is minimal to non-existent and has no published coefficient; "
            "wait until the runway has been treated and reported again"
        )
    if code not in (1, 2, 3, 4, 5, 6):
        raise ValueError(f"code {code} is not a runway condition code for planning (6, 5, 4, 3, 2 or 1)")
    check_range("certified_dry_coefficient", certified_dry_coefficient, 0.1, 1.0, "")
    share = used.dry_share if dry_share is None else dry_share
    check_range("dry_share", share, 0.05, 1.0, "")
    curves = _curves_for(used, surface_treatment)

    reference = used.efficiency[AntiSkid.FULLY_MODULATING]
    used_sources: list[str] = []
    if anti_skid_operative:
        efficiency = used.efficiency[anti_skid]
        dry = certified_dry_coefficient
    else:
        efficiency = min(used.inoperative_efficiency, used.efficiency[anti_skid])
        dry = certified_dry_coefficient * used.inoperative_efficiency / reference
        used_sources.append(keys["anti_skid_efficiency.inoperative"])
    scale = efficiency / reference
    dry_cap = share * dry
    if code <= 4 and scale != 1.0:
        used_sources.append("ac-25-32-anti-skid")
    switch_speed, above_switch, cap = math.inf, 0.0, dry_cap

    if code == 6:
        polynomial = _constant(dry_cap)
        used_sources.append(keys["code_6.share_of_certified_dry"])
    elif code == 5 and surface_treatment != "smooth" and used.grooved_rule == "share-of-dry":
        polynomial = _constant(used.grooved_share_of_dry * dry)
        used_sources += ["ac-25-32-code-5", keys["code_5.grooved.share_of_dry"], "cfr-25-109-wet-not-above-dry"]
    elif code == 5:
        polynomial = _scaled(_polynomial_at(curves, tyre_pressure), efficiency)
        used_sources += [
            "ac-25-32-code-5",
            curves.source,
            keys[f"anti_skid_efficiency.{anti_skid.value}"],
            "cfr-25-109-wet-not-above-dry",
        ]
    elif code == 2:
        polynomial = _scaled(_polynomial_at(used.smooth, tyre_pressure), efficiency * used.code_2_share)
        cap = min(dry_cap, used.code_2_cap * scale)
        switch_speed = used.code_2_switch_share * hydroplaning_speed(tyre_pressure)
        above_switch = min(dry_cap, used.code_2_above_switch * scale)
        used_sources += [
            keys["code_2.share_of_code_5"],
            keys["code_2.cap"],
            keys["code_2.switch_share_of_hydroplaning_speed"],
            keys["code_2.above_switch"],
            used.smooth.source,
            keys[f"anti_skid_efficiency.{anti_skid.value}"],
            "nasa-tm-85652",
        ]
    elif code == 1:
        polynomial = _constant(used.code_1[used.ice_text] * scale)
        used_sources.append(keys[f"code_1.{used.ice_text}"])
    else:
        polynomial = _constant((used.code_4 if code == 4 else used.code_3) * scale)
        used_sources.append(keys[f"code_{code}.coefficient"])
    return BrakingCurve(
        polynomial, cap, switch_speed, above_switch, tuple(dict.fromkeys(used_sources)), used.greatest_speed
    )
