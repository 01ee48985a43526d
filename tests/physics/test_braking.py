"""Braking coefficients: wet runway, condition codes, and the table file."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import KNOT, PSI
from groundroll.physics.braking import (
    AntiSkid,
    BrakingCurve,
    braking_table,
    curve_for_code,
    maximum_wet_braking_coefficient,
    read_braking_table,
    wet_braking_coefficient,
)
from groundroll.physics.sources import source

pytestmark = pytest.mark.plain

PRESSURES = st.floats(50.0 * PSI, 300.0 * PSI)
SPEEDS = st.floats(0.0, 200.0 * KNOT)
KINDS = st.sampled_from(list(AntiSkid))
TREATMENTS = ("smooth", "grooved", "porous-friction-course")

# Columns 50, 100, 200, 300 psi. Evaluated outside this program, to four decimals, from equations of 14 CFR 25.109(c)(1)
# and (d)(2) that are themselves from memory: a check of our transcription, not of the rule.
SMOOTH_FROM_MEMORY = """
0 0.8830 0.8040 0.6920 0.6140
20 0.7248 0.6555 0.5702 0.5020
40 0.5893 0.5304 0.4670 0.4091
60 0.4750 0.4268 0.3808 0.3334
80 0.3801 0.3424 0.3099 0.2730
100 0.3030 0.2753 0.2529 0.2259
120 0.2420 0.2233 0.2081 0.1902
140 0.1953 0.1843 0.1739 0.1640
160 0.1614 0.1562 0.1487 0.1454
180 0.1385 0.1369 0.1310 0.1325
"""
GROOVED_FROM_MEMORY = """
0 0.8590 0.8070 0.7010 0.6140
40 0.7366 0.6984 0.6147 0.5245
80 0.4509 0.4464 0.4276 0.3769
100 0.3490 0.3516 0.3478 0.3129
120 0.2865 0.2894 0.2871 0.2615
140 0.2562 0.2551 0.2454 0.2228
160 0.2441 0.2383 0.2187 0.1945
"""


@pytest.mark.parametrize(("treatment", "table"), [("smooth", SMOOTH_FROM_MEMORY), ("grooved", GROOVED_FROM_MEMORY)])
def test_maximum_wet_braking_coefficient__whole_table_from_memory(treatment, table: str) -> None:  # type: ignore[no-untyped-def]
    rows = np.array([line.split() for line in table.strip().splitlines()], dtype=float)
    for column, psi in enumerate((50, 100, 200, 300), start=1):
        ours = maximum_wet_braking_coefficient(rows[:, 0] * KNOT, psi * PSI, treatment)
        np.testing.assert_allclose(ours, rows[:, column], atol=0.000051)


@pytest.mark.parametrize(
    ("anti_skid", "printed"),
    [(AntiSkid.ON_OFF, 0.30), (AntiSkid.QUASI_MODULATING, 0.50), (AntiSkid.FULLY_MODULATING, 0.80)],
)
def test_wet_braking_coefficient__efficiency_table_of_cfr_25_109_c_2(anti_skid: AntiSkid, printed: float) -> None:
    """14 CFR 25.109(c)(2), 2019 edition, page 213; two decimals are printed."""
    share = wet_braking_coefficient(60.0, 1.4e6, anti_skid) / maximum_wet_braking_coefficient(60.0, 1.4e6)
    assert float(share) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(("treatment", "from_knots"), [("smooth", 0), ("grooved", 10), ("porous-friction-course", 10)])
@given(tyre_pressure=PRESSURES)
def test_maximum_wet_braking_coefficient__falls_with_speed(tyre_pressure: float, treatment, from_knots: int) -> None:  # type: ignore[no-untyped-def]
    """The grooved curves rise by up to 0.02 over their first knots, where the dry coefficient caps them anyway."""
    values = maximum_wet_braking_coefficient(np.arange(0.0, 201.0) * KNOT, tyre_pressure, treatment)
    assert np.all(np.diff(values[from_knots:]) < 0.0)
    assert np.all((values > 0.0) & (values < 1.0))


@given(PRESSURES, st.floats(0.0, 160.0 * KNOT))
def test_maximum_wet_braking_coefficient__harder_tyres_brake_less(tyre_pressure: float, speed: float) -> None:
    """Smooth surface to 160 kt, where the four curves keep their order."""
    harder = min(1.02 * tyre_pressure, 300.0 * PSI)
    ours = maximum_wet_braking_coefficient(speed, tyre_pressure)
    assert float(maximum_wet_braking_coefficient(speed, harder)) <= float(ours) + 1e-12


@given(SPEEDS, st.sampled_from([(50, 100), (100, 200), (200, 300)]), st.floats(0.0, 1.0))
def test_maximum_wet_braking_coefficient__interpolation_is_the_straight_line_between_its_neighbours(
    speed: float, neighbours: tuple[int, int], share: float
) -> None:
    lower, upper = neighbours
    between = maximum_wet_braking_coefficient(speed, (lower + share * (upper - lower)) * PSI)
    at_lower = maximum_wet_braking_coefficient(speed, lower * PSI)
    at_upper = maximum_wet_braking_coefficient(speed, upper * PSI)
    assert float(between) == pytest.approx(float((1.0 - share) * at_lower + share * at_upper), abs=1e-12)


def test_maximum_wet_braking_coefficient__grooved_surface_brakes_better_at_landing_speed() -> None:
    """At 100 kt and 200 psi by the two equations (from memory): 0.3478 against 0.2529."""
    smooth = maximum_wet_braking_coefficient(100.0 * KNOT, 200.0 * PSI)
    for treatment in ("grooved", "porous-friction-course"):
        assert float(maximum_wet_braking_coefficient(100.0 * KNOT, 200.0 * PSI, treatment)) > float(smooth)  # type: ignore[arg-type]


def test_maximum_wet_braking_coefficient__scalar_array_and_strided_input_agree() -> None:
    speeds = np.linspace(0.0, 90.0, 12).reshape(3, 4)
    whole = maximum_wet_braking_coefficient(speeds, 1.3e6)
    assert whole.shape == (3, 4)
    assert float(maximum_wet_braking_coefficient(speeds[1, 2], 1.3e6)) == whole[1, 2]
    np.testing.assert_array_equal(maximum_wet_braking_coefficient(speeds[:, ::2], 1.3e6), whole[:, ::2])


@pytest.mark.parametrize(
    ("speed", "tyre_pressure", "message"),
    [
        (-1.0, 1.4e6, r"ground_speed -1 m/s is outside 0 to 102.889 m/s \(0 to 200 kt"),
        ([10.0, 140.0], 1.4e6, r"ground_speed 140 m/s is outside"),
        (math.nan, 1.4e6, r"ground_speed nan m/s is outside"),
        (60.0, 15_000.0, r"tyre_pressure 15000 Pa is outside 344738 to 2.06843e\+06 Pa \(50 to 300 psi"),
        (60.0, 2.1e6, r"not extrapolated"),
    ],
)
def test_wet_braking_coefficient__out_of_range_is_refused(speed, tyre_pressure: float, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        wet_braking_coefficient(speed, tyre_pressure, AntiSkid.ON_OFF)


def curve(code: int, **changes) -> BrakingCurve:  # type: ignore[no-untyped-def]
    arguments = {
        "tyre_pressure": 200.0 * PSI,
        "anti_skid": AntiSkid.FULLY_MODULATING,
        "certified_dry_coefficient": 0.45,
    }
    return curve_for_code(code, **{**arguments, **changes})


def test_curve_for_code__code_6_is_ninety_per_cent_of_certified_dry() -> None:
    """FAA AC 25-32 (second-hand): 0.9 * 0.45 = 0.405. A rejected take-off uses the whole."""
    np.testing.assert_allclose(curve(6).coefficient([0.0, 50.0, 100.0]), 0.405)
    np.testing.assert_allclose(curve(6, dry_share=1.0).coefficient(50.0), 0.45)


@pytest.mark.parametrize(("code", "from_memory"), [(4, 0.20), (3, 0.16), (1, 0.07)])
def test_curve_for_code__constants_from_memory(code: int, from_memory: float) -> None:
    """FAA AC 25-32, AMC 25.1592 (from memory); of the two texts on code 1 the lower is the default."""
    np.testing.assert_allclose(curve(code).coefficient([0.0, 90.0]), from_memory)


@pytest.mark.parametrize("code", [4, 3, 1])
def test_curve_for_code__other_anti_skid_scales_by_efficiency(code: int) -> None:
    """On-off over fully modulating is 0.30 / 0.80 = 0.375, both confirmed; the scaling itself from memory."""
    ratio = curve(code, anti_skid=AntiSkid.ON_OFF).coefficient(40.0) / curve(code).coefficient(40.0)
    assert float(ratio) == pytest.approx(0.375)


def test_curve_for_code__code_5_is_the_wet_runway_capped_by_dry() -> None:
    speeds = np.linspace(0.0, 180.0, 37) * KNOT
    wet = wet_braking_coefficient(speeds, 200.0 * PSI, AntiSkid.FULLY_MODULATING)
    np.testing.assert_allclose(curve(5).coefficient(speeds), np.minimum(wet, 0.405))
    assert np.any(wet > 0.405)
    assert np.any(wet < 0.405)


def test_curve_for_code__code_2_has_two_branches_that_meet_at_085_of_the_hydroplaning_speed() -> None:
    """By hand at 200 psi, from memory: V_P = 127.28 kt, switch at 108.19 kt. At 100 kt half of 0.8 * 0.2529 = 0.10116;
    at 20 kt half of 0.8 * 0.5702 = 0.228, capped at 0.16; from 108.19 kt on 0.05.
    """
    slush = curve(2)
    assert slush.switch_speed / KNOT == pytest.approx(108.19, abs=0.01)
    np.testing.assert_allclose(
        slush.coefficient(np.array([20.0, 100.0, 108.1, 108.2, 150.0]) * KNOT),
        [0.16, 0.10116, slush.coefficient(108.1 * KNOT), 0.05, 0.05],
        atol=5e-5,
    )
    assert float(slush.coefficient(slush.switch_speed)) == 0.05
    assert float(slush.coefficient(np.nextafter(slush.switch_speed, 0.0))) > 0.09


def test_curve_for_code__code_2_on_off_keeps_its_half_of_code_5_and_scales_the_constants() -> None:
    full, on_off = curve(2), curve(2, anti_skid=AntiSkid.ON_OFF)
    speeds = np.array([10.0, 90.0, 120.0]) * KNOT
    np.testing.assert_allclose(on_off.coefficient(speeds) / full.coefficient(speeds), 0.375)


@pytest.mark.parametrize(("rule", "expected"), [("own-curve", 0.8 * 0.3478), ("share-of-dry", 0.70 * 0.45)])
def test_curve_for_code__grooved_option_is_selectable(rule, expected: float) -> None:  # type: ignore[no-untyped-def]
    """At 100 kt and 200 psi: 14 CFR 25.109(d)(1), 70 % of dry (confirmed); (d)(2), 0.3478 times 0.80 (from memory)."""
    table = dataclasses.replace(braking_table(), grooved_rule=rule)
    grooved = curve(5, surface_treatment="grooved", table=table)
    assert float(grooved.coefficient(100.0 * KNOT)) == pytest.approx(expected, abs=5e-5)
    assert ("cfr-25-109-d-1" in grooved.sources) == (rule == "share-of-dry")
    assert ("cfr-25-109-d-2" in grooved.sources) == (rule == "own-curve")


def test_curve_for_code__surface_treatment_changes_code_5_only() -> None:
    for code in (6, 4, 3, 2, 1):
        assert curve(code) == curve(code, surface_treatment="grooved")
    assert curve(5) != curve(5, surface_treatment="grooved")


def test_curve_for_code__higher_text_on_ice_is_selectable() -> None:
    """FAA AC 25-32 0.08, AMC 25.1592 0.07 (both from memory)."""
    ice = curve(1, table=dataclasses.replace(braking_table(), ice_text="higher"))
    assert float(ice.coefficient(30.0)) == pytest.approx(0.08)
    assert ice.sources == ("ac-25-32-code-1",)
    assert curve(1).sources == ("amc-25-1592-code-1",)


@given(st.sampled_from([6, 5, 4, 3, 2, 1]), PRESSURES, KINDS, st.floats(0.1, 1.0), st.sampled_from(TREATMENTS))
def test_curve_for_code__never_above_dry_nor_negative_and_worse_without_anti_skid(  # type: ignore[no-untyped-def]
    code: int, tyre_pressure: float, kind: AntiSkid, dry: float, treatment
) -> None:
    speeds = np.arange(0.0, 201.0, 4.0) * KNOT
    arguments = {
        "tyre_pressure": tyre_pressure,
        "anti_skid": kind,
        "certified_dry_coefficient": dry,
        "surface_treatment": treatment,
    }
    ours = curve(code, **arguments).coefficient(speeds)
    assert np.all(ours <= curve(6, **arguments).coefficient(speeds) + 1e-12)
    assert np.all(ours > 0.0)
    inoperative = curve(code, anti_skid_operative=False, **arguments)
    assert np.all(inoperative.coefficient(speeds) <= ours + 1e-12)
    assert "anti-skid-inoperative" in inoperative.sources


@given(PRESSURES, SPEEDS, st.sampled_from([(4, 3), (3, 1), (6, 5), (6, 4), (5, 2)]))
def test_curve_for_code__lower_code_never_brakes_better(
    tyre_pressure: float, speed: float, codes: tuple[int, int]
) -> None:
    """Only these pairs: at high speed code 5 on a smooth surface lies below codes 4 and 3, as published."""
    better, worse = (curve(code, tyre_pressure=tyre_pressure).coefficient(speed) for code in codes)
    assert float(worse) <= float(better) + 1e-12


def test_curve_for_code__anti_skid_inoperative_scales_every_code() -> None:
    """0.30 / 0.80 = 0.375 of the fully modulating value: an assumption of this project."""
    for code in (6, 5, 4, 3, 2, 1):
        ratio = curve(code, anti_skid_operative=False).coefficient(50.0) / curve(code).coefficient(50.0)
        assert float(ratio) == pytest.approx(0.375)


def test_curve_for_code__sources_are_registered_and_say_from_memory() -> None:
    for code in (6, 5, 4, 3, 2, 1):
        assert curve(code).sources
        for key in curve(code, anti_skid=AntiSkid.ON_OFF).sources:
            assert source(key).document
    assert any(source(key).status == "from memory" for key in curve(5).sources)


@pytest.mark.parametrize(
    ("code", "changes", "message"),
    [
        (0, {}, r"no plan on code 0"),
        (7, {}, r"code 7 is not a runway condition code"),
        (5, {"tyre_pressure": 3.0e6}, r"tyre_pressure 3e\+06 Pa is outside"),
        (6, {"certified_dry_coefficient": 1.2}, r"certified_dry_coefficient 1.2 is outside 0.1 to 1"),
        (6, {"dry_share": 1.1}, r"dry_share 1.1 is outside 0.05 to 1"),
        (5, {"surface_treatment": "brushed"}, r'surface_treatment "brushed" is none of'),
    ],
)
def test_curve_for_code__what_cannot_be_is_refused(code: int, changes, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        curve(code, **changes)


# ---- the table file -------------------------------------------------------------------------------------------------


def written(folder: Path, text: str) -> Path:
    path = folder / "braking.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_read_braking_table__own_value_replaces_ours_and_names_its_source(tmp_path: Path) -> None:
    table = read_braking_table(
        written(
            tmp_path,
            """
            format = 1
            [code_3]
            coefficient = { value = 0.15, source = "fleet-letter" }
            [code_1]
            text = "higher"
            [sources.fleet-letter]
            document = "Operator's letter 7"
            paragraph = "2"
            status = "confirmed"
            """,
        )
    )
    snow = curve(3, table=table)
    assert float(snow.coefficient(50.0)) == pytest.approx(0.15)
    assert table.source(snow.sources[0]).document == "Operator's letter 7"
    assert table.source("cfr-25-109-c-2") == source("cfr-25-109-c-2")
    assert float(curve(1, table=table).coefficient(50.0)) == pytest.approx(0.08)
    assert table.code_4 == braking_table().code_4


def test_read_braking_table__copy_of_our_own_file_gives_our_own_table(tmp_path: Path) -> None:
    from groundroll.physics import braking

    packaged = Path(braking.__file__).parents[1] / "data" / "braking_coefficients.toml"
    assert read_braking_table(written(tmp_path, packaged.read_text(encoding="utf-8"))) == braking_table()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[code_3]\n", r"format is missing; write format = 1"),
        ("format = 2\n", r"format: 2 is not read"),
        ("format = 1\n[code_8]\n", r'code_8: unknown key; the nearest is "code_'),
        (
            "format = 1\n[code_3]\ncoeficient = 1\n",
            r'code_3.coeficient: unknown key; the nearest is "code_3.coefficient"',
        ),
        ("format = 1\ncode_3 = 0.2\n", r"code_3: 0.2 is not a table"),
        (
            "format = 1\n[code_3]\ncoefficient = 0.2\n",
            r"code_3.coefficient: 0.2 is not a table with the keys value, sour",
        ),
        (
            'format = 1\n[code_3]\ncoefficient = { value = 16, source = "ac-25-32-code-3" }\n',
            r"16 is not a number from",
        ),
        ('format = 1\n[code_3]\ncoefficient = { value = true, source = "ac-25-32-code-3" }\n', r"True is not a number"),
        (
            'format = 1\n[code_3]\ncoefficient = { value = 0.2, source = "ac-25-32-code3" }\n',
            r'nearest is "ac-25-32-code-',
        ),
        (
            "format = 1\n[code_3]\ncoefficient = { value = 0.2 }\n",
            r"code_3.coefficient.source: None is not a known source",
        ),
        ('format = 1\n[code_3]\ncoefficient = { value = 0.2, unit = "" }\n', r"code_3.coefficient.unit: unknown key"),
        (
            'format = 1\n[code_3]\ncoefficient = { value = 0.3, source = "ac-25-32-code-3" }\n',
            r"must not rise as the code",
        ),
        ('format = 1\n[code_1]\ntext = "middle"\n', r"""code_1.text: 'middle' is not "lower" or "higher\""""),
        ('format = 1\n[code_5.grooved]\nrule = "70"\n', r"code_5.grooved.rule: '70' is not \"own-curve\" or"),
        (
            'format = 1\n[code_1]\nlower = { value = 0.09, source = "ac-25-32-code-1" }\n',
            r"0.09 is above code_1.higher",
        ),
        ("format = \n", r"cannot be read as TOML"),
        ("format = 1\nsources = 3\n", r"sources: 3 is not a table"),
        ('format = 1\n[sources.mine]\ndocument = "A"\n', r"sources.mine.paragraph: None is not a text"),
        (
            'format = 1\n[sources.mine]\ndocument = "A"\nparagraph = "1"\nstatus = "sure"\n',
            r'sources.mine.status: "sure" is not one of: confirmed; second-hand',
        ),
        (
            'format = 1\n[code_5.smooth]\nsource = "cfr-25-109-c-1"\ncurves = [\n'
            "{ tyre_pressure_psi = 50.0, coefficients = [0.883, 0.851] },\n"
            "{ tyre_pressure_psi = 300.0, coefficients = [0.6] } ]\n",
            r"curves\[0\].coefficients: give 2.585 at 200 kt; a braking coefficient lies between 0 and 1",
        ),
        (
            'format = 1\n[code_5.smooth]\nsource = "cfr-25-109-c-1"\ncurves = [\n'
            "{ tyre_pressure_psi = 300.0, coefficients = [0.5] },\n"
            "{ tyre_pressure_psi = 50.0, coefficients = [0.6] } ]\n",
            r"pressures must rise from curve to curve",
        ),
        (
            'format = 1\n[code_5.smooth]\nsource = "cfr-25-109-c-1"\ncurves = [\n'
            "{ tyre_pressure_psi = 50.0, coefficients = [] },\n"
            "{ tyre_pressure_psi = 300.0, coefficients = [0.6] } ]\n",
            r"coefficients: \[\] is not a list of 1 to 6 numbers",
        ),
        ('format = 1\n[code_5.smooth]\nsource = "cfr-25-109-c-1"\ncurves = [ 1 ]\n', r"two curves or more are needed"),
        (
            'format = 1\n[code_5.smooth]\nsource = "cfr-25-109-c-1"\ncurves = [ 1, 2 ]\n',
            r"curves\[0\]: 1 is not a table",
        ),
    ],
)
def test_read_braking_table__message_shows_file_key_value_and_what_is_allowed(
    tmp_path: Path, text: str, message: str
) -> None:
    with pytest.raises(ValueError, match=message) as caught:
        read_braking_table(written(tmp_path, text))
    assert "braking.toml" in str(caught.value)


def test_read_braking_table__missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"nowhere.toml: cannot be read"):
        read_braking_table(tmp_path / "nowhere.toml")


@given(share=st.floats(0.05, 2.0), speed=st.floats(0.0, 100.0), code=st.integers(1, 6))
def test_scaled__every_value_of_the_curve_goes_with_the_share(share: float, speed: float, code: int) -> None:
    curve = curve_for_code(
        code, tyre_pressure=1.3e6, anti_skid=AntiSkid.FULLY_MODULATING, certified_dry_coefficient=0.4
    )
    expected = share * float(curve.coefficient(speed))
    assert float(curve.scaled(share).coefficient(speed)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("share", [0.0, -0.5, math.nan, math.inf])
def test_scaled__refuses_what_is_no_share(share: float) -> None:
    curve = curve_for_code(4, tyre_pressure=1.3e6, anti_skid=AntiSkid.ON_OFF, certified_dry_coefficient=0.4)
    with pytest.raises(ValueError, match="share"):
        curve.scaled(share)
