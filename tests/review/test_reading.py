"""Reading recordings: units are never guessed, and whatever is odd is said or refused with the reason."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from groundroll.constants import KNOT
from groundroll.errors import DataError
from groundroll.review.columns import QUANTITIES, UNITS, recognised
from groundroll.review.mapping import Mapping, read_mapping, read_position
from groundroll.review.place import Frame
from groundroll.review.reading import Series, read_recording, resolution_of
from groundroll.review.repair import find_landing, frozen_runs, straight_runs

ROWS = 80


def _csv(folder: Path, header: str, rows: list[str]) -> Path:
    path = folder / "track.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def _speeds() -> np.ndarray:  # type: ignore[type-arg]
    """Return 20 s at 130 kt, then 3 kt less each second down to 10 kt."""
    return np.clip(130.0 - 3.0 * np.maximum(np.arange(ROWS) - 20.0, 0.0), 10.0, 130.0)


def test_read__column_names_say_quantity_and_unit(tmp_path: Path) -> None:
    rows = [f"{number},{speed},0" for number, speed in enumerate(_speeds())]
    recording = read_recording(_csv(tmp_path, "t_s,Ground speed [kt],on_ground_flag", rows))
    assert recording.series["ground_speed"].value[0] == pytest.approx(130.0 * 1852.0 / 3600.0)
    assert find_landing(recording).halfway == pytest.approx(20.0 + (130.0 - 75.0) / 3.0, abs=1.0)


def test_read__surveillance_columns_as_they_come(tmp_path: Path) -> None:
    """The columns t_s, lat, lon, ground speed kt, on_ground_flag, altitude ft."""
    rows = [f"{number},1.0,{2.0 + number * 1e-4},{speed},0,100" for number, speed in enumerate(_speeds())]
    recording = read_recording(_csv(tmp_path, "t_s,lat,lon,ground speed kt,on_ground_flag,altitude ft", rows))
    assert set(recording.series) == {"latitude", "longitude", "ground_speed", "on_ground", "altitude"}
    assert recording.series["altitude"].value[0] == pytest.approx(30.48)
    assert any("it is read as latitude in deg" in one for one in recording.remarks)


def test_read__unit_is_never_guessed(tmp_path: Path) -> None:
    rows = [f"{number},{speed}" for number, speed in enumerate(_speeds())]
    with pytest.raises(DataError, match=r'column "gs": looks like ground speed, but names no unit') as caught:
        read_recording(_csv(tmp_path, "t_s,gs", rows))
    assert "kt, m/s, km/h, ft/min" in str(caught.value)


def test_read__mapping_gives_unit_sign_and_polarity(tmp_path: Path) -> None:
    rows = [f"{number},{speed},0.5,1" for number, speed in enumerate(_speeds())]
    path = _csv(tmp_path, "time,GS,LONG,WOW", rows)
    mapping = tmp_path / "mapping.toml"
    mapping.write_text(
        'format = 1\n[columns.ground_speed]\ncolumn = "GS"\nunit = "kt"\n'
        '[columns.longitudinal_acceleration]\ncolumn = "LONG"\nunit = "g"\nsign = -1\n'
        '[columns.on_ground]\ncolumn = "WOW"\ninverted = true\n'
        '[brakes]\nfull_pressure = "5000 psi"\n[threshold]\nposition = "0.5, -30.5"\n',
        encoding="utf-8",
    )
    recording = read_recording(path, read_mapping(mapping))
    assert recording.series["longitudinal_acceleration"].value[0] == pytest.approx(-0.5 * 9.80665)
    assert recording.series["on_ground"].value[0] == 0.0
    assert recording.mapping.full_brake_pressure == pytest.approx(5000.0 * 6894.757, rel=1e-6)
    assert recording.mapping.threshold == pytest.approx(read_position("0.5, -30.5"))


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("format = 2\n", "write format = 1"),
        ('format = 1\n[columns.speed]\ncolumn = "GS"\n', "is not a quantity known here"),
        ('format = 1\n[columns.ground_speed]\ncolumn = "GS"\n', "no unit is given. Write one of kt"),
        ('format = 1\n[columns.ground_speed]\ncolumn = "GS"\nunit = "psi"\n', '"psi" is not a unit of it'),
        ('format = 1\n[columns.ground_speed]\ncolumn = "GS"\nunit = "kt"\nsign = 2\n', "Write 1 or -1"),
        ('format = 1\n[columns.ground_speed]\nunit = "kt"\n', "name the column"),
        ('format = 1\n[threshold]\nposition = "north"\n', "is not a position"),
        ("format = 1\nnonsense = 1\n", "is not a key known here"),
        ("format = ", "not valid TOML"),
    ],
)
def test_read_mapping__says_what_is_wrong(tmp_path: Path, content: str, message: str) -> None:
    path = tmp_path / "mapping.toml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(DataError, match=message):
        read_mapping(path)


@pytest.mark.parametrize(
    ("header", "row", "message"),
    [
        ("a,b", "1,2", "0 columns are a time"),
        ("t_s,ground_speed_kt", "x,2", "is neither seconds nor a time"),
        ("t_s,ground_speed_kt", "1,fast", "is not a number"),
        ("t_s,altitude_ft", "{n},2", "neither ground speed nor positions"),
        ("t_s,ground_speed_kt,on_ground", "{n},2,7", "7 is neither 0 nor 1"),
        ("t_s,ground_speed_kt", "{n},100", "holds no landing"),
    ],
)
def test_read__refuses_with_the_reason(tmp_path: Path, header: str, row: str, message: str) -> None:
    path = _csv(tmp_path, header, [row.replace("{n}", str(number)) for number in range(40)])
    with pytest.raises(DataError, match=message):
        find_landing(read_recording(path))


def test_read__missing_file_and_wrong_kind(tmp_path: Path) -> None:
    with pytest.raises(DataError, match="there is no such file"):
        read_recording(tmp_path / "none.csv")
    with pytest.raises(DataError, match="is a file that ends with"):
        read_recording(tmp_path / "none.mat")


def test_read__unsorted_and_repeated_times_are_said(tmp_path: Path) -> None:
    rows = [f"{number},{speed}" for number, speed in enumerate(_speeds())]
    rows = [*rows[40:], *rows[:41]]
    recording = read_recording(_csv(tmp_path, "t_s,ground_speed_kt", rows))
    assert recording.series["ground_speed"].size == ROWS
    assert any("they were sorted" in one for one in recording.remarks)
    assert any("1 rows come twice" in one for one in recording.remarks)


def test_read__parquet_equals_csv(tmp_path: Path) -> None:
    import polars as pl

    rows = [f"{number},{speed}" for number, speed in enumerate(_speeds())]
    path = _csv(tmp_path, "t_s,ground_speed_kt", rows)
    pl.read_csv(path).write_parquet(tmp_path / "track.parquet")
    one, two = read_recording(path), read_recording(tmp_path / "track.parquet")
    assert np.array_equal(one.series["ground_speed"].value, two.series["ground_speed"].value)


def test_read__clock_times_are_seconds(tmp_path: Path) -> None:
    rows = [f"2030-01-01T00:{number // 60:02d}:{number % 60:02d}Z,{speed}" for number, speed in enumerate(_speeds())]
    recording = read_recording(_csv(tmp_path, "time,ground_speed_kt", rows))
    assert recording.series["ground_speed"].time[-1] == pytest.approx(ROWS - 1.0)


def test_straight_runs__line_is_found_and_noise_is_not() -> None:
    time = np.arange(0.0, 30.0)
    line = Series(time, 70.0 - 1.37 * time)
    assert straight_runs(line, 0.0, 0.15)[5:25].all()
    noisy = Series(time, 70.0 - 1.37 * time + np.random.default_rng(1).normal(0.0, 0.1, 30))
    assert not straight_runs(noisy, 0.0, 0.15).any()
    level = Series(time, np.full(30, 60.0))
    assert not straight_runs(level, 0.0, 0.15).any()


def test_frozen_runs__counts_from_the_first_repetition() -> None:
    values = np.array([5.0, 4.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 1.0])
    found = frozen_runs(Series(np.arange(9.0), values))
    assert found.tolist() == [False, False, False, True, True, True, True, True, False]


def test_resolution__of_whole_knots_in_metres_a_second() -> None:
    assert resolution_of(np.array([130.0, 128.0, 127.0, 124.0, 121.0]) * KNOT) == pytest.approx(KNOT)


def test_columns__every_name_is_recognised_once() -> None:
    names = [name for one in QUANTITIES.values() for name in one.names]
    assert len(names) == len(set(names))
    for one in QUANTITIES.values():
        assert one.dimension in UNITS
        assert one.description.endswith(".")
        for name in one.names:
            assert recognised(name) is not None


def test_mapping__of_nothing_leaves_all_to_the_names() -> None:
    assert Mapping().uses == ()


def test_frame__a_minute_of_latitude_at_the_equator() -> None:
    """WGS-84: the meridian arc of one minute at the equator is 1842.9 m, of longitude 1855.3 m (a / 3437.75)."""
    minute = np.radians(1.0 / 60.0)
    frame = Frame(0.0, 0.0, 0.0)
    along, _ = frame.along_and_across(np.array([minute]), np.array([0.0]))
    _, across = frame.along_and_across(np.array([0.0]), np.array([minute]))
    assert along[0] == pytest.approx(1842.9, abs=0.2)
    assert across[0] == pytest.approx(1855.3, abs=0.2)
