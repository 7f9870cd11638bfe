"""What a step card says of the steps that its own is held against."""

from __future__ import annotations

from powergood.bench.step_cards import told_once
from powergood.diagnosis.model import Against


def test_a_step_that_is_next_best_and_a_suspects_own_fix_is_named_once() -> None:
    own = Against("own fix", "mend", "fix", 4.0, 0.0, "its own fix")
    assert told_once((Against("next best", "mend", "fix", 4.0, 0.0, "next best"), own)) == ("its own fix",)
    other = Against("next best", "look", "check", 2.0, 0.0, "next best")
    assert told_once((other, own)) == ("next best", "its own fix")
