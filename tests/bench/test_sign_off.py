"""A job is signed off when everything wanted is proven, or when words say why not."""

from __future__ import annotations

import pytest

from powergood.bench import Workshop, advising, board, job, sign_off
from powergood.bench.recording import write_down
from powergood.errors import Refused
from powergood.record.model import Finding, Opened, PartOut, Refitted, SignedOff


def test_signing_off_what_is_not_proven_is_refused_with_what_is_missing(ws: Workshop, safe_job: int) -> None:
    with pytest.raises(Refused) as caught:
        sign_off(ws, safe_job, key="s")
    assert "picture on its own screen" in str(caught.value)
    assert job(ws, safe_job).standing == "open"


def test_words_let_go_of_what_is_not_proven_and_the_record_names_it(ws: Workshop, safe_job: int) -> None:
    view = sign_off(ws, safe_job, "Goes to the store as it is", key="s")
    assert view.standing == "signed off"
    assert ws.store.facts(job=safe_job)[-1].body == SignedOff("Goes to the store as it is", ("picture",))
    assert board(ws).open == ()


def test_a_proven_and_whole_machine_needs_no_words(ws: Workshop, safe_job: int) -> None:
    for number in range(5):
        write_down(ws, safe_job, [Finding("look-at-white", "good")], key=f"white-{number}")
    view = job(ws, safe_job)
    assert [state.standing for state in view.functions] == ["proven"]
    assert view.sign_off.ready
    assert view.where == "Everything wanted is proven."
    assert sign_off(ws, safe_job, key="s").standing == "signed off"
    again = sign_off(ws, safe_job, key="another device")
    assert [line.kind for line in again.record].count("signed off") == 1


def test_what_is_likely_though_nothing_wanted_hangs_on_it_is_told_with_what_would_mend_it(
    ws: Workshop, safe_job: int
) -> None:
    for number in range(5):
        write_down(ws, safe_job, [Finding("look-at-white", "good")], key=f"white-{number}")
    view = job(ws, safe_job)
    assert view.sign_off.ready
    assert view.suspects == ()
    chances = [each.chance for each in view.beside]
    assert chances == sorted(chances, reverse=True)
    assert min(chances) >= 0.05
    flat = next(each for each in view.beside if each.fault == "clock-cell.flat")
    assert flat.title == "Clock cell flat"
    assert flat.do.startswith("Fit a new clock cell")


def test_a_machine_still_open_or_missing_a_part_is_not_ready_and_is_led_to_be_closed(
    ws: Workshop, safe_job: int
) -> None:
    write_down(ws, safe_job, [Opened("keyboard-up"), Opened("palm-rest")], key="open")
    for number in range(5):
        write_down(ws, safe_job, [Finding("look-at-white", "good")], key=f"white-{number}")
    view = job(ws, safe_job)
    assert not view.sign_off.ready
    assert view.sign_off.still_open == ("Keyboard tipped forward", "Palm rest off")
    assert view.next is not None
    assert (view.next.kind, view.next.step) == ("refit", "palm-rest")
    with pytest.raises(Refused, match="still open"):
        sign_off(ws, safe_job, key="s")
    write_down(ws, safe_job, [PartOut("keyboard"), Refitted("keyboard-up")], key="close")
    assert job(ws, safe_job).sign_off.parts_out == ("Keyboard",)


def test_without_advice_nothing_counts_as_proven(
    ws: Workshop, safe_job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_down(ws, safe_job, [Finding("look-at-white", "good")], key="white")

    def broken(*_: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr(advising, "advise", broken)
    with pytest.raises(Refused):
        sign_off(ws, safe_job, key="s")
