"""`powergood job`: list, show and open jobs, note findings, sign off."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.job_text import print_job
from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import print_json, table
from powergood.errors import BadInput
from powergood.units import in_100

if TYPE_CHECKING:
    from powergood.bench.job_views import JobView
    from powergood.bench.step_views import StepAnswer


@click.group()
def job() -> None:
    """List, show and open jobs; note findings; sign off."""


@job.command("list")
@folder_option
@json_option
def list_jobs(folder: Path, as_json: bool) -> None:
    """List open jobs, resting ones, and those closed last."""
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    with opened(folder) as workshop:
        board = bench.board(workshop)
    if as_json:
        print_json(board)
        return
    jobs = [*board.open, *board.shelved, *board.closed]
    if jobs:
        click.echo(table((str(each.number), each.machine.tag, each.title, each.where) for each in jobs))
    else:
        click.echo("No job yet. Open one with: powergood job open TAG WORDS")


@job.command()
@click.argument("number", type=int)
@folder_option
@json_option
def show(number: int, folder: Path, as_json: bool) -> None:
    """Show job NUMBER: the next step, gates, suspects, what is proven, the record."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        view = bench.job(workshop, number)
    if as_json:
        print_json(view)
    else:
        print_job(view)


@job.command()
@click.argument("number", type=int)
@click.argument("fault", required=False, default="")
@folder_option
@json_option
def why(number: int, fault: str, folder: Path, as_json: bool) -> None:
    """Say why job NUMBER's next step is advised, or what each finding says for or against FAULT."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        if not fault:
            _print_why(bench.job(workshop, number), as_json)
            return
        found = bench.weighing(workshop, number, fault)
    if as_json:
        print_json(found)
        return
    click.echo(f"{found.title}: {in_100(found.now)} now, {in_100(found.at_first)} at first")
    click.echo(table((f"  {say.fact}", say.says, say.words) for say in found.says))


def _print_why(view: JobView, as_json: bool) -> None:
    """Print why the next step of a job is advised."""
    card = view.next
    if as_json:
        print_json({"next": card, "against": view.advice.against if view.advice else ()})
        return
    if card is None:
        click.echo(view.engine_trouble or "Nothing is left to do but to sign off.")
        return
    for words in (f"{card.ask}  [{card.step}]", card.why, *card.against):
        click.echo(words)
    for words in card.wrong_when:
        click.echo(f"It can mislead: {words}")


@job.command("open")
@click.argument("tag")
@click.argument("words", nargs=-1)
@click.option("--complaint", default="", help="Known complaint; found from the words unless given.")
@click.option("--wanted", multiple=True, help="Function to end with; may be given several times.")
@folder_option
@who_option
def open_job(
    tag: str, words: tuple[str, ...], complaint: str, wanted: tuple[str, ...], folder: Path, who: str
) -> None:
    """Open a job on the machine with TAG; WORDS say what is wrong."""
    # Deferred for the same reason as above.
    from powergood import bench

    said = " ".join(words)
    with opened(folder) as workshop:
        if said and not complaint:
            match = bench.complaints(workshop, bench.machine(workshop, tag).card.sheet, said)
            complaint = match.best
            if match.ask:
                click.echo(f"{match.ask} Answer with --complaint:", err=True)
                click.echo(table((f"  {each.complaint}", each.words) for each in match.answers), err=True)
                raise BadInput("The words can mean several things. No job was opened yet.")
        number = bench.open_job(
            workshop, tag, words=said, complaint=complaint, wanted=wanted, key=workshop.new_key(), who=who
        )
    click.echo(str(number))


@job.command()
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
    # Deferred for the same reason as above.
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


@job.command()
@click.argument("number", type=int)
@click.argument("stage_id", metavar="STAGE")
@click.argument("readings", nargs=-1, metavar="[READING=VALUE]...")
@click.option("--meter", default="", help="Instrument, with its error if known, such as: 0.5 % + 2.")
@click.option("--no-check", is_flag=True, help="Keep the readings, but no outcome of the stage's check.")
@click.option("--done", is_flag=True, help="The stage is done, after the readings given.")
@click.option("--stop", "seen", default="", help="Stopped at this one of the stop list, or at these words.")
@click.option("--text", default="", help="How it was done, or more about why it was stopped.")
@folder_option
@who_option
@json_option
def stage(
    number: int,
    stage_id: str,
    readings: tuple[str, ...],
    meter: str,
    no_check: bool,
    done: bool,
    seen: str,
    text: str,
    folder: Path,
    who: str,
    as_json: bool,
) -> None:
    """Write down readings at STAGE of bring-up of job NUMBER, that it is done, or why it was stopped.

    READINGS are READING=VALUE, such as five="5.02 V"; `job show` names them.
    """
    # Deferred for the same reason as above.
    from powergood import bench

    if not (readings or done or seen) or (done and seen):
        raise BadInput(
            "Give readings as READING=VALUE, or one of --done and --stop. Nothing was written down."
        )
    broken = [each for each in readings if not all(each.partition("="))]
    if broken:
        raise BadInput(f"Write readings as READING=VALUE, such as five=5.02V; not: {', '.join(broken)}.")
    texts = dict(each.partition("=")[::2] for each in readings)
    with opened(folder) as workshop:
        view = bench.job(workshop, number)
        if texts:
            key = workshop.new_key()
            view = bench.note_readings(
                workshop, number, stage_id, texts, instrument=meter, with_check=not no_check, key=key, who=who
            )
        if done:
            view = bench.finish_stage(workshop, number, stage_id, text, key=workshop.new_key(), who=who)
        if seen:
            known = {item.id for card in view.first_power.stages for item in card.stop_if}
            said = text if seen in known else " ".join(filter(None, (seen, text)))
            view = bench.stop_stage(workshop, number, stage_id, seen, said, key=workshop.new_key(), who=who)
    if as_json:
        print_json(view)
    else:
        print_job(view)


@job.command("sign-off")
@click.argument("number", type=int)
@click.option("--words", default="", help="Why what is not proven is let go.")
@folder_option
@who_option
def sign_off(number: int, words: str, folder: Path, who: str) -> None:
    """Sign job NUMBER off: everything wanted is proven, or words say why not."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        view = bench.sign_off(workshop, number, words, key=workshop.new_key(), who=who)
    click.echo(f"Job {view.number} is signed off.")
