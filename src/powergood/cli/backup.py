"""`powergood backup`: a whole copy of a workshop in one file."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import folder_option
from powergood.cli.progress import counter


@click.command()
@click.argument("target", type=click.Path(path_type=Path))
@folder_option
def backup(target: Path, folder: Path) -> None:
    """Write a whole copy of the workshop to TARGET, a file or a folder to make it in.

    The workshop may be in use meanwhile. Every byte is read back before the file gets its name.
    """
    # Deferred: the store takes a fifth of a second to load, which the help must not wait for.
    from powergood.store import backup as make_backup

    report = make_backup(folder.expanduser(), target.expanduser(), counter())
    click.echo(f"{report.path}: {report.facts} facts, {report.photos} photos, {report.size / 1e6:.1f} MB.")
    for digest in report.missing:
        click.echo(f"Missing in the workshop itself: photo {digest}", err=True)
