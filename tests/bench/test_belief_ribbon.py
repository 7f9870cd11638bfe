"""The ribbon shows how belief moved, moment by moment, up to the advice of now."""

from __future__ import annotations

import pytest

from powergood.bench import Workshop, job, record
from powergood.bench.recording import write_down
from powergood.bench.ribbon import MOST_BANDS, MOST_POINTS, moments
from powergood.record.model import Draft, Fact, Finding, Note
from powergood.record.timeline import Timeline


def test_each_band_has_one_chance_for_each_moment_and_ends_where_the_advice_is(
    ws: Workshop, safe_job: int
) -> None:
    write_down(ws, safe_job, [Finding("pad-light", "light")], key="a")
    write_down(ws, safe_job, [Note("Hums a little")], key="b")
    view = record(ws, safe_job, [Finding("pad-image", "good")], key="c")
    ribbon = view.ribbon
    assert ribbon.points[0].words == "Before anything is known"
    assert [point.words for point in ribbon.points][-2:] == [
        "Light behind the screen: dark, seen",
        "Picture, by torch if need be: picture, faint or lit, seen",
    ]
    assert view.advice is not None
    now = {fault.fault: fault.chance for fault in view.advice.faults}
    assert 0 < len(ribbon.bands) <= MOST_BANDS
    for band in ribbon.bands:
        assert len(band.chances) == len(ribbon.points)
        assert band.chances[-1] == pytest.approx(now[band.fault], abs=1e-12)
    assert [band.chances[-1] for band in ribbon.bands] == sorted(
        (band.chances[-1] for band in ribbon.bands), reverse=True
    )


def test_the_ribbon_of_a_new_job_begins_before_the_complaint(ws: Workshop, job_number: int) -> None:
    ribbon = job(ws, job_number).ribbon
    assert len(ribbon.points) == 2
    assert ribbon.points[1].words.startswith("Complaint, told")


def test_of_a_long_job_the_latest_moments_are_drawn() -> None:
    facts = tuple(
        Fact(number, "", Draft(Finding("pad-fan", "good"), str(number), ("1",), 1))
        for number in range(1, 101)
    )
    found = moments(Timeline(facts))
    assert len(found) == MOST_POINTS + 1
    assert found[-1][0] == facts[-1]
    assert found[0] == (None, Timeline())
