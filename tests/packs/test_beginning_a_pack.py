"""A new pack is small, whole and readable at once, and never takes the place of anything."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from powergood.diagnosis import compile_model, parting
from powergood.errors import BadInput
from powergood.packs import check_pack, load_pack
from powergood.packs.begin import begin_pack


def test_a_new_pack_has_neither_mistake_nor_warning_and_a_family_of_its_own_id(tmp_path: Path) -> None:
    files = begin_pack(tmp_path / "my-modems")
    assert check_pack(tmp_path / "my-modems") == ()
    pack = load_pack(tmp_path / "my-modems")
    assert (pack.id, pack.title, list(pack.families)) == ("my-modems", "My modems", ["my-modems"])
    assert {file.relative_to(tmp_path / "my-modems").parts[0] for file in files} == {
        "pack.yaml", "sources.yaml", "cautions.yaml", "subsystems", "families",
    }  # fmt: skip


def test_it_has_two_faults_that_its_checks_part_a_ladder_a_yes_or_no_and_a_way_to_mend_each(
    tmp_path: Path,
) -> None:
    begin_pack(tmp_path / "new")
    machine = load_pack(tmp_path / "new").machine("new")
    assert len(machine.faults) == 2
    assert sorted(bool(check.rungs) for check in machine.checks) == [False, True]
    found = parting(compile_model(machine))
    assert (found.pairs, found.alike, found.copies) == (1, (), ())


def test_every_file_says_in_comments_what_to_change_and_is_short(tmp_path: Path) -> None:
    for file in begin_pack(tmp_path / "new"):
        lines = file.read_text(encoding="utf-8").splitlines()
        assert lines[0].startswith("# ")
        assert len(lines) <= 110
        assert max(map(len, lines)) <= 115
        assert "PACK-" not in file.read_text(encoding="utf-8")


def test_every_reference_that_it_names_as_a_source_is_in_its_list_or_judgement(tmp_path: Path) -> None:
    begin_pack(tmp_path / "new")
    machine = load_pack(tmp_path / "new").machine("new")
    assert {fault.frequency.source for fault in machine.faults if fault.frequency} == {"judgement"}


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(title=st.text(max_size=40))
def test_any_title_is_kept_as_it_was_typed_but_for_spaces_and_what_cannot_be_seen(
    tmp_path_factory: pytest.TempPathFactory, title: str
) -> None:
    path = tmp_path_factory.mktemp("titles") / "new"
    begin_pack(path, title=title)
    assert load_pack(path).title == ("".join(filter(str.isprintable, " ".join(title.split()))) or "New")


def test_an_id_can_be_given_and_is_else_made_from_the_folders_name(tmp_path: Path) -> None:
    begin_pack(tmp_path / "Übungs Kasten 2")
    assert load_pack(tmp_path / "Übungs Kasten 2").id == "ubungs-kasten-2"
    begin_pack(tmp_path / "x", id="printers")
    assert load_pack(tmp_path / "x").id == "printers"


def test_an_empty_folder_that_is_there_is_used(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert begin_pack(tmp_path / "empty")


@pytest.mark.parametrize("there", ["folder", "file"])
def test_nothing_that_is_there_is_written_over(tmp_path: Path, there: str) -> None:
    place = tmp_path / "there"
    if there == "folder":
        place.mkdir()
        (place / "pack.yaml").write_text("mine", encoding="utf-8")
    else:
        place.write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="exists already"):
        begin_pack(place)
    kept = place / "pack.yaml" if there == "folder" else place
    assert kept.read_text(encoding="utf-8") == "mine"
    assert list(tmp_path.rglob("*.yaml")) == ([kept] if there == "folder" else [])


@pytest.mark.parametrize("bad", ["Printers", "a--b", "-a", "a b", "../up", "a" * 61])
def test_what_cannot_be_an_id_is_refused_before_anything_is_written(tmp_path: Path, bad: str) -> None:
    with pytest.raises(BadInput, match="cannot be an id"):
        begin_pack(tmp_path / "new", id=bad)
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("taken", ["core", "pata-laptop", "brenlund-n480"])
def test_an_id_of_the_pack_that_ships_is_refused(tmp_path: Path, taken: str) -> None:
    with pytest.raises(BadInput, match="give another"):
        begin_pack(tmp_path / taken)


def test_a_folder_without_letters_asks_for_an_id(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="--id"):
        begin_pack(tmp_path / "___")
