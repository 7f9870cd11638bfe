"""A typewriter with a screen for the page tests: a grid of keys, a grid of memory modules, one on the pad."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from powergood.knowledge.model import (
    Area,
    Check,
    Claim,
    Extent,
    Family,
    Fault,
    Fix,
    Function,
    Grid,
    Part,
    Rung,
    Subsystem,
)
from powergood.packs import Pack


def _n(value: float) -> Claim:
    return Claim(value, "judgement")


KEYS = Grid(
    (
        Extent("all", "some-keys", "No key types"),
        Extent("line", "key-lines", "A whole line is dead"),
        Extent("one", "every-key", "One or a few keys are dead"),
    ),
    (("1", "2", "3", "4"), ("Q", "W", "E", "R"), ("A", "S", "", "D")),
    before=(Rung("wakes", "It does not wake"),),
    cell="key",
)
TYPEWRITER = Subsystem(
    1,
    "typewriter",
    "Typewriter",
    "desk",
    parts=(Part("keyboard", "Keyboard", "desk"), Part("memory", "Memory module", "desk", copies=3)),
    functions=(
        Function("wakes", "It wakes", "desk"),
        Function("some-keys", "Some keys type", "desk", ("wakes",)),
        Function("key-lines", "No line is dead", "desk", ("some-keys",)),
        Function("every-key", "Every key types", "desk", ("key-lines",), of=("keyboard",), wanted=True),
        Function("remembers", "It remembers the page", "desk", ("wakes",), of=("memory",), wanted=True),
    ),
    faults=(
        Fault("keyboard.asleep", "Keyboard's lead dead", {"some-keys": _n(0.9)}, frequency=_n(4)),
        Fault("keyboard.track", "Track broken", {"key-lines": _n(0.9)}, frequency=_n(4)),
        Fault("keyboard.worn", "Contact worn", {"every-key": _n(0.9)}, frequency=_n(4)),
        Fault("memory.bad", "Module bad", {"remembers": _n(0.9)}, frequency=_n(4)),
    ),
    checks=(
        Check(
            "press-keys",
            "Press every key in turn.",
            _n(4),
            _n(0.02),
            "start",
            grid=KEYS,
            all_good="Every key types",
        ),
        Check(
            "key-lamps",
            "Look which key lamps stay dark at switch-on.",
            _n(1),
            _n(0.02),
            "start",
            grid=replace(KEYS, before=()),
            all_good="All lamps light",
            on_pad=True,
        ),
        Check(
            "page-test",
            "Fill every page and read it back.",
            _n(6),
            _n(0.02),
            "start",
            grid=Grid(
                (Extent("one", "remembers", "Pages come back wrong"),), copies_of="memory", cell="module"
            ),
            all_good="Every page comes back",
        ),
    ),
    fixes=(
        Fix("new-keyboard", "Exchange the keyboard.", "replace", _n(9), replaces="keyboard", money=_n(20)),
        Fix("new-module", "Exchange the module.", "replace", _n(4), replaces="memory", money=_n(9)),
    ),
)
FAMILY = Family(
    1,
    "typewriter",
    "Typewriter with a screen",
    "1985 to 1990",
    _n(1.2),
    ("typewriter",),
    (Area("desk", "Desk", _n(0.01), "Exchange the whole typewriter.", _n(30), _n(80)),),
    (),
)


def grid_pack() -> Pack:
    """Return a pack that holds the typewriter alone."""
    return Pack(
        Path("grid"),
        "grid",
        "Grid",
        "1",
        families={"typewriter": FAMILY},
        subsystems={"typewriter": TYPEWRITER},
        sheets={},
        sources=(),
        cautions=(),
        digest="grid-1",
    )
