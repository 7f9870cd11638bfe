"""`powergood advise`: advice on a model sheet after a findings file, without a workshop."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.place import json_option
from powergood.cli.printing import BESIDE, besides, heading, leanings, print_json, step_lines, table
from powergood.units import in_100

if TYPE_CHECKING:
    from powergood.bench.job_views import SheetAdvice

MOST_OTHERS = 4


@click.command()
@click.argument("sheet")
@click.option("--findings", type=click.Path(path_type=Path), help="Findings file, in YAML.")
@click.option("--pack", "pack_path", type=click.Path(path_type=Path), help="Folder of a pack to use instead.")
@json_option
def advise(sheet: str, findings: Path | None, pack_path: Path | None, as_json: bool) -> None:
    """Advise on SHEET, a model sheet or family of the pack, after the facts of a findings file.

    Leaves with 0, also when the findings conflict, and with 2 when the input has mistakes.
    """
    # Deferred: engine and packs take a third of a second to load, which the help must not wait for.
    from powergood.bench import advise_sheet
    from powergood.packs import load_pack

    answer = advise_sheet(sheet, findings, pack=load_pack(pack_path) if pack_path else None)
    if as_json:
        print_json(answer.advice)
    else:
        print_advice(answer)


def print_advice(answer: SheetAdvice) -> None:
    """Print an advice for a person."""
    click.echo(answer.title)
    if answer.conflict:
        click.echo(heading(answer.conflict))
    due = {step.step for step in answer.advice.steps if step.kind == "gate"}
    unmet = [gate for gate in answer.advice.gates if gate.gate in due]
    if unmet:
        click.echo(heading("To be met first"))
        click.echo(table((f"  {gate.gate}", gate.title) for gate in unmet))
    if answer.next:
        click.echo(heading("Next"))
        click.echo("\n".join(step_lines(answer.next)))
        click.echo(f"  {answer.nearness} {answer.figures}")
    others = [card for card in answer.steps if card.kind != "gate"][:MOST_OTHERS]
    if others:
        click.echo(heading("Also weighed, with the whole rest of the job if done next"))
        click.echo(table((f"  {card.step}", f"{card.expected_total:.0f} min", card.ask) for card in others))
    click.echo(heading("Suspect"))
    click.echo(leanings(answer.suspects))
    if answer.beside:
        click.echo(heading(BESIDE))
        click.echo(besides(answer.beside))
    else_here = [each for each in answer.something_else if each.chance >= 0.01]
    if else_here:
        click.echo(heading("Something else here"))
        click.echo(table((f"  {each.title}", in_100(each.chance)) for each in else_here))
    if answer.cleared:
        click.echo(heading(f"Cleared: {', '.join(answer.cleared)}"))
