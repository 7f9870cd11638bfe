"""`powergood pack`: begin, check and upgrade a pack of knowledge."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.errors import BadInput, PackError
from powergood.ids import part_of

if TYPE_CHECKING:
    from powergood.bench.pairs import FamilyPairs, PairLine


@click.group()
def pack() -> None:
    """Begin, check and upgrade a pack of knowledge."""


@pack.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--id", "name", default="", help="Id of the pack and its family; made from PATH unless given.")
@click.option("--title", default="", help="What its machines are called; made from the id unless given.")
def new(path: Path, name: str, title: str) -> None:
    """Begin a pack in the new folder PATH.

    It is small and whole at once, and says in comments what to change. Nothing is written over.
    """
    # Deferred: the YAML reader takes a tenth of a second to load, which the help must not wait for.
    from powergood.packs.begin import begin_pack

    files = begin_pack(path, id=name, title=title)
    for file in files:
        click.echo(f"  {file}")
    family = next(file.stem for file in files if file.parent.name == "families")
    click.echo(f"{path} is begun: an invented modem, to be changed into what you know. From now on:")
    click.echo(f"  powergood pack check {path}")
    click.echo(f"  powergood advise {family} --pack {path}")
    click.echo("Laid in the folder `packs` of a workshop, it is used there.")


@pack.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--pairs", is_flag=True, help="Also list each pair of faults that no check parts.")
@click.option(
    "--parts-from",
    type=click.FloatRange(0.01, 1.0),
    default=0.2,
    show_default=True,
    help="How far apart two faults' outcomes must be in one look for a check to part them, 0 to 1.",
)
def check(path: Path, *, pairs: bool, parts_from: float) -> None:
    """Check the pack in PATH and tell every mistake.

    All are told at once, each with file, line and column; then the pairs of faults that no check parts.
    Leaves with 0 when there is no mistake (warnings and remarks may be), and with 2 when there is one.
    """
    # Deferred for the same reason as above.
    from powergood.packs import read_pack

    found, issues = read_pack(path)
    for issue in issues:
        click.echo(f"{issue.severity}: {issue}", err=True)
    errors = sum(issue.severity == "error" for issue in issues)
    warnings = len(issues) - errors
    if found is None:
        raise PackError(f"{path}: {counted(errors, 'mistake')}, {counted(warnings, 'warning')}.")
    # Deferred: only a pack without a mistake is worth the engine's third of a second.
    from powergood.bench.pairs import unparted

    families = unparted(found, parts_from)
    for family in families:
        for line in pair_lines(family, every=pairs):
            click.echo(line)
    if pairs and any(family.alike for family in families):
        click.echo(WHAT_PARTS.format(100 * parts_from))
    click.echo(f"{path}: no mistakes" + (f", {counted(warnings, 'warning')}." if warnings else "."))


WHAT_PARTS = """\
No check parts two faults: at every check, what one look shows of the one and of the other differs by
less than {:.0f} in 100. How common each is, a second start, or mending one and looking again may tell."""


def pair_lines(family: FamilyPairs, *, every: bool) -> Iterator[str]:
    """Yield what there is to say of a family's unparted pairs: one line, and each pair where `every`."""
    said = [f"{counted(len(family.alike), 'pair')} with different fixes"] if family.alike else []
    said += [f"the copies of {counted(len(family.copies), 'fault')}"] if family.copies else []
    if said or every:
        what = (
            f"no check parts {' and '.join(said)}"
            if said
            else "all with different fixes are parted by some check"
        )
        left_out = f"; left out {len(family.same_fix)} that one fix cures" if family.same_fix else ""
        ask = "" if every else " (--pairs lists them)"
        yield f"remark: {family.family}: of {counted(family.pairs, 'pair')} of faults, {what}{left_out}{ask}"
    if every:
        for pair in family.alike:
            yield from _pair(pair)
        for pair in family.copies:
            yield f"  {pair.one}, {pair.one_title}: no check says which copy has it"
            if pair.without:
                yield f"      `each_copy_of: {part_of(pair.one)}` in a check would say"
        for pair in family.same_fix:
            yield f"  left out: {pair.one} and {pair.other}; `{pair.fix}` cures either"
        if family.apart_in_sheets:
            unmet = counted(family.apart_in_sheets, "pair")
            yield f"  left out: {unmet} of parts of which no model sheet here has both"


def _pair(pair: PairLine) -> Iterator[str]:
    widest = (
        f"at most {100 * pair.difference:.0f} in 100, at `{pair.check}`"
        if pair.check
        else "every check shows them alike"
    )
    yield f"  {pair.one}, {pair.one_title}"
    yield f"  {pair.other}, {pair.other_title}"
    yield f"      {widest}" + (
        f"; `out: [{pair.without}]` in a check would part them" if pair.without else ""
    )


def counted(number: int, word: str) -> str:
    """Return a number with its word: `1 mistake`, `3 mistakes`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


@pack.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--into", type=click.Path(path_type=Path), help="New folder to write the upgraded pack to.")
@click.option("--over", is_flag=True, help="Rewrite the files in place; the old pack is kept beside it.")
def upgrade(path: Path, into: Path | None, *, over: bool) -> None:
    """Bring a pack's files to the newest format.

    Without an option it only says which files would change. A pack of an older format is read as it is,
    so this is only for going on writing it.
    """
    # Deferred for the same reason as above.
    from powergood.packs.formats import FORMAT
    from powergood.packs.upgrade import old_files, upgrade_into, upgrade_over

    if into and over:
        raise BadInput("Give --into or --over, not both. Nothing was written.")
    if over:
        found, backup = upgrade_over(path)
        done = f"rewritten; the pack as it was is in {backup}"
    else:
        found = upgrade_into(path, into) if into else old_files(path)
        done = f"written to {into}" if into else "not changed yet; add --into FOLDER or --over"
    for file in found:
        lost = "; the comments inside it are lost" if file.comments else ""
        click.echo(f"  {file.name}: format {file.format} to {FORMAT}{lost}")
    if found:
        click.echo(f"{path}: {counted(len(found), 'file')} {done}.")
    else:
        click.echo(f"{path}: every file is of format {FORMAT}, the newest. Nothing to upgrade.")
