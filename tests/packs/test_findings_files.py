"""A findings file becomes facts in order, or a list of everything that is wrong with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from powergood.errors import FindingsError
from powergood.knowledge.model import MachineModel
from powergood.packs import load_pack
from powergood.packs.findings import Findings, read_findings, worked_facts
from powergood.record.model import (
    Complained,
    Finding,
    FixDone,
    GateAnswered,
    Opened,
    PartIn,
    PartOut,
    Reading,
    Refitted,
    WantedSet,
    Withdrawn,
)


@pytest.fixture
def lantern(write_pack) -> MachineModel:
    return load_pack(write_pack()).machine("lantern")


def read(tmp_path: Path, text: str, machine: MachineModel | None = None) -> Findings:
    path = tmp_path / "findings.yaml"
    path.write_text(text, encoding="utf-8")
    return read_findings(path, machine)


def mistakes(tmp_path: Path, text: str, machine: MachineModel | None = None) -> list[str]:
    with pytest.raises(FindingsError) as caught:
        read(tmp_path, text, machine)
    assert caught.value.exit_code == 2
    return [f"{i.location.line}:{i.location.column} {i.message}" for i in caught.value.issues]


WHOLE = """\
format: 1
intake: [kept-damp]
facts:
  - {complaint: It does not light}
  - {wanted: [glows]}
  - {gate: cells-seen, met: yes, how: both out and clean}
  - {check: how-far, outcome: glows, sure: no, told: yes, power_up: 3, note: dim at best}
  - {open: lid}
  - {out: cell.2}
  - {reading: cell, value: "1,31 V", instrument: meter}
  - {in: cell.2}
  - {fix: renew-cell, part: cell.2}
  - {fix: renew-cell, part: cell.2}
  - {fix: renew-cell, slot: cell.1, part: K-17}
  - {fix: renew-lamp}
  - {fix: clean-switch}
  - {refit: lid}
  - {withdraw: 4, because: wrong machine}
  - {check: how-far, outcome: no verdict}
"""


def test_every_kind_of_fact_is_read_in_order(tmp_path: Path, lantern: MachineModel) -> None:
    found = read(tmp_path, WHOLE, lantern)
    assert found.intake == {"kept-damp": True}
    assert [draft.body for draft in found.drafts] == [
        Complained("It does not light", "dark"),
        WantedSet(("glows",)),
        GateAnswered("cells-seen", True, "both out and clean"),
        Finding("how-far", "glows", sure=False, told=True, note="dim at best"),
        Opened("lid"),
        PartOut("cell.2"),
        Reading("cell", "1,31 V", 1.31, "V", "meter"),
        PartIn("cell.2"),
        FixDone("renew-cell", "cell.2", "cell.2/2"),
        FixDone("renew-cell", "cell.2", "cell.2/3"),
        FixDone("renew-cell", "cell.1", "K-17"),
        FixDone("renew-lamp", "lamp", "lamp/2"),
        FixDone("clean-switch"),
        Refitted("lid"),
        Withdrawn(4, "wrong machine"),
        Finding("how-far", "no verdict"),
    ]
    assert [draft.power_up for draft in found.drafts][3] == 3


def test_the_same_file_gives_the_same_keys_and_no_key_twice(tmp_path: Path, lantern: MachineModel) -> None:
    keys = [draft.key for draft in read(tmp_path, WHOLE, lantern).drafts]
    assert keys == [draft.key for draft in read(tmp_path, WHOLE, lantern).drafts]
    assert len(set(keys)) == len(keys)
    other = read(tmp_path, WHOLE.replace("outcome: glows", "outcome: power"), lantern)
    assert not set(keys) & {draft.key for draft in other.drafts}


def test_intake_may_be_a_mapping_of_yes_and_no(tmp_path: Path, lantern: MachineModel) -> None:
    text = "format: 1\nintake: {kept-damp: no}\nfacts: []\n"
    assert read(tmp_path, text, lantern) == Findings({"kept-damp": False}, ())


def test_without_a_machine_any_name_will_do(tmp_path: Path) -> None:
    found = read(tmp_path, "format: 1\nfacts:\n  - {check: anything, outcome: good}\n")
    assert found.drafts[0].body == Finding("anything", "good")


def test_words_of_no_known_complaint_are_kept_as_typed(tmp_path: Path, lantern: MachineModel) -> None:
    text = "format: 1\nfacts:\n  - {complaint: Smells of the sea}\n  - {complaint: IT DOES NOT LIGHT}\n"
    bodies = [draft.body for draft in read(tmp_path, text, lantern).drafts]
    assert bodies == [Complained("Smells of the sea", ""), Complained("IT DOES NOT LIGHT", "dark")]


@pytest.mark.parametrize(
    ("fact", "said"),
    [
        (
            "{check: how-fr, outcome: good}",
            "3:13 there is no check `how-fr` in this machine; did you mean `how-far`?",
        ),
        (
            "{check: how-far, outcome: glow}",
            "3:31 `glow` is no outcome of `how-far`, which has `good`, `power`",
        ),
        ("{check: how-far}", "3:5 the `outcome` of `how-far` is missing here"),
        ("{check: how-far, outcome: good, sure: maybe}", "3:43 `yes` or `no` is due here, not `maybe`"),
        ("{check: how-far, outcome: good, copy: 1}", "3:43 `how-far` has no copy 1: it is not of one copy"),
        ("{check: how-far, outcome: good, power_up: x}", "3:47 a whole number is due here, not `x`"),
        ("{check: how-far, outcome: good, outcom: bad}", "3:37 there is no field `outcom` in a `check` fact"),
        ("{check: 5, outcome: good}", "3:13 text is due here, not `5`"),
        ("{chek: how-far, outcome: good}", "3:5 this fact does not say what happened: give one of `check`"),
        ("{open: lid, refit: lid}", "3:5 this fact says two things at once"),
        ("lid", "3:5 a fact is a mapping such as"),
        ("{open: led}", "3:12 there is no opening `led` in this machine; did you mean `lid`?"),
        ("{fix: renew-lmp}", "3:11 there is no fix `renew-lmp` in this machine; did you mean `renew-lamp`?"),
        ("{fix: renew-cell}", "3:5 there are 2 of `cell`: say which by `slot: cell.1`"),
        ("{fix: renew-cell, slot: cell.3}", "3:29 there is no slot `cell.3`"),
        ("{out: sell.1}", "3:11 there is no slot `sell.1` in this machine; did you mean `cell.1`?"),
        ("{in: cell.1, standing: fine}", "3:28 `fine` is not one of `unknown`, `suspect`"),
        (
            "{gate: cells-sen}",
            "3:12 there is no gate `cells-sen` in this machine; did you mean `cells-seen`?",
        ),
        ("{reading: cell}", "3:5 the `value` of `cell` is missing here"),
        ("{reading: cell, value: 1.31}", '3:28 a reading needs its unit: write `value: "1.31 V"`'),
        ("{reading: cell, value: 4.7 khm}", "3:28 “khm” is no unit known here; did you mean “kohm”?"),
        ("{reading: cell, value: -5 ohm}", "3:28 -5 Ω cannot be"),
        ("{withdraw: 1}", "3:16 there is no earlier fact to withdraw"),
        ("{withdraw: soon}", "3:16 a whole number is due here, not `soon`"),
        ("{wanted: glows}", "3:14 a list of functions is due here"),
        ("{wanted: [glow]}", "3:15 there is no function `glow` in this machine; did you mean `glows`?"),
    ],
)
def test_each_mistake_is_said_with_its_place(
    tmp_path: Path, lantern: MachineModel, fact: str, said: str
) -> None:
    (found,) = mistakes(tmp_path, f"format: 1\nfacts:\n  - {fact}\n", lantern)
    assert found.startswith(said)


def test_all_mistakes_of_a_file_are_found_at_once(tmp_path: Path, lantern: MachineModel) -> None:
    text = "intak: [a]\nintake: [kept-dry, kept-damp]\nfacts:\n  - {open: led}\n  - {check: how-far}\n"
    assert [line.split(" ", 1)[0] for line in mistakes(tmp_path, text, lantern)] == [
        "1:1",
        "1:1",
        "2:10",
        "4:12",
        "5:5",
    ]


@pytest.mark.parametrize(
    "text", ["", "- a\n", "format: 1\nfacts: none\n", "format: 2\nfacts: []\n", "a: [\n"]
)
def test_a_file_that_is_no_findings_file_says_so(tmp_path: Path, text: str) -> None:
    assert mistakes(tmp_path, text)


def test_a_missing_file_is_a_mistake_and_not_a_crash(tmp_path: Path) -> None:
    with pytest.raises(FindingsError, match="no such file"):
        read_findings(tmp_path / "none.yaml")


def test_a_worked_case_gives_the_same_facts_as_a_findings_file(write_pack) -> None:
    pack = load_pack(write_pack())
    found = worked_facts(pack.worked["first"], pack.machine("mill-lantern"))
    assert found.intake == {"kept-damp": False}
    assert [draft.body for draft in found.drafts] == [
        Complained("It does not light", "dark"),
        Finding("how-far", "power"),
        FixDone("renew-cell", "cell", "cell/2"),
    ]


GRID = """\
    grid:
      rows: [["1", "2", "3"], [Q, W, E]]
      cell: key
      extents:
        - {extent: all, of: power, seen: None}
        - {extent: line, of: glows, seen: A line}
        - {extent: one, of: warm, seen: One}
"""


@pytest.fixture
def with_grid(write_pack) -> MachineModel:
    light = "subsystems/light.yaml"
    folder = write_pack(
        {
            light: (
                "    rungs:\n      - {of: power, seen: Nothing at the socket}\n"
                "      - {of: glows, seen: Socket live and no light}\n",
                GRID.replace("{extent: one, of: warm, seen: One}", "{extent: one, of: crust, seen: One}"),
            ),
            "families/lantern.yaml": ("outcome: glows", "outcome: line"),
        }
    )
    return load_pack(folder).machine("lantern")


def test_marked_cells_make_up_the_outcome(tmp_path: Path, with_grid: MachineModel) -> None:
    text = """\
format: 1
facts:
  - {check: how-far, cells: [W, Q, E]}
  - {check: how-far, cells: [2], sure: no}
  - {check: how-far, outcome: line}
  - {check: how-far, outcome: glows}
  - {check: how-far, outcome: good}
"""
    bodies = [draft.body for draft in read(tmp_path, text, with_grid).drafts]
    assert bodies == [
        Finding("how-far", "line", cells=("Q", "W", "E")),
        Finding("how-far", "one", sure=False, cells=("2",)),
        Finding("how-far", "line"),
        Finding("how-far", "line"),
        Finding("how-far", "good"),
    ]


def test_cells_that_cannot_be_marked_are_reported_each_where_it_stands(
    tmp_path: Path, with_grid: MachineModel
) -> None:
    text = """\
format: 1
facts:
  - {check: how-far, cells: [W, X]}
  - {check: how-far, cells: []}
  - {check: how-far, outcome: all, cells: [W]}
  - {check: measure-power, outcome: bad, cells: [W]}
"""
    assert mistakes(tmp_path, text, with_grid) == [
        "3:33 there is no cell `X` in this machine",
        "4:5 a list of bad cells is due here, such as `[Q, W]`; none bad is `outcome: good`",
        "5:31 these cells make up `one`, not `all`; leave `outcome` out",
        "6:49 `measure-power` is no grid; it has no cells",
    ]
