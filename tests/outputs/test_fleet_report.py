"""The words and charts of a fleet: nothing cut off in silence, nothing said that is not known."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from groundroll.errors import GroundrollError
from groundroll.outputs.fleet_report import fleet_charts, fleet_lines, write_fleet_report
from groundroll.review.fleet_answers import FleetAnswers, MapPiece, MeanOf, Talk

NOTHING = FleetAnswers(0, (), (), (), (), (), None, (), (), (), ())
PIECE = MapPiece("QLNG", "27L", 5, 600.0, 3, 30, 1.1, 1.0, 1.2, 0.1, 0.9)


def test_fleet_lines__a_middle_that_is_not_known_is_not_printed() -> None:
    """Few landings can leave no middle worth telling; then only the lower bound is said and drawn."""
    known = fleet_lines(replace(NOTHING, friction_map=(PIECE,)))
    assert any("1.10 (1.00 to 1.20; 3 measured, 30 bounds)" in one for one in known)
    open_ = replace(PIECE, median=None, low=None, high=None, spread=None)
    lines = fleet_lines(replace(NOTHING, friction_map=(open_,)))
    assert any("at least 0.90; its middle is not known" in one for one in lines)
    chart = fleet_charts(replace(NOTHING, friction_map=(open_,)))["friction_map"]
    assert "at least" in chart
    assert "median" not in chart
    assert "median" in fleet_charts(replace(NOTHING, friction_map=(PIECE,)))["friction_map"]


def test_fleet_lines__bounds_stand_in_the_text() -> None:
    bound = replace(PIECE, measured=0, median=None, low=None, high=None, spread=None)
    assert any("at least 0.90 (30 landings)" in one for one in fleet_lines(replace(NOTHING, friction_map=(bound,))))
    assert any("there is no friction map" in one for one in fleet_lines(NOTHING))


def test_fleet_lines__what_is_not_shown_is_counted() -> None:
    reasons = tuple((f"reason {number}", 1) for number in range(15))
    talks = tuple(Talk(f"{number}.csv", "brake energy [J]", 1e7, 2e7) for number in range(23))
    pieces = tuple(replace(PIECE, start=50.0 * number) for number in range(85))
    aside = [f"  {number}.csv: reason" for number in range(41)]
    lines = fleet_lines(replace(NOTHING, set_aside=reasons, talks=talks, friction_map=pieces), aside=aside)
    assert lines[0] == "0 landings reviewed, 15 recordings set aside."
    more = [one.split(":")[0].strip() for one in lines if one.startswith("  ... and")]
    assert more == ["... and 3 more", "... and 1 more", "... and 5 more", "... and 3 more"]


def test_fleet_lines__energies_in_megajoules_and_no_interval_from_one_landing() -> None:
    one = MeanOf("brake energy [J]", "", 1, 5.5e7, -math.inf, math.inf, math.nan)
    two = MeanOf("brake energy [J]", "second", 2, 5.5e7, 5.0e7, 6.0e7, 1e6)
    changes = (("brake energy [J]", -3e6, -4e6, 1e6),)
    text = "\n".join(fleet_lines(replace(NOTHING, means=(one, two), changes=changes)))
    assert "brake energy [MJ]: 55 (1 landing, so no interval)" in text
    assert "brake energy [MJ], second: 55 (90 %: 50 to 60; 2 landings)" in text
    assert "brake energy [MJ]: -3 (-4 to +1)" in text
    assert "inf" not in text


def test_write_fleet_report__labels_first_and_all_or_nothing(tmp_path: Path) -> None:
    page = tmp_path / "fleet.html"
    write_fleet_report(NOTHING, page, notes=["INVENTED <b>"])
    text = page.read_text(encoding="utf-8")
    assert text.index("INVENTED &lt;b&gt;") < text.index("<pre>")
    assert [one.name for one in tmp_path.iterdir()] == ["fleet.html"]
    (tmp_path / "folder.html").mkdir()
    with pytest.raises(GroundrollError, match="cannot be written"):
        write_fleet_report(NOTHING, tmp_path / "folder.html")
    assert sorted(one.name for one in tmp_path.iterdir()) == ["fleet.html", "folder.html"]
