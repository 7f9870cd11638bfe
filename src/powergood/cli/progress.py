"""A plain counter on standard error for anything long; silent when nobody is watching."""

from __future__ import annotations

import sys
from collections.abc import Callable

Counter = Callable[[int, int, str], None]


def counter() -> Counter:
    """Return a function that shows how much of a task is done, on one line that is written over."""
    watched = sys.stderr.isatty()
    longest = 0

    def show(done: int, total: int, words: str) -> None:
        nonlocal longest
        if not watched:
            return
        line = f"{words}: {done} of {total}" if total else f"{words}: {done}"
        longest = max(longest, len(line))
        end = "\n" if total and done >= total else ""
        sys.stderr.write(f"\r{line.ljust(longest)}{end}")
        sys.stderr.flush()

    return show
