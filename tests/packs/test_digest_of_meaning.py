"""The digest of a pack's files: the same for one meaning however written, another for any other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
import yaml
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from powergood.knowledge.digest import digest
from powergood.packs import load_pack
from powergood.packs.folder import kind_of, pack_files, read_entry
from powergood.packs.marked import Document, Trail, read_document, read_text

SAVED = Path(__file__).parent / "saved" / "v1"
NAMES = sorted(file.relative_to(SAVED).as_posix() for file in pack_files(SAVED))
WITHOUT_ORDER = {
    "needs", "of", "open", "closed", "fitted", "out", "instead", "cautions", "behind", "subsystems", "holds",
    "also", "findings", "truth",
}  # fmt: skip
"""Lists of names of which none comes first; in any other list without ids the order says something."""


def data_of(name: str) -> object:
    document, issues = read_document(SAVED / name)
    assert document is not None
    assert not issues
    return document.data


def digest_of(name: str, document: Document) -> str:
    """Return the digest of what a file holds; empty when its shape has mistakes."""
    kind = kind_of(Path(name))
    assert isinstance(kind, type)
    entry, issues = read_entry(document, kind)
    return "" if issues else digest(entry.value)


DIGESTS = {name: digest_of(name, Document(name, data_of(name))) for name in NAMES}


def shuffled(value: object, random: Random, key: str = "") -> object:
    """Return the same data with every mapping, and every list whose order says nothing, in another order."""
    if isinstance(value, dict):
        items = [(name, shuffled(item, random, name)) for name, item in value.items()]
        random.shuffle(items)
        return dict(items)
    if isinstance(value, list):
        found = [shuffled(item, random) for item in value]
        if key in WITHOUT_ORDER or (found and all(isinstance(item, dict) and "id" in item for item in found)):
            random.shuffle(found)
        return found
    return value


def commented(text: str, random: Random) -> str:
    """Return YAML text of one value to a line with comments and empty lines strewn in."""
    lines = []
    for line in text.splitlines():
        if random.random() < 0.3:
            lines.append(random.choice(["", "# a remark: {of: no, importance: 3}", "      # further in"]))
        lines.append(line + random.choice(["", "  # beside it"]))
    return "\n".join(lines) + "\n"


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(NAMES), st.randoms(use_true_random=False))
def test_another_order_and_more_comments_leave_the_digest_as_it_is(name: str, random: Random) -> None:
    text = yaml.safe_dump(shuffled(data_of(name), random), sort_keys=False, width=10_000, allow_unicode=True)
    document, issues = read_text(commented(text, random), name)
    assert not issues
    assert document is not None
    assert digest_of(name, document) == DIGESTS[name]


def leaves(value: object, trail: Trail = ()) -> Iterator[tuple[Trail, object]]:
    if isinstance(value, dict):
        for name, item in value.items():
            yield from leaves(item, (*trail, name))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from leaves(item, (*trail, place))
    elif trail != ("format",):
        yield trail, value


def otherwise(value: object) -> object:
    """Return another value of the same sort."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 1
    text = str(value)
    if text in ("yes", "no"):
        return {"yes": "no", "no": "yes"}[text]
    claim = re.match(r"[0-9.]+(?= \()", text)
    return f"{float(claim[0]) + 0.001:g}{text[claim.end() :]}" if claim else f"{text} too"


def with_value(value: object, trail: Trail, new: object) -> object:
    if not trail:
        return new
    step, *rest = trail
    items = dict(value) if isinstance(value, dict) else dict(enumerate(value))  # type: ignore[arg-type]
    items[step] = with_value(items[step], tuple(rest), new)
    return items if isinstance(value, dict) else list(items.values())


EVERY = [(name, trail) for name in NAMES for trail, _ in leaves(data_of(name))]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(EVERY))
def test_any_other_value_is_another_digest(at: tuple[str, Trail]) -> None:
    name, trail = at
    data = data_of(name)
    value = next(value for found, value in leaves(data) if found == trail)
    changed = Document(name, with_value(data, trail, otherwise(value)))
    assert digest_of(name, changed) != DIGESTS[name]


def test_most_other_values_are_sound_so_that_the_test_above_says_something() -> None:
    sound = [
        bool(digest_of(name, Document(name, with_value(data_of(name), trail, otherwise(value)))))
        for name in NAMES
        for trail, value in leaves(data_of(name))
    ]
    assert sum(sound) > 0.9 * len(sound)


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(EVERY))
def test_leaving_out_a_field_or_an_item_is_another_digest(at: tuple[str, Trail]) -> None:
    name, trail = at
    data = data_of(name)
    around: object = data
    for step in trail[:-1]:
        around = around[step]  # type: ignore[index]
    kept = (
        {key: item for key, item in around.items() if key != trail[-1]}
        if isinstance(around, dict)
        else [item for place, item in enumerate(around) if place != trail[-1]]  # type: ignore[arg-type]
    )
    default = isinstance(around, dict) and around[trail[-1]] in (False, "excerpt", "common practice")
    assume(not default)
    assert digest_of(name, Document(name, with_value(data, trail[:-1], kept))) != DIGESTS[name]


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("subsystems/works.yaml", "rungs"),
        ("subsystems/works.yaml", "either"),
        ("subsystems/comb.yaml", "rows"),
        ("subsystems/comb.yaml", "extents"),
        ("families/music-box.yaml", "answers"),
        ("sheets/merrin-no-4.yaml", "boot_routes"),
        ("worked/stands-when-cold.yaml", "facts"),
    ],
)
def test_where_order_says_something_another_order_is_another_digest(name: str, key: str) -> None:
    data = data_of(name)
    trail = next(
        trail[: place + 1] for trail, _ in leaves(data) for place, step in enumerate(trail) if step == key
    )
    held: object = data
    for step in trail:
        held = held[step]  # type: ignore[index]
    assert isinstance(held, list)
    turned = Document(name, with_value(data, trail, held[::-1]))
    assert digest_of(name, turned) != DIGESTS[name]


def test_the_digest_of_a_whole_pack_does_not_hang_on_the_names_of_its_files(tmp_path: Path) -> None:
    for name in NAMES:
        target = tmp_path / (name.replace("/", "/z-") if name.startswith("subsystems") else name)
        target.parent.mkdir(exist_ok=True)
        target.write_bytes((SAVED / name).read_bytes())
    assert load_pack(tmp_path).digest == load_pack(SAVED).digest


def test_a_default_that_is_written_out_means_what_leaving_it_out_means() -> None:
    document = read_text("format: 1\nid: a\ntitle: A\nversion: 1.0.0\nnote: ''\n", "pack.yaml")[0]
    bare = read_text("format: 1\nid: a\ntitle: A\nversion: 1.0.0\n", "pack.yaml")[0]
    assert document is not None
    assert bare is not None
    assert digest_of("pack.yaml", document) == digest_of("pack.yaml", bare)
