"""The page of commands, from the very help that `--help` prints."""

from __future__ import annotations

from collections.abc import Iterator

import click

from powergood.cli.main import cli

HEAD = """# Commands

`powergood` stands for `.venv/bin/powergood` (on Windows `.venv\\Scripts\\powergood.cmd`), which
`python3 do.py run` puts there. Exit codes: 0 fine (findings that conflict are reported and are no error),
1 the bench forbids it now, 2 bad input, 3 the workshop or its database cannot be used.
"""


def page() -> str:
    """Return the page: each command with its help."""
    return "\n".join([HEAD, *(section(name, command) for name, command in every_command())])


def every_command() -> Iterator[tuple[str, click.Command]]:
    """Yield each command with its full name, groups before what is in them."""
    yield "powergood", cli
    yield from inside(cli, "powergood")


def inside(group: click.Group, prefix: str) -> Iterator[tuple[str, click.Command]]:
    """Yield the commands of a group, and of the groups in it."""
    context = click.Context(group, info_name=prefix)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        yield f"{prefix} {name}", command
        if isinstance(command, click.Group):
            yield from inside(command, f"{prefix} {name}")


def section(name: str, command: click.Command) -> str:
    """Return one command's heading and help."""
    context = click.Context(command, info_name=name, terminal_width=100, max_content_width=100)
    context.help_option_names = ["-h", "--help"]
    return f"## {name}\n\n```text\n{command.get_help(context)}\n```\n"
