"""A plain sentence for each kind of fact: what the record shows a person."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from powergood.bench.grids import cells_words
from powergood.bench.kind_words import DETAIL_WORDS
from powergood.bench.wording import Wording
from powergood.record.model import (
    CannotDo,
    Complained,
    Described,
    Fact,
    Finding,
    FixDone,
    GateAnswered,
    IntakeAnswer,
    JobOpened,
    Note,
    Opened,
    PartFrom,
    PartIn,
    PartOut,
    PhotoTaken,
    Pinned,
    PreferenceSet,
    Reading,
    Refitted,
    Resumed,
    SetAside,
    Shelved,
    SignedOff,
    Stopped,
    TakenIn,
    TookMinutes,
    WantedSet,
    Withdrawn,
)


def fact_sentence(fact: Fact, words: Wording) -> str:
    """Return one sentence that says what happened."""
    return _SENTENCES[type(fact.body)](fact.body, words)


def note_of(fact: Fact) -> str:
    """Return the further words typed with a fact; empty when it has none."""
    body = fact.body
    match body:
        case Finding(note=note) | FixDone(note=note):
            return note
        case GateAnswered(how=how):
            return how
        case CannotDo(because=because) | SetAside(because=because):
            return because
        case Shelved(words=said) | Resumed(words=said):
            return said
        case _:
            return ""


def finding_sentence(body: Finding, words: Wording) -> str:
    """Return a finding as a sentence: what was looked at, what was seen, and how sure that is."""
    return f"{look_words(body, words)}, {_how_known(body)}"


def look_words(body: Finding, words: Wording) -> str:
    """Return what was looked at and what was seen, without a word on how that is known."""
    known = words.checks.get(body.check)
    asked = known.ask.rstrip("?.") if known else body.check
    if body.copy:
        asked = f"{asked} (copy {body.copy})"
    answer = words.outcome(body.check, body.outcome).rstrip(".")
    if body.cells:
        answer = f"{answer} ({cells_words(body, words)})"
    return f"{asked}: {_lower(answer)}"


def ticked_words(gate: str, words: Wording) -> tuple[str, ...]:
    """Return the findings that a gate's own tick stands for, as sentences; those with a box do not count."""
    said = words.gates[gate].stands_for if gate in words.gates else ()
    return tuple(look_words(Finding(each.check, each.outcome), words) for each in said if not each.box)


def _how_known(body: Finding) -> str:
    source = "told" if body.told else "seen"
    return source if body.sure else f"{source}, not sure"


def _lower(text: str) -> str:
    """Return text to follow a colon: its first letter small, unless its first word is an abbreviation."""
    first = re.split(r"[\s,.]", text, maxsplit=1)[0]
    return text if len(first) > 1 and first.isupper() else text[:1].lower() + text[1:]


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names) if names else "nothing named"


def _taken_in(body: TakenIn, words: Wording) -> str:
    year = f", {body.year}" if body.year else ""
    return f"Taken in as {body.tag}: {body.name}{year}"


def _described(body: Described, words: Wording) -> str:
    return f"{DETAIL_WORDS.get(body.what, body.what)}: {body.value or 'left empty'}"


def _intake(body: IntakeAnswer, words: Wording) -> str:
    asked = words.intake.get(body.question, body.question).rstrip("?.")
    return f"{asked}: {'yes' if body.yes else 'no'}"


def _job_opened(body: JobOpened, words: Wording) -> str:
    wanted = tuple(words.function(name) for name in body.wanted)
    return f"Job opened: {body.title}" + (f". Wanted: {_listed(wanted)}" if wanted else "")


def _pinned(body: Pinned, words: Wording) -> str:
    taught = ", and the jobs closed so far have taught" if body.learned else ""
    return f"From here on the advice rests on what the packs say{taught}"


def _wanted(body: WantedSet, words: Wording) -> str:
    return f"Wanted: {_listed(tuple(words.function(name) for name in body.wanted))}"


def _complained(body: Complained, words: Wording) -> str:
    source = "told" if body.told else "seen"
    known = words.complaints.get(body.complaint, "")
    said = body.words or known or "nothing said"
    taken = f" (taken for: {known})" if known and known != said else ""
    return f"Complaint, {source}: {said}{taken}"


def _reading(body: Reading, words: Wording) -> str:
    by = f" with {body.instrument}" if body.instrument else ""
    under = f", {body.conditions}" if body.conditions else ""
    return f"{words.quantity(body.quantity)}: {body.text}{by}{under}"


def _fix(body: FixDone, words: Wording) -> str:
    what = words.step(body.fix).rstrip(".")
    where = f"; in {words.part(body.slot)} now {words.part(body.instance)}" if body.instance else ""
    return f"Done: {_lower(what)}{where}"


def _opened(body: Opened, words: Wording) -> str:
    return f"Opened: {_lower(words.opening(body.opening))}"


def _refitted(body: Refitted, words: Wording) -> str:
    return f"Closed again: {_lower(words.opening(body.opening))}"


def _part_out(body: PartOut, words: Wording) -> str:
    return f"Out: {_lower(words.part(body.instance))}"


def _part_in(body: PartIn, words: Wording) -> str:
    where = f" in {words.part(body.slot)}" if body.slot and body.slot != body.instance else ""
    standing = f", {body.standing}" if body.standing != "unknown" else ""
    return f"In: {_lower(words.part(body.instance))}{where}{standing}"


def _gate(body: GateAnswered, words: Wording) -> str:
    if body.gate in words.stages:
        return f"{words.gate(body.gate)}: {'done' if body.met else 'stopped'}"
    seen = "; ".join(ticked_words(body.gate, words)) if body.met else ""
    counts = f". Counts as seen while it is met: {seen}" if seen else ""
    return f"{words.gate(body.gate)}: {'met' if body.met else 'not met'}{counts}"


def _cannot(body: CannotDo, words: Wording) -> str:
    return f"Cannot be done here: {_lower(words.step(body.step).rstrip('.'))}"


def _note(body: Note, words: Wording) -> str:
    return body.text


def _photo(body: PhotoTaken, words: Wording) -> str:
    return f"Photo: {body.caption}" if body.caption else "Photo"


def _withdrawn(body: Withdrawn, words: Wording) -> str:
    because = f": {body.because}" if body.because else ""
    return f"Took back fact {body.fact}{because}"


def _shelved(body: Shelved, words: Wording) -> str:
    return f"On the shelf for {body.waits_for}"


def _resumed(body: Resumed, words: Wording) -> str:
    return "Taken up again"


def _signed_off(body: SignedOff, words: Wording) -> str:
    if not body.unproven:
        return "Signed off" + (f": {body.words}" if body.words else "")
    left = _listed(tuple(words.function(name) for name in body.unproven))
    return f"Signed off with these not proven: {left}. Reason: {body.words}"


def _stopped(body: Stopped, words: Wording) -> str:
    return f"Stopped short of repair: {body.because}"


def _took_minutes(body: TookMinutes, words: Wording) -> str:
    return f"It took about {body.minutes:.0f} minutes"


def _part_from(body: PartFrom, words: Wording) -> str:
    return f"{words.part(body.instance)} came from: {body.source}"


def _set_aside(body: SetAside, words: Wording) -> str:
    return f"Learned number set aside: {body.number_id}"


def _preference_set(body: PreferenceSet, words: Wording) -> str:
    said = body.value or "not set any more"
    return f"{body.name.replace('_', ' ').capitalize()}: {said}"


_SENTENCES: Mapping[type, Callable[[Any, Wording], str]] = {
    TakenIn: _taken_in,
    Described: _described,
    IntakeAnswer: _intake,
    JobOpened: _job_opened,
    Pinned: _pinned,
    WantedSet: _wanted,
    Complained: _complained,
    Finding: finding_sentence,
    Reading: _reading,
    FixDone: _fix,
    Opened: _opened,
    Refitted: _refitted,
    PartOut: _part_out,
    PartIn: _part_in,
    GateAnswered: _gate,
    CannotDo: _cannot,
    Note: _note,
    PhotoTaken: _photo,
    Withdrawn: _withdrawn,
    Shelved: _shelved,
    Resumed: _resumed,
    SignedOff: _signed_off,
    Stopped: _stopped,
    TookMinutes: _took_minutes,
    PartFrom: _part_from,
    SetAside: _set_aside,
    PreferenceSet: _preference_set,
}
