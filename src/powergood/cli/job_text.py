"""A job's page as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from powergood.cli.printing import BESIDE, besides, heading, leanings, step_lines, table

if TYPE_CHECKING:
    from powergood.bench.job_views import JobView
    from powergood.bench.record_views import RecordLine
    from powergood.bench.stage_views import StageReading

MOST_OTHERS = 4


def print_job(view: JobView) -> None:
    """Print a job for a person, the next step first."""
    click.echo(f"Job {view.number}: {view.title}  ({view.machine.tag} {view.machine.name})")
    click.echo(view.where)
    for warning in (view.engine_trouble, view.pack_changed, view.conflict):
        if warning:
            click.echo(warning)
    _print_gates(view)
    _print_first_power(view)
    _print_steps(view)
    if view.suspects:
        click.echo(heading("Suspect"))
        click.echo(leanings(view.suspects))
    if view.beside:
        click.echo(heading(BESIDE))
        click.echo(besides(view.beside))
    click.echo(heading("Wanted"))
    click.echo(table((f"  {each.title}", each.standing, each.function) for each in view.functions))
    if view.bench.open_titles or view.bench.parts_out:
        click.echo(heading(f"Open: {', '.join(view.bench.open_titles) or 'nothing'}"))
        click.echo(f"Out: {', '.join(view.bench.parts_out) or 'nothing'}")
    click.echo(heading("Record"))
    click.echo(table((f"  {line.fact}", line.at, _sentence(line)) for line in view.record))


def _print_gates(view: JobView) -> None:
    unmet = [gate for gate in view.gates if gate.due and view.standing == "open"]
    if unmet:
        click.echo(heading("To be met first"))
        click.echo(table((f"  {gate.gate}", gate.title) for gate in unmet))


def _print_first_power(view: JobView) -> None:
    """Print the stage of bring-up that is due, with its limits and its stop list."""
    stage = view.first_power.now
    if stage is None or view.standing != "open":
        return
    click.echo(heading("First power"))
    click.echo(f"  {view.first_power.words} ({stage.stage})")
    click.echo(f"  {stage.do}.")
    for title in stage.held_by:
        click.echo(f"  Not yet: {title}")
    click.echo(
        table(row for each in stage.readings for row in _reading_rows(each))
        if stage.readings
        else "  Nothing to measure here."
    )
    click.echo("  Stop if:")
    click.echo(table((f"    {each.id}", f"{each.seen}. {each.then}") for each in stage.stop_if))


def _reading_rows(each: StageReading) -> Iterator[tuple[str, ...]]:
    yield f"  {each.limit}", each.limits, each.title, each.verdict
    if each.label:
        yield f"  {each.label}", "", "what the label says", each.label_text


def _print_steps(view: JobView) -> None:
    if view.next_waits:
        click.echo(view.next_waits)
    if view.next:
        click.echo(heading("Besides" if view.next_waits else "Next"))
        click.echo("\n".join(step_lines(view.next)))
        click.echo(f"  {view.nearness} {view.figures}")
    weighed = [card for card in view.steps if card.kind != "gate"]
    others = weighed[:MOST_OTHERS] if view.next else view.unpowered
    if others:
        click.echo(
            heading("Also weighed, with the minutes each takes" if view.next else "Checks that need no power")
        )
        click.echo(table((f"  {card.step}", f"{card.minutes:.0f} min", card.ask) for card in others))


def _sentence(line: RecordLine) -> str:
    if line.withdrawn:
        because = f": {line.withdrawn_because}" if line.withdrawn_because else ""
        return f"(taken back{because}) {line.sentence}"
    return f"{line.sentence}. {line.note}" if line.note else line.sentence
