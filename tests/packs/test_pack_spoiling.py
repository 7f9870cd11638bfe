"""However a pack is spoilt, the answer is a list of issues with places, and never a crash."""

from __future__ import annotations

import copy
import importlib.util
import tempfile
from pathlib import Path

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from powergood.packs import check_pack
from powergood.packs.marked import read_text

_SPEC = importlib.util.spec_from_file_location("lantern_pack", Path(__file__).with_name("conftest.py"))
assert _SPEC is not None
assert _SPEC.loader is not None
_CONFTEST = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_CONFTEST)
LANTERN: dict[str, str] = dict(_CONFTEST.LANTERN)

STRANGE = st.sampled_from(
    [None, True, 0, -1, 1.5, float("nan"), float("inf"), "", "x", "5 (judgement)", "a.b.c", ".", "é", [],
     [None], [[1]], {}, {"id": 5}, {"": ""}, {"id": "cell.flat", "title": None}, "good", "power", 10**30]
)  # fmt: skip


def places(data: object, trail: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    """Return the trails of all values below `data`."""
    inside: list[tuple[object, object]] = []
    if isinstance(data, dict):
        inside = list(data.items())
    elif isinstance(data, list):
        inside = list(enumerate(data))
    return [found for key, item in inside for found in [(*trail, key), *places(item, (*trail, key))]]


def spoil(data: object, draw: st.DrawFn) -> object:
    """Return the data with one value replaced, taken away or doubled."""
    spoilt = copy.deepcopy(data)
    trail = draw(st.sampled_from(places(spoilt)))
    holder: object = spoilt
    for step in trail[:-1]:
        holder = holder[step]  # type: ignore[index]
    match draw(st.sampled_from(["replace", "remove", "double"])):
        case "replace":
            holder[trail[-1]] = draw(STRANGE)  # type: ignore[index]
        case "remove":
            del holder[trail[-1]]  # type: ignore[attr-defined]
        case _ if isinstance(holder, list):
            holder.append(copy.deepcopy(holder[trail[-1]]))  # type: ignore[call-overload]
        case _:
            holder["more"] = copy.deepcopy(holder[trail[-1]])  # type: ignore[index]
    return spoilt


@st.composite
def spoilt_packs(draw: st.DrawFn) -> dict[str, str]:
    """Draw the lantern pack with one to three values spoilt."""
    files = dict(LANTERN)
    for _ in range(draw(st.integers(1, 3))):
        name = draw(st.sampled_from(sorted(files)))
        document, _ = read_text(files[name], name)
        data = document.data if document else None
        if places(data):
            files[name] = yaml.safe_dump(spoil(data, draw), allow_unicode=True, sort_keys=False)
    return files


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(spoilt_packs())
def test_a_spoilt_pack_is_answered_with_issues(files: dict[str, str]) -> None:
    with tempfile.TemporaryDirectory() as name:
        for file, text in files.items():
            target = Path(name) / file
            target.parent.mkdir(exist_ok=True)
            target.write_text(text, encoding="utf-8")
        for issue in check_pack(Path(name)):
            assert issue.message
            assert issue.location.file.startswith(name)
            assert issue.location.line or issue.check in ("pack-folder", "readable")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(sorted(LANTERN)),
    st.integers(0, 3000),
    st.sampled_from(list("\t{}[]:#&*!|>'\"%@`-,\x00\n x")),
)
def test_a_stray_letter_anywhere_is_no_crash(file: str, at: int, letter: str) -> None:
    with tempfile.TemporaryDirectory() as name:
        for each, text in LANTERN.items():
            target = Path(name) / each
            target.parent.mkdir(exist_ok=True)
            here = at % (len(text) + 1)
            target.write_text(text[:here] + letter + text[here:] if each == file else text, encoding="utf-8")
        assert all(issue.message for issue in check_pack(Path(name)))
