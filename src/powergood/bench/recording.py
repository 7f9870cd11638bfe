"""Write down what a person did on a job, then show the job: the book first, advice after."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from powergood.bench.advising import subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.boxes import boxes_ticked, fallen_with
from powergood.bench.cards import words_for
from powergood.bench.drafting import body_of, drafts_of, implied_by, is_step, mistakes_in
from powergood.bench.grids import located
from powergood.bench.holding import gates_holding, gates_holding_start
from powergood.bench.job_page import job_view
from powergood.bench.job_state import JobState
from powergood.bench.job_views import JobView
from powergood.bench.step_views import StepAnswer
from powergood.bench.timing import said_with
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput, Refused
from powergood.record.model import (
    Body,
    Finding,
    GateAnswered,
    Note,
    Resumed,
    Shelved,
    SignedOff,
    Stopped,
    WantedSet,
)

WaitsFor = Literal["a part", "a tool", "an answer", "an evening"]


def record(
    ws: Workshop,
    job: int,
    bodies: Sequence[Body],
    *,
    key: str,
    who: str = "",
    power_up: int = 0,
    prompted_by: str = "",
    seen_at: str = "",
) -> JobView:
    """Append facts to a job with what they imply, then return the job with its advice.

    `power_up` is the start the findings belong to; 0 works it out for checks that need a running machine.

    Raises
    ------
    UnknownThing : there is no such job.
    BadInput : ids or outcomes the machine's kind does not have, all at once; nothing was written.
    """
    write_down(ws, job, bodies, key=key, who=who, power_up=power_up, prompted_by=prompted_by, seen_at=seen_at)
    state = job_of(ws, job)
    return job_view(ws, subject(ws, state, machine_of(ws, state.tag)))


def write_down(
    ws: Workshop,
    job: int,
    bodies: Sequence[Body],
    *,
    key: str,
    who: str = "",
    power_up: int = 0,
    prompted_by: str = "",
    seen_at: str = "",
) -> None:
    """Append facts to a job with what they imply, as `record` does, and work nothing out."""
    state = job_of(ws, job)
    about = subject(ws, state, machine_of(ws, state.tag))
    words = words_for(about)
    if was_sent(state, key):
        return
    bodies = (*bodies, *fallen_with(bodies, state.line, words))
    problems = mistakes_in(bodies, words) if about.known else ()
    if problems:
        raise BadInput("\n".join([*problems, "Nothing was written down; what was typed can be sent again."]))
    drafts = drafts_of(
        bodies,
        implied_by(bodies, words, state.bench.opened),
        key=key,
        machine=state.tag,
        job=job,
        who=who,
        seen_at=seen_at,
        power_up=power_up or start_of(bodies, words, state),
        prompted_by=prompted_by,
        digest=about.known.model.digest if about.known else "",
    )
    ws.store.append(drafts)


def was_sent(job: JobState, key: str) -> bool:
    """Tell whether the form with that key was written down already."""
    return any(fact.draft.key == f"{key}/1" for fact in job.facts)


def start_of(bodies: Sequence[Body], words: Wording, job: JobState) -> int:
    """Return the start that findings belong to: a new one, the running one, or none.

    A look that needs a running machine belongs to the last start as long as nothing but findings was written
    since; so does a look at the first seconds of a start, unless it was taken at that start already.
    """
    seen = {body.check for body in bodies if isinstance(body, Finding) and not body.told}
    needs = {words.checks[check].power for check in seen if check in words.checks}
    if not needs & {"start", "on"}:
        return 0
    last = job.bench.power_up
    facts = [fact for fact in job.line.facts if last and fact.draft.power_up == last]
    taken = {fact.body.check for fact in facts if isinstance(fact.body, Finding)}
    again = any(words.checks[check].power == "start" for check in seen & taken)
    return last if facts and facts[-1] is job.line.facts[-1] and not again else last + 1


def answer(ws: Workshop, job: int, given: StepAnswer, *, key: str, who: str = "") -> JobView:
    """Write down one key pressed on a step card and return the job.

    Raises
    ------
    UnknownThing : there is no such job.
    BadInput : there is no such step or outcome.
    """
    return answers(ws, job, (given,), key=key, who=who)


def answers(
    ws: Workshop, job: int, given: Sequence[StepAnswer], *, text: str = "", key: str, who: str = ""
) -> JobView:
    """Write down several steps answered together, and words with them, and return the job.

    Raises
    ------
    UnknownThing : there is no such job.
    BadInput : steps or outcomes that there are not, all at once; nothing was written.
    """
    state = job_of(ws, job)
    words = words_for(subject(ws, state, machine_of(ws, state.tag)))
    unknown = [each.step for each in given if not is_step(each, words)]
    if unknown:
        raise BadInput("\n".join(f"There is no step {name!r} for this kind of machine." for name in unknown))
    bodies = [body_of(each, words, state.bench) for each in given]
    implied = implied_by(bodies, words, state.bench.opened)
    bodies += [
        fact
        for each, body, before in zip(given, tuple(bodies), implied, strict=True)
        for fact in said_with(each, body, before, words)
    ]
    if text.strip():
        bodies.append(Note(text.strip()))
    return record(ws, job, bodies, key=key, who=who, prompted_by=_prompted_by(given, words, state))


def _prompted_by(given: Sequence[StepAnswer], words: Wording, job: JobState) -> str:
    """Return the step that asked for an answer; none for one that a gate holds back: it was not advised."""
    if len(given) != 1 or gates_holding(given[0].step, words, job.bench.gates):
        return ""
    return given[0].step


def answer_gate(
    ws: Workshop,
    job: int,
    gate: str,
    *,
    met: bool,
    how: str = "",
    boxes: Sequence[str] = (),
    key: str,
    who: str = "",
) -> JobView:
    """Write down that a safety condition is met, or is not, and return the job.

    `boxes` are the looks whose boxes on its card are ticked: each is written down as a finding of its own.

    Raises
    ------
    UnknownThing : there is no such job.
    BadInput : there is no such condition, or no such box on its card.
    """
    state = job_of(ws, job)
    words = words_for(subject(ws, state, machine_of(ws, state.tag)))
    beside = boxes_ticked(gate, boxes, words) if met else ()
    return record(ws, job, (GateAnswered(gate, met, how), *beside), key=key, who=who)


def save_start(ws: Workshop, job: int, findings: Sequence[Finding], *, key: str, who: str = "") -> JobView:
    """Write down everything noticed during one start as that start, and return the job.

    Raises
    ------
    UnknownThing : there is no such job.
    BadInput : nothing was noticed, or a check or outcome is not known.
    """
    if not findings:
        raise BadInput("Nothing was chosen on the pad. Choose what you noticed, then save.")
    state = job_of(ws, job)
    words = words_for(subject(ws, state, machine_of(ws, state.tag)))
    findings = [located(each, words) for each in findings]
    prompted_by = "" if gates_holding_start(words, state.bench.gates) else "power-on pad"
    start = state.bench.power_up + 1
    return record(ws, job, findings, key=key, who=who, power_up=start, prompted_by=prompted_by)


def set_wanted(ws: Workshop, job: int, wanted: Sequence[str], *, key: str, who: str = "") -> JobView:
    """Change the functions a job should end with.

    Raises
    ------
    BadInput : no function is left, or one is not known.
    """
    state = job_of(ws, job)
    words = words_for(subject(ws, state, machine_of(ws, state.tag)))
    unknown = [name for name in wanted if name not in words.functions]
    if unknown or not wanted:
        raise BadInput(
            f"There is no function {', '.join(map(repr, unknown))}." if unknown else "A job needs a goal."
        )
    return record(ws, job, (WantedSet(tuple(wanted)),), key=key, who=who)


def shelve(
    ws: Workshop, job: int, waits_for: WaitsFor, words: str = "", *, key: str, who: str = ""
) -> JobView:
    """Put a job on the shelf for something."""
    return record(ws, job, (Shelved(waits_for, words),), key=key, who=who)


def resume(ws: Workshop, job: int, words: str = "", *, key: str, who: str = "") -> JobView:
    """Take a resting job up again."""
    return record(ws, job, (Resumed(words),), key=key, who=who)


def stop(ws: Workshop, job: int, because: str, *, key: str, who: str = "") -> JobView:
    """End a job short of repair: stabilised and left.

    Raises
    ------
    BadInput : no reason is given.
    """
    if not because.strip():
        raise BadInput("Say in words why the job stops here; whoever opens the machine next will need it.")
    return record(ws, job, (Stopped(because.strip()),), key=key, who=who)


def sign_off(ws: Workshop, job: int, words: str = "", *, key: str, who: str = "") -> JobView:
    """Sign a job off: done and proven, or let go with words that say why.

    Raises
    ------
    Refused : a wanted function is not proven, or the machine is not whole, and no words say why.
    """
    state = job_of(ws, job)
    view = job_view(ws, subject(ws, state, machine_of(ws, state.tag)))
    if state.standing == "signed off":
        return view
    if not view.sign_off.ready and not words.strip():
        raise Refused(f"{view.sign_off.words} Prove it, or say in words why it is let go.")
    unproven = tuple(each.function for each in view.sign_off.unproven)
    return record(ws, job, (SignedOff(words.strip(), unproven),), key=key, who=who)
