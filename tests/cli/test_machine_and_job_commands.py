"""Machines and jobs from the command line: the same book and the same answers as the pages."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import Result
from PIL import Image

Run = Callable[..., Result]
ADD = ("machine", "add", "Buoy laptop", "--sheet", "quillane-tr14")


GATES = ("quarantine", "cells-seen", "pack-looked-at", "adapter-checked", "disk-content-safe")


def test_a_machine_is_added_listed_and_shown(run: Run, folder: Path) -> None:
    added = run(
        "machine",
        "add",
        "Buoy laptop",
        "--sheet",
        "quillane-tr14",
        "--place",
        "Shelf 2",
        "--workshop",
        folder,
    )
    assert (added.exit_code, added.output) == (0, "2\n")
    assert "Buoy laptop" in run("machine", "list", "--workshop", folder).output
    shown = run("machine", "show", "2", "--workshop", folder)
    assert "Shelf 2" in shown.output
    assert "Taken in as 2: Buoy laptop, 2003" in shown.output


def test_a_photo_file_goes_with_the_machine(run: Run, folder: Path, tmp_path: Path) -> None:
    data = BytesIO()
    Image.new("RGB", (40, 30), "#446688").save(data, "PNG")
    photo = tmp_path / "left.png"
    photo.write_bytes(data.getvalue())
    words = (*ADD, "--workshop", folder, "--photo")
    assert run(*words, photo).exit_code == 0
    view = json.loads(run("machine", "show", "2", "--json", "--workshop", folder).output)
    assert len(view["photos"]) == 1
    missing = run(*words, tmp_path / "none.png")
    assert missing.exit_code == 2
    assert "Nothing was stored" in missing.stderr


def test_kinds_lists_what_a_machine_can_be_taken_in_as(run: Run, folder: Path) -> None:
    done = run("machine", "kinds", "--workshop", folder)
    assert "brenlund-n480" in done.output
    assert "pata-laptop" in done.output


def test_a_job_is_opened_by_words_noted_on_and_shown(run: Run, folder: Path) -> None:
    opened = run("job", "open", "1", "battery", "won't", "charge", "--wanted", "types", "--workshop", folder)
    assert (opened.exit_code, opened.output) == (0, "2\n")
    shown = run("job", "show", "2", "--workshop", folder)
    assert "taken for: The battery does not charge" in shown.output
    noted = run(
        "job", "note", "2", "look-along-seams=good", "--gate", "quarantine", "--text", "Smells of tar",
        "--workshop", folder, "--who", "keeper", "--json",
    )  # fmt: skip
    assert noted.exit_code == 0
    lines = json.loads(noted.output)["record"]
    assert [line["kind"] for line in lines][-3:] == ["gate", "finding", "note"]
    assert {line["who"] for line in lines[-3:]} == {"keeper"}
    assert "Smells of tar" in run("job", "show", "2", "--workshop", folder).output


def test_an_unclear_complaint_asks_its_question_and_opens_nothing(run: Run, folder: Path) -> None:
    done = run("job", "open", "1", "black screen", "--workshop", folder)
    assert done.exit_code == 2
    assert "--complaint" in done.stderr
    assert "dark-picture" in done.stderr
    assert len(json.loads(run("job", "list", "--json", "--workshop", folder).output)["open"]) == 1
    assert (
        run("job", "open", "1", "black screen", "--complaint", "dark-picture", "--workshop", folder).output
        == "2\n"
    )


def test_notes_that_cannot_be_read_are_all_told_and_nothing_is_written(run: Run, folder: Path) -> None:
    before = run("job", "show", "1", "--workshop", folder).output
    unreadable = run("job", "note", "1", "pad-fan", "=good", "--workshop", folder)
    assert unreadable.exit_code == 2
    assert "'pad-fan'" in unreadable.stderr
    assert "'=good'" in unreadable.stderr
    unknown = run("job", "note", "1", "pad-fam=good", "pad-fan=purple", "--workshop", folder)
    assert unknown.exit_code == 2
    assert "pad-fam" in unknown.stderr
    assert run("job", "note", "1", "--workshop", folder).exit_code == 2
    assert run("job", "show", "1", "--workshop", folder).output == before


def test_sign_off_is_refused_until_proven_or_given_words(run: Run, folder: Path) -> None:
    refused = run("job", "sign-off", "1", "--workshop", folder)
    assert refused.exit_code == 1
    assert "every key types" in refused.stderr
    assert "Traceback" not in refused.stderr
    done = run("job", "sign-off", "1", "--words", "Kept for its case", "--workshop", folder)
    assert (done.exit_code, done.output) == (0, "Job 1 is signed off.\n")
    assert "Signed off." in run("job", "list", "--workshop", folder).output


def test_what_is_not_there_is_told_plainly_with_its_exit_code(run: Run, folder: Path, tmp_path: Path) -> None:
    assert run("job", "show", "99", "--workshop", folder).exit_code == 2
    assert run("machine", "show", "99", "--workshop", folder).exit_code == 2
    nowhere = run("job", "list", "--workshop", tmp_path / "nowhere")
    assert nowhere.exit_code == 3
    assert "nowhere" in nowhere.stderr


def test_the_workshop_and_the_name_can_come_from_the_environment(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POWERGOOD_WORKSHOP", str(folder))
    monkeypatch.setenv("POWERGOOD_WHO", "the cooper")
    assert run("job", "note", "1", "--text", "Tar again").exit_code == 0
    assert '"the cooper"' in run("job", "show", "1", "--json").output


@pytest.mark.parametrize(
    "words",
    [
        ("job", "list", "--workshop"),
        ("job", "note", "1", "--text", "kept?", "--workshop"),
        ("machine", "list", "--workshop"),
    ],
)
def test_a_workshop_of_a_newer_version_is_refused_plainly_and_left_alone(
    run: Run, folder: Path, words: tuple[str, ...]
) -> None:
    database = folder / "workshop.sqlite"
    connection = sqlite3.connect(database)
    connection.execute("UPDATE meta SET value = '2' WHERE name = 'format'")
    connection.commit()
    connection.close()
    before = database.read_bytes()
    done = run(*words, folder)
    assert done.exit_code == 3
    assert "newer version" in done.stderr
    assert "Traceback" not in done.output
    assert database.read_bytes() == before


def test_bad_cells_of_a_grid_are_noted_by_name(run: Run, folder: Path) -> None:
    shown = run("job", "show", "1", "--workshop", folder).output
    noted = run("job", "note", "1", "key-grid=cells:Q, W,F1,2", "--workshop", folder)
    assert noted.exit_code == 0, noted.output
    assert "fixed handful (4 keys: F1, 2, Q, W), seen" in noted.output
    wrong = run("job", "note", "1", "key-grid=cells:Q,Nowhere", "--workshop", folder)
    assert wrong.exit_code == 2
    assert "'Nowhere'" in wrong.output
    assert "cells:NAME,NAME" in shown or "key-grid" not in shown


def test_why_says_why_the_next_step_is_advised_and_against_what(run: Run, folder: Path) -> None:
    gates = [word for gate in GATES for word in ("--gate", gate)]
    assert run("job", "note", "1", *gates, "--workshop", folder).exit_code == 0
    let_go = run("job", "stage", "1", "rest", "--done", "--text", "ran last week", "--workshop", folder)
    assert let_go.exit_code == 0, let_go.output
    said = run("job", "why", "1", "--workshop", folder).output
    answer = json.loads(run("job", "why", "1", "--json", "--workshop", folder).output)
    assert answer["next"]["step"] in said
    assert answer["next"]["why"] in said
    assert len(answer["against"]) == 2
    for each in answer["against"]:
        assert each["words"] in said


def test_a_look_to_note_is_found_by_what_was_seen(run: Run, folder: Path) -> None:
    found = run("job", "find", "1", "it", "froze", "--workshop", folder)
    assert found.exit_code == 0
    assert found.output.splitlines()[1].split()[0] == "watch-in-use"
    assert "  watch-in-use=steady" in found.output
    nothing = run("job", "find", "1", "zzzqqq", "--workshop", folder)
    assert 'powergood job note 1 --text "zzzqqq"' in nothing.output
