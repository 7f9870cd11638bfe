"""The four machines of the demo workshop and what was done on each; all invented."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from powergood.bench.demo_photos import closed_lid, dark_screen, lifted_keyboard, open_hatch
from powergood.bench.intake_views import TakeIn
from powergood.bench.jobs import open_job
from powergood.bench.recording import write_down
from powergood.bench.taking_in import add_photo, take_in
from powergood.bench.workshop import Workshop
from powergood.record.model import (
    Body,
    Finding,
    FixDone,
    GateAnswered,
    Note,
    PartOut,
    Refitted,
    Shelved,
    SignedOff,
)

WHO = "museum bench"
EARLY, LATE = "brenlund-n480", "quillane-tr14"
TurnTo = Callable[[int], None]


def pilot_station(ws: Workshop) -> None:
    """The main machine: dark screen, told by the giver; its job is open and nothing is checked yet."""
    tag = take_in(
        ws,
        TakeIn(
            name="Pilot station laptop",
            sheet=EARLY,
            tag="HM-04",
            story="Kept the tide tables at the pilot station until the station moved. Last used about 2004.",
            came_with="Its own adapter, a carrying case, two floppies marked TIDES.",
            condition="Worn at the edges, lid whole, no smell. Stood in a dry cupboard.",
            place="Bench",
            intake={"unused-for-years": True, "kept-damp": False, "dropped": False, "spill-seen": False},
            photo=dark_screen(),
            caption="As it came: switched on, screen dark",
        ),
        key="demo-pilot",
        who=WHO,
    )
    open_job(
        ws,
        tag,
        words="The screen stays black but I hear it starting",
        complaint="no-picture-but-runs",
        wanted=("picture", "cells-dry"),
        key="demo-pilot-job",
        who=WHO,
    )


def ferry_desk(ws: Workshop, turn_to: TurnTo) -> None:
    """A finished job: a memory module that had crept out of its socket, seated again and proven."""
    tag = take_in(
        ws,
        TakeIn(
            name="Ferry ticket desk laptop",
            sheet=LATE,
            tag="HM-01",
            story="Printed tickets at the ferry desk for eleven years, then sat in the window display.",
            came_with="Adapter with a taped lead.",
            condition="Scratched, all keys there.",
            place="Display, window side",
            intake={"much-carried": True},
            photo=closed_lid(),
            caption="As it came",
        ),
        key="demo-ferry",
        who=WHO,
    )
    wanted = ("runs-on-adapter", "system-loads")
    words = "Lamp and fan come on, then nothing"
    job = open_job(
        ws, tag, words=words, complaint="fan-no-picture", wanted=wanted, key="demo-ferry-job", who=WHO
    )
    _write(ws, job, "demo-ferry-gates", [_met(name, how) for name, how in _FERRY_GATES])
    _write(ws, job, "demo-ferry-start", _FERRY_FIRST_START)
    _write(
        ws,
        job,
        "demo-ferry-module",
        [Finding("one-module-at-a-time", "bad", copy=2), Finding("one-module-at-a-time", "good", copy=1)],
    )
    add_photo(
        ws,
        open_hatch(),
        tag=tag,
        job=job,
        caption="Front socket: the module stood out by a hair",
        key="demo-ferry-photo",
        who=WHO,
    )
    turn_to(40)
    _write(ws, job, "demo-ferry-seat", [FixDone("reseat-memory", note="Sockets clean, both catches close")])
    _write(ws, job, "demo-ferry-close", [Refitted("memory-hatch")])
    for number in (1, 2):
        _write(ws, job, f"demo-ferry-how-far-{number}", [Finding("how-far", "good")])
    _write(ws, job, "demo-ferry-two-hours", [Finding("run-two-hours", "good")])
    turn_to(34)
    _write(ws, job, "demo-ferry-loop", [Finding("memory-test-loop", "good", note="Two hours, cold start")])
    _write(ws, job, "demo-ferry-off", [SignedOff(_FERRY_WORDS)])


def dredger_office(ws: Workshop, turn_to: TurnTo) -> None:
    """A job on the shelf for a part: a row of dead keys, the keyboard lifted and the disk out."""
    tag = take_in(
        ws,
        TakeIn(
            name="Dredger office laptop",
            sheet=EARLY,
            tag="HM-02",
            story="From the dredging office's store room, with its soundings still on the disk.",
            came_with="Adapter, spare main pack (swollen, gone to the hazardous waste).",
            condition="Coffee ring on the palm rest, hinge sound.",
            place="Shelf 2, tray 5",
            intake={"spill-seen": True, "unused-for-years": True},
        ),
        key="demo-dredger",
        who=WHO,
    )
    words = "A whole row of keys is dead"
    job = open_job(
        ws, tag, words=words, complaint="key-row", wanted=("types",), key="demo-dredger-job", who=WHO
    )
    _write(ws, job, "demo-dredger-gates", [_met(name, how) for name, how in _DREDGER_GATES])
    _write(ws, job, "demo-dredger-start", _DREDGER_START)
    _write(
        ws,
        job,
        "demo-dredger-keys",
        [Finding("key-grid", "key-rows", note="The row from caps lock to return")],
    )
    turn_to(22)
    _write(
        ws,
        job,
        "demo-dredger-open",
        [Finding("look-at-keyboard-ribbon", "good"), Finding("measure-membrane", "bad"), PartOut("disk")],
    )
    add_photo(
        ws,
        lifted_keyboard(),
        tag=tag,
        job=job,
        caption="Keyboard lifted, ribbon whole",
        key="demo-dredger-photo",
        who=WHO,
    )
    _write(
        ws,
        job,
        "demo-dredger-note",
        [Note("Screws of the keyboard are in well 3, the trim strip in the tray; the disk lies in its bag.")],
    )
    _write(ws, job, "demo-dredger-shelf", [Shelved("a part", "a keyboard of the same part number")])


def lightship(ws: Workshop) -> None:
    """A machine that was only taken in."""
    take_in(
        ws,
        TakeIn(
            name="Lightship radio room laptop",
            sheet=LATE,
            tag="HM-03",
            story="Came ashore with the lightship. Nobody knows whether it works.",
            came_with="Nothing, not even an adapter.",
            condition="Salt bloom on the sockets, lid stiff.",
            place="Shelf 1",
            intake={"kept-damp": True, "not-its-adapter": True},
            photo=closed_lid(salt=True),
            caption="Left side, salt at the sockets",
        ),
        key="demo-lightship",
        who=WHO,
    )


def _met(gate: str, how: str) -> GateAnswered:
    return GateAnswered(gate, True, how)


def _write(ws: Workshop, job: int, key: str, bodies: Sequence[Body]) -> None:
    write_down(ws, job, bodies, key=key, who=WHO)


_FERRY_WORDS = "Starts every time since the module was seated. To be looked at again when the season opens."
_FERRY_GATES = (
    ("quarantine", "Dry and clean"),
    ("cells-seen", "Clock cell looked at under the keyboard, dry"),
    ("pack-looked-at", "Lay flat, not swollen"),
    ("adapter-checked", "Lead taped by the ferry desk, renewed; volts and polarity agree"),
    ("disk-content-safe", "Image kept with the harbour archive"),
)
_FERRY_FIRST_START = (
    Finding("pad-plug-lamp", "good"),
    Finding("pad-power-lamp", "good"),
    Finding("pad-fan", "good"),
    Finding("pad-holds", "good"),
    Finding("pad-light", "self-test"),
    Finding("pad-burnt", "good"),
)
_DREDGER_GATES = (
    ("quarantine", "Dry and clean"),
    ("cells-seen", "Standby pack dry where it can be seen from the memory hatch"),
    ("pack-looked-at", "The one that was fitted lies flat; the spare was swollen and is out of the house"),
    ("adapter-checked", "15.0 V, centre plus"),
    ("disk-content-safe", "Image kept, soundings given to the archive"),
)
_DREDGER_START = (
    Finding("pad-plug-lamp", "good"),
    Finding("pad-power-lamp", "good"),
    Finding("pad-holds", "good"),
    Finding("pad-image", "good"),
    Finding("pad-light", "good"),
    Finding("pad-burnt", "good"),
)
