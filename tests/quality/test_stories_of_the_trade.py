"""Short stories whose end anybody in the trade would know: the complaint, a look or two, the likely cause.

They are invented, from common practice and no source, and none is one of the worked cases. They say that what
a practitioner would think of first is among the first three, not that the odds are right.
"""

from __future__ import annotations

from math import prod

import pytest
from families import unlooked
from worked_replay import AMONG_FIRST, kind_of, pack

from powergood.diagnosis import believe, compile_model
from powergood.record.model import Complained, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

AT, SCSI, COMPACT, MICRO, LAPTOP = (
    "at-atx-desktop",
    "scsi-desktop",
    "compact-all-in-one",
    "home-micro",
    "pata-laptop",
)

STORIES = (
    (AT, "no-keys", "", "keyboard-port.fuse"),
    (AT, "no-keys", "press-every-key=lamps-dark", "keyboard-port.fuse"),
    (AT, "date-lost", "", "coin-cell.flat"),
    (AT, "disk-clicks", "wait-for-wind-down=winds-down-again", "disk.heads-held"),
    (AT, "disk-silent", "disk-hum=bad", "disk.stuck"),
    (AT, "fans-no-picture", "pad-beeps=memory-beeps", "memory.unseated"),
    (AT, "cuts-out", "disk-rail-ohms=bad", "disk.board-shorted"),
    (AT, "off-after-a-while", "feel-processor-heat=stays-cool", "cooler.clogged"),
    (AT, "floppy-not-read", "", "floppy-drive.heads-dirty"),
    (AT, "floppy-lamp-on", "", "floppy-cable.wrong"),
    (AT, "bulging-caps", "", "main-board.domed-cans"),
    (SCSI, "disk-ticks", "wait-for-wind-down=winds-down-again", "disk.heads-held"),
    (SCSI, "no-input", "", "input-port.fuse"),
    (SCSI, "identity-lost", "", "nvram.flat"),
    (SCSI, "bus-hangs", "", "scsi-chain.ends-wrong"),
    (SCSI, "settings-lost", "", "clock-cell.flat"),
    (SCSI, "stops-at-colour", "press-socketed-chips=bad", "chips.loose"),
    (SCSI, "no-sound", "pad-fishy=bad", "main-board.cans-leaked"),
    (COMPACT, "one-line", "tap-the-side=changes-with-tap", "deflection.yoke-joints"),
    (COMPACT, "date-lost", "", "clock-cell.flat"),
    (COMPACT, "no-sound", "work-sound-plug=plug-brings-sound", "sound-socket.contact"),
    (COMPACT, "error-face", "look-at-module-seats=bad", "memory.unseated"),
    (COMPACT, "floppy-stuck", "", "floppy-drive.gummed"),
    (MICRO, "garbage", "measure-rails=rails-right", "converter.dead"),
    (MICRO, "key-row", "", "membrane.tail-cracked"),
    (MICRO, "different-every-time", "", "sockets.tarnished"),
    (MICRO, "no-signal-works", "", "display.tuned-off"),
    (MICRO, "lead-wiggle", "", "brick.lead-broken"),
    (LAPTOP, "wiggle", "", "dc-inlet.cracked"),
    (LAPTOP, "pink", "", "lamp.worn"),
    (LAPTOP, "lid-angle", "", "lid-cable.broken"),
    (LAPTOP, "off-after-a-while", "feel-outlet=runs-hot", "cooler.clogged"),
    (LAPTOP, "no-sound", "listen-in-headphones=good", "speaker.failed"),
    (LAPTOP, "pointer-bad", "look-at-pointer=bad", "pointer.dirty"),
    (LAPTOP, "tray", "press-drive-home=good", "optical-drive.tray-catch"),
)


def ranked(family: str, complaint: str, looks: str) -> list[str]:
    """Return the kinds of faults of a class, the likeliest first, after a complaint and looks."""
    machine = pack().machine(family)
    model = compile_model(unlooked(machine))
    drafts = [Draft(GateAnswered(gate.id, met=True), key=gate.id) for gate in machine.gates]
    drafts.append(Draft(Complained(complaint, complaint), key="complaint"))
    drafts += [Draft(Finding(*look.split("=")), key=look) for look in looks.split()]
    facts = (Fact(number, "2026-01-01T00:00:00Z", draft) for number, draft in enumerate(drafts, start=1))
    chances = believe(model, timeline(facts)).now()
    by_kind: dict[str, list[float]] = {}
    for number, fault in enumerate(model.faults):
        if fault.listed:
            by_kind.setdefault(kind_of(fault.id), []).append(chances[number])
    at_all = {kind: 1 - prod(1 - chance for chance in each) for kind, each in by_kind.items()}
    return sorted(at_all, key=lambda kind: (-at_all[kind], kind))


@pytest.mark.parametrize(("family", "complaint", "looks", "cause"), STORIES)
def test_what_the_trade_would_think_of_first_is_among_the_first(
    family: str, complaint: str, looks: str, cause: str
) -> None:
    machine = pack().machine(family)
    assert {cause, complaint} <= {each.id for each in (*machine.faults, *machine.complaints)}
    first = ranked(family, complaint, looks)[:AMONG_FIRST]
    assert cause in first, first
