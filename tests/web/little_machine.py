"""A little machine for the page tests: five parts, three ways in, two gates. All its numbers are invented."""

from __future__ import annotations

from pathlib import Path

from powergood.knowledge.model import (
    Answer,
    Area,
    Caution,
    Cell,
    Check,
    Claim,
    Complaint,
    Family,
    Fault,
    Fix,
    Function,
    Gate,
    IntakeFact,
    ModelSheet,
    Opening,
    Part,
    Rung,
    Subsystem,
    ToldFinding,
)
from powergood.packs import Pack


def _n(value: float) -> Claim:
    return Claim(value, "judgement")


POWER = Subsystem(
    1,
    "little-power",
    "Little power",
    "power",
    parts=(Part("adapter", "Adapter", "power"), Part("standby", "Standby pack", "power", "bottom")),
    functions=(Function("lamp-lit", "The power lamp lights", "power", of=("adapter",), wanted=True),),
    faults=(
        Fault("adapter.dead", "Adapter gives nothing", {"lamp-lit": _n(0.98)}, frequency=_n(4)),
        Fault("standby.leaked", "Standby pack has leaked", {"lamp-lit": _n(0.4)}, frequency=_n(2)),
    ),
    checks=(
        Check(
            "power-lamp",
            "Switch on and look whether the power lamp lights.",
            _n(1),
            _n(0.01),
            "start",
            of="lamp-lit",
            good="The lamp lights",
            bad="The lamp stays dark",
            on_pad=True,
            cautions=("backlight",),
        ),
        Check(
            "adapter-volts",
            "Measure the adapter at its plug with the meter.",
            _n(3),
            _n(0.02),
            "off",
            of="lamp-lit",
            good="Within its label",
            bad="Low, or nothing",
            out=("standby",),
            tools=("meter",),
            wrong_when=("the adapter wants a load before it starts",),
        ),
    ),
    fixes=(
        Fix("change-adapter", "Exchange the adapter.", "replace", _n(2), replaces="adapter", money=_n(20)),
        Fix(
            "remove-standby",
            "Take the standby pack out for good.",
            "remove",
            _n(8),
            cures={"standby.leaked": _n(0.9)},
            open=("bottom",),
            consent=True,
        ),
    ),
)
PICTURE = Subsystem(
    1,
    "little-picture",
    "Little picture",
    "picture",
    parts=(
        Part("inverter", "Inverter board", "picture", "bezel"),
        Part("memory", "Memory module", "picture", "hatch", copies=2),
    ),
    functions=(
        Function(
            "picture",
            "The picture can be seen",
            "picture",
            needs=("lamp-lit",),
            of=("inverter", "memory"),
            wanted=True,
        ),
    ),
    faults=(
        Fault("inverter.failed", "Inverter has failed", {"picture": _n(0.95)}, frequency=_n(8)),
        Fault("memory.unseated", "Memory module sits badly", {"picture": _n(0.9)}, frequency=_n(4)),
    ),
    checks=(
        Check(
            "how-far",
            "Switch on and watch how far it gets.",
            _n(2),
            _n(0.01),
            "start",
            rungs=(Rung("lamp-lit", "Nothing at all"), Rung("picture", "Lamp lit, screen dark")),
            all_good="A picture comes",
            on_pad=True,
            no_verdict=_n(0.05),
        ),
        Check(
            "torch",
            "Shine a torch across the screen and look for a faint picture.",
            _n(2),
            _n(0.05),
            "on",
            of="picture",
            good="A faint picture shows",
            bad="Nothing shows",
            instead=("inverter",),
            cautions=("backlight",),
            tools=("torch",),
        ),
    ),
    fixes=(
        Fix(
            "change-inverter",
            "Exchange the inverter board.",
            "replace",
            _n(10),
            replaces="inverter",
            money=_n(15),
            open=("bezel",),
            cautions=("backlight",),
            harm=_n(0.02),
        ),
        Fix(
            "re-seat-memory",
            "Take the memory modules out and press them home again.",
            "re-seat",
            _n(3),
            cures={"memory.unseated": _n(0.9)},
            open=("hatch",),
            unexplained=True,
        ),
    ),
)
FAMILY = Family(
    1,
    "little",
    "Little portable",
    "1990 to 2000",
    _n(1.5),
    ("little-power", "little-picture"),
    areas=(
        Area("power", "Power", _n(0.05), "the power board", _n(60), _n(40), ("bottom",)),
        Area("picture", "Picture", _n(0.05), "the screen", _n(60), _n(60), ("bezel",)),
    ),
    openings=(
        Opening("hatch", "Memory hatch", _n(1), _n(1), fasteners=("1 screw",), layer=1),
        Opening("bezel", "Lid bezel", _n(6), _n(6), harm=_n(0.05), fasteners=("4 screws",), layer=1),
        Opening("bottom", "Bottom case", _n(12), _n(10), behind=("hatch",), layer=2),
    ),
    gates=(
        Gate(
            "cells-seen",
            "Cells seen",
            "Every cell is seen and none is swollen or leaking",
            "A leaking cell eats the board; a swollen one can burn.",
            ("power",),
            ("cells",),
        ),
    ),
    complaints=(
        Complaint(
            "dark",
            "It runs but the screen stays dark",
            ("black screen", "no picture"),
            (ToldFinding("how-far", "picture"),),
        ),
        Complaint(
            "dead", "Nothing happens at all", ("dead", "no lamp"), (ToldFinding("how-far", "lamp-lit"),)
        ),
        Complaint(
            "does-not-work",
            "It does not work",
            ("broken",),
            ask="Does any lamp light?",
            answers=(Answer("Yes, a lamp lights", "dark"), Answer("No, nothing", "dead")),
        ),
    ),
    intake=(IntakeFact("kept-damp", "Was it kept damp?", {"standby.leaked": _n(2)}),),
    cells=(Cell("standby", "Standby pack", "NiMH 7.2 V", "under the palm rest", "red is plus"),),
)
SHEET = ModelSheet(
    1,
    "skerry-20",
    "Skerry 20",
    "little",
    make="Skerry",
    year=1996,
    weak_points=("Its standby pack leaks.",),
    boot_routes=("From its floppy drive.",),
)
CAUTIONS = (
    Caution(
        "backlight",
        "Backlight supply voltage",
        "The small board in the lid makes 600 V or more. Never touch it while the screen is on.",
        danger=True,
    ),
    Caution(
        "cells", "Old cells", "A swollen or hot cell is a fire risk. Do not charge it, do not pierce it."
    ),
)


def little_pack() -> Pack:
    """Return a pack that holds the little machine alone."""
    return Pack(
        Path("little"),
        "little",
        "Little",
        "1",
        families={"little": FAMILY},
        subsystems={each.id: each for each in (POWER, PICTURE)},
        sheets={"skerry-20": SHEET},
        sources=(),
        cautions=CAUTIONS,
        digest="little-1",
    )
