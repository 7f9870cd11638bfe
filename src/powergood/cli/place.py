"""Which workshop a command is about, and who is at the bench."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click
from click.core import ParameterSource

if TYPE_CHECKING:
    from powergood.bench import Workshop
    from powergood.bench.modelsheets.reading import Shelf

DEFAULT_FOLDER = Path("~/powergood-workshop")
DEMO_FOLDER = Path("~/powergood-demo")

Command = TypeVar("Command", bound=Callable[..., Any])


def folder_option(command: Command) -> Command:
    """Add `--workshop`, the folder of the workshop."""
    return click.option(
        "--workshop",
        "folder",
        type=click.Path(path_type=Path),
        default=DEFAULT_FOLDER,
        envvar="POWERGOOD_WORKSHOP",
        show_default=True,
        show_envvar=True,
        help="Folder of the workshop.",
    )(command)


def who_option(command: Command) -> Command:
    """Add `--who`, the name written beside what is recorded."""
    return click.option(
        "--who", default="", envvar="POWERGOOD_WHO", show_envvar=True, help="Name to write beside it."
    )(command)


def json_option(command: Command) -> Command:
    """Add `--json`, to print the same object as data."""
    return click.option("--json", "as_json", is_flag=True, help="Print the whole answer as JSON.")(command)


@contextmanager
def opened(folder: Path) -> Iterator[Workshop]:
    """Open the workshop in `folder` and close it again.

    Raises
    ------
    WorkshopError : there is none, or it cannot be used.
    """
    # The store and the engine take a third of a second to load; the help must not wait for them.
    from powergood.bench import Workshop

    workshop = Workshop.open(folder.expanduser())
    try:
        yield workshop
    finally:
        workshop.close()


@contextmanager
def opened_or_shipped(folder: Path) -> Iterator[Shelf]:
    """Open the workshop in `folder`; where none was named and there is none yet, what ships with the program.

    Raises
    ------
    WorkshopError : a folder was named that holds no workshop, or it cannot be used.
    """
    # Deferred for the same reason as above.
    from powergood.bench.library import Library

    asked = click.get_current_context().get_parameter_source("folder")
    if asked is ParameterSource.DEFAULT and not folder.expanduser().exists():
        yield Library.found(None)
        return
    with opened(folder) as workshop:
        yield workshop
