"""From standard normal numbers to inputs: the laws, their bounds, and what the weather and the files say."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy import stats

from groundroll.errors import ScenarioError
from groundroll.planning.uncertainty.inputs import Inputs, truncated_normal, values_of
from groundroll.scenario.model import Uncertainty
from groundroll.scenario.quantity import LENGTH
from groundroll.scenario.resolved import Case
from groundroll.scenario.uncertainty import DistributionText
from tests.planning.cases import changed, example, standard_case

ANY = DistributionText(LENGTH, 1.0, 3_000.0)
NORMAL = np.array([-5.0, -2.0, -0.5, 0.0, 0.3, 1.0, 3.0, 5.0])


def spread(**texts: Any) -> Uncertainty:
    return Uncertainty.model_validate(texts)


@pytest.mark.parametrize(
    ("text", "law"),
    [
        ("normal 450 m +- 100 m", stats.truncnorm(-4.49, 25.5, 450.0, 100.0)),
        ("normal 450 m +- 20 %", stats.truncnorm(-449.0 / 90.0, 2_550.0 / 90.0, 450.0, 90.0)),
        ("normal planned +- 10 m between 490 m and 520 m", stats.truncnorm(-1.0, 2.0, 500.0, 10.0)),
        ("uniform 200 m to 800 m", stats.uniform(200.0, 600.0)),
        ("lognormal 450 m times 1.1", stats.lognorm(math.log(1.1), scale=450.0)),
    ],
)
def test_values__have_the_quantiles_of_the_law(text: str, law: Any) -> None:
    """Quantiles of SciPy's laws at the probabilities of the normal numbers."""
    found = values_of(ANY.read(text), 500.0, NORMAL)
    # The upper half from the upper tail, in SciPy as in ours: 1 - 3e-7 has lost digits.
    expected = np.where(NORMAL <= 0.0, law.ppf(stats.norm.cdf(NORMAL)), law.isf(stats.norm.sf(NORMAL)))
    np.testing.assert_allclose(found, expected, rtol=2e-6)


def test_truncated_normal__keeps_its_digits_far_out() -> None:
    """A bound at 6 standard deviations changes nothing at 5 beyond the share cut off, 1e-9 of what lies beyond 5.

    Q(6) = 9.87e-10, Q(5) = 2.867e-7: the value moves by Q(6)/density(5) = 9.87e-10/1.487e-6 = 6.6e-4.
    """
    assert truncated_normal(np.array([5.0]), -6.0, 6.0)[0] == pytest.approx(5.0 - 6.6e-4, abs=2e-5)
    assert truncated_normal(np.array([-5.0]), -6.0, 6.0)[0] == pytest.approx(-5.0 + 6.6e-4, abs=2e-5)
    assert np.all(np.abs(truncated_normal(np.array([-30.0, 30.0]), -2.0, 2.0)) <= 2.0)


def test_friction__is_correlated_along_the_runway() -> None:
    """Correlation of the logarithms 0.7 between neighbours and 0.49 between the outer thirds, as the default says."""
    case = standard_case()
    inputs = Inputs(case)
    friction = inputs.samples(np.random.default_rng(1).standard_normal((100_000, inputs.dimensions))).friction
    found = np.corrcoef(np.log(friction).T)
    assert found[0, 1] == pytest.approx(0.7, abs=0.01)
    assert found[1, 2] == pytest.approx(0.7, abs=0.01)
    assert found[0, 2] == pytest.approx(0.49, abs=0.01)
    assert np.std(np.log(friction[:, 0])) == pytest.approx(math.log(1.2), rel=0.01)


def test_friction__ages_with_the_root_of_time() -> None:
    """Four hours: twice the logarithm of the factor for one; added to that of the code in squares."""
    case = standard_case()
    case = replace(
        case,
        condition=replace(case.condition, age=4.0 * 3_600.0),
        uncertainty=spread(friction_ageing=1.3, friction={"5": "lognormal 1 times 1.2"}),
    )
    inputs = Inputs(case)
    friction = inputs.samples(np.random.default_rng(1).standard_normal((100_000, inputs.dimensions))).friction
    expected = math.hypot(math.log(1.2), 2.0 * math.log(1.3))
    assert np.std(np.log(friction[:, 1])) == pytest.approx(expected, rel=0.01)
    assert "friction_ageing" in inputs.names


def test_inputs__unknown_age_is_remarked_and_dry_does_not_age() -> None:
    case = standard_case()
    assert "age" in Inputs(replace(case, condition=replace(case.condition, age=None))).remarks()[0]
    dry = example("dry-short")
    old = Inputs(replace(dry, condition=replace(dry.condition, age=7_200.0)))
    assert "friction_ageing" not in old.names
    assert old.remarks() == ()


def test_wind__reported_sector_and_wind_from_anywhere_replace_the_default() -> None:
    gusty = Inputs(example("wet-gusty-arrival"))
    assert gusty.texts()["wind_direction"].text == "uniform 190 deg to 240 deg"
    assert "gust" in gusty.names
    weather = {"wind_direction": None, "wind_variable": True, "wind_speed": 2.0}
    variable = Inputs(standard_case(weather=weather))
    assert variable.texts()["wind_direction"].text == "uniform 0 deg to 360 deg"
    assert "gust" not in variable.names
    headwind = variable.samples(np.random.default_rng(2).standard_normal((50_000, variable.dimensions))).headwind
    assert np.mean(headwind) == pytest.approx(0.0, abs=0.03)


def test_wind__headwind_is_the_reported_one_not_factored() -> None:
    """Wind 10 m/s from 60 deg off the runway: 5 m/s ahead; the air at touchdown stays, the ground speed falls.

    Touchdown at 96 % of the threshold's ground speed, 70 m/s less 5 m/s.
    """
    weather = {"wind_direction": math.radians(60.0), "wind_speed": 10.0}
    inputs = Inputs(standard_case(weather=weather))
    middle = inputs.samples(np.zeros((1, inputs.dimensions)))
    assert middle.headwind[0] == pytest.approx(5.0, abs=1e-4)
    assert middle.touchdown_speed[0] == pytest.approx(0.96 * 65.0, abs=1e-3)


def test_files__case_before_aircraft_before_default() -> None:
    case = standard_case()
    plane = changed(case.aircraft, uncertainty=spread(mass="none", touchdown_speed="normal planned +- 1 kt"))
    case = replace(case, aircraft=plane, uncertainty=spread(touchdown_speed="normal planned +- 2 kt"))
    inputs = Inputs(case)
    found = {one.name: (one.text, one.status) for one in inputs.listed}
    assert found["touchdown_speed"] == ("normal planned +- 2 kt", "case file")
    assert "mass" not in found
    assert found["spoilers_start"][1] == "assumption of this project"
    samples = inputs.samples(np.random.default_rng(1).standard_normal((10, inputs.dimensions)))
    assert np.all(samples.mass == case.landing.mass)


def test_files__friction_by_thirds_goes_before_that_of_the_codes() -> None:
    thirds = ["normal 1 +- 0.1", "normal 0.8 +- 0.1", "none"]
    inputs = Inputs(replace(standard_case(), uncertainty=spread(friction_thirds=thirds)))
    friction = inputs.samples(np.zeros((1, inputs.dimensions))).friction[0]
    np.testing.assert_allclose(friction, [1.0, 0.8, 1.0])
    assert inputs.groups["friction"] == tuple(inputs.names.index(f"friction third {n}") for n in (1, 2))


def test_inputs__planned_value_outside_the_bounds_is_refused() -> None:
    case = replace(standard_case(), uncertainty=spread(mass="normal planned +- 1 t between 40 t and 50 t"))
    with pytest.raises(ScenarioError, match=r"mass = .* the planned value 60000 \(SI\) lies outside 40000 to 50000"):
        Inputs(case)


def test_pedals__share_the_column_of_automatic_brakes() -> None:
    inputs = Inputs(example("wet-gusty-arrival"))
    z = np.zeros((2, inputs.dimensions))
    z[1, inputs.names.index("brakes_start")] = 1.0
    samples = inputs.samples(z)
    np.testing.assert_allclose(samples.brakes_start, [1.0, 1.3])  # 0.4 s + 0.6 s, times 1.3
    np.testing.assert_allclose(samples.pedal_start, [2.0, 2.8])  # 2 s, times 1.4


def test_inputs__every_case_of_the_examples_can_be_sampled() -> None:
    for name in ("wet-gusty-arrival", "dry-short", "contaminated-arrival", "failures-and-dispatch", "nothing-fits"):
        case: Case = example(name)
        inputs = Inputs(case)
        z = np.random.default_rng(1).standard_normal((1_000, inputs.dimensions))
        samples = inputs.samples(z)
        assert all(np.all(np.isfinite(value)) for value in vars(samples).values()), name
        assert len(samples.mass) == 1_000
