"""What the operating rules multiply a landing distance by."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal, TypeAlias, get_args

from groundroll.physics.arguments import check_range
from groundroll.physics.sources import source

AeroplaneKind: TypeAlias = Literal["turbojet", "turboprop"]
FactorKind: TypeAlias = Literal["turbojet-without-reverse", "turbojet-with-reverse", "turboprop"]


@dataclass(frozen=True)
class FactoredDistance:
    """A landing distance with the factor of a rule."""

    distance: float
    """To compare with the landing distance available. [m]"""
    factor: float
    """It is the given distance times this. [-]"""
    sources: tuple[str, ...]
    """Keys of the sources of the factor."""


@dataclass(frozen=True)
class _Share:
    value: float
    sources: tuple[str, ...]


@dataclass(frozen=True)
class _Factors:
    by_code: Mapping[FactorKind, Mapping[int, float]]
    by_code_source: str
    grooved_wet: float
    grooved_wet_source: str
    dispatch: Mapping[str, _Share]
    alternate: Mapping[str, _Share]
    wet: _Share
    arrival: _Share


@cache
def _factors() -> _Factors:
    text = files("groundroll").joinpath("data", "landing_factors.toml").read_text(encoding="utf-8")
    parsed: dict[str, Any] = tomllib.loads(text)

    def share(entry: dict[str, Any]) -> _Share:
        for key in entry["sources"]:
            source(key)  # a key that is not registered is refused when the table is read
        return _Share(float(entry["value"]), tuple(entry["sources"]))

    by_code = parsed["distance_factors"]
    for key in (by_code["source"], parsed["grooved_wet_factor"]["source"]):
        source(key)
    kinds: tuple[FactorKind, ...] = get_args(FactorKind)
    return _Factors(
        by_code=MappingProxyType(
            {kind: {int(code): float(by_code[kind][code]) for code in by_code[kind]} for kind in kinds}
        ),
        by_code_source=by_code["source"],
        grooved_wet=float(parsed["grooved_wet_factor"]["value"]),
        grooved_wet_source=parsed["grooved_wet_factor"]["source"],
        dispatch=MappingProxyType({name: share(entry) for name, entry in parsed["dispatch_shares"].items()}),
        alternate=MappingProxyType({name: share(entry) for name, entry in parsed["alternate_shares"].items()}),
        wet=share(parsed["wet_factor"]),
        arrival=share(parsed["arrival_margin"]),
    )


def _check_distance(name: str, distance: float) -> None:
    check_range(name, distance, 0.0, 10_000.0, "m")


def _check_kind(kind: AeroplaneKind) -> None:
    if kind not in ("turbojet", "turboprop"):
        raise ValueError(f'kind "{kind}" is neither "turbojet" nor "turboprop"')


def factored_distance(
    dry_landing_distance: float, code: int, kind: FactorKind, *, grooved: bool = False
) -> FactoredDistance:
    """Return the landing distance at time of arrival by the table of factors.

    Parameters
    ----------
    dry_landing_distance : scalar
        Unfactored distance of the flight manual on a dry runway, from 50 ft to a stop, 0 to 10 000 m. [m]
    code
        Runway condition code, 6 to 1.
    kind
        "turbojet-without-reverse", "turbojet-with-reverse" or "turboprop".
    grooved
        The runway is grooved or has a porous friction course, maintained: on code 5 the factor 1.92 is used where that
        is less [2]_.

    Returns
    -------
    FactoredDistance
        It already contains the margin of 15 %.

    Raises
    ------
    ValueError
        If the distance lies outside its range, the kind is unknown, or the code has no factor (code 0 among them).

    References
    ----------
    .. [1] FAA landing distance factors, on a reference card of 2018 (second-hand).
    .. [2] The same card, wet grooved or porous-friction-course runway (second-hand).

    Examples
    --------
    >>> round(factored_distance(1000.0, 5, "turbojet-without-reverse").distance)
    2600
    """
    factors = _factors()
    _check_distance("dry_landing_distance", dry_landing_distance)
    if kind not in factors.by_code:
        raise ValueError(f'kind "{kind}" is none of {", ".join(factors.by_code)}')
    if code not in factors.by_code[kind]:
        raise ValueError(f"code {code} has no landing distance factor; the table runs from 6 to 1")
    factor, key = factors.by_code[kind][code], factors.by_code_source
    if grooved and code == 5 and factors.grooved_wet < factor:
        factor, key = factors.grooved_wet, factors.grooved_wet_source
    return FactoredDistance(dry_landing_distance * factor, factor, (key,))


def required_landing_distance(
    dry_landing_distance: float,
    kind: AeroplaneKind,
    *,
    wet: bool = False,
    reduced: bool = False,
    alternate: bool = False,
) -> FactoredDistance:
    """Return the landing distance that must be available before departure.

    Parameters
    ----------
    dry_landing_distance : scalar
        Unfactored distance of the flight manual on a dry runway, from 50 ft to a stop, 0 to 10 000 m. [m]
    kind
        "turbojet": the landing must end within 60 % of the distance available; "turboprop": within 70 %.
    wet
        The runway is forecast wet and the flight manual has no wet data: 115 % of the dry requirement.
    reduced
        Approved reduced required landing distance: within 80 %, for either kind.
    alternate
        The aerodrome is an alternate: the shares are the same, the paragraphs differ.

    Returns
    -------
    FactoredDistance

    Raises
    ------
    ValueError
        If the distance lies outside its range, the kind is unknown, or a reduced distance is asked for an alternate,
        for which no rule is known here.

    References
    ----------
    .. [1] 14 CFR 121.195(b), 60 %; (d), wet (from memory); 121.197, alternates (from memory).
    .. [2] GM2 CAT.POL.A.230 and .235: 60, 70 and 80 %, wet 1.15.

    Examples
    --------
    >>> round(required_landing_distance(1000.0, "turbojet").distance)
    1667
    """
    factors = _factors()
    _check_distance("dry_landing_distance", dry_landing_distance)
    _check_kind(kind)
    if reduced and alternate:
        raise ValueError("reduced required landing distance at an alternate: no rule for it is known here")
    share = factors.alternate[kind] if alternate else factors.dispatch["reduced" if reduced else kind]
    factor, keys = 1.0 / share.value, share.sources
    if wet:
        factor, keys = factor * factors.wet.value, keys + factors.wet.sources
    return FactoredDistance(dry_landing_distance * factor, factor, keys)


def distance_with_arrival_margin(landing_distance: float) -> FactoredDistance:
    """Return the landing distance at time of arrival with the margin that the in-flight check asks for.

    Parameters
    ----------
    landing_distance : scalar
        For the condition, wind and braking to be used, from 50 ft to a stop, unfactored, 0 to 10 000 m. [m]

    Returns
    -------
    FactoredDistance
        115 % of it.

    Raises
    ------
    ValueError
        If the distance lies outside its range.

    References
    ----------
    .. [1] CAT.OP.MPA.303(a).
    """
    margin = _factors().arrival
    _check_distance("landing_distance", landing_distance)
    return FactoredDistance(landing_distance * margin.value, margin.value, margin.sources)
