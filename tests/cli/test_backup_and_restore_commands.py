"""A workshop is copied to one file and put back from it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from powergood.bench import Workshop, machines
from powergood.cli import progress

Run = Callable[..., Result]


def test_a_backup_restores_to_the_same_facts(run: Run, folder: Path, tmp_path: Path) -> None:
    copy, back = tmp_path / "copy.zip", tmp_path / "back"
    made = run("backup", copy, "--workshop", folder)
    assert made.exit_code == 0
    assert "facts" in made.output
    put_back = run("restore", copy, back)
    assert put_back.exit_code == 0
    assert f"powergood bench {back}" in put_back.output
    with Workshop.open(folder).store as first, Workshop.open(back).store as second:
        assert first.facts() == second.facts() != ()


def test_restoring_over_a_workshop_is_refused(run: Run, folder: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.zip"
    run("backup", copy, "--workshop", folder)
    done = run("restore", copy, folder)
    assert done.exit_code == 3
    workshop = Workshop.open(folder)
    assert len(machines(workshop)) == 1
    workshop.close()


def test_a_file_that_is_no_backup_is_bad_input(run: Run, tmp_path: Path) -> None:
    (tmp_path / "copy.zip").write_text("no")
    assert run("restore", tmp_path / "copy.zip", tmp_path / "back").exit_code == 2


class Terminal:
    """A standard error that says whether somebody watches it."""

    def __init__(self, watched: bool) -> None:
        self.watched = watched
        self.written = ""

    def isatty(self) -> bool:
        return self.watched

    def write(self, text: str) -> None:
        self.written += text

    def flush(self) -> None:
        pass


@pytest.mark.parametrize("watched", [True, False])
def test_progress_is_counted_on_a_terminal_and_silent_elsewhere(
    watched: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    terminal = Terminal(watched)
    monkeypatch.setattr(progress.sys, "stderr", terminal)
    show = progress.counter()
    show(1, 2, "photos")
    show(2, 2, "photos")
    assert terminal.written == ("\rphotos: 1 of 2\rphotos: 2 of 2\n" if watched else "")
