"""Packs are looked for in the program and in the workshop, and none silently wins over another."""

from __future__ import annotations

from pathlib import Path

from powergood.packs import builtin_pack, check_pack, find_packs
from powergood.packs.locate import BUILTIN, pack_folders


def test_the_pack_that_ships_has_no_mistake() -> None:
    assert [str(issue) for issue in check_pack(BUILTIN) if issue.severity == "error"] == []


def test_every_machine_of_the_pack_that_ships_composes() -> None:
    pack = builtin_pack()
    assert pack.families
    assert pack.sheets
    for name in (*pack.families, *pack.sheets):
        assert pack.machine(name).digest


def test_without_a_workshop_there_is_the_pack_that_ships(tmp_path: Path) -> None:
    assert pack_folders() == (BUILTIN,)
    assert pack_folders(tmp_path) == (BUILTIN,)
    assert [pack.id for pack in find_packs().packs] == [builtin_pack().id]


def test_a_pack_of_the_workshop_is_found_too(write_pack, tmp_path: Path) -> None:
    write_pack(name="shop/packs/lanterns")
    (tmp_path / "shop" / "packs" / "note.txt").write_text("not a pack")
    found = find_packs(tmp_path / "shop")
    assert [pack.id for pack in found.packs] == [builtin_pack().id, "lanterns"]
    assert found.issues == ()


def test_a_pack_with_a_mistake_is_left_out_and_said(write_pack, tmp_path: Path) -> None:
    write_pack({"sources.yaml": "a: ["}, name="shop/packs/lanterns")
    found = find_packs(tmp_path / "shop")
    assert [pack.id for pack in found.packs] == [builtin_pack().id]
    assert [issue.check for issue in found.issues] == ["yaml"]


def test_two_packs_of_one_id_are_an_issue_and_the_later_is_left_out(write_pack, tmp_path: Path) -> None:
    write_pack({"pack.yaml": ("id: lanterns", f"id: {builtin_pack().id}")}, name="shop/packs/mine")
    found = find_packs(tmp_path / "shop")
    assert [pack.path for pack in found.packs] == [BUILTIN]
    assert [issue.check for issue in found.issues] == ["pack-clash"]


def test_two_packs_that_name_one_sheet_are_an_issue(write_pack, tmp_path: Path) -> None:
    write_pack(name="shop/packs/a")
    write_pack({"pack.yaml": ("id: lanterns", "id: lamps")}, name="shop/packs/b")
    found = find_packs(tmp_path / "shop")
    assert [pack.id for pack in found.packs] == [builtin_pack().id, "lanterns"]
    assert [issue.message.split("`")[1] for issue in found.issues] == ["lantern", "mill-lantern"]
