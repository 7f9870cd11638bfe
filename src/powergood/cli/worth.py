"""`powergood worth`: what time, money and the machine are worth here, and when to stop."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import print_json, table
from powergood.errors import BadInput


@click.command()
@click.argument("settings", nargs=-1, metavar="[NAME=VALUE]...")
@click.option("--take-back", "fact", type=int, default=0, help="Number of a fact that set one; it is undone.")
@click.option("--history", is_flag=True, help="Also what was set before, by whom and when.")
@folder_option
@who_option
@json_option
def worth(settings: tuple[str, ...], fact: int, history: bool, folder: Path, who: str, as_json: bool) -> None:
    """Show or set what your time, money and the machine are worth, and your stop rules.

    NAME=VALUE sets one; an empty value unsets it.
    """
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    broken = [each for each in settings if not each.partition("=")[0] or "=" not in each]
    if broken:
        raise BadInput(f"Write settings as NAME=VALUE, such as hour=15; these are not: {', '.join(broken)}.")
    with opened(folder) as workshop:
        if settings:
            values = {name: value for name, _, value in (each.partition("=") for each in settings)}
            bench.prefer(workshop, values, key=workshop.new_key(), who=who)
        if fact:
            bench.take_back(workshop, fact, key=workshop.new_key(), who=who)
        view = bench.worth_view(workshop)
    if as_json:
        print_json(view)
        return
    click.echo(
        table(
            (line.name, line.value or (f"({line.default})" if line.default else "-"), line.unit, line.title)
            for line in view.lines
        )
    )
    for line in view.lines if history else ():
        for number, at, value, by in line.history:
            click.echo(f"  fact {number}, {at}{f', {by}' if by else ''}: {line.name} = {value}")
