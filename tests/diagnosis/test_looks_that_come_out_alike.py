"""Which of the steps that come out alike is followed first: the look that tells most of what fails."""

from dataclasses import replace

import numpy as np
import pytest

from powergood.diagnosis import Preferences, compile_model
from powergood.diagnosis.belief import belief
from powergood.diagnosis.choosing import ALIKE, FAILS, firsts_of
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.left import function_states
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.samples import planning_samples
from powergood.diagnosis.scores import Scored, priced
from powergood.diagnosis.worth import Worth
from powergood.packs import builtin_pack
from powergood.record.model import Body, Complained, Draft, Fact, GateAnswered, JobOpened
from powergood.record.timeline import timeline

DARK = ("pata-laptop", "dark-picture")
WAITS = ("scsi-desktop", "waits-for-system")


def seen(family: str, complaint: str) -> tuple[Lookahead, Node]:
    """Return the state of a machine of `family` after the complaint, every safety condition met."""
    model = compile_model(builtin_pack().machine(family), year=1994)
    gates = [GateAnswered(gate.id, True) for gate in model.gates]
    bodies: list[Body] = [JobOpened("x"), *gates, Complained("", complaint)]
    evidence = gather(
        model, timeline(Fact(n, "", Draft(body, key=str(n))) for n, body in enumerate(bodies, start=1))
    )
    held, now, wants = belief(model, evidence), evidence.now, Preferences()
    worth = Worth.of(model, wants, now.wanted, now.missing)
    states = function_states(held, wants.threshold)
    unproven = frozenset(number for number, each in enumerate(states) if each.standing != "proven")
    checks, fixes = tuple(model.checks.values()), tuple(model.fixes.values())
    look = Lookahead(worth, planning_samples(held), checks, fixes, now.missing)
    return look, look.root(now.opened, unproven, now.missing)


def paying(look: Lookahead, root: Node) -> list[Scored]:
    return [each for each in priced(look, root, pays=None)[0] if each.gain > each.asks]


def mutual_information(look: Lookahead, root: Node, check: str) -> float:
    """Return the bits that a check tells of which sets of faults break what likely fails, by counting."""
    fails = np.flatnonzero(root.weights @ look.left(root) > FAILS)
    broken = look.hindsight.breaking(root.present, fails)
    label = np.unique(broken, axis=0, return_inverse=True)[1].ravel()
    columns = list(look.outcomes(check))
    joint = np.zeros((label.max() + 1, len(columns)))
    np.add.at(joint, label, root.weights[:, None] * look.outlook(root)[:, columns])
    apart = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    held = joint > 0
    return float((joint[held] * np.log2(joint[held] / apart[held])).sum())


@pytest.mark.parametrize("job", [DARK, WAITS])
def test_of_looks_that_come_out_alike_the_one_that_tells_most_of_what_fails_is_first(
    job: tuple[str, str],
) -> None:
    look, root = seen(*job)
    scored = paying(look, root)
    alike = [each for each in scored if each.kind == "check" and each.total <= (1 + ALIKE) * scored[0].total]
    assert len(alike) > 1
    first = firsts_of(look, root, scored, 3)[0]
    assert first in alike
    told = {each.step: mutual_information(look, root, each.step) for each in alike}
    assert told[first.step] > max(told.values()) - 0.15  # ours is corrected for few samples, this is not


def test_where_all_that_is_wanted_fails_the_cheapest_is_first() -> None:
    look, root = seen(*DARK)
    scored = paying(look, root)
    all_broken = root.weights * look.left(root).all(axis=1)
    assert all_broken.sum() > 0
    worst = replace(root, weights=all_broken / all_broken.sum())
    assert firsts_of(look, worst, scored, 3)[0] is scored[0]
