"""Packs of every format there was are read still, newer ones say what to do, and steps are taken in order."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest
import yaml

from powergood.errors import BadInput, Issue, PackError
from powergood.knowledge.model import ModelSheet, Subsystem
from powergood.packs import check_pack, load_pack, read_pack
from powergood.packs.formats import FORMAT, FORMATS, Formats, upgraded
from powergood.packs.marked import Document, read_text
from powergood.packs.own_sheets import sheet_of_text, with_sheet
from powergood.packs.upgrade import old_files, upgrade_into, upgrade_over

SAVED = Path(__file__).parent / "saved"
RECORDED = yaml.safe_load((SAVED / "digests.yaml").read_text(encoding="utf-8"))


def test_there_is_a_saved_pack_and_a_shared_sheet_of_every_format() -> None:
    formats = {f"v{number}" for number in range(1, FORMAT + 1)}
    assert set(RECORDED) == formats
    for name in formats:
        number = name.removeprefix("v")
        assert f"format: {number}\n" in (SAVED / name / "pack.yaml").read_text(encoding="utf-8")
        assert f"format: {number}\n" in (SAVED / f"{name}-shared-sheet.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", RECORDED)
def test_a_saved_pack_reads_without_mistake_to_the_digests_it_had(name: str) -> None:
    pack = load_pack(SAVED / name)
    assert [str(issue) for issue in check_pack(SAVED / name)] == []
    shared = sheet_of_text(
        (SAVED / f"{name}-shared-sheet.yaml").read_text(encoding="utf-8"), "shared", [pack]
    )
    assert shared.issues == ()
    assert shared.sheet is not None
    with_shared = with_sheet(pack, shared.sheet)
    machines = {*pack.families, *with_shared.sheets}
    found = {"pack": pack.digest, **{each: with_shared.machine(each).digest for each in machines}}
    assert found == RECORDED[name]


@pytest.mark.parametrize("name", RECORDED)
def test_what_is_read_from_a_saved_pack_is_of_the_newest_format(name: str) -> None:
    pack = load_pack(SAVED / name)
    assert {each.format for each in (*pack.families.values(), *pack.sheets.values())} == {FORMAT}


# ---- steps, with formats that are only told of here: nothing of them ships ------------------------------


def area_to_zone(kind: str, data: Mapping[str, object]) -> Mapping[str, object]:
    """From 1 to 2: in an imagined format 2 the area of a subsystem is called its zone."""
    if kind != "Subsystem":
        return data
    kept = {key: value for key, value in data.items() if key != "area"}
    return {**kept, "zone": data["area"]}


def zone_to_area(kind: str, data: Mapping[str, object]) -> Mapping[str, object]:
    """From 2 to 3: zones are areas again, so that what is read fits the classes there are."""
    if kind != "Subsystem":
        return data
    kept = {key: value for key, value in data.items() if key != "zone"}
    return {**kept, "area": f"{data['zone']}"}


THREE = Formats((area_to_zone, zone_to_area))


def document(text: str) -> Document:
    found, issues = read_text(text, "some.yaml")
    assert not issues
    assert found is not None
    return found


def test_steps_are_taken_one_after_the_other_from_the_format_that_is_written() -> None:
    first = upgraded(document("format: 1\nid: a\narea: power\n"), Subsystem, THREE)
    second = upgraded(document("format: 2\nid: a\nzone: power\n"), Subsystem, THREE)
    third = upgraded(document("format: 3\nid: a\narea: power\n"), Subsystem, THREE)
    assert isinstance(first, Document)
    assert isinstance(second, Document)
    assert isinstance(third, Document)
    assert first.data == second.data == third.data == {"format": 3, "id": "a", "area": "power"}


def test_a_step_sees_what_kind_of_file_it_is_and_leaves_the_others_alone() -> None:
    found = upgraded(document("format: 1\nid: a\narea: power\n"), ModelSheet, THREE)
    assert isinstance(found, Document)
    assert found.data == {"format": 3, "id": "a", "area": "power"}


def test_a_pack_of_an_older_format_reads_to_the_same_digest_through_the_steps() -> None:
    pack, issues = read_pack(SAVED / "v1", THREE)
    assert issues == ()
    assert pack is not None
    assert pack.digest == RECORDED["v1"]["pack"]
    assert pack.subsystems["comb"].format == 3


def test_a_mistake_in_an_older_file_is_still_shown_where_it_stands(write_pack) -> None:
    path = write_pack({"subsystems/light.yaml": ("frequency: 8 (judgement)", "frequency: often")})
    _, issues = read_pack(path, THREE)
    assert [(issue.location.line, issue.check) for issue in issues] == [(13, "claim")]


def test_an_older_file_that_a_step_cannot_read_is_an_issue_and_not_a_crash() -> None:
    found = upgraded(document("format: 1\nid: a\n"), Subsystem, THREE)
    assert isinstance(found, Issue)
    assert "cannot be brought to format 2" in found.message
    assert found.location.line == 1


def test_a_newer_format_says_which_are_read_and_what_to_do() -> None:
    found = upgraded(document("id: a\nformat: 4\n"), Subsystem, THREE)
    assert isinstance(found, Issue)
    assert (found.location.line, found.location.column) == (2, 9)
    assert "of format 4" in found.message
    assert "reads formats 1 to 3: update the program" in found.message


def test_a_newer_sheet_that_is_taken_in_says_the_same(write_pack) -> None:
    text = f"format: {FORMAT + 1}\nid: a\ntitle: A\nfamily: lantern\nnew-field: 3\n"
    read = sheet_of_text(text, "the file", [load_pack(write_pack())])
    assert read.sheet is None
    assert [issue.check for issue in read.issues] == ["format"]
    assert "update the program" in read.issues[0].message


@pytest.mark.parametrize("written", ["0", "-2"])
def test_a_format_that_never_was_is_said(written: str) -> None:
    found = upgraded(document(f"format: {written}\nid: a\n"), Subsystem)
    assert isinstance(found, Issue)
    assert f"write `format: {FORMATS.newest}`" in found.message


@pytest.mark.parametrize(
    ("line", "says"), [("", "`format` is missing"), ("format: soon\n", "a whole number")]
)
def test_a_format_that_is_missing_or_no_number_is_a_mistake_of_shape(
    write_pack, line: str, says: str
) -> None:
    issues = check_pack(write_pack({"pack.yaml": ("format: 1\n", line)}))
    assert says in " | ".join(issue.message for issue in issues)


# ---- writing upgraded files -----------------------------------------------------------------------------


@pytest.fixture
def old_pack(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SAVED / "v1", tmp_path / "boxes"))


def texts(folder: Path) -> dict[str, str]:
    return {
        file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8")
        for file in folder.rglob("*.yaml")
    }


def test_a_pack_of_the_newest_format_has_nothing_to_upgrade(old_pack: Path) -> None:
    assert old_files(old_pack) == ()


def test_upgrading_into_a_new_folder_leaves_the_pack_as_it_was(old_pack: Path, tmp_path: Path) -> None:
    before = texts(old_pack)
    found = upgrade_into(old_pack, tmp_path / "new", THREE)
    assert texts(old_pack) == before
    assert len(found) == len(before)
    assert all("format: 3\n" in text for text in texts(tmp_path / "new").values())
    pack, issues = read_pack(tmp_path / "new", THREE)
    assert issues == ()
    assert pack is not None
    assert pack.digest == RECORDED["v1"]["pack"]


def test_a_file_of_which_only_the_format_changes_keeps_its_text_and_comments(
    old_pack: Path, tmp_path: Path
) -> None:
    upgrade_into(old_pack, tmp_path / "new", THREE)
    before, after = texts(old_pack)["pack.yaml"], texts(tmp_path / "new")["pack.yaml"]
    assert after == before.replace("format: 1\n", "format: 3\n")


def test_of_a_file_that_is_rewritten_the_comments_at_its_head_stay_and_the_loss_of_others_is_told(
    old_pack: Path,
) -> None:
    works = old_pack / "subsystems" / "works.yaml"
    works.write_text(f"# Head.\n# Two.\n{works.read_text(encoding='utf-8')}# Inside.\n", encoding="utf-8")

    def forget_title(kind: str, data: Mapping[str, object]) -> Mapping[str, object]:
        return {**data, "title": f"{data['title']}, anew"} if kind == "Subsystem" else data

    found = {file.name: file for file in old_files(old_pack, Formats((forget_title,)))}
    assert found["subsystems/works.yaml"].text.startswith("# Head.\n# Two.\nformat: 2\n")
    assert found["subsystems/works.yaml"].comments
    assert not found["subsystems/comb.yaml"].comments


def test_upgrading_in_place_keeps_the_whole_old_pack_beside_it(old_pack: Path) -> None:
    before = texts(old_pack)
    found, backup = upgrade_over(old_pack, THREE)
    assert found
    assert backup.name == "boxes.format-1"
    assert texts(backup) == before
    assert all("format: 3\n" in text for text in texts(old_pack).values())
    assert old_files(old_pack, THREE) == ()


def test_nothing_is_written_over_what_is_there(old_pack: Path, tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    with pytest.raises(BadInput, match="exists already"):
        upgrade_into(old_pack, tmp_path / "new", THREE)
    (tmp_path / "boxes.format-1").mkdir()
    before = texts(old_pack)
    with pytest.raises(BadInput, match="exists already"):
        upgrade_over(old_pack, THREE)
    assert texts(old_pack) == before


def test_a_pack_with_mistakes_is_not_upgraded(write_pack, tmp_path: Path) -> None:
    path = write_pack({"subsystems/light.yaml": ("frequency: 8 (judgement)", "frequency: often")})
    with pytest.raises(PackError, match="mend them before"):
        upgrade_into(path, tmp_path / "new", THREE)
    assert not (tmp_path / "new").exists()
