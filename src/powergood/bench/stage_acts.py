"""What a person does at a stage of bring-up: note readings, call it done, or stop."""

from __future__ import annotations

import re
from collections.abc import Mapping

from powergood.bench.advising import subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.first_power import first_power, outcome_said
from powergood.bench.job_views import JobView
from powergood.bench.recording import record, was_sent
from powergood.bench.stage_standing import FROM_READINGS, Standing, labels_of, read_against, standing_of
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput, Refused, UnknownThing
from powergood.knowledge.bring_up import LABEL, label_of, outside, quantity_of
from powergood.knowledge.model import Limit, Stage
from powergood.record.model import Body, Finding, GateAnswered, Reading
from powergood.units import parse

_BARE = re.compile(r"[-+−]?[0-9][0-9.,]*")


def readings_of(
    ws: Workshop, job: int, stage: str, texts: Mapping[str, str], instrument: str = ""
) -> tuple[dict[str, Reading], dict[str, str]]:
    """Return the readings that the texts say, by name, and for each that says none, why not.

    A name is a limit's, or for the figure on a label the limit's with `.label`; a figure that is known
    already is left out. A bare number is taken in the limit's own unit, or in its label's. Empty texts say
    nothing.

    Raises
    ------
    UnknownThing : there is no such job or stage.
    """
    _, found = _stage(ws, job, stage)
    known = labels_of(found, job_of(ws, job).line)
    limits = {limit.id: limit for limit in found.limits}
    labels = {f"{limit.id}.{LABEL}": limit for limit in found.limits if limit.label}
    reads: dict[str, Reading] = {}
    wrong: dict[str, str] = {}
    for name, text in ((name, text.strip()) for name, text in texts.items()):
        if not text:
            continue
        try:
            if name in labels:
                label = _label(found, labels[name], text)
                if known.get(labels[name].id) != label:
                    reads[name] = label
            elif name in limits:
                reads[name] = _read(found, limits[name], text, instrument)
            else:
                listed = ", ".join((*limits, *labels)) or "none"
                wrong[name] = f"The stage has no reading {name!r}; it has: {listed}."
        except BadInput as error:
            wrong[name] = f"{error}."
    for name, limit in labels.items():
        read = reads.get(limit.id)
        if read and read.unit == limit.label and limit.id not in known and name not in reads:
            wrong.setdefault(
                name, f"Write what the label says, in {limit.label}; the reading is held against it."
            )
    return reads, wrong


def _read(stage: Stage, limit: Limit, text: str, instrument: str) -> Reading:
    whole = f"{text} {limit.label or limit.unit}" if _BARE.fullmatch(text) else text
    measured = parse(whole)
    if measured.unit not in (limit.unit, limit.label):
        wanted = f"{limit.label} or {limit.unit}" if limit.label else limit.unit
        raise BadInput(f"“{text}” is in {measured.unit}; {wanted} is wanted here")
    name = quantity_of(stage, limit)
    return Reading(name, whole, measured.value, measured.unit, instrument, f"at the stage “{stage.title}”")


def _label(stage: Stage, limit: Limit, text: str) -> Reading:
    """Return the figure on a label, which no meter's error belongs to."""
    whole = f"{text} {limit.label}" if _BARE.fullmatch(text) else text
    said = parse(whole, limit.label)
    if said.value <= 0:
        raise BadInput(f"“{text}” cannot stand on a label; write its figure without a sign, such as 15 V")
    return Reading(label_of(stage, limit), whole, said.value, said.unit, "", "as the label says")


def note_readings(
    ws: Workshop,
    job: int,
    stage: str,
    texts: Mapping[str, str],
    *,
    instrument: str = "",
    with_check: bool = True,
    key: str,
    who: str = "",
) -> JobView:
    """Write down the readings of a stage and, with them, the outcome of its check that they say.

    Raises
    ------
    UnknownThing : there is no such job or stage.
    BadInput : a text is no reading, or there is none; all at once, and nothing was written.
    """
    reads, wrong = readings_of(ws, job, stage, texts, instrument)
    if wrong or not reads:
        said = [f"{name}: {why}" for name, why in wrong.items()] or ["Write at least one reading."]
        raise BadInput("\n".join([*said, "Nothing was written down; what was typed can be sent again."]))
    words, found = _stage(ws, job, stage)
    bodies: list[Body] = list(reads.values())
    state = job_of(ws, job)
    limits = {limit.id: limit for limit in found.limits}
    before = standing_of(found, state.line, state.bench.gates)
    taken = {name: body for name, body in reads.items() if name in limits}
    labels = {
        **before.labels,
        **{name: reads[f"{name}.{LABEL}"] for name in limits if f"{name}.{LABEL}" in reads},
    }
    again = {name: read.body for name, read in before.reads.items()}
    held = {
        name: read_against(limits[name], body, labels.get(name)) for name, body in {**again, **taken}.items()
    }
    now = Standing(None, "", {name: read for name, read in held.items() if read})
    outcome = outcome_said(found, now, words)
    if with_check and outcome:
        note = "; ".join(body.text for body in taken.values())
        bodies.append(Finding(found.check, outcome, note=f"{FROM_READINGS} {note}"))
    return record(ws, job, bodies, key=key, who=who)


def finish_stage(ws: Workshop, job: int, stage: str, how: str = "", *, key: str, who: str = "") -> JobView:
    """Write down that a stage is done, and with it that the gates it proves are met.

    Raises
    ------
    UnknownThing : there is no such job or stage.
    Refused : a gate holds it, a reading is outside its limits, or one is too near to tell and no words say
        why it is let go.
    """
    _, found = _stage(ws, job, stage)
    state = job_of(ws, job)
    shown = first_power(subject(ws, state, machine_of(ws, state.tag)))
    card = next(card for card in shown.stages if card.stage == stage)
    if card.held_by:
        raise Refused(f"First: {'; '.join(card.held_by)}. Tick these conditions, then this stage.")
    places = standing_of(found, state.line, state.bench.gates).places
    if outside(places.values()):
        raise Refused("A reading lies outside its limits. Stop here, mend it, and read it again.")
    unread = [limit.title for limit in found.limits if not limit.optional and limit.id not in places]
    doubtful = "too near to tell" in places.values()
    if (unread or doubtful) and not how.strip():
        lacks = f"not read yet: {', '.join(unread)}" if unread else "a reading is too near to tell"
        raise Refused(f"This stage has {lacks}. Read it, or say in words why it is let go.")
    via = f"by the stage “{found.title}”"
    bodies = [
        *(GateAnswered(gate, True, via) for gate in found.meets),
        GateAnswered(stage, True, how.strip()),
    ]
    return record(ws, job, bodies, key=key, who=who)


def let_stages_go(ws: Workshop, job: int, how: str, *, key: str, who: str = "") -> JobView:
    """Write down, of every stage that is left, that it is let go and why: the machine has run already.

    What the safety conditions hold they go on holding: only the order of the stages is let go.

    Raises
    ------
    Refused : no words say why, no stage is left, one is stopped, or a gate that one left proves is not met.
    """
    state = job_of(ws, job)
    about = subject(ws, state, machine_of(ws, state.tag))
    power = first_power(about)
    left = [card for card in power.stages if card.standing != "done"]
    if not how.strip():
        raise Refused("Say in words why: where and when it ran, and with what fitted.")
    if not left and not was_sent(state, key):
        raise Refused("No stage of first power is left to let go.")
    if power.stopped:
        raise Refused(f"{power.stopped.title} was stopped; what stopped it is looked into first.")
    stages = about.known.words.stages if about.known else {}
    gates = dict.fromkeys(gate for card in left for gate in stages[card.stage].meets)
    unmet = [about.known.words.gate(gate) for gate in gates if gate not in state.bench.gates and about.known]
    if unmet:
        raise Refused(f"First: {'; '.join(unmet)}. That it ran does not prove it.")
    return record(ws, job, [GateAnswered(card.stage, True, how.strip()) for card in left], key=key, who=who)


def stop_stage(
    ws: Workshop, job: int, stage: str, seen: str, because: str = "", *, key: str, who: str = ""
) -> JobView:
    """Write down that a stage was stopped, at one of its stop list or at something else, said in words.

    What the list says of it goes with it: gates that are met no more, and the finding it stands for.

    Raises
    ------
    UnknownThing : there is no such job or stage.
    BadInput : neither something of the list nor words say why.
    """
    _, found = _stage(ws, job, stage)
    item = next((each for each in found.stop_if if each.id == seen), None)
    if item is None and not because.strip():
        listed = ", ".join(each.id for each in found.stop_if)
        raise BadInput(f"Say what you stopped at: one of {listed}, or in words. Nothing was written down.")
    said = ": ".join(filter(None, (item.seen if item else "", because.strip())))
    bodies: list[Body] = [GateAnswered(stage, False, said)]
    met = job_of(ws, job).bench.gates
    gates = dict.fromkeys((*(item.unmeets if item else ()), *found.meets))
    bodies += [GateAnswered(gate, False, f"stopped at “{said}”") for gate in gates if gate in met]
    if item and item.check and item.outcome:
        bodies.append(Finding(item.check, item.outcome, note=f"stopped at the stage “{found.title}”"))
    return record(ws, job, bodies, key=key, who=who)


def _stage(ws: Workshop, job: int, name: str) -> tuple[Wording, Stage]:
    state = job_of(ws, job)
    about = subject(ws, state, machine_of(ws, state.tag))
    words = about.known.words if about.known else Wording()
    if name not in words.stages:
        listed = ", ".join(words.stages) or "none"
        raise UnknownThing(f"There is no stage {name!r} for this machine; it has: {listed}.")
    return words, words.stages[name]
