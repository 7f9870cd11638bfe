"""What a tired person types finds the right thing among the first three, in one family and over all."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

from powergood.bench import Workshop, knowhow
from powergood.bench.library import Library
from powergood.bench.matching import folded
from powergood.errors import UnknownThing
from powergood.packs import builtin_pack

# The words are made up for this test in the manner people write on repair boards (judgement). Each line:
# where it is looked for (empty: everywhere), what is typed, the end of the address of what must be found.
QUERIES = [
    ("pata-laptop", "no picture but backlight", "complaints/light-no-picture"),
    ("", "no picture but backlight", "pata-laptop/complaints/light-no-picture"),
    ("pata-laptop", "backlight but no picture", "complaints/light-no-picture"),
    ("pata-laptop", "can just see the picture with a torch", "complaints/dark-picture"),
    ("pata-laptop", "backlight dead", "complaints/dark-picture"),
    ("pata-laptop", "wont turn on at all", "complaints/dead"),
    ("pata-laptop", "charge light on but wont start", "complaints/plug-lamp-only"),
    ("pata-laptop", "screen goes pink then dark", "complaints/pink"),
    ("pata-laptop", "only works if i wiggle the plug", "complaints/wiggle"),
    ("pata-laptop", "keybord some keys dead", "complaints/key-row"),
    ("pata-laptop", "types by itself", "complaints/ghost-keys"),
    ("pata-laptop", "smells of vinegar", "complaints/stains"),
    ("pata-laptop", "vinegar smell", "faults/panel.polariser"),
    ("pata-laptop", "asks for a password", "complaints/password"),
    ("pata-laptop", "forgot the time again", "complaints/date-lost"),
    ("pata-laptop", "cracked hinge", "complaints/hinge"),
    ("pata-laptop", "swollen battery", "complaints/pack-bulges"),
    ("pata-laptop", "inverter", "faults/inverter.failed"),
    ("pata-laptop", "lid switch", "faults/lid-switch.stuck"),
    ("pata-laptop", "hard drive clicking", "complaints/disk-clicks"),
    ("pata-laptop", "no operating system found", "complaints/no-system"),
    ("compact-all-in-one", "one thin horizontal line across the screen", "complaints/one-line"),
    ("compact-all-in-one", "single bright dot in the middle", "complaints/one-line"),
    ("compact-all-in-one", "checkerboard pattern and no chime", "complaints/stripes"),
    ("compact-all-in-one", "clicking in a rhythm and nothing on screen", "complaints/ticks"),
    ("scsi-desktop", "terminator missing", "faults/scsi-chain.ends-wrong"),
    ("home-micro", "lamp lit and only snow on the tv", "complaints/no-signal"),
    ("home-micro", "tape wont load", "complaints/tape-fails"),
    ("home-micro", "garbage on the screen at switch on", "complaints/garbage"),
    ("at-atx-desktop", "bulging capacitors on the board", "complaints/bulging-caps"),
    ("at-atx-desktop", "fans twitch and then off", "complaints/cuts-out"),
    ("", "battery leaked green stuff on the board", "at-atx-desktop/complaints/leak"),
    ("scsi-desktop", "scsi disk not found", "complaints/disk-not-seen"),
    ("compact-all-in-one", "picture shrinks when warm", "complaints/wavy"),
    ("", "dead, no fan no lights", "at-atx-desktop/complaints/dead"),
    ("at-atx-desktop", "cant find hard disk", "complaints/no-disk"),
    ("pata-laptop", "cant find the hard drive", "complaints/no-disk"),
    ("pata-laptop", "disk not detected", "complaints/no-disk"),
    ("", "smells like fish", "compact-all-in-one/complaints/fishy"),
    ("", "brenlund", "brenlund-n480"),
    ("", "shine a torch on the dark screen", "checks/torch"),
    ("pata-laptop", "floppy motor spins no read", "complaints/floppy-not-read"),
    ("pata-laptop", "hard disk whine", "complaints/disk-clicks"),
    ("pata-laptop", "trackpad jumps", "complaints/pointer-bad"),
    ("pata-laptop", "cmos battery dead", "complaints/date-lost"),
    ("pata-laptop", "keys dead in one row", "complaints/key-row"),
    ("at-atx-desktop", "floppy motor spins no read", "complaints/floppy-not-read"),
    ("at-atx-desktop", "no mouse", "complaints/no-mouse"),
    ("at-atx-desktop", "dead psu", "complaints/dead"),
    ("at-atx-desktop", "whine from psu", "complaints/cuts-out"),
    ("at-atx-desktop", "drive c not found", "complaints/no-disk"),
    ("at-atx-desktop", "hard disk noisy", "complaints/disk-clicks"),
    ("at-atx-desktop", "post card shows ff", "complaints/fans-no-picture"),
    ("compact-all-in-one", "floppy motor spins no read", "complaints/floppy-not-read"),
    ("compact-all-in-one", "smells of fish", "complaints/fishy"),
    ("compact-all-in-one", "leaky capacitors", "complaints/fishy"),
    ("compact-all-in-one", "jail bars", "complaints/stripes"),
    ("compact-all-in-one", "no sound", "complaints/no-sound"),
    ("compact-all-in-one", "beeps three times", "complaints/error-face"),
    ("scsi-desktop", "led code flashing", "complaints/stops-at-colour"),
    ("scsi-desktop", "amber led", "complaints/stops-at-colour"),
    ("scsi-desktop", "picture green", "complaints/colour-missing"),
    ("scsi-desktop", "bad blocks", "complaints/load-errors"),
    ("scsi-desktop", "mouse not detected", "complaints/no-mouse"),
    ("home-micro", "keys bounce", "complaints/ghost-keys"),
    ("home-micro", "sound crackly", "complaints/no-sound"),
    ("home-micro", "buzz in sound", "complaints/hum-bars"),
    ("home-micro", "white screen at switch on", "complaints/black-screen"),
    ("home-micro", "ram faulty", "complaints/less-memory"),
    ("at-atx-desktop", "freezes after ten minutes", "complaints/freezes"),
    ("", "freezes after ten minutes", "complaints/freezes"),
]


@pytest.fixture(scope="module")
def ws() -> Workshop:
    """A workshop as far as reading goes: the program's own pack, and no book."""
    return cast(Workshop, SimpleNamespace(library=Library((builtin_pack(),))))


def first_three(ws: Workshop, typed: str, kind: str) -> list[str]:
    return [place.name for line in knowhow.search(ws, typed, kind).found[:3] for place in line.places]


@pytest.mark.parametrize(("kind", "typed", "address"), QUERIES)
def test_what_is_typed_finds_the_right_page_among_the_first_three(
    ws: Workshop, kind: str, typed: str, address: str
) -> None:
    found = first_three(ws, typed, kind)
    assert any(address in name for name in found), found


def test_what_stands_after_a_no_is_not_what_is_there() -> None:
    assert set(folded("no screen but backlight")) == {"!screen", "backlight"}
    assert set(folded("disk not found")) == set(folded("no disk")) == {"!disk"}
    assert set(folded("no backlight but screen")) == {"!backlight", "screen"}


def test_no_picture_and_no_backlight_find_different_complaints(ws: Workshop) -> None:
    lit = first_three(ws, "backlight on, no picture", "pata-laptop")[0]
    dark = first_three(ws, "no backlight, but a picture", "pata-laptop")[0]
    assert (lit, dark) == ("pata-laptop/complaints/light-no-picture", "pata-laptop/complaints/dark-picture")


def test_a_machine_is_looked_up_in_its_own_family_only(ws: Workshop) -> None:
    found = knowhow.search(ws, "no picture", "brenlund-n480").found
    assert found
    assert {place.name.split("/")[0] for line in found for place in line.places} == {"brenlund-n480"}


def test_the_same_complaint_of_several_families_is_one_line(ws: Workshop) -> None:
    lines = knowhow.search(ws, "no picture").found
    titles = [(line.what, line.title) for line in lines]
    assert len(titles) == len(set(titles))
    assert any(len(line.places) > 1 for line in lines)


@pytest.mark.parametrize("typed", ["", "   ", "the and it", "???", "zzzqqq xxyyzz", "\x00", "!" * 500])
def test_words_that_say_nothing_find_nothing_and_do_no_harm(ws: Workshop, typed: str) -> None:
    assert knowhow.search(ws, typed).found == ()


def test_looking_in_a_kind_that_is_not_there_says_so(ws: Workshop) -> None:
    with pytest.raises(UnknownThing):
        knowhow.search(ws, "no picture", "no-such-kind")


def test_equal_words_find_equal_things_in_equal_order(ws: Workshop) -> None:
    def once() -> Any:
        return knowhow.search(ws, "screen dark battery")

    assert once() == once()
