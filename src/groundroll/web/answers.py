"""The shapes of requests and answers, for the OpenAPI document and the types of the page made from it.

The answers are those of the commands: they are written by `groundroll.outputs` and not rebuilt from these models. A
test reads real answers with the models. What the page does not use is allowed and not listed.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Case = Annotated[
    dict[str, Any] | Annotated[str, Field(max_length=1_000_000)],
    Field(
        description="The case: the content of a case file as values, or its text (TOML). Files that it names are those "
        "of the workspace, relative to its folder of cases.",
    ),
]
Changes = Annotated[
    list[Annotated[str, Field(max_length=500)]],
    Field(default_factory=list, max_length=50, description='Changes as after --set: "landing.mass=60 t".'),
]

EXAMPLE_CASE: dict[str, Any] = {
    "format": 1,
    "title": "Wet arrival",
    "aircraft": "../aircraft/demo-narrowbody.toml",
    "runway": "../runways/QDEM-07-25.toml",
    "direction": "25",
    "weather": {"wind": "210/18G29 kt", "temperature": "7 degC", "qnh": "998 hPa"},
    "condition": {"report": "wet 5/5/3"},
    "landing": {"mass": "62.5 t", "flap": "full"},
}


class Request(BaseModel):
    """What the page sends; an unknown key is an error."""

    model_config = ConfigDict(extra="forbid", strict=True)


class LandRequest(Request):
    """A landing to be planned."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"case": EXAMPLE_CASE}]})

    case: Case
    set: Changes
    decide: bool = Field(
        default=True, description="False leaves out the decision (exits, gates, break points), which takes longest."
    )
    history_step_s: float | None = Field(
        default=None, ge=0.05, le=5.0, description="Adds the history of every roll in this step, to be drawn. [s]"
    )


class CaseRequest(Request):
    """A take-off, a day or any case."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"case": EXAMPLE_CASE}]})

    case: Case
    set: Changes


class BriefRequest(CaseRequest):
    """A case to be briefed."""

    form: Literal["pdf", "html", "txt"] = "pdf"
    paper: Literal["a4", "a5"] = "a4"


class ReadRequest(Request):
    """A report."""

    model_config = ConfigDict(
        extra="forbid", strict=True, json_schema_extra={"examples": [{"text": "runway 25 wet 5/5/3", "words": True}]}
    )

    text: str = Field(max_length=20_000, description="METAR, SNOWTAM, condition notice, or the words of a tower.")
    words: bool = Field(default=False, description="Adds what the command prints, line by line.")


class TextRequest(Request):
    """The text of a file."""

    text: str = Field(max_length=1_000_000)


class ContentRequest(Request):
    """The content of a case as values."""

    case: dict[str, Any]


class FileRequest(Request):
    """A file of the workspace, as text or, for cases, as values."""

    text: str | None = Field(default=None, max_length=1_000_000)
    case: dict[str, Any] | None = None


class State(Request):
    """What stands in the page."""

    model_config = ConfigDict(extra="allow", strict=True)

    saved_at: float = Field(default=0.0, description="Clock of the page, milliseconds.", allow_inf_nan=False)


class Answer(BaseModel):
    """An answer; keys that are not listed are allowed."""

    model_config = ConfigDict(extra="allow")


class Problem(Answer):
    """One line of an error, taken apart."""

    file: str | None
    field: str | None
    text: str


class Fault(Answer):
    """What is wrong."""

    kind: str
    message: str
    problems: list[Problem]


class ErrorAnswer(Answer):
    """The one shape of every error."""

    error: Fault


class ExitPassage(Answer):
    """An exit as one option reaches it."""

    name: str
    distance_m: float
    arrival_speed_mps: float | None
    allowed_speed_mps: float
    allowed_from: str
    usable: bool
    time_s: float | None


class RollEvent(Answer):
    """Something located on the roll."""

    name: str
    time_after_touchdown_s: float
    distance_m: float
    ground_speed_mps: float


class LimitedBy(Answer):
    """Shares of the braked roll."""

    demand: float
    friction: float
    torque: float


class LandingOption(Answer):
    """One brake setting with one use of reverse."""

    brake: str
    reverse: Literal["none", "idle", "full"]
    air_distance_m: float
    transition_distance_m: float
    stop_distance_m: float | None
    factored_distance_m: float | None
    margin_m: float | None
    fits: bool
    margin_carried_by_manual: bool
    runway_end_speed_mps: float | None
    stop_time_s: float | None
    mean_deceleration_mps2: float | None
    peak_deceleration_mps2: float | None
    target_deceleration_mps2: float | None
    target_held: bool
    limited_by: LimitedBy
    brake_energy_per_wheel_j: float
    peak_brake_temperature_c: float | None
    cooling_time_s: float | None
    reverse_fuel_kg: float
    exits: list[ExitPassage]
    events: list[RollEvent]


class LandingFacts(Answer):
    """The landing before the roll."""

    threshold_ground_speed_mps: float
    touchdown_ground_speed_mps: float
    air_distance_m: float
    air_time_s: float
    headwind_used_mps: float
    headwind_mps: float
    greatest_crosswind_mps: float
    landing_distance_available_m: float
    codes: list[int]


class Approach(Answer):
    """One option at one exit."""

    brake: str
    reverse: str
    exit: str
    exit_distance_m: float
    allowed_speed_mps: float
    held_arrival_speed_mps: float | None
    means: str
    usable: bool
    arrival_speed_mps: float | None
    release_distance_m: float | None
    release_speed_mps: float | None
    brake_energy_per_wheel_j: float
    runway_time_s: float | None


class Candidate(Answer):
    """A choice that can be made, aim by aim."""

    option: int
    exit: str | None
    margin_m: float
    brake_energy_per_wheel_j: float
    brake_temperature_c: float | None
    runway_time_s: float | None
    reverse_fuel_kg: float
    efficient: bool


class GreatestSpeed(Answer):
    """A greatest speed, where there is one."""

    value_mps: float | None
    holds: str


class Gate(Answer):
    """A place at which to look at the speed."""

    name: str
    distance_m: float
    planned_speed_mps: float
    same_means: GreatestSpeed
    everything: GreatestSpeed
    if_faster: str


class GreatestDistance(Answer):
    """A greatest distance, where there is one."""

    value_m: float | None
    holds: str


class LatestTouchdown(Answer):
    """How late the touchdown may be."""

    means: str
    with_margin: bool
    touchdown: GreatestDistance


class Cost(Answer):
    """What one thing gone wrong costs."""

    name: str
    stop_distance_m: float | None
    costs_m: float | None
    fits: bool
    stops_within: bool


class BreakPoints(Answer):
    """What would break the plan."""

    latest_touchdowns: list[LatestTouchdown]
    worst_code: int | None
    alone: list[dict[str, Any]]
    costs: list[Cost]


class Decision(Answer):
    """The choice of means and exit."""

    exit_wanted: str
    exit_made: bool
    approaches: list[Approach]
    candidates: list[Candidate]
    efficient: list[int]
    chosen: int | None
    gates: list[Gate]
    break_points: BreakPoints | None


class History(Answer):
    """One roll moment by moment; lists of one length."""

    time_s: list[float]
    distance_m: list[float]
    ground_speed_mps: list[float]
    deceleration_mps2: list[float]
    brake_force_n: list[float]
    aerodynamic_drag_n: list[float]
    thrust_n: list[float]
    rolling_resistance_n: list[float]
    contaminant_drag_n: list[float]
    slope_force_n: list[float]


class Source(Answer):
    """Where a number comes from."""

    key: str
    document: str
    paragraph: str
    status: str


class LandAnswer(Answer):
    """The landing plan, as `groundroll land --json`."""

    format: int
    kind: Literal["land"]
    title: str
    options: list[LandingOption]
    recommended: int | None
    reasons: list[str]
    landing: LandingFacts
    decision: Decision | None
    cautions: list[str]
    sources: list[Source]
    inputs: dict[str, Any]
    history: list[History | None] | None = None


class Window(Answer):
    """Decision speeds from which a take-off can be stopped and continued."""

    go_from_mps: float | None
    stop_up_to_mps: float | None
    brake_energy_limit_mps: float | None
    minimum_control_mps: float | None
    rotation_mps: float | None
    balanced_mps: float | None
    from_mps: float | None
    to_mps: float | None
    empty: bool


class CurvePoint(Answer):
    """Stop and go distance of one decision speed."""

    decision_speed_mps: float
    stop_distance_m: float | None
    go_distance_m: float | None
    flown_stop_distance_m: float | None
    flown_go_distance_m: float | None


class RejectCase(Answer):
    """The stop with one thing done worse."""

    case: str
    words: str
    first_action_speed_mps: float | None
    stop_distance_m: float | None
    added_m: float | None
    margin_m: float | None
    fits: bool
    runway_end_speed_mps: float | None
    brake_energy_per_wheel_j: float | None
    peak_brake_temperature_c: float | None


class RejectAvailable(Answer):
    """What the runway offers, after line-up."""

    accelerate_stop_m: float
    take_off_m: float
    take_off_run_m: float


class RejectAnswer(Answer):
    """The stop or go answer, as `groundroll reject --json`."""

    format: int
    kind: Literal["reject"]
    title: str
    fits: bool
    reasons: list[str]
    decision_speed_mps: float | None
    decision_speed_from: str
    rotation_speed_mps: float
    window: Window
    accelerate_stop_distance_m: float | None
    accelerate_go_distance_m: float | None
    available: RejectAvailable
    cases: list[RejectCase]
    curve: list[CurvePoint]
    cautions: list[str]
    inputs: dict[str, Any]


class Stage(Answer):
    """One stretch of the day."""

    name: str
    sector: int
    start_s: float
    duration_s: float


class BrakeTrace(Answer):
    """Temperatures of brakes that are alike."""

    numbers: list[int]
    time_s: list[float]
    heat_sink_c: list[float]
    wheel_c: list[float]
    indicated_c: list[float]


class TurnAnswer(Answer):
    """The day, as `groundroll turn --json`."""

    format: int
    kind: Literal["turn"]
    title: str
    fits: bool
    sectors: list[dict[str, Any]]
    breaches: list[dict[str, Any]]
    mend: dict[str, Any] | None
    stages: list[Stage]
    brakes: list[BrakeTrace]
    limits: dict[str, float | None]
    cautions: list[str]
    inputs: dict[str, Any]


class ReadAnswer(Answer):
    """What a report means, as `groundroll read --json`."""

    format: int
    report: dict[str, Any]
    cautions: list[str]
    words: list[str] | None = None


class CheckedFile(Answer):
    """Whether one file is in order."""

    file: str
    valid: bool
    problems: list[str]


class CheckAnswer(Answer):
    """Whether a case is in order, as `groundroll check --json`."""

    format: int
    files: list[CheckedFile]
    cautions: list[str]


class DirectionEntry(Answer):
    """One direction of a runway, to choose from."""

    designator: str
    landing_distance_available_m: float
    exits: list[str]


class AircraftEntry(Answer):
    """An aircraft file, to choose from."""

    file: str
    name: str
    valid: bool
    invented: bool
    flaps: list[str]
    take_off_flaps: list[str]
    ratings: list[str]
    brakes: list[str]
    minimum_mass_kg: float | None
    maximum_landing_mass_kg: float | None
    maximum_take_off_mass_kg: float | None


class RunwayEntry(Answer):
    """A runway file, to choose from."""

    file: str
    aerodrome: str
    name: str
    valid: bool
    directions: list[DirectionEntry]


class CaseEntry(Answer):
    """A case file."""

    file: str
    title: str
    kind: str


class WorkspaceAnswer(Answer):
    """What the workspace holds."""

    folder: str
    version: str
    aircraft: list[AircraftEntry]
    runways: list[RunwayEntry]
    cases: list[CaseEntry]


class FileAnswer(Answer):
    """A file of the workspace."""

    section: str
    name: str
    kind: str
    text: str
    content: dict[str, Any] | None


class TextAnswer(Answer):
    """The text of a case file."""

    text: str


class ContentAnswer(Answer):
    """The content of a case file."""

    kind: str
    case: dict[str, Any]


class ExampleEntry(Answer):
    """A worked example."""

    section: str
    name: str
    title: str
    kind: str
    text: str


class ExamplesAnswer(Answer):
    """The worked examples."""

    examples: list[ExampleEntry]


class StateAnswer(Answer):
    """What the page kept."""

    state: dict[str, Any] | None


class Done(Answer):
    """It is done."""

    done: bool
