"""How near a job's plan is to the best: said at once, and better as more of it is worked out."""

from __future__ import annotations

import re

import pytest

from powergood.bench import Workshop, demo, job, nearer
from powergood.diagnosis import levels
from powergood.errors import UnknownThing


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    return demo.create(tmp_path_factory.mktemp("nearing") / "workshop")


FAR = 3
"""A job of the demo that is far from done."""


def least_of(figures: str) -> int:
    """Return the minutes that no plan can average below, as the figures say it."""
    found = re.search(r"below (\d+)", figures)
    assert found, figures
    return int(found[1])


def test_more_work_never_lowers_what_no_plan_can_average_below(workshop: Workshop) -> None:
    said = [nearer(workshop, FAR, level) for level in range(levels() + 1)]
    assert said[0].figures == job(workshop, FAR).figures
    least = [least_of(each.figures) for each in said]
    assert least == sorted(least)
    assert least[-1] > least[0]
    assert [each.level for each in said] == list(range(levels() + 1))


def test_a_level_past_the_last_is_the_last(workshop: Workshop) -> None:
    assert nearer(workshop, FAR, 99) == nearer(workshop, FAR, levels())


def test_a_job_that_there_is_not_is_refused(workshop: Workshop) -> None:
    with pytest.raises(UnknownThing):
        nearer(workshop, 999, 1)
