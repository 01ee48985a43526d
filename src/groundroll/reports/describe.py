"""Reports in plain words, one line each; notes and what was not understood come last."""

from __future__ import annotations

import math

from groundroll.reports.checks import millimetres, place_names, runway_name
from groundroll.reports.model import ConditionReport, RunwayCondition, ThirdCondition
from groundroll.reports.text import list_in_words
from groundroll.reports.times import time_in_words
from groundroll.reports.weather import WeatherReport
from groundroll.reports.wording import PILOT_TERMS
from groundroll.units import celsius_from_kelvin, knots_from_metres_per_second

_BEGINNING = {
    "lower designator": "thirds from the threshold of the lower designator",
    "as named": "thirds from the threshold of the runway named",
    "landing": "thirds in landing direction",
}


def describe_condition(report: ConditionReport) -> list[str]:
    """Return a runway condition report in plain words.

    Examples
    --------
    >>> from groundroll.reports.condition import read_condition
    >>> print("\\n".join(describe_condition(read_condition("runway 24 wet 5/5/5"))))
    Spoken words.
    Runway 24, thirds in landing direction:
      touchdown third: code 5 (GOOD), WET
      middle third: code 5 (GOOD), WET
      roll-out third: code 5 (GOOD), WET
    """
    title = report.kind[0].upper() + report.kind[1:]
    if report.serial is not None:
        title += f" {report.serial}"
    if report.aerodrome is not None:
        title += f" of {report.aerodrome}"
    lines = [title + (", corrected." if report.correction else ".")]
    for runway in report.runways:
        lines += _runway_lines(runway)
    lines += [item.meaning for item in report.situational]
    return lines + _last_lines(report.warnings, report.not_understood)


def describe_weather(report: WeatherReport) -> list[str]:
    """Return a weather report in plain words.

    Examples
    --------
    >>> from groundroll.reports.weather import read_weather
    >>> for line in describe_weather(read_weather("METAR QDEM 251250Z 24015G27KT 9999 12/08 Q1009")):
    ...     print(line)
    METAR of QDEM, day 25 12:50 UTC.
    Wind from 240 degrees true, 15 kt, gusts 27 kt.
    Visibility 10 km or more.
    Temperature 12 degC, dew point 8 degC.
    QNH 1009.0 hPa.
    """
    when = time_in_words(None, report.day, report.hour, report.minute)
    title = f"{report.kind} of {report.station}, {when}"
    title += ", automatic" if report.automatic else ""
    lines = [title + (", corrected." if report.corrected else "."), _wind_line(report)]
    if report.visibility is not None:
        lines.append(f"Visibility {_visibility_words(report)}.")
    lines += [f"Runway visual range, {words}." for words in report.visual_range]
    if report.present_weather:
        lines.append(f"Weather: {list_in_words(report.present_weather)}.")
    if report.recent_weather:
        lines.append(f"Recent weather: {list_in_words(report.recent_weather)}.")
    if report.clouds:
        lines.append(f"Sky: {'; '.join(report.clouds)}.")
    if report.temperature is not None:
        dew = "" if report.dew_point is None else f", dew point {_celsius(report.dew_point)}"
        lines.append(f"Temperature {_celsius(report.temperature)}{dew}.")
    if report.pressure_setting is not None:
        lines.append(f"QNH {report.pressure_setting / 100.0:.1f} hPa.")
    lines += [
        "Wind shear on all runways." if runway == "ALL" else f"Wind shear on runway {runway}."
        for runway in report.wind_shear
    ]
    if report.trend is not None:
        lines.append(f"Trend, not used: {report.trend}.")
    if report.remarks is not None:
        lines.append(f"Remarks, not used: {report.remarks}.")
    return lines + _last_lines(report.warnings, report.not_understood)


def _last_lines(warnings: tuple[str, ...], not_understood: tuple[str, ...]) -> list[str]:
    """Return notes and what was not understood."""
    lines = [f"Note: {warning}" for warning in warnings]
    if not_understood:
        lines.append(f"Not understood: {'; '.join(' '.join(piece.split()) for piece in not_understood)}")
    return lines


def _runway_lines(runway: RunwayCondition) -> list[str]:
    """Return a runway in words: heading, three thirds, width."""
    when = ""
    if runway.hour is not None:
        when = f", {time_in_words(runway.month, runway.day, runway.hour, runway.minute, runway.year)}"
    lines = [f"{runway_name(runway)}{when}, {_BEGINNING[runway.direction]}:"]
    lines += [
        f"  {place}: {_third_words(third)}" for place, third in zip(place_names(runway), runway.thirds, strict=True)
    ]
    if runway.width is not None:
        lines.append(f"  The codes apply to a width of {runway.width:.0f} m.")
    return lines


def _third_words(third: ThirdCondition) -> str:
    """Return one third in words."""
    words = []
    if third.code is None:
        words.append("no code")
    else:
        term = PILOT_TERMS.get(third.code)
        words.append(f"code {third.code}" + ("" if term is None else f" ({term})"))
    name = third.descriptor or third.reported_as
    if name is not None:
        reported = third.reported_as is not None and third.descriptor is not None
        words.append(f"{name} (reported as {third.reported_as})" if reported else name)
    if third.depth is not None:
        words.append(f"{millimetres(third.depth)}{' or less' if third.depth_at_most else ''} deep")
    if third.coverage_percent is not None:
        words.append(f"{third.coverage_percent} % covered")
    return ", ".join(words)


def _wind_line(report: WeatherReport) -> str:
    """Return the wind in words, knots."""
    if report.calm:
        return "Wind calm."
    if report.wind_speed is None and report.wind_direction is None and not report.wind_variable:
        return "Wind not reported."
    if report.wind_variable:
        words = "Wind variable"
    elif report.wind_direction is None:
        words = "Wind direction not reported"
    else:
        words = f"Wind from {_degrees(report.wind_direction)} degrees true"
    if report.wind_speed is None:
        words += ", speed not reported"
    else:
        words += f", {_knots(report.wind_speed, report.wind_speed_at_least)}"
    if report.gust_speed is not None:
        words += f", gusts {_knots(report.gust_speed, report.gust_speed_at_least)}"
    if report.arc_from is not None and report.arc_to is not None:
        words += f", varying from {_degrees(report.arc_from)} to {_degrees(report.arc_to)} degrees"
    return words + "."


def _degrees(direction: float) -> str:
    """Return a direction in three figures, 360 for north."""
    return f"{round(math.degrees(direction)) % 360 or 360:03d}"


def _knots(speed: float, at_least: bool) -> str:
    """Return a speed in knots, as a lower bound where it is one."""
    return f"{'more than ' if at_least else ''}{knots_from_metres_per_second(speed):.0f} kt"


def _celsius(temperature: float) -> str:
    """Return a temperature in whole degrees Celsius, without a sign before zero."""
    return f"{round(celsius_from_kelvin(temperature))} degC"


def _visibility_words(report: WeatherReport) -> str:
    """Return the visibility in words."""
    metres = report.visibility or 0.0
    if report.visibility_at_least:
        return f"{metres / 1000.0:.0f} km or more"
    return f"{metres:.0f} m"
