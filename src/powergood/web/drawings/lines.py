"""Text broken into lines for a drawing, where nothing wraps by itself."""

from __future__ import annotations

import textwrap


def broken(text: str, width: int, lines: int = 2) -> tuple[str, ...]:
    """Return `text` in at most `lines` lines of about `width` characters, cut with an ellipsis."""
    wrapped = textwrap.wrap(text, width, break_long_words=True) or [""]
    if len(wrapped) > lines:
        wrapped = [*wrapped[: lines - 1], _cut(wrapped[lines - 1], width)]
    return tuple(wrapped)


def _cut(line: str, width: int) -> str:
    return (line if len(line) < width else line[: width - 1].rstrip()) + "…"
