"""Read the fields of a sheet's form one by one, gathering the problems by field."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from powergood.knowledge.model import Claim
from powergood.packs.claims import claim_mapping
from powergood.packs.sheet_text import claim_text

MOST_MINUTES: Final = 600
MOST_MONEY: Final = 100_000
EARLIEST, LATEST = 1940, 2100
OWN_SOURCE: Final = "judgement"
"""The source of minutes typed without one: the person's own."""

_NUMBER = re.compile(r"[0-9]{1,6}(\.[0-9]{1,4})?")
_PER_CENT = re.compile(r"^([0-9]{1,3}(?:\.[0-9]{1,2})?) ?%")


class Form:
    """Fields being read, with the problems found; `rows` say where the fields of an item of the sheet's
    begin."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        self.fields = dict(fields)
        self.problems: dict[str, str] = {}
        self.rows: dict[str, str] = {}

    def any(self, at: str, but: str = "") -> bool:
        """Tell whether any field whose name begins so says anything; `but` is one that does not count."""
        said = ((name, value.strip()) for name, value in self.fields.items() if name.startswith(at))
        return any(value for name, value in said if name != but)

    def line(self, name: str, needed: str = "") -> str:
        """Return one line, its spaces made single; `needed` is the problem of an empty one."""
        value = " ".join(self.fields.get(name, "").split())
        if not value and needed:
            self.problems[name] = needed
        return value

    def lines(self, name: str) -> tuple[str, ...]:
        """Return the lines of a field that are not empty."""
        found = (" ".join(line.split()) for line in self.fields.get(name, "").splitlines())
        return tuple(line for line in found if line)

    def whole(self, name: str, least: int, most: int) -> int:
        """Return a whole number; 0 for an empty field."""
        value = self.line(name) or "0"
        if value.isascii() and value.isdigit() and len(value) < 6 and least <= int(value) <= most:
            return int(value)
        self.problems[name] = f"“{value[:30]}” is not a whole number from {least} to {most}."
        return 0

    def year(self) -> int:
        """Return the year of make; 0 for none."""
        return self.whole("year", EARLIEST, LATEST) if self.line("year") else 0

    def minutes(self, name: str, was: Claim | None = None) -> Claim:
        """Return minutes with their source: `6` is the person's own, `6 (M1)` names one of the sources."""
        return self._claim(name, was, f"a number of minutes up to {MOST_MINUTES}", MOST_MINUTES, least=0.001)

    def money(self, name: str, was: Claim | None = None) -> Claim | None:
        """Return money with its source; none for an empty field."""
        what = f"an amount of money up to {MOST_MONEY}"
        return self._claim(name, was, what, MOST_MONEY) if self.line(name) else None

    def frequency(self, name: str, was: Claim | None = None) -> Claim:
        """Return how often a fault is met, beside the others: 8 very common, 4 common, 2 now and then, 0.5
        rare."""
        return self._claim(name, was, "how often it is met: 8, 4, 2 or 0.5", 100.0, least=0.001)

    def chance(self, name: str, was: Claim | None = None) -> Claim:
        """Return a chance with its source, written as a part of one or in per cent: `0.9`, `90 %`, `0.9
        (M1)`."""
        return self._claim(name, was, "a chance such as 0.9 or 90 %", 1.0, least=0.001)

    def _claim(self, name: str, was: Claim | None, what: str, most: float, least: float = 0.0) -> Claim:
        """Return a number with its source, the person's own where none is named."""
        line = self.line(name)
        typed = re.sub(r"^([0-9]+),([0-9])", r"\1.\2", line)
        if was is not None and typed == shown(was):
            return was
        typed = _PER_CENT.sub(lambda found: f"{float(found[1]) / 100:g}", typed) if most == 1.0 else typed
        number, _, source = typed.partition(" ")
        if not _NUMBER.fullmatch(number) or not least <= float(number) <= most:
            self.problems[name] = f"“{line[:30]}” is not {what}."
            return was or Claim(1.0, OWN_SOURCE)
        said = claim_mapping(typed) if source else {"value": float(number), "source": OWN_SOURCE}
        if isinstance(said, str):
            self.problems[name] = f"“{line[:40]}”: write the number, its source in brackets: {number} (M1)."
            return was or Claim(1.0, OWN_SOURCE)
        return Claim(**said)  # type: ignore[arg-type]  # the fields of a claim, by name

    def sourced(self, name: str, was: Claim | None, what: str) -> Claim | None:
        """Return a number with the source it must name, as in `11.4 (M1)`; none for an empty field."""
        typed = self.line(name)
        if not typed:
            return None
        if was is not None and typed == claim_text(was):
            return was
        said = claim_mapping(typed.replace("−", "-"))
        if isinstance(said, str):
            self.problems[name] = (
                f"“{typed[:40]}”: write {what} with its source in brackets, as in 11.4 (M1)."
            )
            return was
        return Claim(**said)  # type: ignore[arg-type]  # the fields of a claim, by name

    def one_of(self, name: str, known: Mapping[str, str], what: str) -> str:
        """Return the id that a field names, itself or by its title; empty for an empty field."""
        typed = self.line(name)
        by_title = {title.lower(): key for key, title in known.items()} | {key: key for key in known}
        if typed and typed.lower() not in by_title:
            listed = ", ".join(known.values()) or "none"
            self.problems[name] = f"“{typed[:40]}” is no {what} here. There are: {listed}."
        return by_title.get(typed.lower(), "")

    def pairs(self, name: str) -> dict[str, str]:
        """Return lines of the form `what: reading`."""
        found: dict[str, str] = {}
        for line in self.lines(name):
            what, colon, reading = (part.strip() for part in line.partition(":"))
            if not (what and colon and reading):
                self.problems[name] = f"“{line[:40]}”: write what is measured, a colon, and the reading."
            elif what in found:
                self.problems[name] = f"“{what[:40]}” stands there twice."
            found[what] = reading
        return found

    def ids(self, name: str, known: Mapping[str, str], what: str) -> tuple[str, ...]:
        """Return the ids of what the lines of a field name, by title or by id; `known` are titles by id."""
        by_title = {title.lower(): key for key, title in known.items()} | {key: key for key in known}
        found = []
        for line in self.lines(name):
            if line.lower() in by_title:
                found.append(by_title[line.lower()])
            else:
                listed = ", ".join(known.values())
                self.problems[name] = f"“{line[:40]}” is no {what} of this model. There are: {listed}."
        return tuple(dict.fromkeys(found))


def shown(claim: Claim) -> str:
    """Return minutes as the form has them: the number, with its source where it is not one's own."""
    plain = claim.source == OWN_SOURCE and not claim.weight
    return f"{claim.value:g}" if plain else claim_text(claim)


def free_id(title: str, taken: Iterable[str], otherwise: str) -> str:
    """Return an id made of a title that is none of those taken; `otherwise` where it has no letters."""
    base, used = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or otherwise, set(taken)
    return next(name for name in (base, *(f"{base}-{n}" for n in range(2, 1000))) if name not in used)
