"""`powergood restore`: put a backup into an empty folder."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.progress import counter


@click.command()
@click.argument("archive", type=click.Path(path_type=Path))
@click.argument("folder", type=click.Path(path_type=Path))
def restore(archive: Path, folder: Path) -> None:
    """Put the backup ARCHIVE into FOLDER, which must be empty or not there yet."""
    # Deferred: the store takes a fifth of a second to load, which the help must not wait for.
    from powergood.store import restore as put_back

    report = put_back(archive.expanduser(), folder.expanduser(), counter())
    click.echo(f"{report.folder}: {report.facts} facts, {report.photos} photos, as of {report.made_at}.")
    for digest in report.missing:
        click.echo(f"Missing when the backup was made: photo {digest}", err=True)
    click.echo(f"Look at it with: powergood bench {report.folder}")
