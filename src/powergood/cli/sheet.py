"""`powergood sheet`: list, show, make, change and check model sheets; share one as a file and take one in."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.place import folder_option, json_option, opened, opened_or_shipped
from powergood.cli.printing import print_json, table
from powergood.cli.sheet_text import compared_lines, sheet_lines
from powergood.errors import BadInput, PackError

LARGEST_FILE = 1_000_000


@click.group()
def sheet() -> None:
    """List, show, make, check and share model sheets."""


@sheet.command("list")
@folder_option
@json_option
def list_sheets(folder: Path, as_json: bool) -> None:
    """List every model sheet with its family.

    Without a workshop, those that ship with the program.
    """
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood.bench import modelsheets

    with opened_or_shipped(folder) as shelf:
        found = modelsheets.sheets(shelf)
    if as_json:
        print_json(found)
        return
    rows = [
        (each.sheet, each.title, str(each.year or ""), each.family.name, "own" if each.own else "")
        for each in found
    ]
    click.echo(table(rows) if rows else "No model sheet yet. Make one with: powergood sheet new")


@sheet.command()
@click.argument("name", metavar="SHEET")
@folder_option
@json_option
def show(name: str, folder: Path, as_json: bool) -> None:
    """Show a sheet, and what it overrides; a shipped one needs no workshop."""
    # Deferred for the same reason as above.
    from powergood.bench import modelsheets

    with opened_or_shipped(folder) as shelf:
        view = modelsheets.sheet(shelf, name)
    if as_json:
        print_json(view)
    else:
        click.echo("\n".join(sheet_lines(view)))


@sheet.command()
@click.option(
    "--from",
    "origin",
    prompt="Family or sheet to make it from",
    help="Family, or sheet to copy; see `powergood machine kinds`.",
)
@click.option("--title", prompt="Model, as it stands on its label", help="Model, as it stands on its label.")
@click.option("--make", default="", prompt="Maker (may stay empty)", help="Its maker.")
@click.option("--year", type=int, default=0, prompt="Year of make (0: not known)", help="Its year of make.")
@folder_option
def new(origin: str, title: str, make: str, year: int, folder: Path) -> None:
    """Make a sheet of your own from a family.

    It asks for what no option gives.
    """
    # Deferred for the same reason as above.
    from powergood.bench import modelsheets

    with opened(folder) as workshop:
        name = modelsheets.make_sheet(workshop, origin, title=title, make=make, year=year)
        file = modelsheets.kept_in(workshop, name)
    click.echo(f"{name} is made. Change it in the page, by `powergood sheet change {name}`, or in its file:")
    click.echo(f"  {file}")


@sheet.command()
@click.argument("name", metavar="SHEET")
@click.argument("settings", nargs=-1, metavar="[FIELD=VALUE]...")
@folder_option
def change(name: str, settings: tuple[str, ...], folder: Path) -> None:
    r"""Change a sheet of your own.

    FIELD=VALUE sets a field; without any, the fields are listed. Write \n between the lines of a value.
    `new-opening:0:title` and its kind add a way in, `source:0:title`
    a source.
    """
    # Deferred for the same reason as above.
    from powergood.bench import modelsheets

    with opened(folder) as workshop:
        fields = modelsheets.sheet_form(workshop, name)
        if not settings:
            click.echo("\n".join(f"{field}={_on_one_line(value)}" for field, value in fields.items()))
            return
        given = {field: value for field, _, value in (each.partition("=") for each in settings)}
        unknown = [field for field in given if field not in fields]
        if unknown or any("=" not in each for each in settings):
            listed = ", ".join(unknown or settings)
            raise BadInput(f"These are no FIELD=VALUE of this sheet: {listed}. Without any, all are listed.")
        lines = {field: value.replace("\\n", "\n") for field, value in given.items()}
        problems = modelsheets.change_sheet(workshop, name, lines)
    if problems:
        told = "\n".join(f"  {field}: {problem}" for field, problem in problems.items())
        raise BadInput(f"Nothing was changed:\n{told}")
    click.echo(f"{name} is changed.")


def _on_one_line(value: str) -> str:
    return value.replace("\n", "\\n")


@sheet.command()
@click.argument("file", type=click.Path(path_type=Path))
@folder_option
def check(file: Path, folder: Path) -> None:
    """Check a sheet's FILE and tell every mistake.

    Nothing is taken in. Its family may be of the pack that ships or of a pack of the workshop, if there
    is one.
    """
    # Deferred: the YAML reader takes a tenth of a second to load, which the help must not wait for.
    from powergood.packs import find_packs
    from powergood.packs.own_sheets import sheet_of_text

    place = folder.expanduser()
    read = sheet_of_text(text_of(file), str(file), find_packs(place if place.is_dir() else None).packs)
    for issue in read.issues:
        click.echo(f"{issue.severity}: {issue}", err=True)
    if read.sheet is None:
        count = len(read.errors)
        raise PackError(f"{file}: {count} mistake{'' if count == 1 else 's'}.")
    click.echo(f"{file}: no mistakes. It is the sheet `{read.sheet.id}`, {read.sheet.title}.")


@sheet.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--yes", is_flag=True, help="Take it in without asking; what it changes is shown all the same.")
@folder_option
def take_in(file: Path, folder: Path, *, yes: bool) -> None:
    """Take the sheet in FILE into the workshop.

    What it would change is shown first, and asked about. Leaves with 2, and changes nothing, when the
    file has mistakes or clashes with what is there.
    """
    # Deferred for the same reason as above.
    from powergood.bench import modelsheets

    text = text_of(file)
    with opened(folder) as workshop:
        compared = modelsheets.compare_sheet(workshop, text)
        if compared.mistakes:
            told = "\n".join(compared.mistakes)
            raise BadInput(f"{file} cannot be used; nothing was changed:\n{told}")
        click.echo("\n".join(compared_lines(compared)))
        if compared.clash:
            raise BadInput(f"It cannot be taken in: {compared.clash} Nothing was changed.")
        if not compared.new and not compared.changes:
            click.echo("It is here already, just so.")
            return
        if not yes and not click.confirm("Take it in?"):
            click.echo("Nothing was changed.")
            return
        name = modelsheets.take_in_sheet(workshop, text)
    click.echo(f"{name} is taken in.")


@sheet.command()
@click.argument("name", metavar="SHEET")
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="File to write; SHEET.yaml unless given."
)
@folder_option
def export(name: str, target: Path | None, folder: Path) -> None:
    """Write a sheet to one file, to be shared; a shipped one needs no workshop.

    `--to -` prints it.
    """
    # Deferred for the same reason as above.
    from powergood.bench import modelsheets

    with opened_or_shipped(folder) as shelf:
        usual, text = modelsheets.sheet_file(shelf, name)
    if target is not None and str(target) == "-":
        click.echo(text, nl=False)
        return
    file = target or Path(usual)
    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(text)
    except FileExistsError as error:
        raise BadInput(f"{file} exists already; name another by --to. Nothing was written.") from error
    except OSError as error:
        raise BadInput(f"{file} cannot be written: {error.strerror}.") from error
    click.echo(f"{name} is written to {file}.")


def text_of(file: Path) -> str:
    """Return the text of a sheet's file.

    Raises
    ------
    BadInput : it cannot be read, is too large, or is no text.
    """
    try:
        with file.expanduser().open("rb") as source:
            data = source.read(LARGEST_FILE + 1)
    except OSError as error:
        raise BadInput(f"{file} cannot be read: {error.strerror}.") from error
    if len(data) > LARGEST_FILE:
        raise BadInput(f"{file} is too large for a model sheet.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(f"{file} is no text file; a model sheet is a .yaml file in UTF-8.") from error
