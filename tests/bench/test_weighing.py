"""What each finding of a job says for or against a fault, in words."""

from __future__ import annotations

import pytest

from powergood.bench import Workshop, demo, job, weighing
from powergood.bench.advising import compiled, subject
from powergood.bench.book import job_of, machine_of
from powergood.diagnosis import believe
from powergood.errors import UnknownThing
from powergood.record.timeline import Timeline


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    return demo.create(tmp_path_factory.mktemp("weighing") / "workshop")


def test_every_finding_and_complaint_of_a_job_has_its_say(workshop: Workshop) -> None:
    view = job(workshop, 3)
    found = weighing(workshop, 3, view.suspects[0].name)
    told = {line.fact for line in view.record if line.kind in ("finding", "complaint") and not line.withdrawn}
    assert {say.fact for say in found.says} == told
    assert found.now == pytest.approx(view.suspects[0].chance)
    assert all(0 <= say.share <= 1 for say in found.says)


def test_a_suspect_has_something_that_speaks_for_it(workshop: Workshop) -> None:
    found = weighing(workshop, 3, job(workshop, 3).suspects[0].name)
    assert any(say.speaks_for and say.says.startswith("speaks") for say in found.says)


def test_what_there_is_not_is_refused(workshop: Workshop) -> None:
    with pytest.raises(UnknownThing):
        weighing(workshop, 3, "no.such")
    with pytest.raises(UnknownThing):
        weighing(workshop, 999, "no.such")


def test_at_first_is_the_belief_before_any_fact_also_where_one_fault_brings_another(
    workshop: Workshop,
) -> None:
    state = job_of(workshop, 3)
    model = compiled(workshop, state, subject(workshop, state, machine_of(workshop, state.tag)).machine)
    before = believe(model, Timeline()).now()
    joined = [member for cluster in model.clusters if len(cluster.members) > 1 for member in cluster.members]
    assert any(abs(before[each] - model.faults[each].prior) > 0.01 for each in joined)
    for each in joined:
        assert weighing(workshop, 3, model.faults[each].id).at_first == pytest.approx(before[each])
