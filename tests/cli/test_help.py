"""The help answers at once and names every command."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module

import click
import pytest
from click.shell_completion import BashComplete
from click.testing import Result

from powergood.cli.main import COMMANDS, cli

Run = Callable[..., Result]


def test_the_help_names_every_command_of_the_design(run: Run) -> None:
    done = run("--help")
    assert done.exit_code == 0
    for name in ("demo", "bench", "advise", "machine", "job", "pack", "sheet", "backup", "restore"):
        assert name in done.output


def test_the_help_loads_no_engine_no_store_and_no_reader() -> None:
    """This is what keeps it at some 60 ms; the time itself is not measured here, machines differ."""
    heavy = "numpy, sqlalchemy, yaml, pydantic, PIL, starlette, uvicorn, alembic"
    code = (
        "import sys\nfrom powergood.cli.main import cli\n"
        "try:\n    cli(['--help'], prog_name='powergood')\nexcept SystemExit:\n    pass\n"
        f"loaded = [name for name in '{heavy}'.split(', ') if name in sys.modules]\n"
        "ours = ('powergood.bench', 'powergood.store', 'powergood.web')\n"
        "loaded += [name for name in sys.modules if name.startswith(ours)]\n"
        "sys.exit(', '.join(loaded) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=_env(), check=False
    )
    assert done.stderr == ""
    assert done.returncode == 0
    assert "Commands:" in done.stdout


def _env() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": "src"}


@pytest.mark.parametrize("name", COMMANDS)
def test_the_line_of_each_command_agrees_with_the_command_itself(name: str) -> None:
    module, _, attribute = COMMANDS[name][0].partition(":")
    command = getattr(import_module(module), attribute)
    assert isinstance(command, click.Command)
    assert command.name == name
    assert command.help


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_of_its_own(name: str, run: Run) -> None:
    done = run(name, "--help")
    assert done.exit_code == 0
    assert "Usage: powergood" in done.output


def test_an_unknown_command_is_bad_input(run: Run) -> None:
    assert run("dance").exit_code == 2


def test_shell_completion_offers_the_commands() -> None:
    found = BashComplete(cli, {}, "powergood", "_POWERGOOD_COMPLETE").get_completions([], "b")
    assert [item.value for item in found] == ["bench", "backup"]
