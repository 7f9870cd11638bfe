"""`powergood bench`: start the pages of a workshop."""

from __future__ import annotations

import errno
import socket
from pathlib import Path
from typing import TYPE_CHECKING

import click

from powergood.cli.place import DEFAULT_FOLDER
from powergood.errors import PowergoodError

if TYPE_CHECKING:
    from powergood.bench import Workshop

HOME, EVERYWHERE = "127.0.0.1", "0.0.0.0"
PORT = 8077


@click.command()
@click.argument(
    "folder", type=click.Path(path_type=Path), default=DEFAULT_FOLDER, envvar="POWERGOOD_WORKSHOP"
)
@click.option(
    "--port", type=click.IntRange(1, 65535), default=PORT, show_default=True, help="Port to listen on."
)
@click.option("--lan", is_flag=True, help="Let phones and tablets in the same network in.")
def bench(folder: Path, port: int, lan: bool) -> None:
    """Start the pages of the workshop in FOLDER and print their address.

    A new workshop is made when FOLDER is empty or not there yet. End with Ctrl-C.
    """
    listener = listening(EVERYWHERE if lan else HOME, port)
    try:
        # Deferred: web and engine take half a second to load, which the help must not wait for.
        import uvicorn

        from powergood.web.app import create_app

        workshop = open_or_create(folder.expanduser())
        try:
            tell_address(folder, port, lan)
            config = uvicorn.Config(create_app(workshop), log_level="warning", access_log=False)
            uvicorn.Server(config).run(sockets=[listener])
        finally:
            workshop.close()
    finally:
        listener.close()


def open_or_create(folder: Path) -> Workshop:
    """Open the workshop in `folder`; make one where the folder is empty or missing."""
    # Deferred for the reason given above.
    from powergood.bench import Workshop

    if folder.is_dir() and any(not each.name.startswith(".") for each in folder.iterdir()):
        return Workshop.open(folder)
    workshop = Workshop.create(folder)
    click.echo(f"A new workshop is made in {folder}")
    return workshop


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens on `port`.

    Raises
    ------
    PowergoodError : the port is taken, or may not be used; says what to do.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen(128)
    except OSError as error:
        made.close()
        if error.errno == errno.EADDRINUSE:
            said = f"Port {port} is busy: something else listens there, perhaps this program already."
        elif error.errno == errno.EACCES:
            said = f"Port {port} may not be used by you; ports below 1024 often need more rights."
        else:
            said = f"Port {port} cannot be used: {error.strerror}."
        raise PowergoodError(f"{said} Choose another with --port {other_port(port)}.") from error
    return made


def other_port(port: int) -> int:
    """Return a port to try instead."""
    return port + 1 if 1024 <= port < 65535 else PORT


def tell_address(folder: Path, port: int, lan: bool) -> None:
    """Print where the pages are."""
    click.echo(f"The bench of {folder} is at http://{HOME}:{port}/")
    if lan:
        for address in own_addresses():
            click.echo(f"In this network: http://{address}:{port}/")
        click.echo("Everyone in this network can read and write it. End with Ctrl-C.")
    else:
        click.echo("End with Ctrl-C.")


def own_addresses() -> tuple[str, ...]:
    """Return this computer's addresses in its network, as far as its own name tells them."""
    try:
        found = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        return ()
    return tuple(dict.fromkeys(str(each[4][0]) for each in found if not str(each[4][0]).startswith("127.")))
