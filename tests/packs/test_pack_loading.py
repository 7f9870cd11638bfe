"""A sound pack loads; an unsound one says everything that is wrong, and where."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from powergood.errors import PackError, UnknownThing
from powergood.packs import check_pack, load_pack
from powergood.packs.schema import schema_text
from powergood.packs.shape import adapter

SCHEMA_FILE = Path(__file__).parents[2] / "docs" / "reference" / "pack-schema.json"


def test_a_sound_pack_loads_whole(write_pack) -> None:
    folder = write_pack()
    assert check_pack(folder) == ()
    pack = load_pack(folder)
    assert (pack.id, pack.version, pack.path) == ("lanterns", "1.0.0", folder)
    assert list(pack.families) == ["lantern"]
    assert sorted(pack.subsystems) == ["light", "supply"]
    assert pack.sheets["mill-lantern"].year == 1985
    assert pack.worked["first"].truth == ("cell.flat",)
    claim = pack.subsystems["supply"].faults[0].breaks["power"]
    assert (claim.value, claim.source, claim.weight) == (0.95, "S1", 0.0)


def test_a_machine_is_made_of_a_family_or_a_sheet(write_pack) -> None:
    pack = load_pack(write_pack())
    assert {part.id: part.copies for part in pack.machine("lantern").parts}["cell"] == 2
    sheet = pack.machine("mill-lantern")
    assert {part.id: part.copies for part in sheet.parts}["cell"] == 1
    assert (sheet.family, sheet.sheet, sheet.id) == ("lantern", "mill-lantern", "mill-lantern")
    with pytest.raises(UnknownThing, match="did you mean `lantern`"):
        pack.machine("lanterne")


def test_all_planted_mistakes_of_all_files_are_found_at_their_places(write_pack) -> None:
    supply = """\
format: 1
id: supply
title: Cells and switch
area: power
parts:
  - {id: cell, title: Cell, area: power, opening: lidd}
  - {id: switch, title: Switch, area: power}
  - {id: relay, title: 4116, area: power}
functions:
  - {id: power, title: Power, area: power, of: [cell, switch]}
faults:
  - id: cell.flat
    title: Cell flat
    frequency: often
    breaks: {power: 0.95}
  - id: switch.worn
    title: Switch worn
    frequency: 2 (S9)
    breaks: {power: 95 (judgement)}
    title: Switch
  - id: switch.lost
    title: Switch lost
    frequency: 2 (judgement)
checks:
  - id: measure-power
    ask: Measure
    of: power
    power: live
    minutes: 2 (judgement)
    false_alarm: 0.01 (judgement)
fixes:
  - id: renew-cell
    do: Fit a new cell
    kind: replace
    replaces: cell
    minuets: 2 (judgement)
  - {id: clean-switch, do: Clean, kind: clean, cures: {switch.worn: 0.8 (judgement)}, minutes: 5 (judgement)}
  - {id: press-switch, do: Press, kind: clean, cures: {}, minutes: 5 (judgement)}
"""
    folder = write_pack(
        {
            "subsystems/supply.yaml": supply,
            "cautions.yaml": ("danger: true", "danger: true\n    sauce: none"),
            "families/lantern.yaml": ("outcome: glows", "outcome: glow"),
            "sheets/mill-lantern.yaml": ("cell: 1", "sell: 1"),
        }
    )
    found = {
        (
            issue.location.file.removeprefix(f"{folder}/"),
            issue.location.line,
            issue.location.column,
            issue.check,
        )
        for issue in check_pack(folder)
        if issue.severity == "error"
    }
    assert found == {
        ("cautions.yaml", 7, 5, "shape"),
        ("families/lantern.yaml", 31, 42, "known-outcome"),
        ("families/lantern.yaml", 38, 58, "known-id"),
        ("sheets/mill-lantern.yaml", 6, 10, "known-id"),
        ("subsystems/supply.yaml", 6, 51, "known-id"),
        ("subsystems/supply.yaml", 8, 24, "shape"),
        ("subsystems/supply.yaml", 14, 16, "claim"),
        ("subsystems/supply.yaml", 15, 21, "claim"),
        ("subsystems/supply.yaml", 18, 16, "known-source"),
        ("subsystems/supply.yaml", 19, 21, "chance-range"),
        ("subsystems/supply.yaml", 20, 5, "duplicate-key"),
        ("subsystems/supply.yaml", 28, 12, "shape"),
        ("subsystems/supply.yaml", 32, 5, "shape"),
        ("subsystems/supply.yaml", 36, 5, "shape"),
        ("subsystems/supply.yaml", 38, 5, "fix-does"),
    }


def test_a_mistake_is_shown_with_its_line_and_a_caret(write_pack) -> None:
    folder = write_pack({"subsystems/light.yaml": ("needs: [power]", "needs: [pwer]")})
    with pytest.raises(PackError) as caught:
        load_pack(folder)
    file = folder / "subsystems" / "light.yaml"
    assert str(caught.value) == (
        f"the pack {folder} has 1 mistake; mend it and load the pack again\n"
        f"{file}:9:52: there is no function `pwer`; did you mean `power`?\n"
        "      - {id: glows, title: Glows, area: light, needs: [pwer], of: [lamp], wanted: true}\n"
        f"    {' ' * 51}^"
    )
    assert caught.value.exit_code == 2


def test_one_mistake_does_not_bring_others_with_it(write_pack) -> None:
    """What cannot be read is neither missed by name nor held against what rests on it."""
    folder = write_pack({"subsystems/supply.yaml": ("of: crust", "off: crust")})
    assert [issue.check for issue in check_pack(folder)] == ["shape"]
    folder = write_pack(
        {"subsystems/supply.yaml": ("{id: crust, title: White crust", "{id: crust, titel: x")}
    )
    assert [issue.check for issue in check_pack(folder)] == ["shape", "shape"]
    folder = write_pack({"subsystems/supply.yaml": "a: [1\n"})
    assert [issue.check for issue in check_pack(folder)] == ["yaml"]
    folder = write_pack({"sources.yaml": "a: [1\n"})
    assert [issue.check for issue in check_pack(folder)] == ["yaml"]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("0.95 (S1)", "0.95", "a number without source: write `0.95 (judgement)` or name a source"),
        ("0.95 (S1)", '"0.95"', "a number without source"),
        ("0.95 (S1)", "95 %", "`0.95 (judgement)`"),
        ("0.95 (S1)", "0.95 (S1, weight 8)", "put it in quotes"),
        ("0.95 (S1)", '"0.95 (S1, S1)"', "one source"),
        ("0.95 (S1)", "mostly", "is not a number with its source"),
        ("0.95 (S1)", "yes", "is not a number with its source"),
        ("0.95 (S1)", "true", "a number with its source is due here"),
        ("0.95 (S1)", "[1]", "a number with its source is due here"),
        ("0.95 (S1)", "{value: high, source: S1}", "a number is due here, not the text `high`"),
        ("0.95 (S1)", "0.95 (S2)", "there is no source `S2`; or write `judgement`"),
        ("copies: 2", "copies: two", "a whole number is due here, not the text `two`"),
        ("title: Cell,", "title: 4116,", "text is due here, not the number 4116: put it in quotes"),
        ("title: Cell,", "title: true,", "text is due here, not true"),
        ("title: Cell,", "title: ~,", "text is due here, but nothing is written"),
        ("of: [cell, switch]", "of: cell", "a list is due here, not the text `cell`: write `[cell]`"),
        ("breaks: {power: 0.95 (S1)}", "breaks: [power]", "`name: value` fields is due here, not a list"),
        ("power: off", "power: of", "`of` is not one of `off`, `on`, `start`; did you mean `off`?"),
        ("    of: crust\n", "    off: crust\n", "there is no field `off` here; did you mean `of`?"),
        ("    minutes: 1 (judgement)\n", "", "`minutes` is missing here"),
        ("  - id: cell.flat\n", "  - 5\n  - id: cell.flat\n", "fields is due here, not the number 5"),
        ("format: 1", "format: 2", "reads format 1: update the program"),
    ],
)
def test_each_mistake_of_shape_is_said_in_plain_words(write_pack, old: str, new: str, says: str) -> None:
    issues = check_pack(write_pack({"subsystems/supply.yaml": (old, new)}))
    assert says in " | ".join(issue.message for issue in issues)
    assert all(issue.location.line for issue in issues)


def test_a_claim_may_carry_its_weight(write_pack) -> None:
    pack = load_pack(write_pack({"subsystems/supply.yaml": ("0.95 (S1)", '"0.95 (S1, weight 8)"')}))
    assert pack.subsystems["supply"].faults[0].breaks["power"].weight == 8.0


def test_text_that_looks_like_a_claim_stays_text(write_pack) -> None:
    pack = load_pack(write_pack({"subsystems/supply.yaml": ("title: Cell flat", "title: 5 (judgement)")}))
    assert pack.subsystems["supply"].faults[0].title == "5 (judgement)"


def test_a_folder_that_is_no_pack_says_so(tmp_path: Path) -> None:
    assert "does not exist" in check_pack(tmp_path / "none")[0].message
    (tmp_path / "file").write_text("x")
    assert "is not a folder" in check_pack(tmp_path / "file")[0].message
    (tmp_path / "empty").mkdir()
    assert "there is no pack.yaml" in check_pack(tmp_path / "empty")[0].message


def test_files_without_a_place_in_a_pack_are_named_and_not_read(write_pack) -> None:
    folder = write_pack({"subsytems/x.yaml": "a: [", "families/x.yml": "a: [", "source.yaml": "a: ["})
    issues = check_pack(folder)
    assert {issue.severity for issue in issues} == {"warning"}
    assert [issue.location.file.removeprefix(f"{folder}/") for issue in issues] == [
        "families/x.yml",
        "source.yaml",
        "subsytems/x.yaml",
    ]
    assert "did you mean `subsystems`?" in issues[2].message


@pytest.mark.skipif(os.geteuid() == 0, reason="the administrator may read everything")
def test_a_file_that_may_not_be_read_is_an_issue(write_pack) -> None:
    folder = write_pack()
    (folder / "sources.yaml").chmod(0)
    assert "permission denied" in check_pack(folder)[0].message


def test_two_files_with_one_id_are_an_issue(write_pack) -> None:
    folder = write_pack({"sheets/other.yaml": "format: 1\nid: lantern\ntitle: Other\nfamily: lantern\n"})
    (issue,) = check_pack(folder)
    assert issue.check == "one-id"
    assert issue.location.line == 2


def test_a_subsystem_no_family_uses_is_only_a_warning(write_pack) -> None:
    folder = write_pack({"subsystems/spare.yaml": "format: 1\nid: spare\ntitle: Spare\narea: power\n"})
    assert [(issue.check, issue.severity) for issue in check_pack(folder)] == [("subsystem-used", "warning")]
    assert load_pack(folder).subsystems["spare"].title == "Spare"


def test_the_digest_of_a_pack_ignores_comments_and_order_but_not_meaning(write_pack) -> None:
    first = load_pack(write_pack())
    reordered = write_pack(
        {
            "subsystems/supply.yaml": (
                "id: supply\ntitle: Cells and switch\n",
                "# said otherwise\ntitle: Cells and switch\nid: supply\n",
            ),
            "subsystems/light.yaml": (
                "  - {id: lamp, title: Lamp, area: light}\n  - {id: shade, title: Shade, area: light}\n",
                "  - {area: light, id: shade, title: Shade}\n  - {area: light, id: lamp, title: Lamp}\n",
            ),
        },
        name="reordered",
    )
    assert load_pack(reordered).digest == first.digest
    changed = write_pack({"subsystems/supply.yaml": ("0.95", "0.94")}, name="changed")
    assert load_pack(changed).digest != first.digest


def test_the_order_of_rungs_is_part_of_the_meaning(write_pack) -> None:
    rungs = (
        "      - {of: power, seen: Nothing at the socket}\n",
        "      - {of: glows, seen: Socket live and no light}\n",
    )
    turned = write_pack({"subsystems/light.yaml": ("".join(rungs), "".join(reversed(rungs)))}, name="turned")
    assert load_pack(turned).digest != load_pack(write_pack()).digest


def without_meanings(schema: dict[str, dict[str, dict[str, dict[str, object]]]]) -> object:
    for definition in schema["$defs"].values():
        for field in definition.get("properties", {}).values():
            field.pop("description", None)
    return schema


def test_the_checked_in_schema_is_the_one_the_classes_make_and_says_what_each_field_means() -> None:
    checked_in = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
    for name, definition in checked_in["$defs"].items():
        for field, described in definition.get("properties", {}).items():
            assert described.get("description"), f"{name}.{field}: python3 do.py docs"
    assert without_meanings(checked_in) == without_meanings(json.loads(schema_text())), "python3 do.py docs"


def test_the_schema_forbids_unknown_fields_and_takes_claims_as_text() -> None:
    schema = json.loads(schema_text())
    assert schema["$defs"]["Fault"]["additionalProperties"] is False
    assert schema["$defs"]["Claim"]["anyOf"][0]["type"] == "string"
    assert schema["files"]["families/*.yaml"] == "#/$defs/Family"


def test_knowledge_itself_knows_no_validator() -> None:
    from powergood.knowledge.model import Fault

    adapter(Fault)
    assert not hasattr(Fault, "__pydantic_config__")
