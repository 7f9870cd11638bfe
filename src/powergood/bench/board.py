"""The bench page: open jobs with where each stands, resting ones, and machines without a job."""

from __future__ import annotations

from powergood.bench.advising import subject
from powergood.bench.book import jobs_of, machine_of
from powergood.bench.card_views import BoardView, JobCard
from powergood.bench.cards import job_card, machine_card
from powergood.bench.workshop import Workshop

MOST_CLOSED = 5


def board(ws: Workshop) -> BoardView:
    """Return the bench as a whole, latest worked on first."""
    cards: list[JobCard] = []
    idle = []
    for tag in ws.store.machines():
        state = machine_of(ws, tag)
        jobs = jobs_of(state)
        card = machine_card(ws, state, jobs)
        cards += [job_card(ws, subject(ws, job, state), card) for job in jobs]
        if not card.job:
            idle.append(card)
    cards.sort(key=lambda each: (each.changed_at, each.number), reverse=True)
    closed = [card for card in cards if card.standing in ("signed off", "stopped")]
    return BoardView(
        open=tuple(card for card in cards if card.standing == "open"),
        shelved=tuple(card for card in cards if card.standing == "on the shelf"),
        idle=tuple(reversed(idle)),
        closed=tuple(closed[:MOST_CLOSED]),
        next_tag=ws.store.next_tag(),
        pack_troubles=ws.library.troubles,
    )
