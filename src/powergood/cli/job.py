"""`powergood job`: list, show and open jobs, note findings, sign off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.job_find import find
from powergood.cli.job_note import note
from powergood.cli.job_stage import stage
from powergood.cli.job_text import print_job
from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import print_json, table
from powergood.errors import BadInput
from powergood.units import in_100

if TYPE_CHECKING:
    from powergood.bench.job_views import JobView


@click.group()
def job() -> None:
    """List, show and open jobs; note findings; sign off."""


job.add_command(find)
job.add_command(note)
job.add_command(stage)


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
        click.echo(view.engine_trouble or view.next_waits or "Nothing is left to do but to sign off.")
        return
    for words in filter(None, (view.next_waits, f"{card.ask}  [{card.step}]", card.why, *card.against)):
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
