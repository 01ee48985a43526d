"""For notebooks: cases, plans and reviews that show themselves as tables and charts.

    import groundroll as gr

    case = gr.read_case("examples/wet-gusty-arrival/case.toml")
    gr.land(case)
    gr.compare(case, case.changed("landing.mass=58 t"))

Each answer holds what it was made from (`plan`, `decision` and so on), prints as the command does, and gives the values
of the JSON output by `to_dict`.
"""

from __future__ import annotations

import base64
import math
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from groundroll.errors import ScenarioError
from groundroll.outputs.caution import cautions
from groundroll.outputs.notebook_form import inline_svg, page, paragraphs, svg_of, table, table_of
from groundroll.planning.wording import Wording
from groundroll.scenario.read import read_any
from groundroll.scenario.read import read_case as read_landing_case
from groundroll.scenario.resolved import Case as LandingCase
from groundroll.scenario.take_off import TakeOffCase

if TYPE_CHECKING:
    import polars

    from groundroll.planning.comparison import Comparison as Compared
    from groundroll.planning.decision import Decision
    from groundroll.planning.landing import LandingPlan
    from groundroll.planning.reject import RejectPlan
    from groundroll.planning.turnaround import DayResult
    from groundroll.review.landing import Review
    from groundroll.teaching.animation import Clip

__all__ = [
    "Animation",
    "Case",
    "Chart",
    "Comparison",
    "Day",
    "Landing",
    "Reject",
    "ReviewedLanding",
    "animate",
    "compare",
    "land",
    "read_case",
    "reject",
    "review_recording",
    "turn",
]

GIF_SIZE = "640x360"
GIF_RATE = 6.0
"""Of an animation shown in a notebook: about a megabyte. Assumption of this project; `Animation.save` gives more."""


@dataclass(frozen=True, repr=False)
class Chart:
    """A chart that shows itself."""

    svg: str

    def __repr__(self) -> str:
        """Return what it is."""
        return f"<chart, {len(self.svg)} characters of SVG>"

    def _repr_svg_(self) -> str:
        return self.svg


@dataclass(frozen=True, repr=False)
class Case:
    """A landing or a take-off as read, every text of its file looked up."""

    resolved: LandingCase | TakeOffCase
    path: Path
    changes: tuple[str, ...] = ()

    def changed(self, *changes: str) -> Case:
        """Return the same case with inputs changed, such as "landing.mass=58 t"."""
        return read_case(self.path, *self.changes, *changes)

    def __repr__(self) -> str:
        """Return title and inputs."""
        lines = [self.resolved.title, *(f"  {name}: {value}" for name, value in self._inputs())]
        return "\n".join([*lines, *cautions(invented=self.resolved.aircraft.invented)])

    def _inputs(self) -> list[tuple[str, str]]:
        case = self.resolved
        wording, weather = Wording(case.display), case.weather
        wind = f"{wording.speed(weather.wind_speed)}"
        if weather.wind_direction is not None:
            wind = f"{math.degrees(weather.wind_direction) % 360.0:03.0f} deg true, {wind}"
        if weather.gust_speed:
            wind += f", gusts {wording.speed(weather.gust_speed)}"
        rows = [
            ("aeroplane", case.aircraft.name),
            ("runway", f"{case.runway.aerodrome} {case.direction}"),
            ("surface in this direction", ", ".join(_third_words(one) for one in case.condition.thirds)),
            ("wind", wind),
            ("temperature", wording.temperature(weather.temperature)),
            ("altimeter setting", f"{weather.pressure_setting / 100.0:.0f} hPa"),
        ]
        if isinstance(case, LandingCase):
            rows += [
                ("mass", wording.mass(case.landing.mass)),
                ("flap", case.landing.flap),
                ("speed over the threshold", wording.speed(case.landing.approach_speed)),
                ("margin", f"{100.0 * case.landing.margin:.0f} %"),
            ]
        else:
            intent = case.take_off.intent
            rows += [
                ("mass", wording.mass(intent.mass)),
                ("flap", intent.flap),
                ("rotation speed", wording.speed(case.take_off.rotation_speed)),
            ]
        if self.changes:
            rows.append(("changed", "; ".join(self.changes)))
        return rows

    def _repr_html_(self) -> str:
        shown = table("", ("", ""), self._inputs())
        return page(self.resolved.title, [shown], "", cautions(invented=self.resolved.aircraft.invented))


def _third_words(third: Any) -> str:
    depth = f" {1000.0 * third.depth:.0f} mm" if third.depth else ""
    return f"{third.code} {(third.descriptor or '').lower()}{depth}".strip()


def read_case(path: Path | str, *changes: str) -> Case:
    """Return the case in a file, of a landing or a take-off.

    Parameters
    ----------
    path
        The case file.
    changes
        Inputs to change, such as "landing.mass=58 t".

    Raises
    ------
    ScenarioError
        If the file is no case, or something in it cannot be used.
    """
    resolved = read_any(path, changes)
    if not isinstance(resolved, LandingCase | TakeOffCase):
        raise ScenarioError(f"{Path(path).name} is not a case. A case is of a landing or of a take-off.")
    return Case(resolved, Path(path), changes)


def _landing_case(case: Case | Path | str) -> LandingCase:
    resolved = case.resolved if isinstance(case, Case) else read_landing_case(case)
    if not isinstance(resolved, LandingCase):
        raise ScenarioError(f"{resolved.title}: is a take-off. A landing is needed here; for this one use `reject`.")
    return resolved


# ---------------------------------------------------------------------------------------------------------- landing


@dataclass(frozen=True, repr=False)
class Landing:
    """The plan of a landing."""

    decision: Decision

    @property
    def plan(self) -> LandingPlan:
        """Return the plan: every choice, and the one that is recommended."""
        return self.decision.plan

    @cached_property
    def text(self) -> str:
        """Return the plan as `groundroll land` prints it."""
        from groundroll.outputs.landing_table import landing_text

        return landing_text(self.plan, self.decision, full=False)

    def to_dict(self) -> dict[str, Any]:
        """Return the values of `groundroll land --json`: SI, names with units."""
        from groundroll.outputs.json_form import land_json

        return land_json(self.plan, self.decision)

    @property
    def table(self) -> polars.DataFrame:
        """Return every choice of brakes and reverse as a data frame: SI, names with units."""
        return _frame(self.to_dict()["options"])

    @cached_property
    def chart(self) -> Chart:
        """Return speed and forces along the runway, and the temperatures of the brakes."""
        from groundroll.outputs.charts.landing import write_landing_chart

        return Chart(svg_of(lambda path: write_landing_chart(self.decision, path)))

    def __repr__(self) -> str:
        """Return the plan as text."""
        return self.text

    def _repr_html_(self) -> str:
        from groundroll.outputs.landing_table import _decision_table

        plan, title = self.plan, self.plan.case.title
        parts = [paragraphs(plan.reasons)]
        if plan.options:
            parts.append(table_of(_decision_table(plan, Wording(plan.case.display)), CHOICES))
        if any(one.stop_distance is not None for one in plan.options):
            parts.append(inline_svg(self.chart.svg, f"{title}: speed, forces and brake temperatures"))
        notes = [*cautions(invented=plan.case.aircraft.invented), *plan.cautions]
        return page(title, parts, self.text, notes)


CHOICES = "Every choice of brakes and reverse; > is recommended; dem, fri, tor: share ruled by demand, friction, torque"


def _frame(rows: Sequence[dict[str, Any]]) -> polars.DataFrame:
    """Return what each row gives as one value as a data frame."""
    import polars

    plain = [{key: value for key, value in row.items() if not isinstance(value, dict | list)} for row in rows]
    return polars.DataFrame(plain, infer_schema_length=None)


def land(case: Case | Path | str) -> Landing:
    """Return the plan of a landing, with the decision which exit to take.

    Raises
    ------
    ScenarioError
        If the case cannot be planned.
    """
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing

    return Landing(decide(plan_landing(_landing_case(case))))


# ---------------------------------------------------------------------------------------------------------- take-off


@dataclass(frozen=True, repr=False)
class Reject:
    """Stop or go."""

    plan: RejectPlan

    @cached_property
    def text(self) -> str:
        """Return the answer as `groundroll reject` prints it."""
        from groundroll.outputs.reject_table import reject_text

        return reject_text(self.plan)

    def to_dict(self) -> dict[str, Any]:
        """Return the values of `groundroll reject --json`: SI, names with units."""
        from groundroll.outputs.reject_form import reject_json

        return reject_json(self.plan)

    @cached_property
    def chart(self) -> Chart:
        """Return stop and go distances over the decision speed."""
        from groundroll.outputs.reject_chart import write_reject_chart

        return Chart(svg_of(lambda path: write_reject_chart(self.plan, path)))

    def __repr__(self) -> str:
        """Return the answer as text."""
        return self.text

    def _repr_html_(self) -> str:
        from groundroll.outputs.reject_table import _costs, _distances

        plan, wording = self.plan, Wording(self.plan.case.display)
        parts = [
            paragraphs(plan.reasons),
            table_of(_distances(plan, wording)),
            inline_svg(self.chart.svg, f"{plan.case.title}: stop and go distance over decision speed"),
            table_of(_costs(plan, wording)),
        ]
        notes = [*cautions(invented=plan.case.aircraft.invented), *plan.cautions]
        return page(plan.case.title, parts, self.text, notes)


def reject(case: Case | Path | str) -> Reject:
    """Return up to which speed a take-off can be stopped, and from which it can be continued.

    Raises
    ------
    ScenarioError
        If the case cannot be planned.
    """
    from groundroll.planning.reject import plan_reject
    from groundroll.scenario.take_off import read_take_off_case

    resolved = case.resolved if isinstance(case, Case) else read_take_off_case(case)
    if not isinstance(resolved, TakeOffCase):
        raise ScenarioError(f"{resolved.title}: is a landing. A take-off is needed here; for this one use `land`.")
    return Reject(plan_reject(resolved))


# -------------------------------------------------------------------------------------------------------- the day


@dataclass(frozen=True, repr=False)
class Day:
    """The brakes through a day of sectors."""

    result: DayResult

    @cached_property
    def text(self) -> str:
        """Return the day as `groundroll turn` prints it."""
        from groundroll.outputs.turn_table import turn_text

        return turn_text(self.result)

    def to_dict(self) -> dict[str, Any]:
        """Return the values of `groundroll turn --json`."""
        from groundroll.outputs.turn_json import turn_json

        return turn_json(self.result)

    @cached_property
    def chart(self) -> Chart:
        """Return the temperatures of the hottest brake through the day."""
        from groundroll.outputs.turn_chart import write_turn_chart

        return Chart(svg_of(lambda path: write_turn_chart(self.result, path)))

    def __repr__(self) -> str:
        """Return the day as text."""
        return self.text

    def _repr_html_(self) -> str:
        from groundroll.outputs.turn_table import _departures, _landings, breach_text

        result, wording = self.result, Wording(self.result.day.display)
        broken = [breach_text(one, result, wording) for one in result.breaches]
        kept = ["Every departure and every landing keeps the limits of the brakes."]
        parts = [
            paragraphs(broken or kept),
            table_of(_departures(result, wording)),
            table_of(_landings(result, wording)),
            inline_svg(self.chart.svg, f"{result.day.title}: temperatures of the hottest brake"),
        ]
        notes = [*cautions(invented=result.day.aircraft.invented), *result.cautions]
        return page(result.day.title, parts, self.text, notes)


def turn(path: Path | str, *changes: str) -> Day:
    """Return the brakes of one aeroplane through the day of a file.

    Raises
    ------
    ScenarioError
        If the day cannot be followed.
    """
    from groundroll.planning.turnaround import plan_day
    from groundroll.scenario.day import read_day

    return Day(plan_day(read_day(Path(path), changes)))


# --------------------------------------------------------------------------------------------------------- review


@dataclass(frozen=True, repr=False)
class ReviewedLanding:
    """What one recording tells."""

    review: Review
    planned: Any = None
    anonymous: bool = False

    @cached_property
    def text(self) -> str:
        """Return the review as `groundroll review` prints it."""
        from groundroll.outputs.review_form import review_text

        return review_text(self.review, anonymous=self.anonymous)

    def to_dict(self) -> dict[str, Any]:
        """Return the values of `groundroll review --json`."""
        from groundroll.outputs.review_form import review_json

        return review_json(self.review, anonymous=self.anonymous)

    @cached_property
    def chart(self) -> Chart:
        """Return the page of charts: speed and braking along the runway."""
        from groundroll.outputs.review_page import write_review_page
        from groundroll.physics.rollout import simulate

        drawn = None if self.planned is None else (self.planned, simulate(self.planned.roll, history_step=0.25))
        return Chart(svg_of(lambda path: write_review_page(self.review, path, drawn, anonymous=self.anonymous)))

    def __repr__(self) -> str:
        """Return the review as text."""
        return self.text

    def _repr_html_(self) -> str:
        from groundroll.outputs.review_form import cautions_of, display_of, finding_words

        review = self.review
        wording = Wording(display_of(review.setting))
        title = "One landing" if self.anonymous else review.setting.title or review.recording.name
        landed = review.event("touchdown")
        zero = 0.0 if landed is None else landed.time
        rows = [
            (one.name, f"{one.time - zero:+.1f}", wording.length(one.distance), wording.speed(one.ground_speed))
            for one in review.events
        ]
        parts = [
            paragraphs([finding_words(review.forces.finding)]),
            table("Events", ("event", "s from touchdown", "place", "ground speed"), rows, (False, True, True, True)),
        ]
        if review.ledger is not None:
            shares = [(one.cause, f"{one.metres:+.1f}") for one in review.ledger.ledger.entries]
            more = [
                ("hand-over, rolling on", f"{review.ledger.hand_over:+.1f}"),
                ("not explained", f"{review.ledger.not_explained:+.1f}"),
            ]
            parts.append(table("Where the runway went, m", ("cause", "metres"), [*shares, *more], (False, True)))
        parts.append(inline_svg(self.chart.svg, f"{title}: speed and braking along the runway"))
        return page(f"Review: {title}", parts, self.text, cautions_of(review))


def review_recording(
    recording: Path | str,
    case: Case | Path | str,
    *,
    threshold: str | None = None,
    mapping: Path | str | None = None,
    anonymous: bool = False,
) -> ReviewedLanding:
    """Return the review of a recorded landing against its plan.

    Parameters
    ----------
    recording
        CSV or Parquet file of a recorder or of surveillance.
    case
        The plan; it names aeroplane and runway.
    threshold
        Position of the landing threshold, such as "50.1,8.5", where it is known.
    mapping
        What the columns are; see docs/review.md.
    anonymous
        Leave out names, positions, dates and flight identity.

    Raises
    ------
    GroundrollError
        If a file cannot be used, or the recording holds no landing.
    """
    from groundroll.planning.comparison import compared_option
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.planning.ledger import side_of
    from groundroll.review.landing import review_recording as reviewed
    from groundroll.review.mapping import read_mapping, read_position
    from groundroll.review.reading import read_recording
    from groundroll.review.setting import setting_of_case

    resolved = _landing_case(case)
    place = None if threshold is None else read_position(threshold)
    recorded = read_recording(recording, None if mapping is None else read_mapping(mapping))
    decision = decide(plan_landing(resolved))
    option = compared_option(decision)
    planned = side_of(resolved.aircraft, decision.plan.conditions, option.brake, option.reverse)
    return ReviewedLanding(reviewed(recorded, setting_of_case(resolved, place), planned), planned, anonymous)


# ------------------------------------------------------------------------------------------------------ comparison


@dataclass(frozen=True, repr=False)
class Comparison:
    """Where the difference of two landings comes from."""

    comparison: Compared

    @cached_property
    def text(self) -> str:
        """Return the ledger of metres as text."""
        from groundroll.outputs.ledger_form import comparison_text

        return comparison_text(self.comparison)

    def to_dict(self) -> dict[str, Any]:
        """Return the ledger of metres as values."""
        from groundroll.outputs.ledger_form import comparison_json

        return comparison_json(self.comparison)

    @cached_property
    def chart(self) -> Chart:
        """Return the way from the one distance to the other, cause by cause."""
        from groundroll.outputs.charts.ledger import write_ledger_chart

        return Chart(svg_of(lambda path: write_ledger_chart(self.comparison, path)))

    def __repr__(self) -> str:
        """Return the ledger as text."""
        return f"{self.text}\n" + "\n".join(self._cautions())

    def _cautions(self) -> list[str]:
        cases = (self.comparison.first.plan.case, self.comparison.other.plan.case)
        return cautions(invented=any(one.aircraft.invented for one in cases))

    def _repr_html_(self) -> str:
        from groundroll.outputs.ledger_form import signed_length

        one, wording = self.comparison, Wording(self.comparison.first.plan.case.display)
        ledger = one.ledger
        rows: list[tuple[str, str]] = [(entry.cause, signed_length(entry.metres, wording)) for entry in ledger.entries]
        rows.append(("together", signed_length(ledger.difference, wording)))
        titles = list(dict.fromkeys([one.first.plan.case.title, one.other.plan.case.title]))
        upper = wording.choice(one.first_option.brake, one.first_option.reverse)
        lower = wording.choice(one.other_option.brake, one.other_option.reverse)
        said = f"{upper} in {wording.length(ledger.first_distance)}; {lower} in {wording.length(ledger.other_distance)}"
        parts = [
            paragraphs([f"{said[0].upper()}{said[1:]}: threshold to a full stop."]),
            inline_svg(self.chart.svg, "Ledger of metres from one case to the other"),
            table("Metres gained (-) and used (+) by cause", ("cause", "share"), rows, (False, True)),
        ]
        return page(" against ".join(titles), parts, self.text, self._cautions())


def compare(first: Landing | Case | Path | str, other: Landing | Case | Path | str) -> Comparison:
    """Return where the difference of the stops of two landings comes from.

    Raises
    ------
    ScenarioError
        If one of them cannot be planned or does not stop.
    """
    from groundroll.planning.comparison import compare as compared

    sides = [one if isinstance(one, Landing) else land(one) for one in (first, other)]
    return Comparison(compared(sides[0].decision, sides[1].decision))


# ------------------------------------------------------------------------------------------------------- animation


@dataclass(frozen=True, repr=False)
class Animation:
    """One roll or two in step, moving."""

    clip: Clip

    def save(
        self,
        path: Path | str,
        *,
        size: str | None = None,
        theme: Literal["light", "dark"] = "light",
        rate: float | None = None,
    ) -> None:
        """Write it as `groundroll animate` does: .mp4, .webm, .gif, or a folder of pictures."""
        from groundroll.outputs.animation.encode import form_of, write_clip

        where = Path(path)
        write_clip(self.clip, where, form_of(size, where.suffix.lower(), theme, rate))

    def __repr__(self) -> str:
        """Return the captions with their times."""
        from groundroll.outputs.animation.subtitles import sub_rip

        return sub_rip(self.clip)

    def _repr_html_(self) -> str:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "clip.gif"
            self.save(path, size=GIF_SIZE, rate=GIF_RATE)
            picture = base64.b64encode(path.read_bytes()).decode("ascii")
        scenes = self.clip.scenes
        said = "; ".join(f"{one.name}: {one.result}" for one in scenes)
        image = f'<img alt="{escape(said)}" width="640" src="data:image/gif;base64,{picture}">'
        notes = cautions(invented=any(one.invented for one in scenes))
        return page(scenes[0].title, [image], repr(self), notes)


def animate(*cases: Case | Path | str, speed: float = 4.0) -> Animation:
    """Return one case, or two in step, as a moving picture; a landing to its stop, a take-off rejected.

    Parameters
    ----------
    cases
        One or two.
    speed
        How fast time runs; 1 is real time.

    Raises
    ------
    GroundrollError
        If a case cannot be shown.
    """
    from groundroll.teaching.animation import clip_of
    from groundroll.teaching.animation_scene import scene_of

    read = [one.resolved if isinstance(one, Case) else read_case(one).resolved for one in cases]
    return Animation(clip_of([scene_of(one) for one in read], speed))
