"""Read a YAML file into plain data that remembers, for each value and key, where it stood.

Anchors, aliases, tags and a second document are refused, a key given twice is reported, and a file that
cannot be read or decoded is an `Issue` like any other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, TypeAlias

import yaml

from powergood.errors import Issue, Location
from powergood.packs.scalars import core_value

Trail: TypeAlias = tuple[str | int, ...]
"""The way from the top of a file to a value: keys of mappings and places in lists."""

Mark: TypeAlias = tuple[int, int]
"""Line and column, both from 1."""

LARGEST_FILE = 1_000_000
"""Bytes; a file larger than this is refused (judgement: the largest so far is under 100 kB)."""

DEEPEST = 32
"""Levels of nesting; no pack file needs more than eight. The parser itself stops at a thousand."""

_LONGEST_EXCERPT = 160

_DEFAULT_TAGS = frozenset({"tag:yaml.org,2002:str", "tag:yaml.org,2002:seq", "tag:yaml.org,2002:map"})


@dataclass(frozen=True, slots=True)
class Document:
    """The plain data of one file, with the mark of every value and of every key."""

    file: str
    data: object
    lines: tuple[str, ...] = ()
    values: Mapping[Trail, Mark] = field(default_factory=dict)
    keys: Mapping[Trail, Mark] = field(default_factory=dict)

    def mark(self, trail: Trail, *, on_key: bool = False) -> Mark:
        """Return where the value (or its key) stands; of the nearest thing around it when it has no place."""
        marks = self.keys if on_key and trail in self.keys else self.values
        while trail not in marks and trail:
            trail, marks = trail[:-1], self.values
        return marks.get(trail, (0, 0))

    def issue(
        self, check: str, message: str, trail: Trail, *, on_key: bool = False, warning: bool = False
    ) -> Issue:
        """Return an `Issue` that points at the value (or its key) in this file."""
        line, column = self.mark(trail, on_key=on_key)
        excerpt = _excerpt(self.lines, line, column)
        severity: Literal["error", "warning"] = "warning" if warning else "error"
        return Issue(check, severity, message, Location(self.file, line, column), excerpt)


def read_document(path: Path, name: str = "") -> tuple[Document | None, tuple[Issue, ...]]:
    """Return the data of a file and every mistake in its YAML; no data when it cannot be read at all."""
    shown = name or str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except OSError as error:
        return None, (_whole(shown, f"cannot be read: {(error.strerror or str(error)).lower()}"),)
    if len(raw) > LARGEST_FILE:
        return None, (_whole(shown, f"is too large: at most {LARGEST_FILE:,} bytes are read"),)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        message = f"is not UTF-8 text (byte 0x{raw[error.start]:02x}); save it as UTF-8"
        return None, (Issue("readable", "error", message, Location(shown, line, column)),)
    return read_text(text, shown)


def read_text(text: str, name: str) -> tuple[Document | None, tuple[Issue, ...]]:
    """Return the data of YAML text and every mistake in it, as `read_document` does for a file."""
    lines = tuple(text.splitlines())
    refused = tuple(_shared(text, lines, name))
    if refused:
        return None, refused
    try:
        node = _compose(text)
    except yaml.YAMLError as error:
        return None, (_syntax(error, lines, name),)
    if node is None:
        return None, (_whole(name, "is empty"),)
    walk = _Walk(name, lines)
    data = walk.value(node, ())
    return Document(name, data, lines, walk.values, walk.keys), tuple(walk.issues)


def _compose(text: str) -> yaml.Node | None:
    loader = yaml.CBaseLoader(text)
    try:
        node: yaml.Node | None = loader.get_single_node()
        return node
    finally:
        loader.dispose()


def _shared(text: str, lines: tuple[str, ...], name: str) -> Iterator[Issue]:
    """Report anchors and aliases: a few lines of them can stand for gigabytes."""
    if "&" not in text and "*" not in text:
        return
    try:
        for token in yaml.scan(text, Loader=yaml.CBaseLoader):
            if isinstance(token, yaml.AnchorToken | yaml.AliasToken):
                kind = "an anchor (`&" if isinstance(token, yaml.AnchorToken) else "an alias (`*"
                message = f"{kind}{token.value}`) is not allowed here: write the value out"
                yield _marked("plain-yaml", message, token.start_mark, lines, name)
    except yaml.YAMLError:
        return


def _marked(check: str, message: str, mark: yaml.Mark, lines: tuple[str, ...], name: str) -> Issue:
    line, column = mark.line + 1, mark.column + 1
    return Issue(check, "error", message, Location(name, line, column), _excerpt(lines, line, column))


def _excerpt(lines: tuple[str, ...], line: int, column: int) -> str:
    """Return the line to show under a mistake; nothing when the place lies past what fits a screen."""
    if not 0 < line <= len(lines) or column > _LONGEST_EXCERPT:
        return ""
    text = lines[line - 1].replace("\t", " ")
    return text if len(text) <= _LONGEST_EXCERPT else text[:_LONGEST_EXCERPT] + "…"


def _syntax(error: yaml.YAMLError, lines: tuple[str, ...], name: str) -> Issue:
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        said = error.problem or "cannot be understood"
        if error.context and error.context_mark is not None:
            said = f"{said} ({error.context} begun on line {error.context_mark.line + 1})"
        return _marked("yaml", f"this is not YAML here: {said}", error.problem_mark, lines, name)
    return _whole(name, f"is not YAML: {error}", check="yaml")


def _whole(name: str, message: str, check: str = "readable") -> Issue:
    return Issue(check, "error", f"the file {message}", Location(name))


class _Walk:
    """Turn nodes into plain data, noting marks and mistakes on the way."""

    def __init__(self, name: str, lines: tuple[str, ...]) -> None:
        self.name, self.lines = name, lines
        self.values: dict[Trail, Mark] = {}
        self.keys: dict[Trail, Mark] = {}
        self.issues: list[Issue] = []

    def value(self, node: yaml.Node, trail: Trail) -> object:
        """Return the data of a node that stands at `trail`."""
        self.values[trail] = (node.start_mark.line + 1, node.start_mark.column + 1)
        if len(trail) > DEEPEST:
            self._report(f"this is nested more than {DEEPEST} levels deep", node)
            return None
        if node.tag not in _DEFAULT_TAGS:
            self._report(f"the tag `{node.tag}` is not allowed here: leave it out", node)
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, trail)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*trail, place)) for place, item in enumerate(node.value)]
        assert isinstance(node, yaml.ScalarNode)
        return node.value if node.style in ("'", '"', "|", ">") else core_value(node.value)

    def _mapping(self, node: yaml.MappingNode, trail: Trail) -> dict[str, object]:
        found: dict[str, object] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self._report("a key must be a plain word", key_node)
                continue
            key = str(key_node.value)
            if key in found:
                first = self.keys[(*trail, key)][0]
                self._report(f"`{key}` is given twice (first on line {first})", key_node, "duplicate-key")
                continue
            self.keys[(*trail, key)] = (key_node.start_mark.line + 1, key_node.start_mark.column + 1)
            found[key] = self.value(value_node, (*trail, key))
        return found

    def _report(self, message: str, node: yaml.Node, check: str = "plain-yaml") -> None:
        self.issues.append(_marked(check, message, node.start_mark, self.lines, self.name))
