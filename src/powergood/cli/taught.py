"""`powergood taught`: what closed jobs taught, and setting a learned number aside."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import heading, print_json


@click.group(invoke_without_command=True)
@folder_option
@json_option
@click.option("--all", "every", is_flag=True, help="Also those that hardly moved.")
@click.pass_context
def taught(ctx: click.Context, folder: Path, as_json: bool, every: bool) -> None:
    """Show what closed jobs taught: each number before and now, its interval and evidence."""
    if ctx.invoked_subcommand:
        return
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    with opened(folder) as workshop:
        view = bench.taught(workshop)
    if as_json:
        print_json(view)
        return
    if not view.groups:
        click.echo("Nothing yet. Close a job, and what it found will stand here.")
    for group in view.groups:
        click.echo(heading(group.title))
        for line in (*group.lines, *(group.still if every else ())):
            aside = " [set aside]" if line.set_aside else ""
            click.echo(f"  {line.title}: {line.before}, now {line.now} ({line.between}){aside}")
            click.echo(f"    {line.evidence}. {line.source}.  [{line.number}]")
        if group.still and not every:
            click.echo(f"  {len(group.still)} hardly moved; --all shows them.")


@taught.command("set-aside")
@click.argument("number")
@click.option("--because", default="", help="Why, in a few words.")
@folder_option
@who_option
def set_aside(number: str, because: str, folder: Path, who: str) -> None:
    """Use the learned NUMBER no more in jobs that begin from now on; the pack's counts."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        bench.set_aside(workshop, number, because, key=workshop.new_key(), who=who)
    click.echo(f"{number} is set aside.")


@taught.command("use-again")
@click.argument("number")
@folder_option
@who_option
def use_again(number: str, folder: Path, who: str) -> None:
    """Use the learned NUMBER again that was set aside."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        bench.use_again(workshop, number, key=workshop.new_key(), who=who)
    click.echo(f"{number} is used again.")


@taught.command("count-in")
@click.argument("job", type=int)
@folder_option
@who_option
def count_in(job: int, folder: Path, who: str) -> None:
    """Let JOB, which is under way, count what was learned since it began."""
    # Deferred for the same reason as above.
    from powergood import bench

    with opened(folder) as workshop:
        bench.use_learned_now(workshop, job, key=workshop.new_key(), who=who)
    click.echo(f"Job {job} counts what was learned until now.")
