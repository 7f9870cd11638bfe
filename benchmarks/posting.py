"""From a tap to the next card: the form of a step card sent as the page sends it, to the real application."""

from __future__ import annotations

import re
import tempfile
import time
from pathlib import Path

from starlette.testclient import TestClient

from powergood.bench import board, demo, job
from powergood.bench.step_views import StepCard
from powergood.web.app import create_app

HOST = "http://127.0.0.1:8077"


def request_to_card(turns: int) -> list[float]:
    """Return milliseconds from posting an answer until the HTML with the next card is there.

    The demo's job, each step answered with its last (good) outcome, as a page with its script on does it;
    begun anew in a fresh workshop when it has no more cards to answer.
    """
    taken: list[float] = []
    while len(taken) < turns:
        before = len(taken)
        with tempfile.TemporaryDirectory() as folder:
            _along_one_job(Path(folder) / "museum", turns, taken)
        assert len(taken) > before, "the demo's job has no card to answer"
    return taken


def _along_one_job(folder: Path, turns: int, taken: list[float]) -> None:
    """Answer cards of a fresh demo until its job or the turns run out, adding each time to `taken`."""
    ws = demo.create(folder)
    number = board(ws).open[0].number
    with TestClient(create_app(ws), base_url=HOST, headers={"origin": HOST, "hx-request": "true"}) as client:
        while len(taken) < turns:
            card = job(ws, number).next
            if card is None or not card.keys:
                break
            address, fields = _form(client.get(f"/jobs/{number}").text, number, card)
            start = time.perf_counter()
            answer = client.post(address, data=fields)
            taken.append(1e3 * (time.perf_counter() - start))
            assert answer.status_code == 200, answer.text[:300]
    ws.close()


def _form(page: str, number: int, card: StepCard) -> tuple[str, dict[str, str]]:
    """Return where the card's form goes and what it sends when its last outcome is pressed."""
    action = "gate" if card.kind == "gate" else "answer"
    name = "gate" if card.kind == "gate" else "step"
    address = f"/jobs/{number}/{action}"
    for form in re.findall(rf'<form[^>]*action="{address}".*?</form>', page, re.S):
        hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form)
        fields = dict(hidden)
        if fields.get(name) == card.step:
            return address, {
                **fields,
                "outcome": card.keys[-1].outcome,
                "met": "yes",
                "sure": "yes",
                "consent": "yes",
            }
    raise LookupError(f"no form for {card.step} on the page")
