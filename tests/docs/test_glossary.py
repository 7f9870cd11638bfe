"""The glossary: one word for one thing, true to the code in both directions."""

from __future__ import annotations

import inspect
import re
from importlib import import_module
from pathlib import Path

import pytest

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "glossary.md"
NOUNS = ("knowledge.model", "record.model", "diagnosis.model")


def rows() -> list[list[str]]:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    table = [
        [cell.strip() for cell in line.strip("|").split(" | ")] for line in lines if line.startswith("| ")
    ]
    return [row for row in table if row[0] not in ("word", "---") and not row[0].startswith("---")]


def code_names() -> list[str]:
    return sorted({name for row in rows() for name in re.findall(r"`([\w.]+)`", row[2])})


def test_every_row_has_a_word_a_meaning_and_where_it_is_in_the_code() -> None:
    for row in rows():
        assert len(row) == 3, row
        assert all(row), row


def test_no_word_is_explained_twice() -> None:
    said = [word for row in rows() for word in row[0].split(", ")]
    assert [word for word in said if said.count(word) > 1] == []


@pytest.mark.parametrize("name", code_names())
def test_what_the_glossary_names_is_in_the_code(name: str) -> None:
    module, _, last = f"powergood.{name}".rpartition(".")
    assert hasattr(import_module(module), last)


@pytest.mark.parametrize("module", NOUNS)
def test_every_noun_of_the_code_is_in_the_glossary(module: str) -> None:
    made = import_module(f"powergood.{module}")
    nouns = {
        name
        for name, value in vars(made).items()
        if inspect.isclass(value) and value.__module__ == made.__name__ and not name.startswith("_")
    }
    explained = {name.rpartition(".")[2] for name in code_names()}
    assert nouns - explained == set(), "add the word to docs/reference/glossary.md"
