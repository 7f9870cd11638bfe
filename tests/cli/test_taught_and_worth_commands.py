"""Learned numbers, worth and limits from the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from click.testing import Result

Run = Callable[..., Result]
PACE = "pace:looking:Ida"


def test_worth_is_shown_set_and_taken_back(run: Run, folder: Path) -> None:
    assert "(12)" in run("worth", "--workshop", folder).output
    done = run("worth", "hour=20", "limit_money=60", "--who", "Ida", "--workshop", folder)
    assert done.exit_code == 0
    assert "(12)" not in done.output
    told = json.loads(run("worth", "--json", "--workshop", folder).output)
    hour = next(line for line in told["lines"] if line["name"] == "hour")
    assert hour["value"] == "20"
    shown = run("worth", "--history", "--workshop", folder).output
    assert "Ida: hour = 20" in shown
    back = run("worth", "--take-back", str(hour["history"][0][0]), "--workshop", folder)
    assert "(12)" in back.output


def test_a_setting_that_makes_no_sense_is_refused_with_exit_code_2(run: Run, folder: Path) -> None:
    for words in (("hour=much",), ("luck=1",), ("hour",)):
        done = run("worth", *words, "--workshop", folder)
        assert done.exit_code == 2
        assert done.stderr


def test_minutes_said_with_a_finding_are_taught_once_the_job_is_closed(run: Run, folder: Path) -> None:
    assert "Nothing yet" in run("taught", "--workshop", folder).output
    noted = run("job", "note", "1", "pad-fan=good", "--took", "9", "--who", "Ida", "--workshop", folder)
    assert noted.exit_code == 0, noted.output
    run("job", "sign-off", "1", "--words", "enough", "--workshop", folder)
    shown = run("taught", "--all", "--workshop", folder).output
    assert "Looking and measuring, Ida" in shown
    assert f"[{PACE}]" in shown
    assert run("taught", "set-aside", PACE, "--workshop", folder).exit_code == 0
    assert "[set aside]" in run("taught", "--workshop", folder).output
    assert run("taught", "use-again", PACE, "--workshop", folder).exit_code == 0
    assert run("taught", "use-again", PACE, "--workshop", folder).exit_code == 2
    run("job", "open", "1", "again", "--complaint", "no-keys", "--workshop", folder)
    assert run("taught", "count-in", "2", "--workshop", folder).exit_code == 0
    numbers = json.loads(run("taught", "--json", "--workshop", folder).output)
    assert numbers["jobs"] == 1


def test_minutes_go_with_one_thing_at_a_time(run: Run, folder: Path) -> None:
    done = run("job", "note", "1", "pad-fan=good", "pad-light=good", "--took", "9", "--workshop", folder)
    assert done.exit_code == 2
    assert "one finding or act at a time" in done.stderr
