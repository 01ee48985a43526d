"""The JSON of `groundroll land`: names, units, and that it agrees with the plan."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest

from groundroll.constants import ZERO_CELSIUS
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.json_form import land_json, to_text
from groundroll.planning.landing import plan_landing
from tests.planning.cases import DRY, NAMES, NIL, aircraft, changed, example, standard_case

TOP = {"format", "options", "recommended", "reasons", "limits", "cautions", "sources", "inputs"}
"""Names on which other parts, the page and users' own programs rely; they are fixed."""

OPTION = {
    "brake",
    "reverse",
    "air_distance_m",
    "stop_distance_m",
    "factored_distance_m",
    "margin_m",
    "fits",
    "stop_time_s",
    "mean_deceleration_mps2",
    "target_deceleration_mps2",
    "target_held",
    "limited_by",
    "brake_energy_per_wheel_j",
    "peak_brake_temperature_c",
    "exits",
}
EXIT = {"name", "arrival_speed_mps", "allowed_speed_mps", "usable", "time_s"}
FURTHER = {
    "transition_distance_m",
    "braked_distance_m",
    "peak_deceleration_mps2",
    "reverse_fuel_kg",
    "runway_end_speed_mps",
    "margin_carried_by_manual",
}
SUFFIXES = ("_m", "_s", "_mps", "_mps2", "_j", "_c", "_kg")
STATUSES = {
    "confirmed",
    "second-hand",
    "from memory",
    "derived",
    "common practice, no source",
    "assumption of this project",
    "the user's file",
}


@pytest.mark.parametrize("name", NAMES)
def test_land_json__holds_every_fixed_name(name: str) -> None:
    """Further names may stand beside these; none of these may go, and numbers carry their unit in their name."""
    answer = land_json(plan_landing(example(name)))
    assert answer.keys() >= TOP
    assert answer["format"] == 1
    for one in answer["options"]:
        assert one.keys() >= OPTION | FURTHER
        assert set(one["limited_by"]) == {"demand", "friction", "torque"}
        for way_out in one["exits"]:
            assert way_out.keys() >= EXIT
        bare = [key for key, value in one.items() if isinstance(value, float) and not key.endswith(SUFFIXES)]
        assert bare == []
    assert json.loads(to_text(answer)) == answer


@pytest.mark.parametrize("name", NAMES)
def test_land_json__sources_say_document_paragraph_and_status(name: str) -> None:
    """Each once; the aircraft file among them."""
    sources = land_json(plan_landing(example(name)))["sources"]
    assert all(one["document"] and one["paragraph"] and one["status"] in STATUSES for one in sources)
    keys = [one["key"] for one in sources]
    assert len(set(keys)) == len(keys)
    assert keys[-1] == "aircraft"
    assert sources[-1]["status"] == "assumption of this project"


def test_land_json__agrees_with_the_plan() -> None:
    """Value by value for one case, temperature in degrees Celsius as its name says."""
    plan = plan_landing(example("wet-gusty-arrival"))
    answer = land_json(plan)
    assert answer["recommended"] == plan.recommended
    assert answer["reasons"] == list(plan.reasons)
    for told, one in zip(answer["options"], plan.options, strict=True):
        for name in (OPTION | FURTHER) - {"exits", "peak_brake_temperature_c"}:
            suffix = next((end for end in SUFFIXES if name.endswith(end) and name != "fits"), "")
            assert told[name] == getattr(one, name.removesuffix(suffix)), name
        assert one.peak_brake_temperature is not None
        assert told["peak_brake_temperature_c"] == pytest.approx(one.peak_brake_temperature - ZERO_CELSIUS)
        for way_out, passage in zip(told["exits"], one.exits, strict=True):
            assert way_out["name"] == passage.name
            assert way_out["arrival_speed_mps"] == passage.arrival_speed
            assert way_out["allowed_speed_mps"] == passage.allowed_speed
            assert way_out["usable"] == passage.usable
            assert way_out["time_s"] == passage.time
            assert way_out["distance_m"] == passage.distance
    landing = answer["landing"]
    assert landing["threshold_ground_speed_mps"] == plan.threshold_ground_speed
    assert landing["landing_distance_available_m"] == plan.conditions.landing_distance_available
    assert landing["codes"] == [5, 5, 3]  # 3/5/5 of the report, turned into landing direction
    assert landing["greatest_crosswind_mps"] == plan.wind.greatest_crosswind
    assert landing["headwind_used_mps"] == pytest.approx(0.5 * landing["least_headwind_mps"])


def test_land_json__limits_have_value_limit_and_whether_within() -> None:
    """10 kt of tailwind allowed: 5.144 m/s."""
    limits = land_json(plan_landing(standard_case(failures={"additional_tailwind": 6.0}, length=6_000.0)))["limits"]
    assert limits["tailwind"] == {"value_mps": 6.0, "limit_mps": pytest.approx(5.144, abs=1e-3), "within": False}
    assert set(limits) == {"tailwind", "crosswind", "touchdown_speed"}


def test_land_json__target_is_null_for_manual_and_recommended_is_null_where_nothing_fits() -> None:
    """In the words of the fixed names."""
    answer = land_json(plan_landing(example("nothing-fits")))
    assert answer["recommended"] is None
    assert all(one["target_deceleration_mps2"] is None for one in answer["options"] if one["brake"] == "manual")
    assert not any(one["fits"] for one in answer["options"])


def test_land_json__code_0_has_no_options_but_inputs_and_reasons() -> None:
    """A result, not an error."""
    answer = land_json(plan_landing(standard_case(thirds=(NIL, DRY, DRY))))
    assert answer["options"] == []
    assert answer["recommended"] is None
    assert "code 0 in the touchdown third" in answer["reasons"][0]
    assert answer["inputs"]["condition"]["thirds"][0]["code"] == 0
    assert answer.keys() >= TOP


def test_land_json__caution_always_and_invented_for_a_demonstration_aeroplane() -> None:
    """A user's own aeroplane is not called invented, and its file is a source of its own status."""
    assert land_json(plan_landing(standard_case()))["cautions"][:2] == [CAUTION, INVENTED]
    own = land_json(plan_landing(standard_case(plane=changed(aircraft("demo-narrowbody"), invented=False))))
    assert own["cautions"][0] == CAUTION
    assert INVENTED not in own["cautions"]
    assert own["sources"][-1]["status"] == "the user's file"


def test_land_json__numbers_that_are_not_finite_become_null() -> None:
    """JSON has no NaN and no infinity: a heat sink beyond its formula, a number that is none."""
    plan = plan_landing(standard_case())
    odd = replace(plan.options[0], peak_brake_temperature=None, mean_deceleration=math.nan, peak_deceleration=math.inf)
    answer = land_json(replace(plan, options=(odd, *plan.options[1:])))
    first = answer["options"][0]
    names = ("peak_brake_temperature_c", "mean_deceleration_mps2", "peak_deceleration_mps2")
    assert [first[name] for name in names] == [None, None, None]

    def numbers(value: Any) -> list[float]:
        if isinstance(value, dict):
            return [number for one in value.values() for number in numbers(one)]
        if isinstance(value, list):
            return [number for one in value for number in numbers(one)]
        return [value] if isinstance(value, float) else []

    assert all(math.isfinite(number) for number in numbers(answer))


def test_land_json__dispatch_figures() -> None:
    """1000 m: 1667 and 1917 m before departure (14 CFR 121.195(b), GM2 CAT.POL.A.230)."""
    case = standard_case(dispatch={"kind": "turbojet", "certified_dry_distance": 1_000.0}, length=1_800.0)
    first, second = land_json(plan_landing(case))["dispatch"][:2]
    assert first["required_distance_m"] == pytest.approx(1_666.67, abs=0.01)
    assert second["required_distance_m"] == pytest.approx(1_916.67, abs=0.01)
    assert (first["fits"], second["fits"]) == (True, False)
    assert first["available_m"] == 1_800.0
