"""Each rule of names and of sense: the lantern pack passes it, and one change makes it fail there.

The lantern pack as it is written passes every rule (`test_a_sound_pack_loads_whole`).
"""

from __future__ import annotations

import pytest

from powergood.knowledge.checks import RULES
from powergood.packs import check_pack

SUPPLY, LIGHT = "subsystems/supply.yaml", "subsystems/light.yaml"
FAMILY, SHEET, CASE = "families/lantern.yaml", "sheets/mill-lantern.yaml", "worked/first.yaml"


def grid(fields: str, *worse: str, of: str = "crust") -> str:
    """Return a grid as a pack has it: its fields, extents worse than `one` ("line: power"), and `one`."""
    pairs = [each.split(": ") for each in worse] + ([["one", of]] if of else [])
    extents = ", ".join(f"{{extent: {name}, of: {about}, seen: Seen}}" for name, about in pairs)
    return f"    grid: {{{fields}, extents: [{extents}]}}\n"


HELD = '    holds: [power, "step:renew-lamp"]\n'
SAID = "    stands_for: [{check: look-at-cells, outcome: good}]\n"
"""What a gate of the family holds back, and a finding that its tick could stand for."""

NAMES = [
    (SUPPLY, "    of: crust\n", grid("rows: [[a, b]]", of="rust"), "known-id", "no function or sign `rust`"),
    (SUPPLY, "    of: crust\n", grid("copies_of: sell"), "known-id", "no part `sell`"),
    # file, what is written, what it is changed to, the rule, what the message says
    (FAMILY, "[supply, light]", "[supply, light, gears]", "known-id", "no subsystem `gears`"),
    (FAMILY, "[supply, light]", "[supply, light, light]", "one-id", "named twice"),
    (SUPPLY, "area: power\nparts", "area: pwer\nparts", "known-id", "no area `pwer`; did you mean `power`?"),
    (SUPPLY, "title: Switch, area: power", "title: Switch, area: lght", "known-id", "no area `lght`"),
    (SUPPLY, "opening: lid", "opening: lit", "known-id", "no opening `lit`; did you mean `lid`?"),
    (
        SUPPLY,
        "of: [cell, switch]",
        "of: [cell, swich]",
        "known-id",
        "no part `swich`; did you mean `switch`?",
    ),
    (
        LIGHT,
        "needs: [power]",
        "needs: [crust]",
        "known-id",
        "no function `crust` (there is a sign of that name)",
    ),
    (LIGHT, "needs: [power]", "either: [pwr]", "known-id", "no function `pwr`"),
    (SUPPLY, "- id: cell.flat", "- id: sell.flat", "known-id", "no part `sell`; did you mean `cell`?"),
    (SUPPLY, "breaks: {power: 0.95", "breaks: {powr: 0.95", "known-id", "no function `powr`"),
    (SUPPLY, "signs: {crust", "signs: {rust", "known-id", "no sign `rust`; did you mean `crust`?"),
    (
        SUPPLY,
        "breaks: {power: 0.5 (judgement)}",
        "breaks: {power: 0.5 (judgement)}\n    makes: {switch.torn: 0.1 (judgement)}",
        "known-id",
        "no fault `switch.torn`; did you mean `switch.worn`?",
    ),
    (SUPPLY, "    of: crust", "    of: rust", "known-id", "no function or sign `rust`"),
    (LIGHT, "- {of: glows", "- {of: glow", "known-id", "no function or sign `glow`; did you mean `glows`?"),
    (
        SUPPLY,
        "    open: [lid]\n    minutes: 1",
        "    open: [lidd]\n    minutes: 1",
        "known-id",
        "no opening `lidd`",
    ),
    (SUPPLY, "    open: [lid]\n    minutes: 1", "    closed: [lidd]\n    minutes: 1", "known-id", "`lidd`"),
    (SUPPLY, "    of: crust", "    of: crust\n    out: [sell]", "known-id", "no part `sell`"),
    (SUPPLY, "    of: crust", "    of: crust\n    instead: [sell]", "known-id", "no part `sell`"),
    (SUPPLY, "    of: crust", "    of: crust\n    fitted: [sell]", "known-id", "no part `sell`"),
    (SUPPLY, "    of: crust", "    of: crust\n    each_copy_of: sell", "known-id", "no part `sell`"),
    (SUPPLY, "    of: crust", "    of: crust\n    cautions: [acid]", "known-id", "no caution `acid`"),
    (SUPPLY, "replaces: cell", "replaces: sell", "known-id", "no part `sell`"),
    (SUPPLY, "cures: {switch.worn", "cures: {switch.torn", "known-id", "no fault `switch.torn`"),
    (
        SUPPLY,
        "cures: {switch.worn: 0.8 (judgement)}",
        "cures: {switch.worn: 0.8 (judgement)}\n    disturbs: {cell.lost: 0.1 (judgement)}",
        "known-id",
        "no fault `cell.lost`",
    ),
    (
        SUPPLY,
        "cautions: [caustic]\nfixes",
        "cautions: [caustc]\nfixes",
        "known-id",
        "did you mean `caustic`?",
    ),
    (
        FAMILY,
        "- {id: lid,",
        "- {id: lid, behind: [led],",
        "known-id",
        "no opening `led`; did you mean `lid`?",
    ),
    (FAMILY, "holds: [power,", "holds: [powr,", "known-id", "`power`, `opening` or `step:ID`, not `powr`"),
    (FAMILY, "step:renew-lamp", "step:renew-lmp", "known-id", "did you mean `renew-lamp`?"),
    (FAMILY, HELD, f"{HELD}{SAID.replace('cells', 'sells')}", "known-id", "no check `look-at-sells`"),
    (FAMILY, HELD, HELD + SAID.replace("good", "fine"), "known-outcome", "has `good`, `bad`"),
    (FAMILY, "{check: how-far", "{check: how-fr", "known-id", "no check `how-fr`; did you mean `how-far`?"),
    (FAMILY, "outcome: glows", "outcome: shines", "known-outcome", "has `good`, `power`, `glows`"),
    (FAMILY, "complaint: dark", "complaint: drk", "known-id", "no complaint `drk`; did you mean `dark`?"),
    (FAMILY, "{cell.leaked: 3", "{cell.leekd: 3", "known-id", "no fault or part or area `cell.leekd`"),
    (FAMILY, "1.2 (judgement)\n", "1.2 (S7)\n", "known-source", "no source `S7`"),
    ("cautions.yaml", "danger: true", "danger: true\n    source: S7", "known-source", "no source `S7`"),
    (
        SHEET,
        "family: lantern",
        "family: lanterns",
        "known-id",
        "no family `lanterns`; did you mean `lantern`?",
    ),
    (SHEET, "{cell: 1}", "{sell: 1}", "known-id", "no part `sell`"),
    (SHEET, "{cell: 1}", "{cell: -1}", "copies", "cannot be -1 copies"),
    (SUPPLY, "- {id: switch, title", "- {id: cell, title", "one-id", "`cell` is used twice"),
    (SUPPLY, "id: crust, title", "id: power, title", "one-id", "is also the id of one of the functions"),
    (LIGHT, "id: how-far", "id: renew-lamp", "one-id", "named alike"),
    (LIGHT, "- {id: lamp, title", "- {id: switch, title", "one-id", "the first is in subsystem `supply`"),
    (CASE, "machine: mill-lantern", "machine: mill-lanten", "known-id", "did you mean `mill-lantern`?"),
    (CASE, "source: S1", "source: S8", "known-id", "no source `S8`"),
    (CASE, "truth: [cell.flat]", "truth: [cell.flatt]", "known-id", "did you mean `cell.flat`?"),
    (CASE, "truth: [cell.flat]", "truth: []", "case-truth", "the fault that was found is missing"),
    (CASE, "outcome: power", "outcome: powr", "known-outcome", "did you mean `power`?"),
    (CASE, "{kept-damp: no}", "{kept-dry: no}", "known-id", "no take-in question `kept-dry`"),
]

CIRCLE = """\
functions:
  - {id: heat, title: Heat, area: power, needs: [draught]}
  - {id: draught, title: Draught, area: power, needs: [heat]}
"""

STAGE = (
    "  - {id: clean-switch, do: Clean the switch, kind: clean, minutes: 5 (judgement),"
    " cures: {switch.worn: 0.8 (judgement)}}\nstages:\n  - id: alone\n    title: Alone\n    do: Measure\n"
    "    minutes: 1 (judgement)\n    check: measure-power\n"
)
"""A stage of bring-up as a subsystem has it, less its power and what it measures."""
LAST_FIX = """\
  - id: clean-switch
    do: Clean the switch
    kind: clean
    cures: {switch.worn: 0.8 (judgement)}
    minutes: 5 (judgement)
"""
SAFE = "    power: start\n    cautions: [caustic]\n    stop_if: [{id: smoke, seen: Smoke, then: Off}]\n"


def stage(fields: str, limit: str = "low: 1 (S1), below: bad") -> str:
    """Return the last fix of the supply and a stage after it, with one reading."""
    return f"{STAGE}{fields}    limits: [{{id: five, title: Five, unit: V, {limit}}}]\n"


SENSE = [
    (SUPPLY, LAST_FIX, stage(SAFE, "below: bad"), "limits-in-order", "neither `low` nor `high`"),
    (
        SUPPLY,
        LAST_FIX,
        stage(SAFE, "low: 5 (S1), high: 4 (S1), below: bad, above: bad"),
        "limits-in-order",
        "5 is not below the high one, 4",
    ),
    (
        SUPPLY,
        LAST_FIX,
        stage(SAFE, "low: 1 (S1), below: bad, label: V"),
        "label-in-percent",
        "is in V of a label in V",
    ),
    (SUPPLY, LAST_FIX, stage("    power: start\n"), "stops-stand", "has no `stop_if`"),
    (SUPPLY, LAST_FIX, stage(SAFE, "low: 1 (S1)"), "reading-says-so", "has `low` but no `below`"),
    (SUPPLY, "copies: 2", "copies: 0", "copies", "only a sheet may say that there is none"),
    (SHEET, "{cell: 1}", "{cell: 1000000000000}", "copies", "1 to 32 copies, not 1000000000000"),
    (SUPPLY, "power: 0.95 (S1)", "power: 95 (S1)", "chance-range", "write 0.95 for 95 %"),
    (SUPPLY, "power: 0.95 (S1)", "power: -0.1 (S1)", "chance-range", "not at -0.1"),
    (SUPPLY, "power: 0.95 (S1)", "power: {value: .nan, source: S1}", "chance-range", "not at nan"),
    (SUPPLY, "false_alarm: 0.01 (judgement)", "false_alarm: 0 (judgement)", "never-certain", "0 leaves none"),
    (
        FAMILY,
        "something_else: 0.01 (judgement)",
        "something_else: 1 (judgement)",
        "never-certain",
        "1 leaves",
    ),
    (SUPPLY, "    frequency: 8 (judgement)\n", "    chance: 1 (S1)\n", "never-certain", "1 leaves none"),
    (SUPPLY, "minutes: 1 (judgement)", "minutes: -1 (judgement)", "amount-range", "-1 is no amount"),
    (SUPPLY, "frequency: 8 (judgement)", "frequency: 0 (judgement)", "factor-range", "more than 0"),
    (FAMILY, "1.2 (judgement)}", "0 (judgement)}", "factor-range", "more than 0"),
    (FAMILY, "expected_faults: 1.2", "expected_faults: 0", "expected-faults", "more than 0, not 0"),
    (SUPPLY, "    frequency: 8 (judgement)\n", "", "frequency-or-chance", "how common"),
    (
        SUPPLY,
        "    frequency: 8 (judgement)\n",
        "    frequency: 8 (judgement)\n    chance: 0.1 (S1)\n",
        "frequency-or-chance",
        "not both",
    ),
    (SUPPLY, "breaks: {power: 1 (", "breaks: {power: 0.9 (", "intermittent-certain", "with chance 1"),
    (LIGHT, "    unseen: Nothing but taste tells.\n", "", "fault-seen", "no check can see `shade.dark`"),
    (
        LIGHT,
        "breaks: {glows: 1 (judgement)}",
        "breaks: {glows: 1 (judgement)}\n    unseen: So.",
        "fault-seen",
        "leave it out",
    ),
    (SUPPLY, "    signs: {crust: 0.9 (S1)}\n", "", "check-tells", "`look-at-cells` tells nothing apart"),
    (
        SUPPLY,
        "cures: {switch.worn: 0.8",
        "cures: {lamp.open: 0.8",
        "fault-cured",
        "nothing cures `switch.worn`",
    ),
    (SUPPLY, "cures: {switch.worn: 0.8", "cures: {switch.worn: 0", "fix-does", "`clean-switch` does nothing"),
    (
        SUPPLY,
        "    signs: {crust: 0.9 (S1)}\n",
        "    signs: {crust: 0.9 (S1)}\n    makes: {cell.flat: 0.5 (S1), switch.worn: 0.1 (S1)}\n",
        "cluster-small",
        "5 faults hang together by `makes`",
    ),
    (
        SUPPLY,
        "    breaks: {power: 1 (judgement)}\n",
        "    breaks: {power: 1 (judgement)}\n    makes: {switch.worn: 0.5 (S1)}\n",
        "makes-no-circle",
        "`switch.worn` makes `switch.worn`",
    ),
    (SUPPLY, "- id: look-at-cells", "- id: Look at cells", "id-form", "small letters, digits and hyphens"),
    (SUPPLY, "- id: cell.flat", "- id: cell", "id-form", "a fault is named `part.mode`"),
    (SUPPLY, "{id: crust, title", "{id: bad, title", "id-form", "the name of an outcome"),
    (LIGHT, "    rungs:\n", "    of: glows\n    rungs:\n", "one-question", "`of` or `rungs`, not both"),
    (SUPPLY, "    of: power\n", "", "one-question", "must say what it is about"),
    (LIGHT, "- {of: power, seen", "- {of: glows, seen", "one-question", "stands in this ladder twice"),
    (
        SUPPLY,
        "    of: crust\n",
        grid("copies_of: cell", of="crust") + "    of: crust\n",
        "one-question",
        "not both",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b], [a, c]]"),
        "grid-cells",
        "`a` stands in this grid 2 times",
    ),
    (SUPPLY, "    of: crust\n", grid("rows: [[a]]"), "grid-cells", "2 to 200 cells, not 1"),
    (SUPPLY, "    of: crust\n", grid("cell: key"), "grid-cells", "this one has neither"),
    (SUPPLY, "    of: crust\n", grid("rows: [[a, b]], copies_of: cell"), "grid-cells", "not both"),
    (SUPPLY, "    of: crust\n", grid('rows: [["a,b", c]]'), "grid-cells", "no comma"),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b], [c, d]], lines: [{title: left, cells: [a, e]}]", "line: power"),
        "grid-cells",
        "there is no cell `e`",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b]]", "line: power"),
        "grid-extents",
        "this grid has no line",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b], [c, d]], lines: [{title: left, cells: [a, c]}]"),
        "grid-extents",
        "`line` is not among the extents",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b], [c, d]]", "several: power", "all: glows"),
        "grid-extents",
        "in this order: `all`, `several`, `one`",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("rows: [[a, b]]", "all: power", of=""),
        "grid-extents",
        "in this order: `all`, `one`",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("copies_of: cell", "several: power"),
        "grid-extents",
        "where it lies says the rest",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("copies_of: cell, before: [{of: all, seen: No}]", "all: power"),
        "grid-extents",
        "`all` is the name of an extent",
    ),
    (
        SUPPLY,
        "    of: crust\n",
        grid("copies_of: cell") + "    out: [cell]\n",
        "grid-copies",
        "`cell` is not in the machine for this check",
    ),
    (
        SUPPLY,
        "    open: [lid]\n    minutes: 1",
        "    open: [lid]\n    closed: [lid]\n    minutes: 1",
        "open-or-closed",
        "`lid`",
    ),
    (
        SUPPLY,
        "    of: crust",
        "    of: crust\n    out: [cell]\n    fitted: [cell]",
        "open-or-closed",
        "`cell`",
    ),
    (FAMILY, "    findings: [{check: how-far, outcome: glows}]\n", "", "complaint-leads", "leads nowhere"),
    (
        FAMILY,
        "    ask: Does it light",
        "    findings: [{check: how-far, outcome: glows}]\n    ask: Does it light",
        "complaint-leads",
        "not both",
    ),
    (
        FAMILY,
        "openings:\n",
        CIRCLE + "openings:\n",
        "no-circle",
        "`draught` needs `heat` needs `draught`",
    ),
    (FAMILY, "{id: lid, title", "{id: lid, behind: [lid], title", "no-circle", "`lid` is behind `lid`"),
]

WARNINGS = [
    (
        SUPPLY,
        "    shows: 0.4 (judgement)\n    breaks: {power: 1 (judgement)}",
        "    breaks: {power: 0.95 (S1)}",
        "faults-apart",
        "no check tells `switch.worn` from `cell.flat`",
    ),
    (LIGHT, "needs: [power], of", "of", "rungs-follow", "`glows` does not need the rung before it, `power`"),
    (
        FAMILY,
        "openings:\n",
        "functions:\n  - {id: burns-long, title: Burns long, area: light, wanted: true}\nopenings:\n",
        "wanted-provable",
        "no check can prove it",
    ),
    (FAMILY, "complaint: dark}", "complaint: odd}", "answer-settles", "only asks again"),
    (
        SUPPLY,
        "    power: off\n    open: [lid]",
        "    power: start\n    open: [lid]",
        "danger-warned",
        "near `cell`",
    ),
    (
        SUPPLY,
        "    cures: {switch.worn: 0.8 (judgement)}",
        "    cures: {switch.worn: 0.8 (judgement), cell.flat: 0.1 (judgement)}",
        "danger-warned",
        "`clean-switch` works on `cell`",
    ),
]


def changed(file: str, old: str, new: str) -> dict[str, tuple[str, str]]:
    return {file: (old, new)}


@pytest.mark.parametrize(("file", "old", "new", "rule", "says"), NAMES)
def test_a_name_that_belongs_to_nothing_is_reported(write_pack, file, old, new, rule, says) -> None:
    issues = [issue for issue in check_pack(write_pack(changed(file, old, new))) if issue.severity == "error"]
    assert rule in {issue.check for issue in issues}
    (said,) = [issue for issue in issues if says in issue.message]
    assert said.check == rule
    assert said.location.file.endswith(file)
    assert said.excerpt


@pytest.mark.parametrize(("file", "old", "new", "rule", "says"), SENSE)
def test_each_rule_of_sense_finds_its_mistake(write_pack, file, old, new, rule, says) -> None:
    found = [issue for issue in check_pack(write_pack(changed(file, old, new))) if issue.check == rule]
    assert found
    assert found[0].severity == "error"
    assert says in " | ".join(issue.message for issue in found)
    assert all(issue.location.line for issue in found)


@pytest.mark.parametrize(("file", "old", "new", "rule", "says"), WARNINGS)
def test_what_is_allowed_but_hardly_meant_is_a_warning(write_pack, file, old, new, rule, says) -> None:
    issues = check_pack(write_pack(changed(file, old, new)))
    assert [(issue.check, issue.severity) for issue in issues] == [(rule, "warning")]
    assert says in issues[0].message


def test_what_only_a_sheet_makes_wrong_names_the_sheet(write_pack) -> None:
    """Without the switch, the check that has it fitted is gone, and the lamp is seen by nothing else."""
    folder = write_pack(
        {
            LIGHT: ("    power: start\n", "    power: start\n    fitted: [switch]\n"),
            SHEET: ("{cell: 1}", "{switch: 0}"),
            FAMILY: ("check: how-far, outcome: glows", "check: measure-power, outcome: bad"),
            CASE: None,
        }
    )
    errors = [issue for issue in check_pack(folder) if issue.severity == "error"]
    assert [issue.check for issue in errors] == ["fault-seen"]
    assert errors[0].message.endswith("(in the sheet `mill-lantern`)")
    assert errors[0].location.file.endswith(LIGHT)


ORDERED = "subsystems: [supply, light]\nbring_up: [alone]"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("check: measure-power", "check: measure-pwer", "no check `measure-pwer`"),
        ("below: bad", "below: power", "`power` is no outcome of `measure-power`"),
        ("low: 1 (S1)", "low: 1 (S9)", "no source `S9`"),
        ("meets: []", "meets: [sound]", "no gate `sound`"),
        ("then: Off}", "then: Off, unmeets: [sound]}", "no gate `sound`"),
        ("then: Off}", "then: Off, check: look-at-cells, outcome: crst}", "`crst` is no outcome"),
    ],
)
def test_a_name_in_a_stage_that_belongs_to_nothing_is_reported(write_pack, old, new, says) -> None:
    text = stage(f"{SAFE}    meets: []\n")
    assert old in text
    found = check_pack(write_pack({SUPPLY: (LAST_FIX, text.replace(old, new))}))
    assert any(says in issue.message and issue.location.line for issue in found)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        (f"{SAFE}    meets: [cells-seen]\n", "`alone` applies power that `cells-seen` holds"),
        ("    power: off\n", "`alone` is without power, and its check `measure-power` needs it"),
    ],
)
def test_no_stage_stands_before_the_gates_that_hold_its_power(write_pack, fields, says) -> None:
    spoilt = {
        SUPPLY: (LAST_FIX, stage(fields)),
        FAMILY: ("subsystems: [supply, light]", ORDERED),
    }
    found = [issue for issue in check_pack(write_pack(spoilt)) if issue.check == "power-after-gates"]
    assert [says in issue.message for issue in found] == [True]


@pytest.mark.parametrize(
    ("holds", "check"),
    [
        ("power", "measure-power"),
        ("opening", "look-at-cells"),
        ("step:lid", "look-at-cells"),
        ("step:look-at-cells", "look-at-cells"),
    ],
)
def test_no_tick_stands_for_a_look_that_waits_for_it(write_pack, holds, check) -> None:
    said = SAID.replace("look-at-cells", check)
    found = check_pack(write_pack({FAMILY: (HELD, f'    holds: ["{holds}"]\n{said}')}))
    assert [issue.message for issue in found if issue.check == "tick-is-free"] == [
        f"`cells-seen` stands for `{check}`, and holds it back"
    ]


def test_a_tick_may_stand_for_a_look_that_is_free(write_pack) -> None:
    assert [str(issue) for issue in check_pack(write_pack({FAMILY: (HELD, HELD + SAID)}))] == []


def test_a_stage_in_order_has_no_mistake(write_pack) -> None:
    sound = {
        SUPPLY: (LAST_FIX, stage(SAFE)),
        FAMILY: ("subsystems: [supply, light]", ORDERED),
    }
    assert [str(issue) for issue in check_pack(write_pack(sound))] == []


def test_no_rule_is_without_a_test_and_a_sentence() -> None:
    tried = {rule for _, _, _, rule, _ in (*SENSE, *WARNINGS)} | {"power-after-gates", "tick-is-free"}
    assert {rule.id for rule in RULES} <= tried
    assert all(rule.sentence.endswith(".") for rule in RULES)


def test_the_severity_of_each_rule_is_the_one_its_tests_see() -> None:
    warned = {rule for _, _, _, rule, _ in WARNINGS}
    assert {rule.id for rule in RULES if rule.severity == "warning"} == warned
