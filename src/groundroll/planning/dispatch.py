"""Dispatch figures: certified distances with the factors of the operating rules, against the distance available."""

from __future__ import annotations

from dataclasses import dataclass

from groundroll.physics.landing_factors import FactorKind, factored_distance, required_landing_distance
from groundroll.scenario.resolved import Case


@dataclass(frozen=True)
class DispatchCheck:
    """One rule applied to a certified distance."""

    rule: str
    """In words."""
    certified_distance: float
    factor: float
    required_distance: float
    available: float
    source_keys: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Return whether the required distance is available."""
        return self.required_distance <= self.available


def dispatch_checks(case: Case, available: float) -> tuple[tuple[DispatchCheck, ...], tuple[str, ...]]:
    """Return the dispatch figures of ``case`` and the keys of their sources; nothing without certified distances.

    Before departure: the dry distance within the share of the distance available that the rule names, and for a wet
    runway 115 % of that [1]_; where the flight manual gives a wet distance, that distance within the same share, never
    less than the dry figure. At time of arrival: the dry distance times the factor of the lowest runway condition code
    [2]_, which holds the 15 % already.

    References
    ----------
    .. [1] 14 CFR 121.195(b), (d); GM2 CAT.POL.A.230 and .235.
    .. [2] FAA landing distance factors.
    """
    dispatch = case.dispatch
    if dispatch is None:
        return (), ()
    alternate = dispatch.aerodrome_use == "alternate"
    place = "alternate" if alternate else "destination"
    certified = dispatch.certified_dry_distance
    dry = required_landing_distance(certified, dispatch.kind, alternate=alternate)
    checks = [
        DispatchCheck(f"before departure, {place}, dry", certified, dry.factor, dry.distance, available, dry.sources)
    ]
    if dispatch.certified_wet_distance is None:
        wet = required_landing_distance(certified, dispatch.kind, wet=True, alternate=alternate)
        rule = f"before departure, {place}, wet (115 % of dry)"
        checks.append(DispatchCheck(rule, certified, wet.factor, wet.distance, available, wet.sources))
    else:
        manual = dispatch.certified_wet_distance
        wet = required_landing_distance(manual, dispatch.kind, alternate=alternate)
        rule = f"before departure, {place}, wet (flight manual distance)"
        required = max(wet.distance, dry.distance)
        checks.append(DispatchCheck(rule, manual, required / manual, required, available, wet.sources))
    code = min(third.code for third in case.condition.thirds)
    if code >= 1:
        kinds: tuple[FactorKind, ...] = (
            ("turbojet-without-reverse", "turbojet-with-reverse") if dispatch.kind == "turbojet" else ("turboprop",)
        )
        grooved = case.runway.surface != "smooth" and code == 5
        for kind in kinds:
            found = factored_distance(certified, code, kind, grooved=grooved)
            rule = f"at arrival, lowest code {code}, {kind.replace('-', ' ')}" + (" (grooved)" if grooved else "")
            checks.append(DispatchCheck(rule, certified, found.factor, found.distance, available, found.sources))
    keys = tuple(dict.fromkeys(key for check in checks for key in check.source_keys))
    return tuple(checks), keys
