"""`powergood machine`: list, show and take in machines."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import heading, print_json, table
from powergood.errors import BadInput

if TYPE_CHECKING:
    from powergood.bench.machine_views import MachineView


@click.group()
def machine() -> None:
    """List, show and take in machines."""


@machine.command("list")
@folder_option
@json_option
def list_machines(folder: Path, as_json: bool) -> None:
    """List every machine, latest first."""
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    with opened(folder) as workshop:
        found = bench.machines(workshop)
    if as_json:
        print_json(found)
    elif found:
        click.echo(table((each.tag, each.name, each.kind, each.standing) for each in found))
    else:
        click.echo("No machine yet. Take one in with: powergood machine add NAME --sheet SHEET")


@machine.command()
@click.argument("tag")
@folder_option
@json_option
def show(tag: str, folder: Path, as_json: bool) -> None:
    """Show the machine with TAG: details, jobs and record."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        view = bench.machine(workshop, tag)
    if as_json:
        print_json(view)
    else:
        print_machine(view)


def print_machine(view: MachineView) -> None:
    """Print a machine for a person."""
    card = view.card
    click.echo(f"{card.tag}  {card.name}  ({card.kind}{f', {card.year}' if card.year else ''})")
    click.echo(card.standing)
    details = {
        "Story": view.story,
        "Came with": view.came_with,
        "Condition": card.condition,
        "Place": card.place,
        "Supply": view.edition.title if view.edition else "",
        "Sheet": view.kind_trouble,
    }
    rows = [(f"  {name}", value) for name, value in details.items() if value]
    rows += [(f"  {line.ask}", line.answer) for line in view.intake if line.answer != "not asked"]
    if rows:
        click.echo(table(rows))
    if view.cells:
        click.echo(heading("Cells"))
        click.echo(table((f"  {cell.title}", cell.kind, cell.place, cell.polarity) for cell in view.cells))
    if view.jobs:
        click.echo(heading("Jobs"))
        click.echo(table((f"  {job.number}", job.title, job.where) for job in view.jobs))
    click.echo(heading("Record"))
    click.echo(
        table((f"  {line.fact}", line.at, line.sentence) for line in view.record if not line.withdrawn)
    )


@machine.command()
@click.argument("name")
@click.option("--sheet", required=True, help="Model sheet or family; see `powergood machine kinds`.")
@click.option("--tag", default="", help="Tag; the next free one unless given.")
@click.option("--year", type=int, default=0, help="Year of make; the sheet's unless given.")
@click.option("--story", default="", help="The giver's story.")
@click.option("--came-with", default="", help="What came with it.")
@click.option("--condition", default="", help="Condition in words.")
@click.option("--place", default="", help="Where it is kept.")
@click.option(
    "--edition", default="", help="Edition of the standard its supply follows, of those the kind has."
)
@click.option("--photo", type=click.Path(path_type=Path), help="Photo file (JPEG, PNG or HEIC).")
@folder_option
@who_option
def add(name: str, folder: Path, photo: Path | None, who: str, **details: str | int) -> None:
    """Take in a machine called NAME and print its tag."""
    # Deferred for the same reason as above.
    from powergood import bench
    from powergood.bench.intake_views import TakeIn

    data = photo_bytes(photo) if photo else b""
    given = TakeIn(name=name, photo=data, **details)  # type: ignore[arg-type]  # options bear the field names
    with opened(folder) as workshop:
        tag = bench.take_in(workshop, given, key=workshop.new_key(), who=who)
    click.echo(tag)


def photo_bytes(photo: Path) -> bytes:
    """Return the bytes of a photo file.

    Raises
    ------
    BadInput : it cannot be read.
    """
    try:
        return photo.expanduser().read_bytes()
    except OSError as error:
        raise BadInput(f"The photo {photo} cannot be read: {error.strerror}. Nothing was stored.") from error


@machine.command()
@folder_option
@json_option
def kinds(folder: Path, as_json: bool) -> None:
    """List the model sheets and families that a machine can be taken in as."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        found = bench.kinds(workshop)
    if as_json:
        print_json(found)
    else:
        click.echo(table((each.sheet, each.title, str(each.year or each.years)) for each in found))
