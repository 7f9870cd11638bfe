"""The generated reference pages say what the code says, and say it of everything."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import fields
from importlib import import_module
from pathlib import Path

import click
import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
from tools import generate_docs  # noqa: E402  (a script: not installed)
from tools.reference import commands, data, names, rules, words  # noqa: E402

SHOWN = [
    *data.pack_classes(),
    *data.page_classes(),
    *data.classes_of(data.facts),
    *data.classes_of(data.diagnosis),
]


@pytest.mark.parametrize("reference", generate_docs.PAGES)
def test_a_generated_page_is_what_the_code_says(reference: str) -> None:
    assert generate_docs.on_disk(reference) == generate_docs.PAGES[reference](), (
        "write it anew: python3 do.py docs"
    )


@pytest.mark.parametrize("kind", SHOWN, ids=lambda kind: kind.__name__)
def test_every_field_of_files_facts_advice_and_pages_has_a_meaning(kind: type) -> None:
    silent = [field.name for field in fields(kind) if not words.meaning(kind, field.name)]
    assert silent == [], "say it in the class's docstring, or in tools/meanings.toml"


@pytest.mark.parametrize("kind", data.pack_classes(), ids=lambda kind: kind.__name__)
def test_every_field_of_a_pack_file_has_its_meaning_beside_it(kind: type) -> None:
    """Who writes a pack looks one field up; prose that explains all at once is not enough there."""
    vague = [field.name for field in fields(kind) if words.meaning(kind, field.name) == "said above"]
    assert vague == [], "say it in tools/meanings.toml"


@pytest.mark.parametrize("kind", SHOWN, ids=lambda kind: kind.__name__)
def test_every_class_that_is_shown_says_what_it_is(kind: type) -> None:
    assert words.prose(kind)
    assert not words.prose(kind).startswith(f"{kind.__name__}("), "a docstring that dataclasses made"


def test_every_command_and_option_says_what_it_does() -> None:
    silent = []
    for name, command in commands.every_command():
        if not command.get_short_help_str():
            silent.append(name)
        silent += [
            f"{name} {option.name}"
            for option in command.params
            if isinstance(option, click.Option) and not option.help
        ]
    assert silent == []


def test_every_rule_says_what_it_asks() -> None:
    assert [name for name, asks in rules.every_rule().items() if not asks] == []


def test_no_meaning_is_left_of_a_rule_or_class_that_is_gone() -> None:
    known = {kind.__name__ for kind in SHOWN}
    tables = set(words.meanings()) - {"any", "names", "rules", "findings"}
    assert tables <= known
    assert set(words.meanings()["rules"]) <= rules.names_in_code()


@pytest.mark.parametrize("table", sorted(set(words.meanings()) - {"any", "names", "rules", "findings"}))
def test_no_meaning_is_left_of_a_field_that_is_gone(table: str) -> None:
    kind = next(kind for kind in SHOWN if kind.__name__ == table)
    assert set(words.meanings()[table]) <= {field.name for field in fields(kind)}


def public_names() -> Iterator[tuple[str, str]]:
    for package in names.PACKAGES:
        for name in names.public(import_module(package)):
            yield package, name


@pytest.mark.parametrize(("package", "name"), list(public_names()))
def test_every_public_name_says_what_it_is(package: str, name: str) -> None:
    assert names.sentence_for(package, name, getattr(import_module(package), name))


def test_every_package_that_others_may_import_is_on_the_page_of_names() -> None:
    listed = {package.split(".")[1] for package in names.PACKAGES}
    there = {
        path.name.removesuffix(".py")
        for path in (ROOT / "src" / "powergood").iterdir()
        if not path.name.startswith(("_", "."))
    }
    assert there - listed == {"web", "cli"}, "these two are for people, not for programs"
