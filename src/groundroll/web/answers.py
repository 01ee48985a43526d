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
    against: Case | None = Field(
        default=None, description="Another landing: adds the difference of the two, metre by metre, as --against does."
    )


class CaseRequest(Request):
    """A take-off, a day or any case."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"case": EXAMPLE_CASE}]})

    case: Case
    set: Changes


class RejectRequest(CaseRequest):
    """A take-off to be planned."""

    strip: bool = Field(default=False, description="Adds the runway under the stops, to be drawn.")


class FleetRequest(Request):
    """A fleet that lies in the workspace."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"name": "last-month"}]})

    name: str = Field(max_length=100, description="Name of its folder in `fleets`.")


class ReviewRequest(CaseRequest):
    """A recorded landing and its plan."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        json_schema_extra={"examples": [{"recording": "landing.csv", "case": EXAMPLE_CASE}]},
    )

    recording: str = Field(max_length=100, description="Name of a file in `recordings`.")


class TeachRequest(Request):
    """A lesson to be worked out."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"lesson": "stop-or-go"}]})

    lesson: str = Field(max_length=100, description="Name of a lesson.")
    own: bool = Field(default=False, description="Whether it lies in `lessons` of the workspace.")
    set: Changes


class CompareRequest(Request):
    """A landing, and another one beside it: in both the same brakes and reverse, unless the second has its own."""

    model_config = ConfigDict(extra="forbid", strict=True, json_schema_extra={"examples": [{"case": EXAMPLE_CASE}]})

    case: Case
    against: Case | None = None
    brake: str | None = Field(default=None, max_length=100, description="Left out: as the plan recommends.")
    reverse: Literal["none", "idle", "full"] | None = None
    other_brake: str | None = Field(default=None, max_length=100, description="Left out: that of the first.")
    other_reverse: Literal["none", "idle", "full"] | None = None


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


class LedgerEntry(Answer):
    """What one cause gained (-) or used (+)."""

    cause: str
    share_m: float
    alone_m: float


class ComparedSide(Answer):
    """One of two landings compared."""

    title: str
    brake: str
    reverse: str


class Against(Answer):
    """From one landing to the other, metre by metre."""

    first: ComparedSide
    other: ComparedSide
    end_speed_mps: float
    first_distance_m: float
    other_distance_m: float
    difference_m: float
    entries: list[LedgerEntry]


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
    against: Against | None = None


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


class StripThird(Answer):
    """One third of the runway, from brake release."""

    code: int
    from_m: float
    to_m: float


class StripExit(Answer):
    """An exit, from brake release."""

    name: str
    distance_m: float
    angle_rad: float | None
    side: str | None


class TakeOffStrip(Answer):
    """The runway of a take-off, to be drawn; distances from brake release."""

    designator: str
    width_m: float
    paved_begin_m: float
    paved_end_m: float
    run_end_m: float
    stop_end_m: float
    clearway_end_m: float
    go_offset_m: float
    thirds: list[StripThird]
    exits: list[StripExit]
    decision_speed_mps: list[float]
    decision_distance_m: list[float]


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
    strip: TakeOffStrip | None = None


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


class MapPiece(Answer):
    """Braking of one piece of a runway over that of the reported code."""

    aerodrome: str
    direction: str
    code: int
    start: float
    measured: int
    bounded: int
    median: float | None
    low: float | None
    high: float | None
    at_least: float | None


class FleetShare(Answer):
    """A share of landings with its 90 % interval."""

    name: str
    count: int
    total: int
    low: float
    high: float


class FleetMean(Answer):
    """A mean with its 90 % interval."""

    name: str
    period: str
    count: int
    mean: float
    low: float | None
    high: float | None


class FleetTalk(Answer):
    """A landing far from the others."""

    file: str
    what: str
    value: float
    usual: float


class FleetAnswer(Answer):
    """What a fleet says, as `groundroll fleet --json`."""

    format: int
    kind: Literal["fleet"]
    reviewed: int
    set_aside: list[list[Any]]
    friction_map: list[MapPiece]
    exits: list[FleetShare]
    reverse: list[FleetShare]
    brakes: list[FleetShare]
    late: FleetShare | None
    means: list[FleetMean]
    causes: list[FleetMean]
    talks: list[FleetTalk]
    planned_exits: list[FleetShare]
    trends: list[list[Any]]
    notes: list[str]
    cautions: list[str]


class ReviewEvent(Answer):
    """Something found in a recording."""

    name: str
    time_after_touchdown_s: float
    distance_m: float
    distance_deviation_m: float
    ground_speed_mps: float
    found_by: str


class ReviewBin(Answer):
    """Braking achieved on one piece of the runway."""

    start_m: float
    end_m: float
    ground_speed_mps: float
    braking_coefficient: float
    deviation: float
    ruled_by: str
    lower_bound: bool
    reported_code: int
    expected: float | None


class ReviewFinding(Answer):
    """What the landing says of the surface."""

    measured: bool
    code: int | None
    word: str | None
    confidence: float | None
    length_m: float | None
    reported_codes: list[int]


class ReviewUntilRelease(Answer):
    """The ledger from plan to recording until the brakes were released."""

    entries: list[LedgerEntry]


class ReviewLedger(Answer):
    """Where the runway went, from plan to what happened."""

    planned_distance_m: float
    recorded_distance_m: float
    difference_m: float
    end_speed_mps: float
    hand_over_m: float
    not_explained_m: float
    until_release: ReviewUntilRelease


class ReviewAnswer(Answer):
    """A recorded landing, as `groundroll review --json`."""

    format: int
    kind: Literal["review"]
    recording: str | None
    title: str | None
    origin: str
    finding: ReviewFinding
    brake_energy_j: float
    events: list[ReviewEvent]
    bins: list[ReviewBin]
    ledger: ReviewLedger | None
    remarks: list[str]
    cautions: list[str]


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
    fleets: list[str]
    recordings: list[str]


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


class LessonEntry(Answer):
    """A lesson, to choose from."""

    name: str
    title: str
    summary: str
    minutes: int


class OwnLessonEntry(LessonEntry):
    """A lesson of the workspace; one that cannot be read says why."""

    fault: str | None


class LessonsAnswer(Answer):
    """The lessons, as `groundroll teach --list --json`, and those of the workspace."""

    format: int
    kind: Literal["lessons"]
    lessons: list[LessonEntry]
    workspace: list[OwnLessonEntry]
    cautions: list[str]


class TaughtRoll(Answer):
    """A roll moment by moment; time counts from the threshold."""

    landing_distance_available_m: float
    touchdown_distance_m: float
    touchdown_time_s: float
    ends: Literal["stop", "exit"]
    time_s: list[float]
    distance_m: list[float]
    ground_speed_mps: list[float]
    deceleration_mps2: list[float]
    brake_energy_per_wheel_j: list[float]


class TaughtCase(Answer):
    """A case of a lesson, with every number that a text can name."""

    key: str
    label: str
    kind: Literal["landing", "reject"]
    title: str
    aeroplane: str
    runway: str
    numbers: dict[str, float | str | bool | None]
    roll: TaughtRoll | None


class DrawnAxis(Answer):
    """What runs along one side of a picture."""

    label: str
    unit: str


class DrawnLine(Answer):
    """One line; a gap is a point without a second value."""

    label: str
    points: list[tuple[float, float | None]]


class DrawnMark(Answer):
    """A point that is marked."""

    x: float
    y: float
    label: str


class Picture(Answer):
    """One picture, with a sentence that says what it shows."""

    title: str
    words: str


class LinesPicture(Picture):
    """Lines over one axis."""

    kind: Literal["lines"]
    x: DrawnAxis
    y: DrawnAxis
    lines: list[DrawnLine]
    marks: list[DrawnMark]
    uprights: list[tuple[float, str]]
    levels: list[tuple[float, str]]
    from_zero: bool


class StripRow(Answer):
    """One roll along the runway."""

    label: str
    touchdown: float
    brakes_on: float | None
    release: float | None
    end: float
    end_words: str
    thirds: list[tuple[float, float, str]]


class StripPicture(Picture):
    """The runway to scale. [m]"""

    kind: Literal["strip"]
    available: float
    exits: list[tuple[str, float]]
    rows: list[StripRow]


class LedgerPicture(Picture):
    """Where the difference between two cases comes from."""

    kind: Literal["ledger"]
    unit: str
    first: tuple[str, float]
    other: tuple[str, float]
    entries: list[tuple[str, float]]


class SharesPicture(Picture):
    """A whole and its parts, one bar for each case."""

    kind: Literal["shares"]
    unit: str
    parts: list[str]
    rows: list[tuple[str, list[float]]]


class MapPicture(Picture):
    """One number over two inputs."""

    kind: Literal["map"]
    x: DrawnAxis
    y: DrawnAxis
    value: DrawnAxis
    xs: list[float]
    ys: list[float]
    values: list[list[float | None]]
    today: tuple[float, float] | None


class TablePicture(Picture):
    """Numbers side by side, as text."""

    kind: Literal["table"]
    columns: list[str]
    rows: list[list[str]]


class ReportPicture(Picture):
    """A report as received and as understood."""

    kind: Literal["report"]
    received: str
    understood: list[str]


AnyPicture = Annotated[
    LinesPicture | StripPicture | LedgerPicture | SharesPicture | MapPicture | TablePicture | ReportPicture,
    Field(discriminator="kind"),
]


class TaughtFact(Answer):
    """Something that the model does not compute, with its standing."""

    text: str
    source: str
    status: str


class TaughtChoice(Answer):
    """One answer to pick."""

    text: str
    right: bool
    reply: str


class TaughtQuestion(Answer):
    """A question: one to pick from, or a number to guess."""

    text: str
    choices: list[TaughtChoice]
    number: float | None
    unit: str
    within: float
    answer: str
    explain: list[str]


class TaughtStep(Answer):
    """One step of a lesson."""

    title: str
    paragraphs: list[str]
    changes: str
    pictures: list[AnyPicture]
    revealed: list[AnyPicture]
    facts: list[TaughtFact]
    question: TaughtQuestion | None
    leader: list[str]


class LessonAnswer(Answer):
    """A lesson worked out, as `groundroll teach LESSON --json`."""

    format: int
    kind: Literal["lesson"]
    name: str
    title: str
    summary: str
    goals: list[str]
    minutes: int
    cases: list[TaughtCase]
    steps: list[TaughtStep]
    cautions: list[str]
    sources: list[Source]
