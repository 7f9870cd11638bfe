"""The command `powergood` and its groups: names and one line each; the work is in the commands' modules."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any, NoReturn

import click

from powergood import __version__
from powergood.errors import PowergoodError

COMMANDS: Mapping[str, tuple[str, str]] = {
    "demo": ("powergood.cli.demo:demo", "Make the demo workshop: the bench of a small harbour museum."),
    "bench": ("powergood.cli.bench:bench", "Start the pages of a workshop in the browser."),
    "advise": ("powergood.cli.advise:advise", "Advise on a model sheet after a findings file; no workshop."),
    "machine": ("powergood.cli.machine:machine", "List, show and take in machines."),
    "job": ("powergood.cli.job:job", "List, show and open jobs; note findings; sign off."),
    "taught": ("powergood.cli.taught:taught", "Show what closed jobs taught; set a number aside."),
    "worth": ("powergood.cli.worth:worth", "Show or set what your time is worth and when to stop."),
    "pack": ("powergood.cli.pack:pack", "Begin, check and upgrade a pack of knowledge."),
    "sheet": ("powergood.cli.sheet:sheet", "List, show, make, check and share model sheets."),
    "backup": ("powergood.cli.backup:backup", "Write a whole copy of a workshop to one file."),
    "restore": ("powergood.cli.restore:restore", "Put a backup into an empty folder."),
}
"""Each command's module and name, and the line that stands for it in the help."""


class Powergood(click.Group):
    """The top command: loads a command's module when it is called, and tells our errors plainly."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order of a first day."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, its module loaded now."""
        if cmd_name not in COMMANDS:
            return None
        module, _, name = COMMANDS[cmd_name][0].partition(":")
        command = getattr(import_module(module), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without loading any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; an error of ours becomes its message and its exit code, never a traceback."""
        try:
            return super().invoke(ctx)
        except PowergoodError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)


@click.group(
    cls=Powergood, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(__version__, prog_name="powergood")
def cli() -> None:
    """Find what is wrong with an old computer, safely, in the fewest minutes; and keep the record."""


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    cli(prog_name="powergood")
    raise SystemExit(0)
