"""Keys of sources within sentences, put into words: a reader is told where it was read, not a code."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_KEYS: Final = re.compile(r" ?\(([A-Z]{1,3}[0-9]{1,3}(?:[,;] ?[A-Z]{1,3}[0-9]{1,3})*)\)")
_BETWEEN: Final = re.compile(r"[,;] ?")


def cited(text: str, titles: Mapping[str, str]) -> str:
    """Return a text whose keys of sources in brackets are the sources' titles; what is no key stays."""

    def titled(found: re.Match[str]) -> str:
        keys = _BETWEEN.split(found[1])
        if not all(key in titles for key in keys):
            return found[0]
        return f" (source: {'; '.join(titles[key] for key in keys)})"

    return _KEYS.sub(titled, text)


def plain(text: str, titles: Mapping[str, str]) -> str:
    """Return a text without its keys of sources, for a card that leads to where they are told."""

    def gone(found: re.Match[str]) -> str:
        return "" if all(key in titles for key in _BETWEEN.split(found[1])) else found[0]

    return _KEYS.sub(gone, text)
