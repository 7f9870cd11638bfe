"""A small sound pack, written out file by file, that each test may spoil in one place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

LANTERN: Mapping[str, str] = {
    "pack.yaml": """\
format: 1
id: lanterns
title: Lanterns of an invented workshop
version: 1.0.0
""",
    "sources.yaml": """\
format: 1
sources:
  - id: S1
    title: A made-up log of lantern repairs
    read: judgement
""",
    "cautions.yaml": """\
format: 1
cautions:
  - id: caustic
    title: Caustic crust
    words: White crust is caustic. Gloves on.
    danger: true
""",
    "subsystems/supply.yaml": """\
format: 1
id: supply
title: Cells and switch
area: power
parts:
  - {id: cell, title: Cell, area: power, opening: lid, copies: 2}
  - {id: switch, title: Switch, area: power}
functions:
  - {id: power, title: Power at the socket, area: power, of: [cell, switch]}
signs:
  - {id: crust, title: White crust, area: power}
faults:
  - id: cell.flat
    title: Cell flat
    frequency: 8 (judgement)
    breaks: {power: 0.95 (S1)}
  - id: cell.leaked
    title: Cell leaked
    frequency: 2 (judgement)
    breaks: {power: 0.5 (judgement)}
    signs: {crust: 0.9 (S1)}
  - id: switch.worn
    title: Switch worn
    frequency: 2 (judgement)
    shows: 0.4 (judgement)
    breaks: {power: 1 (judgement)}
checks:
  - id: look-at-cells
    ask: Look for crust on the cells
    of: crust
    power: off
    open: [lid]
    minutes: 1 (judgement)
    false_alarm: 0.02 (judgement)
  - id: measure-power
    ask: Measure at the socket
    of: power
    power: start
    minutes: 2 (judgement)
    false_alarm: 0.01 (judgement)
    cautions: [caustic]
fixes:
  - id: renew-cell
    do: Fit a new cell
    kind: replace
    replaces: cell
    minutes: 2 (judgement)
    open: [lid]
    cautions: [caustic]
  - id: clean-switch
    do: Clean the switch
    kind: clean
    cures: {switch.worn: 0.8 (judgement)}
    minutes: 5 (judgement)
""",
    "subsystems/light.yaml": """\
format: 1
id: light
title: Lamp
area: light
parts:
  - {id: lamp, title: Lamp, area: light}
  - {id: shade, title: Shade, area: light}
functions:
  - {id: glows, title: Glows, area: light, needs: [power], of: [lamp], wanted: true}
faults:
  - id: lamp.open
    title: Filament open
    frequency: 8 (judgement)
    breaks: {glows: 1 (judgement)}
  - id: shade.dark
    title: Shade darkened
    frequency: 0.5 (judgement)
    unseen: Nothing but taste tells.
checks:
  - id: how-far
    ask: Switch on and watch
    rungs:
      - {of: power, seen: Nothing at the socket}
      - {of: glows, seen: Socket live and no light}
    all_good: Light
    power: start
    minutes: 1 (judgement)
    false_alarm: 0.02 (judgement)
fixes:
  - {id: renew-lamp, do: Fit a new lamp, kind: replace, replaces: lamp, minutes: 1 (judgement)}
  - {id: renew-shade, do: Fit a new shade, kind: replace, replaces: shade, minutes: 9 (judgement)}
""",
    "families/lantern.yaml": """\
format: 1
id: lantern
title: Hand lantern
years: 1980 to 1999
expected_faults: 1.2 (judgement)
subsystems: [supply, light]
areas:
  - id: power
    title: Power
    something_else: 0.02 (judgement)
    replace: Change the base
    minutes: 9 (judgement)
    money: 4 (judgement)
  - id: light
    title: Light
    something_else: 0.01 (judgement)
    replace: Change the head
    minutes: 9 (judgement)
    money: 4 (judgement)
openings:
  - {id: lid, title: Lid, minutes: 1 (judgement), refit: 1 (judgement)}
gates:
  - id: cells-seen
    title: Cells seen
    ask: Have you looked at the cells?
    because: They leak
    holds: [power, "step:renew-lamp"]
complaints:
  - id: dark
    words: It does not light
    findings: [{check: how-far, outcome: glows}]
  - id: odd
    words: Something is wrong with it
    ask: Does it light at all?
    answers:
      - {words: No, complaint: dark}
intake:
  - {id: kept-damp, ask: Was it kept damp?, multiplies: {cell.leaked: 3 (judgement), power: 1.2 (judgement)}}
""",
    "sheets/mill-lantern.yaml": """\
format: 1
id: mill-lantern
title: Mill lantern
family: lantern
year: 1985
copies: {cell: 1}
""",
    "worked/first.yaml": """\
format: 1
id: first
title: A flat cell found at once
machine: mill-lantern
source: S1
intake: {kept-damp: no}
facts:
  - {complaint: dark}
  - {check: how-far, outcome: power}
  - {fix: renew-cell}
truth: [cell.flat]
confirmed: full
taken: 2
""",
}

PackWriter = Callable[..., Path]


@pytest.fixture
def write_pack(tmp_path: Path) -> PackWriter:
    """Return a function that writes the lantern pack, with some text of some files replaced.

    `write_pack({"subsystems/light.yaml": ("Lamp", "Bulb")})` replaces the first "Lamp" of that file; a
    plain text instead of a pair replaces the whole file, and None leaves it out.
    """

    def write(changes: Mapping[str, object] | None = None, name: str = "lanterns") -> Path:
        folder = tmp_path / name
        files: dict[str, object] = {
            **LANTERN,
            **{file: None for file in changes or {} if file not in LANTERN},
        }
        for file, change in (changes or {}).items():
            if isinstance(change, tuple):
                old, new = change
                assert old in LANTERN[file], old
                files[file] = LANTERN[file].replace(old, new, 1)
            else:
                files[file] = change
        for file, text in files.items():
            if text is None:
                continue
            target = folder / file
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(text if isinstance(text, bytes) else str(text).encode())
        return folder

    return write
