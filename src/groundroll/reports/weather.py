"""Weather reports, METAR and SPECI: the groups are decoded by the `metar` library, guarded by checks of our own.

The library is lenient. It turns a missing visibility into 10 km, a wind without unit into metres a second, a bare
number after the temperature into a pressure, and passes over the old runway-state group in silence. So the report is
first parted into groups; what the library would misread is withheld from it and shown to the user, and trend and
remarks are kept as text, because their wind and weather are not those of the report.

Group forms: WMO FM 15 and ICAO Annex 3 Appendix 3 (from memory). Wind directions are degrees true: FAA AIM 7-1-11
(second-hand).
"""

from __future__ import annotations

import math
import re
import threading
import warnings as python_warnings
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final, NamedTuple

from metar.Datatypes import distance as MetarDistance  # noqa: N812 - the library names its classes in small letters
from metar.Datatypes import speed as MetarSpeed  # noqa: N812
from metar.Metar import Metar

from groundroll.constants import FOOT, INCH_OF_MERCURY
from groundroll.errors import ReportError
from groundroll.reports.text import CleanText, clean, list_in_words, shown
from groundroll.reports.times import age, check_clock
from groundroll.units import kelvin_from_celsius, metres_per_second_from_knots

LOWEST_PRESSURE_SETTING: Final = 85_000.0
"""Lowest QNH that is believed. [Pa] Assumption of this project: below any pressure observed at sea level."""

HIGHEST_PRESSURE_SETTING: Final = 110_000.0
"""Highest QNH that is believed. [Pa] Assumption of this project: above any pressure observed at sea level."""

PRESSURE_DISAGREEMENT: Final = 150.0
"""Q and A groups further apart than this get a warning. [Pa] Assumption: both rounded, Q down to the whole hPa."""

_MAXIMUM_GROUPS = 80
"""More groups than this before the remarks are no weather report. Assumption of this project."""

_STATION = re.compile(r"[A-Z][A-Z0-9]{3}", re.ASCII)
_TIME = re.compile(r"([0-9]{2})([0-9]{2})([0-9]{2})Z?", re.ASCII)
_START = re.compile(r"(?:\A|\s)(?:METAR\s|SPECI\s)?(?:COR\s)?([A-Z][A-Z0-9]{3})\s([0-9]{6}Z)(?=\s|\Z|=)", re.ASCII)
_MODIFIERS = frozenset({"AUTO", "COR", "CORR", "RTD", "TEST", "FINO", "CCA", "CCB", "CCC", "CCD", "CCE", "CCF", "CCG"})
_WIND = re.compile(
    r"([0-9O]{3}|VRB|///|MMM)(P?[0-9O]{2,3}|//|///|MM)(?:G(P?[0-9]{2,3}|//|MM))?(KT|KTS|MPS|KMH)", re.ASCII
)
_WIND_WITHOUT_UNIT = re.compile(r"(?:[0-9O]{3}|VRB|///|MMM)P?[0-9O/M]{2,3}(?:GP?[0-9/M]{1,3})?(?:K|T|LT)?", re.ASCII)
_WIND_LIKE = re.compile(r"(?=\S{4,})\S*[0-9]\S*(?:KT|KTS|MPS|KMH)", re.ASCII)
_ARC = re.compile(r"([0-9]{3})V([0-9]{3})", re.ASCII)
_STROKES = re.compile(r"/{2,}")
_RUNWAY_STATE = re.compile(
    r"(?:R/)?SNOCLO|R[0-9]{2}(?:RR?|LL?|C)?/?(?:[0-9/]{6}|CLRD(?:[0-9]{2}|//)|SNOCLO)|[0-9]{2}(?:[0-9/]{6}|CLRD(?:[0-9]{2}|//))",
    re.ASCII,
)
_TEMPERATURE = re.compile(r"(?:[M-]?[0-9]{1,2}|//|XX|MM)/(?:[M-]?[0-9]{1,2}|//|XX|MM)?", re.ASCII)
_PRESSURE = re.compile(r"(?:(Q|QNH)([0-9O]{4}|////)|A([0-9O]{4}|////)|QNH([0-9O]{4})INS)", re.ASCII)
_WEATHER = re.compile(
    r"(?:[-+]|VC|[-+]VC)?(?:MI|PR|BC|DR|BL|SH|TS|FZ){0,2}(?:DZ|RA|SN|SG|IC|PL|GR|GS|UP){0,3}"
    r"(?:BR|FG|FU|VA|DU|SA|HZ|PY)?(?:PO|SQ|FC|SS|DS|NSW)?",
    re.ASCII,
)
_RECENT = re.compile(r"RE[A-Z]{2,8}", re.ASCII)
_CLOUD = re.compile(r"(?:VV|CLR|SKC|SCK|NSC|NCD|BKN|SCT|FEW|OVC)(?:[0-9]{3}|///)?(?:CB|TCU|///)?", re.ASCII)
_VISIBILITY = re.compile(r"CAVOK|[MP]?[0-9]{4}(?:NDV|[NSEW][EW]?)?|[MP]?[0-9]{1,2}(?:/[0-9]{1,2})?(?:SM|KM)", re.ASCII)
_WHOLE_MILES = re.compile(r"[0-9]{1,2}", re.ASCII)
_MILE_FRACTION = re.compile(r"[0-9]/[0-9]{1,2}SM", re.ASCII)
_VISUAL_RANGE = re.compile(r"R[0-9]{2}(?:RR?|LL?|C)?/[MP]?[0-9]{4}(?:V[MP]?[0-9]{4})?(?:FT)?/?[NDU]?|RVRNO", re.ASCII)
_VISUAL_RANGE_MISSING = re.compile(r"R[0-9]{2}(?:RR?|LL?|C)?/////", re.ASCII)
_SHEAR_RUNWAY = re.compile(r"R(?:WY)?[0-9]{2}(?:RR?|LL?|C)?", re.ASCII)
_TREND_STARTS = frozenset({"NOSIG", "TEMPO", "BECMG", "FCST"})
_REMARK_STARTS = frozenset({"RMK", "RMKS", "NOSPECI"})

_COVER = {
    "VV": "sky hidden, vertical visibility",
    "CLR": "no clouds",
    "SKC": "no clouds",
    "NSC": "no significant clouds",
    "NCD": "no clouds detected",
    "FEW": "few clouds",
    "SCT": "scattered clouds",
    "BKN": "broken clouds",
    "OVC": "overcast",
}
_CLOUD_KINDS = {"CB": ", cumulonimbus", "TCU": ", towering cumulus"}
_LIBRARY = threading.Lock()
"""Catching the library's warnings changes a setting of the whole process, so one report is read at a time."""


@dataclass(frozen=True)
class WeatherReport:
    """A weather report.

    Attributes
    ----------
    raw, kind, station
        Text as received; METAR or SPECI; location indicator.
    day, hour, minute
        UTC time of the observation; None if missing.
    wind_direction
        Direction the wind blows from, from true north; None if variable, calm or missing. [rad]
    wind_variable
        True for VRB.
    wind_speed, gust_speed
        Mean and gust; None if missing or not reported. [m/s]
    arc_from, arc_to
        Arc within which the direction varies, clockwise, from true north. [rad]
    temperature, dew_point
        None if missing. [K]
    pressure_setting
        QNH; None if missing. [Pa]
    calm
        True if the wind is reported as calm.
    not_understood, warnings
        Groups that no rule explains; what is odd or missing, one sentence each.
    wind_speed_at_least, gust_speed_at_least
        True if the value is a lower bound (P99KT).
    visibility, visibility_at_least
        Prevailing or least visibility as reported; True if a lower bound. [m]
    present_weather, recent_weather, clouds, visual_range, wind_shear
        In words.
    automatic, corrected
        True for AUTO, and for COR.
    trend, remarks
        In capitals; not used.
    """

    raw: str
    kind: str
    station: str
    day: int | None = None
    hour: int | None = None
    minute: int | None = None
    wind_direction: float | None = None
    wind_variable: bool = False
    wind_speed: float | None = None
    gust_speed: float | None = None
    arc_from: float | None = None
    arc_to: float | None = None
    temperature: float | None = None
    pressure_setting: float | None = None
    calm: bool = False
    not_understood: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    wind_speed_at_least: bool = False
    gust_speed_at_least: bool = False
    dew_point: float | None = None
    visibility: float | None = None
    visibility_at_least: bool = False
    present_weather: tuple[str, ...] = ()
    recent_weather: tuple[str, ...] = ()
    clouds: tuple[str, ...] = ()
    visual_range: tuple[str, ...] = ()
    wind_shear: tuple[str, ...] = ()
    automatic: bool = False
    corrected: bool = False
    trend: str | None = None
    remarks: str | None = None

    def age(self, reference: datetime) -> timedelta | None:
        """Return the age at a reference time, or None if the report gives no time."""
        if self.day is None or self.hour is None or self.minute is None:
            return None
        return age(None, self.day, self.hour, self.minute, reference)


@dataclass
class _Parts:
    """A report parted into groups: those for the library, and those withheld from it."""

    kind: str = "METAR"
    station: str = ""
    time: tuple[int, int, int] | None = None
    automatic: bool = False
    corrected: bool = False
    wind: re.Match[str] | None = None
    arc: re.Match[str] | None = None
    pressures: list[str] = field(default_factory=list)
    groups: list[str] = field(default_factory=list)
    not_reported: list[str] = field(default_factory=list)
    runway_state: list[str] = field(default_factory=list)
    not_understood: list[str] = field(default_factory=list)
    trend: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


class _Wind(NamedTuple):
    """The wind of a report; the words are those of `WeatherReport`."""

    direction: float | None = None
    variable: bool = False
    speed: float | None = None
    gust: float | None = None
    arc_from: float | None = None
    arc_to: float | None = None
    calm: bool = False
    speed_at_least: bool = False
    gust_at_least: bool = False


def looks_like_weather(cleaned: CleanText) -> bool:
    """Tell whether a text has the form of a METAR or SPECI, or of a forecast that would be mistaken for one."""
    return (
        re.match(r"(?:METAR|SPECI|TAF)\b", cleaned.capitals) is not None or _START.search(cleaned.capitals) is not None
    )


def read_weather(text: str) -> WeatherReport:
    """Return what a METAR or SPECI says.

    Missing wind, temperature or QNH is None and named in the warnings; groups that are not understood are listed.

    Raises
    ------
    ReportError
        If it is no weather report, or holds a value that cannot be (a wind from 400 degrees, a QNH of 98 hPa).

    Examples
    --------
    >>> report = read_weather("METAR QDEM 251250Z 24015G27KT 9999 BKN012 M02/M03 Q1009")
    >>> round(report.gust_speed / (1852 / 3600)), report.pressure_setting
    (27, 100900.0)
    """
    cleaned = clean(text)
    parts = _part(cleaned)
    decoded, complaints = _decode(parts)
    warnings = [*cleaned.warnings]
    not_understood = [*parts.not_understood, *complaints]
    wind = _wind(parts, decoded, warnings)
    pressure_setting = _pressure_setting(parts, decoded, warnings)
    temperature = None if decoded.temp is None else kelvin_from_celsius(decoded.temp.value("C"))
    dew_point = None if decoded.dewpt is None else kelvin_from_celsius(decoded.dewpt.value("C"))
    if temperature is None:
        warnings.append("The report gives no temperature.")
    elif not 173.15 <= temperature <= 333.15:  # colder and hotter than any observed: assumption of this project
        raise ReportError(f"Temperature {temperature - 273.15:.0f} degC is outside -100 to 60 degC.")
    if temperature is not None and dew_point is not None and dew_point > temperature:
        warnings.append("The dew point is above the temperature.")
    if parts.time is None:
        warnings.append("The report gives no time of observation.")
    if parts.not_reported:
        warnings.append(f"Not reported by the station: {list_in_words(list(dict.fromkeys(parts.not_reported)))}.")
    warnings += [
        f"{group} is the old runway-state group, which left the METAR in November 2021; it is not used."
        + (" It says that the aerodrome is closed by snow." if "SNOCLO" in group else "")
        for group in dict.fromkeys(parts.runway_state)
    ]
    visibility, at_least = _visibility(decoded.vis)
    present, unknown_present = _weather_words(decoded, decoded.weather)
    recent, unknown_recent = _weather_words(decoded, decoded.recent)
    not_understood += [*unknown_present, *unknown_recent]
    day, hour, minute = parts.time or (None, None, None)
    return WeatherReport(
        raw=text,
        kind=parts.kind,
        station=parts.station,
        day=day,
        hour=hour,
        minute=minute,
        wind_direction=wind.direction,
        wind_variable=wind.variable,
        wind_speed=wind.speed,
        gust_speed=wind.gust,
        arc_from=wind.arc_from,
        arc_to=wind.arc_to,
        calm=wind.calm,
        wind_speed_at_least=wind.speed_at_least,
        gust_speed_at_least=wind.gust_at_least,
        temperature=temperature,
        pressure_setting=pressure_setting,
        not_understood=tuple(not_understood),
        warnings=tuple(warnings),
        dew_point=dew_point,
        visibility=visibility,
        visibility_at_least=at_least,
        present_weather=present,
        recent_weather=recent,
        clouds=tuple(_cloud_words(cover, height, kind) for cover, height, kind in decoded.sky),
        visual_range=tuple(_visual_range_words(str(name), low, high) for name, low, high, _ in decoded.runway),
        wind_shear=tuple(str(runway) for runway in decoded.windshear),
        automatic=parts.automatic,
        corrected=parts.corrected,
        trend=" ".join(parts.trend) or None,
        remarks=" ".join(parts.remarks) or None,
    )


def _part(cleaned: CleanText) -> _Parts:
    """Part a report into header, groups for the library, and what is withheld from it."""
    capitals = cleaned.capitals
    if re.match(r"TAF\b", capitals) is not None:
        raise ReportError("This is a forecast (TAF). Give the observed report, a METAR or SPECI.")
    starts = list(dict.fromkeys(match.groups() for match in _START.finditer(capitals)))
    if len(starts) > 1:
        names = list_in_words([f"{station} {time}" for station, time in starts[:5]])
        raise ReportError(f"The text holds {len(starts)} weather reports ({names}). Give one.")
    tokens = capitals.split()
    for number, token in enumerate(tokens):
        if token.endswith("="):
            tokens, after = [*tokens[:number], *([token.rstrip("=")] if token != "=" else [])], tokens[number + 1 :]
            break
    else:
        after = []
    parts = _Parts(not_understood=[token for token in after if token != "="])
    at = _header(parts, [token for token in tokens if token])
    rest = [token for token in tokens if token][at:]
    if rest[:1] == ["NIL"]:
        raise ReportError(f"The report of {parts.station} is NIL: the station sent no observation.")
    groups = next((at for at, token in enumerate(rest) if token in _REMARK_STARTS), len(rest))
    if groups > _MAXIMUM_GROUPS:
        raise ReportError(f"The report has {groups} groups; a weather report has {_MAXIMUM_GROUPS} at most.")
    _sort_groups(parts, rest)
    directions = [] if parts.wind is None else [(parts.wind[1], parts.wind[0])]
    directions += [] if parts.arc is None else [(parts.arc[1], parts.arc[0]), (parts.arc[2], parts.arc[0])]
    for direction, group in directions:
        figures = direction.replace("O", "0")
        if figures.isdigit() and int(figures) > 360:
            raise ReportError(f"Wind direction {direction} in {group} is outside 000 to 360 degrees.")
    if not (parts.groups or parts.not_reported):
        raise ReportError(f"{shown(cleaned.text)} holds no group of a weather report: wind, temperature or QNH.")
    return parts


def _header(parts: _Parts, tokens: list[str]) -> int:
    """Read kind, station, time and modifiers; return where the groups begin."""
    at = 0
    if tokens[:1] in (["METAR"], ["SPECI"]):
        parts.kind = tokens[0]
        at = 1
    if tokens[at : at + 1] == ["COR"]:
        parts.corrected = True
        at += 1
    station = tokens[at] if at < len(tokens) else ""
    if _STATION.fullmatch(station) is None or station in _MODIFIERS:
        raise ReportError(
            f"{shown(' '.join(tokens))} is not a weather report: a METAR begins with the station and the time, "
            '"METAR QDEM 251250Z".'
        )
    parts.station = station
    at += 1
    time = _TIME.fullmatch(tokens[at]) if at < len(tokens) else None
    if time is not None:
        day, hour, minute = int(time[1]), int(time[2]), int(time[3])
        if not 1 <= day <= 31:
            raise ReportError(f"{shown(time[0])} is not a time: day {day:02d} is outside 01 to 31.")
        check_clock(hour, minute, time[0])
        parts.time = day, hour, minute
        at += 1
    while at < len(tokens) and tokens[at] in _MODIFIERS:
        parts.automatic = parts.automatic or tokens[at] == "AUTO"
        parts.corrected = parts.corrected or tokens[at].startswith("C")
        at += 1
    return at


def _sort_groups(parts: _Parts, tokens: list[str]) -> None:
    """Give each group its place: for the library, withheld, trend or remarks."""
    temperature_seen = False
    at = 0
    while at < len(tokens):
        token = tokens[at]
        before = tokens[at - 1] if at else ""
        following = tokens[at + 1] if at + 1 < len(tokens) else ""
        if token in _REMARK_STARTS:
            parts.remarks += tokens[at + 1 :]
            return
        if token in _TREND_STARTS:
            stop = next((n for n in range(at, len(tokens)) if tokens[n] in _REMARK_STARTS), len(tokens))
            parts.trend += tokens[at:stop]
            at = stop
            continue
        wind = _WIND.fullmatch(token)
        if _RUNWAY_STATE.fullmatch(token) is not None and _STROKES.fullmatch(token) is None:
            parts.runway_state.append(token)
        elif wind is not None and parts.wind is None:
            parts.wind = wind
            parts.groups.append(token)
        elif (arc := _ARC.fullmatch(token)) is not None and parts.wind is not None and before == parts.wind[0]:
            parts.arc = arc
            parts.groups.append(token)
        elif _STROKES.fullmatch(token) is not None or _VISUAL_RANGE_MISSING.fullmatch(token) is not None:
            parts.not_reported.append(token)
        elif _TEMPERATURE.fullmatch(token) is not None and not temperature_seen:
            temperature_seen = True
            parts.groups.append(token)
        elif _PRESSURE.fullmatch(token) is not None:
            parts.pressures.append(token)
            parts.groups.append(token)
        elif token == "WS" and (following == "ALL" or _SHEAR_RUNWAY.fullmatch(following) is not None):
            used = 3 if following == "ALL" and tokens[at + 2 : at + 3] in (["RWY"], ["RWYS"]) else 2
            parts.groups += ["WS", *(["ALL", "RWY"] if following == "ALL" else [following])]
            at += used - 1
        elif _WHOLE_MILES.fullmatch(token) is not None and _MILE_FRACTION.fullmatch(following) is not None:
            parts.groups += [token, following]
            at += 1
        elif _is_plain_group(token) and not (temperature_seen and _VISIBILITY.fullmatch(token) is not None):
            parts.groups.append(token)
        else:
            parts.not_understood.append(token)
        at += 1


def _is_plain_group(token: str) -> bool:
    """Tell whether a group is one the library reads alone: visibility, visual range, weather, cloud, recent weather."""
    return any(
        pattern.fullmatch(token) is not None for pattern in (_VISIBILITY, _VISUAL_RANGE, _WEATHER, _CLOUD, _RECENT)
    )


def _decode(parts: _Parts) -> tuple[Metar, list[str]]:
    """Run the library over the groups it reads safely; return what it made of them and the groups it left."""
    code = " ".join([parts.kind, parts.station, *parts.groups])
    with _LIBRARY, python_warnings.catch_warnings(record=True) as caught:
        python_warnings.simplefilter("always")
        decoded = Metar(code, strict=False)
    for warning in caught:
        message = str(warning.message)
        if "failed while processing" in message:
            rest = message.split("'")[1:2] or [code]
            reason = message.splitlines()[-1].strip()
            raise ReportError(f"The group at {shown(rest[0])} cannot be read: {reason}.")
    # The library names the groups it left over only in this attribute and in the text of its warning.
    return decoded, [str(group) for group in decoded._unparsed_groups]


def _speed(value: MetarSpeed | None) -> tuple[float | None, bool]:
    """Return a speed in m/s and whether it is a lower bound; knots are converted exactly, not by the library."""
    if value is None:
        return None, False
    words = value.string()
    at_least = words.startswith("greater than")
    if words.endswith("knots"):
        return metres_per_second_from_knots(value.value()), at_least
    return float(value.value("MPS")), at_least


def _wind(parts: _Parts, decoded: Metar, warnings: list[str]) -> _Wind:
    """Return the fields of the wind; the forms the library does not tell apart are told apart here."""
    speed, at_least = _speed(decoded.wind_speed)
    gust, gust_at_least = _speed(decoded.wind_gust)
    if parts.wind is None:
        odd = [
            token
            for token in parts.not_understood
            if _WIND_LIKE.fullmatch(token) is not None or _WIND_WITHOUT_UNIT.fullmatch(token) is not None
        ]
        warnings.append(
            f"The report gives no wind that can be read; {odd[0]} is not understood."
            if odd
            else "The report gives no wind."
        )
        return _Wind()
    group = parts.wind[0]
    variable = parts.wind[1] == "VRB"
    degrees = None if decoded.wind_dir is None or variable else float(decoded.wind_dir.value())
    calm = speed == 0.0 and not at_least
    if degrees is None and not variable:
        warnings.append(f"The wind direction is missing ({group}).")
    if speed is None:
        warnings.append(f"The wind speed is missing ({group}).")
    if degrees == 0.0 and speed is not None and not calm:
        warnings.append(f"Wind direction 000 means calm; {group} is read as a wind from north (360).")
    if at_least or gust_at_least:
        warnings.append(
            f"The wind in {group} is above the highest value a report can give; the number is a lower bound."
        )
    if gust is not None and speed is not None and gust <= speed:
        warnings.append(f"The gust is not above the mean wind ({group}).")
    arc_from = arc_to = None
    if parts.arc is not None:
        arc_from, arc_to = (math.radians(int(value)) for value in parts.arc.groups())
    return _Wind(
        None if degrees is None or calm else math.radians(degrees % 360.0),
        variable and not calm,
        speed,
        gust,
        arc_from,
        arc_to,
        calm,
        at_least,
        gust_at_least,
    )


def _pressure_setting(parts: _Parts, decoded: Metar, warnings: list[str]) -> float | None:
    """Return the QNH in Pa from the library's reading of the last pressure group."""
    if decoded.press is None:
        warnings.append("The report gives no QNH.")
        return None
    values = {group: _pascals(group) for group in parts.pressures if "/" not in group}
    for group, value in values.items():
        if not LOWEST_PRESSURE_SETTING <= value <= HIGHEST_PRESSURE_SETTING:
            raise ReportError(f"QNH {value / 100.0:.1f} hPa ({group}) is outside 850 to 1100 hPa.")
    if max(values.values()) - min(values.values()) > PRESSURE_DISAGREEMENT:
        warnings.append(f"The pressure groups {list_in_words(list(values))} disagree; the last one is used.")
    in_inches = decoded.press.string().endswith("inches")
    return float(decoded.press.value()) * (INCH_OF_MERCURY if in_inches else 100.0)


def _pascals(group: str) -> float:
    """Return the pressure of one group in Pa: Q1009 is 1009 hPa, A3006 is 30.06 inches of mercury."""
    figures = int("".join(figure for figure in group.replace("O", "0") if figure.isdigit()))
    return figures / 100.0 * INCH_OF_MERCURY if group.startswith("A") or group.endswith("INS") else figures * 100.0


def _visibility(value: MetarDistance | None) -> tuple[float | None, bool]:
    """Return the visibility in m and whether it is a lower bound (9999, CAVOK, P6SM)."""
    if value is None:
        return None, False
    metres = float(value.value("M"))
    return metres, value.string().startswith("greater than") or metres >= 10_000.0


def _weather_words(decoded: Metar, entries: list[tuple[str, str, str, str, str]]) -> tuple[tuple[str, ...], list[str]]:
    """Return weather in words, entry by entry, and the groups the library has no words for."""
    words, unknown = [], []
    for entry in entries:
        decoded.weather = [entry]
        try:
            text = decoded.present_weather().strip()
        except KeyError:
            text = ""
        if text:
            words.append(text)
        else:
            unknown.append("".join(part or "" for part in entry))
    return tuple(words), unknown


def _cloud_words(cover: str, height: MetarDistance | None, kind: str) -> str:
    """Return one cloud layer in words, height in feet above the aerodrome."""
    at = "" if height is None else f" at {float(height.value('FT')):.0f} ft"
    if cover == "VV":
        at = at.replace(" at ", " ", 1) if at else " not reported"
    return f"{_COVER[cover]}{at}{_CLOUD_KINDS.get(kind, '')}"


def _visual_range_words(runway: str, low: MetarDistance, high: MetarDistance) -> str:
    """Return a runway visual range in words, in metres."""
    least, most = (round(_metres(value)) for value in (low, high))
    bound = (
        "more than " if low.string().startswith("greater") else "less than " if low.string().startswith("less") else ""
    )
    distance = f"{bound}{least} m" if least == most else f"{least} to {most} m"
    return f"runway {runway}: {distance}"


def _metres(value: MetarDistance) -> float:
    """Return a distance in m; feet are converted exactly, not by the library."""
    return value.value() * FOOT if value.string().endswith("feet") else float(value.value("M"))
