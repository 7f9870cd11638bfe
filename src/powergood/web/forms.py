"""What a form says, read with patience: every problem is found at once and every word is kept.

A `Filled` form collects problems beside their fields as it is read. A page that finds any shows the same
form again with the text as typed.
"""

from __future__ import annotations

import secrets
from collections.abc import Collection
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Final

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

LONGEST_LINE: Final = 200
LONGEST_TEXT: Final = 5000
MOST_BODY: Final = 1_000_000
MOST_PHOTO_BODY: Final = 25_000_000
MOST_FIELDS: Final = 10_000
"""More than the form of any sheet has: some thirty for each fault of its own, beside a hundred and fifty."""
_MOST_DIGITS: Final = 12
_HOUSEKEEPING: Final = frozenset({"token", "key", "form-name"})
_UNTYPED: Final = _HOUSEKEEPING | {"kept_photo", "without_photo"}


def new_key() -> str:
    """Return a key for a fresh form; a form that is sent twice carries the same one and adds nothing."""
    return secrets.token_urlsafe(16)


@dataclass(slots=True)
class Filled:
    """A form as sent.

    text : every text field as typed, the last of a name.
    every : all values of each name, for ticks.
    files : uploaded files by field, read whole.
    problems : what must be mended, by field, in the order found.
    """

    text: dict[str, str] = field(default_factory=dict)
    every: dict[str, list[str]] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)

    @property
    def own_key(self) -> str:
        """The key the form came with and keeps when it is shown again; a fresh one where it has none."""
        return self.text.get("key", "")[:80] or new_key()

    @property
    def key(self) -> str:
        """The key of what was sent: the form's own, with a digest of all that was typed into it.

        The same form with the same words is a resend and adds nothing; with other words, typed while the
        first were still on their way, it is something else, and nothing of it may be lost.
        """
        own = self.own_key
        if "key" not in self.text:
            return own
        said = sha256()
        for name, values in sorted(self.every.items()):
            if name not in _HOUSEKEEPING:
                said.update(repr((name, values)).encode())
        for name, data in sorted(self.files.items()):
            said.update(repr((name, sha256(data).hexdigest())).encode())
        return f"{own}-{said.hexdigest()[:12]}"

    @property
    def name(self) -> str:
        """Which form of its page this is."""
        return self.text.get("form-name", "")

    @property
    def typed(self) -> dict[str, str]:
        """What the person typed or chose, without the form's own housekeeping."""
        return {name: value for name, value in self.text.items() if name not in _UNTYPED and value}

    def line(self, name: str, *, needed: str = "", longest: int = LONGEST_LINE) -> str:
        """Return one line of text; `needed` is what to say when it is missing."""
        value = " ".join(self.text.get(name, "").split())
        return self._within(name, value, needed, longest)

    def words(self, name: str, *, needed: str = "", longest: int = LONGEST_TEXT) -> str:
        """Return text of several lines; `needed` is what to say when it is missing."""
        value = self.text.get(name, "").replace("\r\n", "\n").strip()
        return self._within(name, value, needed, longest)

    def choice(self, name: str, among: Collection[str], *, needed: str = "") -> str:
        """Return a value that must be one of `among`, or empty when nothing was chosen."""
        value = self.text.get(name, "")
        if value and value not in among:
            self.problems[name] = "That choice is not on the list any more; choose again."
        elif needed and not value:
            self.problems[name] = needed
        return value

    def choices(self, name: str, among: Collection[str]) -> tuple[str, ...]:
        """Return the ticked values that are among the known ones, in the order of the page."""
        return tuple(value for value in self.every.get(name, []) if value in among)

    def number(self, name: str, *, least: int, most: int) -> int:
        """Return a whole number within bounds; 0 when the field is empty."""
        value = self.text.get(name, "").strip()
        if not value:
            return 0
        digits = value if value.isascii() and value.isdigit() and len(value) <= _MOST_DIGITS else ""
        if not digits or not least <= int(digits) <= most:
            self.problems[name] = f"“{value[:40]}” is not a whole number from {least} to {most}."
            return 0
        return int(digits)

    def ticked(self, name: str) -> bool:
        """Return whether a box was ticked."""
        return bool(self.text.get(name))

    def _within(self, name: str, value: str, needed: str, longest: int) -> str:
        if not value and needed:
            self.problems[name] = needed
        elif len(value) > longest:
            over = len(value) - longest
            self.problems[name] = (
                f"This is {over} letters too long; {longest} fit here. The rest can go in a note."
            )
        elif "\x00" in value:
            self.problems[name] = "There is a letter in this that cannot be written down; type it again."
        return value


async def read_form(request: Request) -> Filled:
    """Return the form in a request's body."""
    async with request.form(max_files=4, max_fields=MOST_FIELDS) as data:
        return await _filled(data)


async def _filled(data: FormData) -> Filled:
    filled = Filled()
    for name, value in data.multi_items():
        if isinstance(value, UploadFile):
            content = await value.read()
            if content or value.filename:
                filled.files[name] = content
        else:
            filled.text[name] = value
            filled.every.setdefault(name, []).append(value)
    return filled
