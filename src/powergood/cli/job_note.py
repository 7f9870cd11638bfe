"""`powergood job note`: write findings and acts down on a job."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.job_text import print_job
from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import print_json
from powergood.errors import BadInput

if TYPE_CHECKING:
    from powergood.bench.step_views import StepAnswer


@click.command()
@click.argument("number", type=int)
@click.argument("findings", nargs=-1, metavar="[CHECK=OUTCOME]...")
@click.option("--unsure", is_flag=True, help="The findings are not sure.")
@click.option("--told", is_flag=True, help="The findings are only told.")
@click.option("--gate", "gates", multiple=True, help="Safety condition that is met.")
@click.option("--gate-not", "unmet", multiple=True, help="Safety condition that is not met, or will not be.")
@click.option("--open", "openings", multiple=True, help="Opening that was opened.")
@click.option("--refit", "refits", multiple=True, help="Opening that was closed again.")
@click.option("--fix", "fixes", multiple=True, help="Fix that was done.")
@click.option("--cannot", "cannots", multiple=True, help="Step that cannot be done here.")
@click.option(
    "--took", type=click.FloatRange(0, 6000), default=0, help="Minutes it took, hands-on; one step only."
)
@click.option("--from", "source", default="", help="Where the part of the one fix came from.")
@click.option("--text", default="", help="Words to keep with the record.")
@folder_option
@who_option
@json_option
def note(
    number: int,
    findings: tuple[str, ...],
    unsure: bool,
    told: bool,
    took: float,
    source: str,
    text: str,
    folder: Path,
    who: str,
    as_json: bool,
    **acts: tuple[str, ...],
) -> None:
    """Write down findings and acts on job NUMBER, then show it.

    FINDINGS are CHECK=OUTCOME; of a grid, CHECK=cells:Q,W names the bad cells.
    """
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench
    from powergood.bench.step_views import StepAnswer

    given = [*_acts(acts, StepAnswer), *_findings(findings, not unsure, told, StepAnswer)]
    if took or source:
        given = _with_words(given, took, source)
    if not given and not text.strip():
        raise BadInput("Nothing to write down. Give findings as CHECK=OUTCOME, or --text with words.")
    with opened(folder) as workshop:
        view = bench.answers(workshop, number, given, text=text, key=workshop.new_key(), who=who)
    if as_json:
        print_json(view)
    else:
        print_job(view)


def _with_words(given: list[StepAnswer], took: float, source: str) -> list[StepAnswer]:
    if len(given) != 1:
        raise BadInput("Say --took and --from with one finding or act at a time. Nothing was written down.")
    return [replace(given[0], took=took, source=source)]


_OUTCOME_OF_ACT = {
    "gates": "met",
    "unmet": "not met",
    "openings": "opened",
    "fixes": "done",
    "refits": "refitted",
    "cannots": "cannot",
}


def _acts(acts: dict[str, tuple[str, ...]], make: type[StepAnswer]) -> list[StepAnswer]:
    return [make(step, outcome) for name, outcome in _OUTCOME_OF_ACT.items() for step in acts[name]]


def _findings(given: tuple[str, ...], sure: bool, told: bool, make: type[StepAnswer]) -> list[StepAnswer]:
    broken = [each for each in given if not all(each.partition("="))]
    if broken:
        listed = ", ".join(map(repr, broken))
        raise BadInput(f"Write findings as CHECK=OUTCOME, such as torch=good; these are not: {listed}.")
    return [_finding(*each.partition("=")[::2], sure, told, make) for each in given]


def _finding(check: str, outcome: str, sure: bool, told: bool, make: type[StepAnswer]) -> StepAnswer:
    kind, _, named = outcome.partition(":")
    cells = tuple(name.strip() for name in named.split(",") if name.strip()) if kind == "cells" else ()
    return make(check, kind if kind == "cells" else outcome, sure=sure, told=told, cells=cells)
