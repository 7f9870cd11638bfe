"""`powergood job stage`: readings, done and stopped, and what `job show` says of them."""

from __future__ import annotations

import pytest

AT = ("job", "stage", "1", "adapter-alone")


@pytest.fixture
def place(run, folder):
    """A laptop with its gates met."""
    gates = ("quarantine", "cells-seen", "pack-looked-at", "adapter-checked", "disk-content-safe")
    options = [word for gate in gates for word in ("--gate", gate)]
    assert run("job", "note", "1", *options, "--workshop", folder).exit_code == 0
    return ("--workshop", folder)


def test_show_prints_the_stage_with_its_limits_and_its_stop_list(run, place) -> None:
    said = run("job", "show", "1", *place).output
    assert "Stage 1 of 5: Adapter alone, loaded. (adapter-alone)" in said
    assert "95 to 105 %" in said
    assert "Stop if:" in said
    assert "smoke" in said


def test_readings_are_given_with_the_meter_and_the_stage_is_done(run, place) -> None:
    result = run(*AT, "share=101 %", "--meter", "0.5 % + 1", "--done", *place)
    assert result.exit_code == 0, result.output
    assert "Stage 2 of 5" in result.output
    assert "within 5 percent" in result.output.casefold()


def test_stopping_says_what_to_do_again(run, place) -> None:
    result = run(*AT, "--stop", "high", "--text", "21 V", *place)
    assert result.exit_code == 0, result.output
    assert "Stopped at stage 1, Adapter alone, loaded: More than the label's volts" in result.output
    assert "adapter-checked" in result.output


def test_stopping_at_something_not_on_the_list_is_kept_in_words(run, place) -> None:
    result = run(*AT, "--stop", "the cat jumped on it", *place)
    assert "the cat jumped on it" in result.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("job", "stage", "1", "adapter-alone"), "Give readings as READING=VALUE"),
        (("job", "stage", "1", "adapter-alone", "share"), "Write readings as READING=VALUE"),
        (("job", "stage", "1", "adapter-alone", "share=lots"), "does not start with a number"),
        (("job", "stage", "1", "adapter", "share=1"), "no stage 'adapter'"),
    ],
)
def test_what_cannot_be_written_down_says_why(run, place, words, says) -> None:
    result = run(*words, *place)
    assert result.exit_code == 2
    assert says in result.output
