"""`groundroll land`: the landing plan of a case."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DOES_NOT_FIT, DONE, STOPPED, AsJson, OutputFile, Overrides, announce_compiling, emit


def land(
    case: Annotated[Path, typer.Argument(help="The case file.", show_default=False)],
    full: Annotated[bool, typer.Option("--full", help="Print every choice at every exit and every limit.")] = False,
    samples: Annotated[
        int | None,
        typer.Option(metavar="N", help="Say how sure it is, from N landings for each choice.", show_default=False),
    ] = None,
    seed: Annotated[int, typer.Option(metavar="S", help="With --samples: the same seed gives the same digits.")] = 1,
    against: Annotated[
        Path | None,
        typer.Option(
            metavar="CASE", help="Also explain the difference to another case, metre by metre.", show_default=False
        ),
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Also draw speed, forces and brake temperatures into FILE.svg or FILE.png.",
            show_default=False,
        ),
    ] = None,
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
) -> int:
    """Plan a landing: every brake setting with every use of reverse, the exit to take, and what would break it."""
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.scenario.read import read_case

    if chart is not None:
        from groundroll.outputs.charts.style import check_chart_name

        check_chart_name(chart)
    resolved = read_case(case, set_ or ())
    other = None if against is None else read_case(against)
    announce_compiling()
    decision = decide(plan_landing(resolved))
    if chart is not None:
        from groundroll.outputs.charts.landing import write_landing_chart

        write_landing_chart(decision, chart)
    comparison = None
    if other is not None:
        from groundroll.planning.comparison import compare

        comparison = compare(decision, decide(plan_landing(other)))
    uncertainty = None
    if samples is not None:
        from groundroll.outputs.progress import RollProgress
        from groundroll.planning.uncertainty.answers import uncertainty_of

        with RollProgress() as progress:
            uncertainty = uncertainty_of(decision, samples=samples, seed=seed, progress=progress)
    if as_json:
        from groundroll.outputs.json_form import land_json, to_text

        answer = land_json(decision.plan, decision)
        if samples is not None:
            from groundroll.outputs.uncertainty_form import uncertainty_json

            answer["uncertainty"] = uncertainty_json(uncertainty)
        if comparison is not None:
            from groundroll.outputs.ledger_form import comparison_json

            answer["against"] = comparison_json(comparison)
        emit(to_text(answer), output)
    else:
        from groundroll.outputs.landing_table import landing_text

        text = landing_text(decision.plan, decision, full=full)
        if samples is not None:
            from groundroll.outputs.uncertainty_form import uncertainty_text

            text = f"{uncertainty_text(uncertainty)}\n{text}"
        if comparison is not None:
            from groundroll.outputs.ledger_form import comparison_text

            text = f"{comparison_text(comparison)}\n{text}"
        emit(text, output)
    if uncertainty is not None and not uncertainty.complete:
        return STOPPED  # the partial answer has been given
    return DONE if decision.plan.fits else DOES_NOT_FIT
