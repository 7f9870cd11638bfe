"""What each finding of a job says for or against one fault, in words."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.advising import compiled, subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.sentences import fact_sentence
from powergood.bench.workshop import Workshop
from powergood.diagnosis import believe, moved
from powergood.errors import UnknownThing
from powergood.record.timeline import Timeline

FULL_BITS = 6.0
"""Bits at which a bar is full: odds moved 64 times. Judgement, so that clear words have long bars."""


@dataclass(frozen=True, slots=True)
class Say:
    """What one finding says of a fault.

    fact : its number.
    words : the finding in words.
    says : how strongly it speaks, for it or against it.
    bits : the same in figures, above nought for it; powers of two of its odds.
    share : length of its bar, nought to one.
    speaks_for : true for it, false against it.
    without : the fault's chance if the finding were left out.
    fits_others_better : true when by itself it fits the fault, and is against it only beside the others.
    """

    fact: int
    words: str
    says: str
    bits: float
    share: float
    speaks_for: bool
    without: float
    fits_others_better: bool = False


@dataclass(frozen=True, slots=True)
class Weighing:
    """What the findings of a job say of one fault, strongest first.

    job : number of the job.
    fault : its id.
    title : the fault in words.
    now : its chance after all findings.
    at_first : its chance before any.
    says : one entry for each finding and complaint.
    """

    job: int
    fault: str
    title: str
    now: float
    at_first: float
    says: tuple[Say, ...]


def weighing(ws: Workshop, number: int, fault: str) -> Weighing:
    """Return what each finding of a job says for or against a fault.

    Raises
    ------
    UnknownThing : there is no such job or fault, or the pack does not know the machine.
    """
    state = job_of(ws, number)
    about = subject(ws, state, machine_of(ws, state.tag))
    if about.known is None:
        raise UnknownThing(about.trouble)
    model = compiled(ws, state, about.machine)
    place = {spec.id: at for at, spec in enumerate(model.faults)}
    if fault not in place:
        raise UnknownThing(f"There is no fault {fault!r} for this kind of machine.")
    facts = {fact.number: fact for fact in state.line.facts}
    says = []
    for each in moved(model, state.line, fault):
        strength = each.strength
        way = "for it" if each.bits > 0 else "against it"
        says.append(
            Say(
                fact=each.fact,
                words=fact_sentence(facts[each.fact], about.known.words),
                says="says hardly anything" if strength == "hardly" else f"speaks {strength} {way}",
                fits_others_better=each.fits_others_better,
                bits=each.bits,
                share=min(abs(each.bits) / FULL_BITS, 1.0),
                speaks_for=each.bits > 0,
                without=each.without,
            )
        )
    now = believe(model, state.line).now()[place[fault]]
    first = believe(model, Timeline()).now()[place[fault]]
    title = about.known.words.fault(fault)
    return Weighing(number, fault, title, now, first, tuple(says))
