"""Open a job, show one, and ask what an answer would tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from powergood.bench.advising import compiled, subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.card_views import JobName
from powergood.bench.complaint_words import chosen, matched
from powergood.bench.drafting import drafts_of, mistakes_in
from powergood.bench.intake_views import ComplaintChoice, ComplaintMatch
from powergood.bench.job_page import job_view
from powergood.bench.job_views import JobView
from powergood.bench.preferring import preferences
from powergood.bench.refusals import left_out
from powergood.bench.teaching import keep_learned
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Advice, advise, with_finding
from powergood.errors import BadInput, UnknownThing
from powergood.record.model import Body, Complained, Finding, JobOpened, Pinned

UNTITLED = "See what it needs"


def complaints(ws: Workshop, sheet: str, words: str, complaint: str = "") -> ComplaintMatch:
    """Return which known complaints typed words stand for, or the one question that splits them.

    `complaint` is one picked by hand: the answer is then that one, or its own question.

    Raises
    ------
    UnknownThing : there is no such sheet or complaint.
    """
    known = ws.library.known(sheet).model.complaints
    found = chosen(known, words, complaint) if complaint else matched(known, words)
    if found is None:
        raise UnknownThing(f"There is no complaint {complaint!r}. Choose again from the page.")
    offered = {each.complaint for each in (*found.choices, *found.answers)}
    others = [each for each in known if not each.ask and each.id not in offered]
    return replace(found, others=tuple(ComplaintChoice(each.id, each.words) for each in others))


def open_job(
    ws: Workshop,
    tag: str,
    *,
    words: str = "",
    complaint: str = "",
    wanted: Sequence[str] = (),
    key: str,
    who: str = "",
) -> int:
    """Open a job on a machine and return its number; what its advice rests on is pinned.

    Raises
    ------
    UnknownThing : no such machine, or its kind has no such complaint or function.
    """
    machine = machine_of(ws, tag)
    known = ws.library.known(machine.details.sheet)
    _refuse_unknown(known.words, complaint, wanted)
    title = (
        words.strip().splitlines()[0] if words.strip() else known.words.complaints.get(complaint, UNTITLED)
    )
    functions = tuple(wanted) or tuple(each.id for each in known.model.functions if each.wanted)
    bodies: list[Body] = [JobOpened(title, functions), Pinned(known.pack, keep_learned(ws))]
    if words.strip() or complaint:
        bodies.append(Complained(words.strip(), complaint))
    facts = ws.store.append(drafts_of(bodies, key=key, machine=tag, who=who, digest=known.model.digest))
    return facts[0].draft.job


def _refuse_unknown(words: Wording, complaint: str, wanted: Sequence[str]) -> None:
    problems = [f"There is no function {name!r}." for name in wanted if name not in words.functions]
    if complaint and complaint not in words.complaints:
        problems.append(f"There is no complaint {complaint!r}.")
    if problems:
        raise UnknownThing(" ".join(problems) + " Nothing was stored; choose again from the page.")


def job(ws: Workshop, number: int) -> JobView:
    """Return a job's page.

    Raises
    ------
    UnknownThing : there is no such job.
    """
    state = job_of(ws, number)
    return job_view(ws, subject(ws, state, machine_of(ws, state.tag)))


def job_name(ws: Workshop, number: int) -> JobName:
    """Return a job by its number and its machine; nothing is worked out.

    Raises
    ------
    UnknownThing : there is no such job.
    """
    state = job_of(ws, number)
    return JobName(number, state.tag, machine_of(ws, state.tag).details.name)


def what_if(ws: Workshop, number: int, check: str, outcome: str, copy: int = 0) -> Advice:
    """Return the advice as it would be if a check came out so; nothing is written down.

    Raises
    ------
    BadInput : the check has no such outcome.
    UnknownThing : there is no such job, or the pack does not know its machine.
    """
    state = job_of(ws, number)
    machine = machine_of(ws, state.tag)
    words = ws.library.known(machine.details.sheet).words
    supposed = Finding(check, outcome, copy=copy)
    problems = mistakes_in((supposed,), words)
    if problems:
        raise BadInput(" ".join(problems))
    line = with_finding(state.line, supposed)
    wants = preferences(ws, left_out(state.line, words, state.cannot))
    return advise(compiled(ws, state, machine), line, wants)
