"""Addresses carry makes and models: they stand only in `sources.yaml`, and a neutral title is shown."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from powergood.packs import builtin_pack

ROOT = Path(__file__).parents[2]
SHIPPED = ("src", "docs", "changelog.d", "benchmarks", "tools", "README.md", "do.py")
NOT_TEXT = {".woff2", ".png", ".pyc", ".js", ".csv"}
STANDARDS = {"atx12v", "2tb", "8bit", "x2"}
"""Words of letters and digits in addresses that are no maker's: a standard, a size, a width, a class."""

LICENSED = "src/powergood/packs/data/open-repair"
"""Carries its licence's own addresses, as the licence asks."""


def shipped() -> Iterator[Path]:
    """Yield every file that is shipped as text and is no list of sources."""
    for name in SHIPPED:
        top = ROOT / name
        for path in sorted(top.rglob("*")) if top.is_dir() else [top]:
            if path.is_file() and path.suffix not in NOT_TEXT and path.name != "sources.yaml":
                yield path


def addresses() -> list[str]:
    """Return the addresses of every source."""
    return [source.address for source in builtin_pack().sources if source.address]


def designations() -> set[str]:
    """Return the words of addresses that mix letters and digits as names of models do."""
    words = {
        word
        for address in addresses()
        for word in re.findall(r"[a-z0-9]+", address.partition("://")[2].partition("/")[2].lower())
    }
    model = re.compile(r"(?=.*[a-z])(?=.*[0-9])[a-z0-9]{3,12}")
    return {word for word in words if model.fullmatch(word)} - STANDARDS


def hosts() -> set[str]:
    """Return the hosts of every address, without those that a licence asks to be named."""
    return {address.partition("://")[2].partition("/")[0] for address in addresses()}


def test_no_shipped_file_but_the_list_of_sources_carries_a_sources_address() -> None:
    files = [path for path in shipped() if not str(path).startswith(str(ROOT / LICENSED))]
    assert len(files) > 400
    carrying = {
        (str(path.relative_to(ROOT)), host)
        for path in files
        for text in [path.read_text(encoding="utf-8")]
        for host in hosts()
        if host in text
    }
    assert carrying == set()


def test_no_shipped_text_or_file_name_has_a_model_that_an_address_names() -> None:
    models = designations()
    assert len(models) > 10
    found = {
        (str(path.relative_to(ROOT)), word)
        for path in shipped()
        for text in (path.read_text(encoding="utf-8"), path.stem)
        for word in models.intersection(re.findall(r"[a-z0-9]+", text.lower()))
    }
    assert found == set()


@pytest.mark.parametrize("source", builtin_pack().sources, ids=lambda source: source.id)
def test_the_title_of_a_source_is_words_and_no_address(source) -> None:
    assert re.search(r"[A-Za-z]{3}", source.title)
    assert not re.search(r"://|www\.|\.(?:com|org|net|uk|de)\b", source.title)
    assert not designations().intersection(re.findall(r"[a-z0-9]+", source.title.lower()))
