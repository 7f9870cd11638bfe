"""`powergood demo`: make the demo workshop, or say where it is."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import DEMO_FOLDER


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=DEMO_FOLDER)
def demo(folder: Path) -> None:
    """Make the demo workshop in FOLDER: four invented machines at the bench of a small harbour museum.

    A workshop that is there already is left as it is.
    """
    # Deferred: the store and the engine take a third of a second to load, which the help must not wait for.
    from powergood.bench import demo as demo_workshop

    place = folder.expanduser()
    made = demo_workshop.ensure(place)
    click.echo(f"The demo workshop is {'made' if made else 'there already'}: {place}")
    click.echo(f"Look at it with: powergood bench {place}")
