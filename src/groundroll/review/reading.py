"""Reading a recording: CSV or Parquet in, one time base a quantity out, SI, with everything odd said."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from groundroll.errors import DataError
from groundroll.physics.arguments import FloatArray
from groundroll.review.columns import recognised
from groundroll.review.mapping import ColumnUse, Mapping, uses_of

if TYPE_CHECKING:
    import polars

LARGEST_RECORDING: Final = 200_000_000
"""Largest file read. [bytes] Assumption of this project: one flight at 16 Hz with 200 columns has a quarter of it."""

INVENTED_REMARK: Final = "INVENTED: a simulated landing seen through simulated sensors; no real flight"
"""First of the remarks about a recording that says of itself that it is invented."""

SUFFIXES: Final = (".csv", ".txt", ".parquet")


@dataclass(frozen=True)
class Series:
    """One quantity over its own time base: finite values only, time rising."""

    time: FloatArray
    value: FloatArray
    resolution: float = 0.0
    """Step in which the values were recorded; 0 where none is visible. [unit of value]"""
    spread: FloatArray | None = None
    """Standard deviation of each value by its rounding alone, where it differs from value to value."""

    @property
    def size(self) -> int:
        """Return the number of samples."""
        return int(self.time.size)

    @property
    def interval(self) -> float:
        """Return the usual time between samples. [s]"""
        return float(np.median(np.diff(self.time))) if self.size > 1 else math.inf

    def between(self, first: float, last: float) -> Series:
        """Return the samples within a span of time."""
        return self.without((self.time < first) | (self.time > last))

    def without(self, dropped: np.ndarray[Any, np.dtype[np.bool_]]) -> Series:
        """Return the series less some samples."""
        spread = None if self.spread is None else self.spread[~dropped]
        return Series(self.time[~dropped], self.value[~dropped], self.resolution, spread)

    def at(self, time: float | FloatArray) -> FloatArray:
        """Return the values at times, linear between samples, held beyond the ends."""
        return np.asarray(np.interp(time, self.time, self.value), dtype=np.float64)


@dataclass(frozen=True)
class Recording:
    """A recording as read: quantities by name, and what is odd about them."""

    name: str
    series: dict[str, Series]
    mapping: Mapping = field(default_factory=Mapping)
    remarks: tuple[str, ...] = ()

    def get(self, name: str) -> Series | None:
        """Return a quantity, None where the recording has it not."""
        return self.series.get(name)


def read_recording(path: Path | str, mapping: Mapping | None = None) -> Recording:
    """Return the recording in a CSV or Parquet file.

    Parameters
    ----------
    path
        The file; the first line of a CSV file that does not start with # names the columns.
    mapping
        What its columns are; by default the names of the columns say it.

    Raises
    ------
    DataError
        If the file cannot be used; the message says why and what to do.
    """
    path, mapping = Path(path), mapping or Mapping()
    frame = _frame(path)
    recording = recording_of(frame, path.name, mapping)
    if not _says_invented(path):
        return recording
    return replace(recording, remarks=(INVENTED_REMARK, *recording.remarks))


def _says_invented(path: Path) -> bool:
    """Return whether a file says of itself that it is invented: in a line that begins with #, or in its metadata."""
    if path.suffix.lower() == ".parquet":
        import polars as pl

        return "INVENTED" in pl.read_parquet_metadata(path).get("groundroll", "")
    with path.open(encoding="utf-8-sig", errors="replace") as file:
        return any("INVENTED recording" in line for _, line in zip(range(20), file, strict=False) if line[:1] == "#")


def _frame(path: Path) -> polars.DataFrame:
    import polars as pl

    if path.suffix.lower() not in SUFFIXES:
        raise DataError(f"{path}: a recording is a file that ends with {', '.join(SUFFIXES)}.")
    try:
        size = path.stat().st_size
    except OSError as error:
        raise DataError(f"{path}: {'there is no such file' if not path.exists() else error.strerror}.") from error
    if not path.is_file():
        raise DataError(f"{path} is not an ordinary file.")
    if size > LARGEST_RECORDING:
        raise DataError(f"{path} has {size / 1e6:.0f} MB; a recording has at most {LARGEST_RECORDING / 1e6:.0f} MB.")
    try:
        if path.suffix.lower() == ".parquet":
            return pl.read_parquet(path)
        separator, decimal_comma = _marks(path)
        return pl.read_csv(
            path,
            comment_prefix="#",
            separator=separator,
            decimal_comma=decimal_comma,
            infer_schema_length=2_000,
            null_values=["", "NaN", "nan", "NA", "null", "None"],
        )
    except (pl.exceptions.PolarsError, OSError, ValueError) as error:
        reason = " ".join(str(error).split())[:120].rstrip(".")
        raise DataError(f"{path.name} cannot be read as {path.suffix[1:].upper()}: {reason}.") from error


def _marks(path: Path) -> tuple[str, bool]:
    """Return what parts the columns of a CSV file, and whether a comma is the decimal mark, by its first two lines."""
    with path.open(encoding="utf-8-sig", errors="replace") as file:
        told = [line for _, line in zip(range(200), file, strict=False) if line.strip() and not line.startswith("#")]
    if not told:
        return ",", False
    separator = max((",", ";", "\t"), key=told[0].count)
    values = told[1].split(separator) if len(told) > 1 else []
    return separator, separator != "," and any(re.fullmatch(r"\s*-?\d+,\d+\s*", one) for one in values)


def _numbers(frame: polars.DataFrame, use: ColumnUse, file: str) -> FloatArray:
    import polars as pl

    column = frame[use.column]
    if column.dtype == pl.Boolean:
        column = column.cast(pl.Float64)
    elif column.dtype == pl.String and use.quantity.kind == "discrete":
        words = {"true": 1.0, "false": 0.0, "1": 1.0, "0": 0.0, "1.0": 1.0, "0.0": 0.0, "yes": 1.0, "no": 0.0}
        words |= {"t": 1.0, "f": 0.0, "ground": 1.0, "air": 0.0, "airborne": 0.0}
        unknown = [one for one in column.drop_nulls().unique().to_list() if str(one).strip().lower() not in words]
        if unknown:
            raise DataError(
                f'{file}, column "{use.column}": "{unknown[0]}" is neither 0 nor 1, neither true nor false.'
            )
        column = column.str.strip_chars().str.to_lowercase().replace_strict(words, return_dtype=pl.Float64)
    elif column.dtype == pl.String and use.quantity.name == "time":
        return _clock(column, use, file)
    elif column.dtype.is_temporal():
        return np.asarray(column.cast(pl.Datetime("us")).cast(pl.Int64).to_numpy(), dtype=np.float64) / 1e6
    else:
        if column.dtype == pl.String:
            column = column.str.strip_chars().replace("", None)
            if use.quantity.name == "altitude":  # some receivers write the word in place of a number
                column = column.str.to_lowercase().replace("ground", None)
        try:
            column = column.cast(pl.Float64)
        except pl.exceptions.PolarsError as error:
            wrong = column.cast(pl.String)
            first = next((one for one in wrong.to_list() if one is not None and not _is_number(one)), "")
            raise DataError(f'{file}, column "{use.column}": "{first[:40]}" is not a number.') from error
    values = column.to_numpy().astype(np.float64)
    factor, offset = use.scale
    values = use.sign * (factor * values + offset)
    return np.asarray(1.0 - values if use.inverted else values)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _clock(column: polars.Series, use: ColumnUse, file: str) -> FloatArray:
    import polars as pl

    column = column.str.strip_chars()
    numbers = column.cast(pl.Float64, strict=False)
    if numbers.null_count() == column.null_count():
        factor, offset = use.scale
        return np.asarray(factor * numbers.to_numpy() + offset, dtype=np.float64)
    day_time = column.str.to_time("%H:%M:%S%.f", strict=False)
    if day_time.null_count() == column.null_count():
        seconds = np.asarray(day_time.cast(pl.Int64).to_numpy(), dtype=np.float64) / 1e9
        return seconds + 86_400.0 * np.cumsum(np.diff(seconds, prepend=seconds[:1]) < -43_200.0)  # past midnight
    try:
        moments = column.str.to_datetime(strict=True, time_zone="UTC")
    except (pl.exceptions.PolarsError, ValueError) as error:
        raise DataError(
            f'{file}, column "{use.column}": is neither seconds nor a time such as 2026-02-17T06:40:12.5Z.'
        ) from error
    return np.asarray(moments.dt.timestamp("us").to_numpy(), dtype=np.float64) / 1e6


def recording_of(frame: polars.DataFrame, name: str, mapping: Mapping) -> Recording:
    """Return the recording in a table, each column on the rows where it has a value.

    Raises
    ------
    DataError
        If there is no time, no speed and no position, or a column cannot be read.
    """
    import polars as pl

    uses, remarks = uses_of(frame.columns, mapping, name)
    clocks = [use for use in uses if use.quantity.name == "time"]
    if len(clocks) != 1:
        raise DataError(
            f"{name}: {len(clocks)} columns are a time; one is needed, such as t_s. Name it in a mapping file."
        )
    time = _numbers(frame, clocks[0], name)
    if frame[clocks[0].column].dtype in (pl.String, pl.Datetime):  # a clock needs no unit
        remarks = [one for one in remarks if not one.endswith(" it is read as time in s")]
    kept = np.isfinite(time)
    if int(kept.sum()) < 10:
        raise DataError(f"{name}: only {int(kept.sum())} rows have a time.")
    if recognised(clocks[0].column) == (clocks[0].quantity, None) and np.nanmedian(time) > 1e11:
        raise DataError(
            f'{name}, column "{clocks[0].column}": {np.nanmedian(time):.0f} is no time in seconds of our age, and the '
            f'name says no unit. In milliseconds? Then rename it to "{clocks[0].column}_ms", or say the unit in a '
            "mapping file."
        )
    if time.size and np.unique(time).size < time.size:
        once = frame.select(pl.struct(pl.all()).is_first_distinct()).to_series().to_numpy()
        if not np.all(once):
            remarks.append(f"{int((~once).sum())} rows come twice; once counts")
            frame, time, kept = frame.filter(once), time[once], kept[once]
    order = np.argsort(time[kept], kind="stable")
    if np.any(np.diff(time[kept]) < 0.0):
        remarks.append("rows were not in the order of time; they were sorted")
    sorted_time = time[kept][order] - time[kept][order][0]
    filled = [use for use in uses if use.quantity.name == "interpolated"]
    marked = np.zeros(sorted_time.size, dtype=bool)
    if filled:
        marked = np.nan_to_num(_numbers(frame, filled[0], name))[kept][order] > 0.5
        if np.any(marked):
            remarks.append(f"{int(marked.sum())} rows that the source marks as filled in were left out")
    grouped: dict[str, list[Series]] = {}
    for use in uses:
        if use.quantity.name in ("time", "interpolated"):
            continue
        values = _numbers(frame, use, name)[kept][order]
        grouped.setdefault(use.quantity.name, []).append(_series(sorted_time, values, ~marked, use, name, remarks))
    series = {key: _together(key, parts) for key, parts in grouped.items() if any(one.size > 1 for one in parts)}
    if "ground_speed" not in series and not {"latitude", "longitude"} <= set(series) and "distance" not in series:
        raise DataError(f"{name}: has neither ground speed nor positions; nothing can be reviewed.")
    return Recording(name, series, mapping, tuple(remarks))


def _series(
    time: FloatArray,
    values: FloatArray,
    trusted: np.ndarray[Any, np.dtype[np.bool_]],
    use: ColumnUse,
    file: str,
    remarks: list[str],
) -> Series:
    kind = use.quantity.kind
    good = np.isfinite(values) & trusted
    wild = good & (np.abs(values) > 1e9)
    if np.any(wild):
        remarks.append(f'column "{use.column}": {int(wild.sum())} impossible values were left out')
        good &= ~wild
    if kind == "discrete":
        odd = good & (values != 0.0) & (values != 1.0)
        if np.any(odd):
            raise DataError(f'{file}, column "{use.column}": {values[odd][0]:g} is neither 0 nor 1.')
    moments, numbers = time[good], values[good]
    if moments.size > 1:
        again = np.diff(moments, prepend=moments[0] - 1.0) <= 0.0
        if np.any(again):
            remarks.append(f'column "{use.column}": {int(again.sum())} samples at a time already seen were left out')
            moments, numbers = moments[~again], numbers[~again]
    if kind == "angle" and numbers.size:
        numbers = np.unwrap(numbers)
    if use.quantity.dimension == "share" and numbers.size and np.max(np.abs(numbers)) > 1.5 and use.unit == "1":
        raise DataError(
            f'{file}, column "{use.column}": {np.max(numbers):g} is no share of 1. In percent? Then name the unit %.'
        )
    return Series(moments, numbers, resolution_of(numbers) or decimals_of(numbers, use.scale))


def resolution_of(values: FloatArray) -> float:
    """Return the step of which all differences are multiples, 0 where there is none.

    Examples
    --------
    >>> round(resolution_of(np.array([1.0, 1.5, 3.0, 2.5, 2.5, 4.0])), 9)
    0.5
    """
    if values.size < 3:
        return 0.0
    differences = np.unique(np.abs(np.diff(np.unique(values))))
    differences = differences[differences > 1e-9 * max(1.0, float(np.max(np.abs(values))))]
    if differences.size == 0:
        return 0.0
    # The least difference may itself be several steps: 2 and 3 are multiples of 1.
    for part in range(1, 6 if differences.size > 5 else 2):
        step = float(differences[0]) / part
        multiples = differences / step
        if bool(np.all(np.abs(multiples - np.round(multiples)) < 1e-4 * multiples + 0.02)):
            return step
    return 0.0


def decimals_of(values: FloatArray, scale: tuple[float, float]) -> float:
    """Return the step of the last decimal in which the values were written, 0 where there are more than seven.

    Parameters
    ----------
    values
        In SI.
    scale
        Factor and offset from the recorded unit to SI.

    Examples
    --------
    >>> decimals_of(np.array([1.25, 3.1, 2.0, 7.77]), (1.0, 0.0))
    0.01
    """
    factor, offset = scale
    written = (values - offset) / factor
    for digits in range(8):
        tens = written * 10.0**digits
        if bool(np.all(np.abs(tens - np.round(tens)) < 1e-4 + 1e-9 * np.abs(tens))):
            return float(abs(factor) * 10.0**-digits)
    return 0.0


def _together(name: str, parts: Sequence[Series]) -> Series:
    """Return one series from several columns of one quantity, on the time base of the one with most samples."""
    parts = [one for one in parts if one.size > 1]
    if len(parts) == 1:
        return parts[0]
    base = max(parts, key=lambda one: one.size)
    if name in ("main_gear_on_ground", "on_ground", "nose_gear_on_ground", "reverser_deployed", "reverse_selected"):
        held = [_held(one, base.time) for one in parts]
        values = np.min(held, axis=0) if name == "reverser_deployed" else np.max(held, axis=0)
    else:
        values = np.mean([one.at(base.time) for one in parts], axis=0)
    return Series(base.time, values, max(one.resolution for one in parts) / len(parts))


def _held(series: Series, time: FloatArray) -> FloatArray:
    """Return the last value at or before each time; before the first sample, the first."""
    return series.value[np.clip(np.searchsorted(series.time, time, side="right") - 1, 0, None)]
