"""What the record of a machine or job is drawn from: its facts as sentences, and its photos."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo kept with a machine or a job.

    digest : SHA-256 of the stored file; the store's `photo_path` finds it.
    caption : words under it.
    fact : number of the fact that brought it.
    at : when it was taken or added.
    """

    digest: str
    caption: str
    fact: int
    at: str


@dataclass(frozen=True, slots=True)
class RecordLine:
    """One fact of the record as a sentence.

    fact : its number, which gives the order.
    at : when it was seen; when it was written, if that is all that is known.
    written_at : when it was written.
    who : who said so.
    kind : the kind of fact in words: finding, fix, opening, gate, note, photo …
    sentence : what happened, in one sentence.
    note : further words typed with it.
    told : true when it is only the giver's word.
    sure : false when the person was not sure.
    power_up : number of the start it was seen in; 0 when none.
    photo : digest of its photo.
    job : number of its job; 0 when it belongs to the machine alone.
    withdrawn : true when it was taken back; it is shown struck through.
    withdrawn_because : the reason given.
    can_withdraw : true when it may be taken back now.
    conflicts : true when it is one of the findings that together fit nothing known.
    prompted_by : the step that asked for it.
    """

    fact: int
    at: str
    written_at: str
    who: str
    kind: str
    sentence: str
    note: str = ""
    told: bool = False
    sure: bool = True
    power_up: int = 0
    photo: str = ""
    job: int = 0
    withdrawn: bool = False
    withdrawn_because: str = ""
    can_withdraw: bool = False
    conflicts: bool = False
    prompted_by: str = ""
