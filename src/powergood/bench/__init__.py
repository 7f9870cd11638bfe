"""One function for each thing a person does at the bench; composes the store, the packs and the diagnosis.

What a person is shown are views: frozen objects, each in the `*_views` module named for what it shows. They
hold plain values and plain English sentences: no markup, no colour. Chances and strengths are in [0, 1].
Minutes are minutes of your own time. Times are ISO 8601 in UTC. An empty string or 0 means "none". Each
docstring lists its fields as `name : meaning`; the reference page of page variables is made from them.

Public names (results are views; `key` makes a resend add nothing):

    Workshop.create(folder) / Workshop.open(folder) -> Workshop     also: .store, .close(), .new_key()

    board(ws) -> BoardView
    machines(ws) -> tuple[MachineCard, ...]
    machine(ws, tag) -> MachineView                                  UnknownThing
    kinds(ws) -> tuple[Kind, ...]
    next_tag(ws) -> str
    take_in(ws, TakeIn(...), *, key, who) -> str                     the tag; BadInput, BadPhoto
    describe(ws, tag, {what: value}, *, key, who) -> MachineView     details changed later
    answer_intake(ws, tag, {question: yes}, *, key, who) -> MachineView
    keep_photo(ws, data) -> str                                      the digest, before any fact; BadPhoto
    add_photo(ws, photo, *, tag="", job=0, caption="", key, who) -> str bytes or digest; BadPhoto

    complaints(ws, sheet, words, complaint="") -> ComplaintMatch
    open_job(ws, tag, *, words, complaint="", wanted=(), key, who) -> int
    job(ws, number) -> JobView                                       UnknownThing
    job_name(ws, number) -> JobName                                  its machine; nothing is worked out
    record(ws, job, bodies, *, key, who, power_up=0, prompted_by="", seen_at="") -> JobView
    answer(ws, job, StepAnswer(...), *, key, who) -> JobView         one key pressed on a step card
    answers(ws, job, [StepAnswer(...)], *, text="", key, who) -> JobView
    answer_gate(ws, job, gate, *, met, how="", boxes=(), key, who) -> JobView    boxes: looks seen beside
    save_start(ws, job, findings, *, key, who) -> JobView            the power-on pad, one start
    withdraw(ws, job, fact, because, *, key, who) -> JobView         what came of it falls with it
    what_if(ws, job, check, outcome, copy=0) -> Advice
    other_work(ws, job, find="", step="") -> OtherWork               looks and mends that are not advised
    marked_words(ws, job, step, cells) -> str                        what marked cells of a grid make up
    nearer(ws, job, level) -> Nearness                               how near the plan is to the best
    weighing(ws, job, fault) -> Weighing                             what each finding says of a fault
    set_wanted(ws, job, wanted, *, key, who) -> JobView
    shelve(ws, job, waits_for, words, *, key, who) -> JobView
    resume(ws, job, words="", *, key, who) -> JobView
    stop(ws, job, because, *, key, who) -> JobView
    note_readings(ws, job, stage, {limit: text}, *, instrument, with_check, key, who) -> JobView
    finish_stage(ws, job, stage, how="", *, key, who) -> JobView     a stage of bring-up is done; Refused
    let_stages_go(ws, job, how, *, key, who) -> JobView              the stages left are let go; Refused
    stop_stage(ws, job, stage, seen, because="", *, key, who) -> JobView
    sign_off(ws, job, words="", *, key, who) -> JobView              Refused when unproven and no words

    learned_numbers(ws) -> Mapping[str, LearnedNumber]               what closed jobs taught, by number id
    set_aside(ws, number, because="", *, key, who)                   UnknownThing
    use_again(ws, number, *, key, who)                               BadInput
    use_learned_now(ws, job, *, key, who)                            a job rests on the numbers of now

    taught(ws) -> TaughtView                                         the same in words
    worth_view(ws) -> WorthView                                      preferences and limits, with history
    prefer(ws, {name: value}, *, key, who)                           BadInput
    take_back(ws, fact, *, key, who)                                 a preference; BadInput

    advise_sheet(sheet, findings=None, pack=None) -> SheetAdvice     no workshop needed
    unparted(pack) -> tuple[FamilyPairs, ...]                        pairs of faults that no check parts
    demo.create(folder) -> Workshop
"""

from powergood.bench import demo
from powergood.bench.board import board
from powergood.bench.grids import marked_words
from powergood.bench.jobs import complaints, job, job_name, open_job, what_if
from powergood.bench.kinds import kinds
from powergood.bench.machines import machine, machines
from powergood.bench.nearing import nearer
from powergood.bench.other_work import other_work
from powergood.bench.pairs import unparted
from powergood.bench.preferring import prefer, take_back, worth_view
from powergood.bench.recording import (
    answer,
    answer_gate,
    answers,
    record,
    resume,
    save_start,
    set_wanted,
    shelve,
    sign_off,
    stop,
)
from powergood.bench.sheet_advice import advise_sheet
from powergood.bench.stage_acts import finish_stage, let_stages_go, note_readings, readings_of, stop_stage
from powergood.bench.taking_back import withdraw
from powergood.bench.taking_in import add_photo, answer_intake, describe, keep_photo, next_tag, take_in
from powergood.bench.taught_page import taught
from powergood.bench.teaching import learned_numbers, set_aside, use_again, use_learned_now
from powergood.bench.weighed import weighing
from powergood.bench.workshop import Workshop

__all__ = [
    "Workshop",
    "add_photo",
    "advise_sheet",
    "answer",
    "answer_gate",
    "answer_intake",
    "answers",
    "board",
    "complaints",
    "demo",
    "describe",
    "finish_stage",
    "job",
    "job_name",
    "keep_photo",
    "kinds",
    "learned_numbers",
    "let_stages_go",
    "machine",
    "machines",
    "marked_words",
    "nearer",
    "next_tag",
    "note_readings",
    "open_job",
    "other_work",
    "prefer",
    "readings_of",
    "record",
    "resume",
    "save_start",
    "set_aside",
    "set_wanted",
    "shelve",
    "sign_off",
    "stop",
    "stop_stage",
    "take_back",
    "take_in",
    "taught",
    "unparted",
    "use_again",
    "use_learned_now",
    "weighing",
    "what_if",
    "withdraw",
    "worth_view",
]
