"""The laptop's ports, card slots and sleep: each fault comes first after the looks that tell it."""

from __future__ import annotations

import pytest
from families import Family

IT = Family("pata-laptop", year=1998)


@pytest.mark.parametrize(
    ("fault", "looks"),
    [
        ("ports.jack-cracked", [("test-every-port", "one"), ("wiggle-ports", "port-moves")]),
        ("ports.pins-bad", [("test-every-port", "one"), ("look-into-ports", "bad")]),
        ("ports.turned-off", [("test-every-port", "one"), ("read-port-settings", "port-turned-off")]),
        ("ports.fuse-open", [("test-every-port", "one"), ("measure-port-volts", "port-unfed")]),
        (
            "ports.chip-dead",
            [
                ("test-every-port", "one"),
                ("look-into-ports", "good"),
                ("read-port-settings", "good"),
                ("measure-port-volts", "good"),
                ("wiggle-ports", "good"),
            ],
        ),
        ("card-slot.pins-bent", [("known-good-card", "cards-seen"), ("look-into-card-slot", "bad")]),
        ("card-slot.ejector-broken", [("push-card-home", "bad"), ("look-into-card-slot", "good")]),
        ("card-slot.joints", [("known-good-card", "cards-seen"), ("move-the-card", "card-comes-and-goes")]),
        ("card-setting.wrong", [("known-good-card", "cards-seen"), ("card-on-plain-drivers", "good")]),
        ("pc-card.unsuited", [("try-the-card", "cards-seen"), ("read-card-marking", "bad")]),
        (
            "pc-card.dead",
            [("try-the-card", "cards-seen"), ("known-good-card", "good"), ("read-card-marking", "good")],
        ),
        ("sleep-setting.wrong", [("sleep-three-times", "wakes"), ("sleep-with-plain-settings", "good")]),
        ("lid-sense.stuck", [("sleep-three-times", "sleeps"), ("feel-for-lid-switch", "lid-not-felt")]),
    ],
)
def test_a_fault_comes_first_after_its_looks(fault: str, looks: list[tuple[str, str]]) -> None:
    chances = IT.chances(*looks)
    assert max(chances, key=lambda name: chances[name]) == fault
    assert chances[fault] > 3 * IT.chances()[fault]


def test_bad_memory_is_thought_of_when_plain_settings_do_not_wake_it_either() -> None:
    before = IT.chances(("sleep-three-times", "wakes"))
    after = IT.chances(("sleep-three-times", "wakes"), ("sleep-with-plain-settings", "wakes"))
    assert after["memory.1.bad"] > 1.5 * before["memory.1.bad"]
    assert after["sleep-setting.wrong"] < 0.2 * before["sleep-setting.wrong"]


@pytest.mark.parametrize(
    ("complaint", "part"),
    [
        ("port-dead", "ports"),
        ("card-not-seen", "card-slot"),
        ("card-stuck", "card-slot"),
        ("does-not-sleep", "sleep-setting"),
        ("does-not-wake", "sleep-setting"),
        ("sleeps-by-itself", "lid-sense"),
    ],
)
def test_what_is_said_makes_its_part_likelier_more_than_any_other(complaint: str, part: str) -> None:
    before, after = IT.chances(), IT.chances(complaint=complaint)
    most = max(after, key=lambda fault: after[fault] / before[fault])
    assert most.split(".")[0] == part


def test_no_partition_is_made_on_a_disk_unasked_or_before_it_is_imaged() -> None:
    mend = next(fix for fix in IT.machine().fixes if fix.id == "make-room-for-sleep")
    assert mend.consent
    assert mend.do.startswith("Image the disk first")
    writes = [fix for fix in IT.machine().fixes if fix.id in ("make-room-for-sleep", "set-card-drivers")]
    assert all("data" in fix.cautions for fix in writes)
