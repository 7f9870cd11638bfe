"""`powergood job find`: find a look, an answer or a mend by words, to write it down."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import folder_option, json_option, opened
from powergood.cli.printing import print_json, table


@click.command()
@click.argument("number", type=int)
@click.argument("words", nargs=-1, required=True)
@folder_option
@json_option
def find(number: int, words: tuple[str, ...], folder: Path, as_json: bool) -> None:
    """Find what job NUMBER's machine knows of looks and mends that WORDS fit, best first."""
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    said = " ".join(words)
    with opened(folder) as workshop:
        found = bench.other_work(workshop, number, said)
        if found.looks:
            found = bench.other_work(workshop, number, said, found.looks[0].step)
    if as_json:
        print_json(found)
        return
    for title, works in (("Looks", found.looks), ("Mending and exchanging", found.mends)):
        if works:
            click.echo(title)
            click.echo(table((f"  {each.step}", each.ask, each.because) for each in works))
    if found.card:
        click.echo(f"The first is written down with powergood job note {number} and one of these:")
        click.echo(table((f"  {found.card.step}={key.outcome}", key.words) for key in found.card.keys))
    if not found.looks and not found.mends:
        click.echo(
            "Nothing known here fits these words. Say it another way, or keep it: "
            f'powergood job note {number} --text "{said}"'
        )
