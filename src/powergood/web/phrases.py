"""Times and lists as a person says them; used as filters in the templates."""

from __future__ import annotations

import re
from datetime import UTC, datetime


def day_and_time(stamp: str) -> str:
    """Return an ISO 8601 time in this computer's own zone: `25 Nov 2026 09:30`; other text as it is."""
    moment = _moment(stamp)
    return f"{moment.day} {moment:%b %Y %H:%M}" if moment else stamp


def day(stamp: str) -> str:
    """Return the day of an ISO 8601 time: `25 Nov 2026`."""
    moment = _moment(stamp)
    return f"{moment.day} {moment:%b %Y}" if moment else stamp


def clock(stamp: str) -> str:
    """Return the time of day of an ISO 8601 time: `09:30`."""
    moment = _moment(stamp)
    return f"{moment:%H:%M}" if moment else stamp


def begun(words: str) -> tuple[str, str]:
    """Return what some words begin with, up to the first colon or sentence's end, and all the rest."""
    found = re.search(r": |(?<=[.!?]) (?=[^a-z])", words)
    return (words[: found.start()], words[found.start() :]) if found else (words, "")


def _moment(stamp: str) -> datetime | None:
    try:
        moment = datetime.fromisoformat(stamp)
    except ValueError:
        return None
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).astimezone()


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Return words as a list in a sentence: `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]
