"""YAML as packs use it: the core schema of YAML 1.2 less its traps, with a place for every mistake."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from powergood.packs.marked import LARGEST_FILE, read_document, read_text
from powergood.packs.scalars import core_value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # YAML 1.2.2, example 10.9 and section 10.3.2 (core schema).
        ("null", None),
        ("~", None),
        ("", None),
        ("true", True),
        ("False", False),
        ("0", 0),
        ("-19", -19),
        ("0.", 0.0),
        ("-0.0", -0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        ("+.inf", float("inf")),
        ("-.Inf", float("-inf")),
        ("yes", "yes"),
        ("no", "no"),
        ("off", "off"),
        ("1:30", "1:30"),
        ("1_000", "1_000"),
        ("2001-01-01", "2001-01-01"),
        # Departures of our own: markings and codes stay text.
        ("0777", "0777"),
        ("0o7", "0o7"),
        ("0x3A", "0x3A"),
        ("4.7 khm", "4.7 khm"),
    ],
)
def test_unquoted_words_follow_the_core_schema(text: str, value: object) -> None:
    assert core_value(text) == value
    assert type(core_value(text)) is type(value)


def test_not_a_number_is_read_as_such() -> None:
    value = core_value(".nan")
    assert isinstance(value, float)
    assert value != value


def test_quoted_words_are_always_text() -> None:
    document, issues = read_text("a: '5'\nb: \"no\"\nc: |\n  true\n", "f.yaml")
    assert document is not None
    assert document.data == {"a": "5", "b": "no", "c": "true\n"}
    assert issues == ()


def test_every_value_and_key_knows_its_line_and_column() -> None:
    document, _ = read_text("top:\n  - {id: a, links: {x: 1}}\n  - id: b\n", "f.yaml")
    assert document is not None
    assert document.mark(("top", 0, "links", "x")) == (2, 24)
    assert document.mark(("top", 0, "links", "x"), on_key=True) == (2, 21)
    assert document.mark(("top", 1, "id")) == (3, 9)
    assert document.mark(("top", 1, "missing")) == (3, 5)


def test_a_key_given_twice_is_reported_where_the_second_stands() -> None:
    document, issues = read_text("a: 1\nb: 2\na: 3\n", "f.yaml")
    assert document is not None
    assert document.data == {"a": 1, "b": 2}
    assert [str(issue) for issue in issues] == [
        "f.yaml:3:1: `a` is given twice (first on line 1)\n    a: 3\n    ^"
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a: &x 1\nb: *x\n", "write the value out"),
        ("a: !!int 5\n", "the tag"),
        ("a: !py/object x\n", "the tag"),
        ("? [1, 2]\n: 3\n", "a key must be a plain word"),
        ("a: 1\n---\nb: 2\n", "another document"),
        ("a: [1,\n", "not YAML"),
        ("a: \tb\n\tc: d\n", "not YAML"),
        ("", "is empty"),
        ("# only a comment\n", "is empty"),
        ("a: \x00\n", "not YAML"),
        (("- " * 100) + "x\n", "levels deep"),
    ],
)
def test_what_packs_do_not_use_is_refused_with_a_reason(text: str, says: str) -> None:
    _, issues = read_text(text, "f.yaml")
    assert issues
    assert says in issues[0].message


@pytest.mark.parametrize(
    "bomb",
    [
        "[" * 100_000,
        "{a: " * 100_000,
        "- " * 100_000,
        "a:\n" + "".join(" " * i + "- a:\n" for i in range(900)),
    ],
)
def test_deep_nesting_is_refused_and_does_not_end_the_program(bomb: str) -> None:
    _, issues = read_text(bomb, "f.yaml")
    assert issues


def test_an_expansion_bomb_is_refused_unexpanded() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [" + ", ".join([f"*a{n - 1}"] * 9) + "]" for n in range(1, 12)]
    document, issues = read_text("\n".join(lines), "f.yaml")
    assert document is None
    assert issues[0].check == "plain-yaml"


def test_a_file_that_is_not_utf8_says_where(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes(b"a: 1\nb: caf\xe9\n")
    document, issues = read_document(path)
    assert document is None
    assert (issues[0].location.line, issues[0].location.column) == (2, 7)
    assert "UTF-8" in issues[0].message


def test_a_byte_order_mark_is_no_mistake(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\n")
    document, issues = read_document(path)
    assert document is not None
    assert document.data == {"a": 1}
    assert issues == ()


def test_a_missing_file_a_folder_and_a_huge_file_are_issues(tmp_path: Path) -> None:
    (tmp_path / "huge.yaml").write_bytes(b"#" * (LARGEST_FILE + 1))
    for name, says in [
        ("none.yaml", "no such file"),
        (".", "is a directory"),
        ("huge.yaml", "at most 1,000,000"),
    ]:
        document, issues = read_document(tmp_path / name)
        assert document is None
        assert says in issues[0].message


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no endless file")
def test_an_endless_file_is_read_no_further_than_the_limit() -> None:
    _, issues = read_document(Path("/dev/zero"))
    assert "at most 1,000,000" in issues[0].message


def test_a_very_long_line_is_not_shown_whole() -> None:
    _, issues = read_text("a: 1\na: " + "x" * 5000 + "\n", "f.yaml")
    assert len(issues[0].excerpt) < 200


plain = st.recursive(
    st.one_of(
        st.integers(-(10**9), 10**9),
        st.booleans(),
        st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=8),
    ),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abcxyz-", min_size=1, max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(plain)
def test_what_another_writer_of_yaml_wrote_is_read_back(data: object) -> None:
    document, issues = read_text(yaml.safe_dump({"top": data}, allow_unicode=True), "f.yaml")
    assert issues == ()
    assert document is not None
    assert document.data == {"top": data}
