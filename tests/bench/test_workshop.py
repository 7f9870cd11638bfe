"""A workshop keeps what it worked out, knows its owner's wishes, and takes two devices at once."""

from __future__ import annotations

from pathlib import Path
from threading import Barrier, Thread

import pytest

from powergood.bench import Workshop, advising, board, job, record
from powergood.bench.library import Kept, Library
from powergood.bench.preferring import preferences
from powergood.diagnosis import Preferences
from powergood.errors import WorkshopError
from powergood.packs import builtin_pack
from powergood.record.model import Finding


def test_preferences_are_the_defaults_until_they_are_set(ws: Workshop) -> None:
    assert preferences(ws) == Preferences()
    ws.store.set_setting("hour", "20")
    ws.store.set_setting("threshold", "0.05")
    assert preferences(ws, frozenset({"torch"})) == Preferences(
        hour=20.0, threshold=0.05, cannot=frozenset({"torch"})
    )


@pytest.mark.parametrize("text", ["", "much", "nan", "inf", "-3", "0"])
def test_a_setting_that_makes_no_sense_counts_as_not_set(ws: Workshop, text: str) -> None:
    ws.store.set_setting("hour", text)
    assert preferences(ws) == Preferences()


def test_a_workshop_opens_again_with_its_facts_and_is_made_only_once(tmp_path: Path) -> None:
    made = Workshop.create(tmp_path / "w")
    made.store.set_setting("hour", "15")
    made.close()
    opened = Workshop.open(tmp_path / "w")
    assert preferences(opened).hour == 15.0
    opened.close()
    with pytest.raises(WorkshopError):
        Workshop.create(tmp_path / "w")


def test_keys_of_forms_are_never_the_same(ws: Workshop) -> None:
    assert len({ws.new_key() for _ in range(100)}) == 100


def test_the_same_advice_is_worked_out_once(
    ws: Workshop, safe_job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[int] = []
    real = advising.advise

    def counted(*given: object):  # type: ignore[no-untyped-def]
        calls.append(1)
        return real(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(advising, "advise", counted)
    job(ws, safe_job)
    job(ws, safe_job)
    board(ws)
    assert len(calls) == 1
    ws.store.set_setting("hour", "40")
    job(ws, safe_job)
    assert len(calls) == 2
    record(ws, safe_job, [Finding("pad-light", "light")], key="f")
    assert len(calls) == 3


def test_two_devices_that_send_the_same_form_at_once_write_it_once(ws: Workshop, safe_job: int) -> None:
    together = Barrier(2)
    failed: list[BaseException] = []

    def send() -> None:
        together.wait()
        try:
            record(ws, safe_job, [Finding("look-at-standby-pack", "bad")], key="same form")
        except BaseException as error:
            failed.append(error)

    devices = [Thread(target=send) for _ in range(2)]
    for device in devices:
        device.start()
    for device in devices:
        device.join()
    assert failed == []
    findings = [fact for fact in ws.store.facts(job=safe_job) if isinstance(fact.body, Finding)]
    assert len(findings) == 1


def test_least_lately_used_values_are_let_go() -> None:
    kept: Kept[int] = Kept(2)
    assert [kept.get(key, lambda key=key: key) for key in (1, 2)] == [1, 2]  # type: ignore[misc]
    assert kept.get(1, lambda: 99) == 1
    kept.get(3, lambda: 3)
    assert kept.get(1, lambda: 99) == 1
    assert kept.get(2, lambda: 99) == 99


def test_a_pack_of_the_workshops_own_that_has_mistakes_is_told_and_left_out(tmp_path: Path) -> None:
    own = tmp_path / "w" / "packs" / "ours"
    own.mkdir(parents=True)
    (own / "pack.yaml").write_text("format: 1\nid: ours\n")
    library = Library.found(tmp_path / "w")
    assert library.troubles
    assert set(library.names()) == {*builtin_pack().sheets, *builtin_pack().families}
