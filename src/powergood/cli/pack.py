"""`powergood pack`: check a pack of knowledge."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.errors import PackError


@click.group()
def pack() -> None:
    """Check a pack of knowledge."""


@pack.command()
@click.argument("path", type=click.Path(path_type=Path))
def check(path: Path) -> None:
    """Check the pack in PATH: all its mistakes at once, each with file, line and column.

    Leaves with 0 when there is no mistake (warnings may be), and with 2 when there is one.
    """
    # Deferred: the YAML reader takes a tenth of a second to load, which the help must not wait for.
    from powergood.packs import check_pack

    issues = check_pack(path)
    for issue in issues:
        click.echo(f"{issue.severity}: {issue}", err=True)
    errors = sum(issue.severity == "error" for issue in issues)
    warnings = len(issues) - errors
    if errors:
        raise PackError(f"{path}: {counted(errors, 'mistake')}, {counted(warnings, 'warning')}.")
    click.echo(f"{path}: no mistakes" + (f", {counted(warnings, 'warning')}." if warnings else "."))


def counted(number: int, word: str) -> str:
    """Return a number with its word: `1 mistake`, `3 mistakes`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
