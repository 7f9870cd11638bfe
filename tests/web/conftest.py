"""A real workshop in a temporary folder, with the little machine, and a browser's manners for the client."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from powergood.bench import Workshop
from powergood.bench.library import Library
from powergood.web import create_app

sys.path.insert(0, str(Path(__file__).parent))
from little_machine import little_pack

HOST = "http://localhost:8077"


class _Forms(HTMLParser):
    """Collects the forms of a page: their address and the fields a browser would send without a touch."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, dict[str, str]]] = []
        self._inside = False
        self._area = ""
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a form or take a field."""
        has = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((has.get("action", ""), {}))
            self._inside = True
        elif self._inside and tag == "input" and "name" in has:
            kind = has.get("type", "text")
            if (kind in ("checkbox", "radio") and "checked" not in has) or kind == "file":
                return
            self.forms[-1][1][has["name"]] = has.get("value", "on")
        elif self._inside and tag == "textarea":
            self._area = has["name"]
            self.forms[-1][1][self._area] = ""
        elif self._inside and tag == "select":
            self._select = has["name"]
        elif self._inside and tag == "option" and "selected" in has:
            self.forms[-1][1][self._select] = has["value"]

    def handle_endtag(self, tag: str) -> None:
        """End a form or a text area."""
        if tag == "form":
            self._inside = False
        if tag == "textarea":
            self._area = ""

    def handle_data(self, data: str) -> None:
        """Take the text of a text area."""
        if self._area:
            self.forms[-1][1][self._area] += data


@dataclass
class Visitor:
    """A browser without JavaScript: opens pages, fills forms as they stand, follows what comes back."""

    client: TestClient

    def open(self, address: str) -> str:
        """Return a page's HTML; it must be there."""
        answer = self.client.get(address)
        assert answer.status_code == 200, (address, answer.status_code, answer.text[:500])
        return answer.text

    def form(self, page: str, action: str, holding: str = "") -> dict[str, str]:
        """Return the fields of the first form with that address on a page, holding `holding` in a value."""
        found = _Forms()
        found.feed(page)
        fitting = [
            fields
            for address, fields in found.forms
            if address == action and (not holding or holding in fields.values())
        ]
        assert fitting, (action, holding, [address for address, _ in found.forms])
        return dict(fitting[0])

    def send(self, address: str, action: str, holding: str = "", files: object = None, **typed: str):
        """Open a page, fill one of its forms and send it; returns the answer, not followed."""
        fields = {**self.form(self.open(address), action, holding), **typed}
        return self.post(action, fields, files)

    def post(self, action: str, fields: dict[str, str], files: object = None, **headers: str):
        """Send a form as a browser would, with its origin."""
        return self.client.post(
            action, data=fields, files=files, headers={"origin": HOST, **headers}, follow_redirects=False
        )

    def job_with_complaint(self, words: str = "black screen") -> int:
        """Take a machine in, begin a job on it and meet its safety condition; returns the job's number."""
        answer = self.send("/machines/new", "/machines", name="Harbour laptop", sheet="skerry-20")
        tag = re.search(r"/machines/([^?]+)", answer.headers["location"])
        assert tag
        at = f"/machines/{tag[1]}"
        answer = self.send(at, f"{at}/jobs", words=words)
        number = re.search(r"/jobs/(\d+)", answer.headers["location"])
        assert number, answer.text
        return int(number[1])

    def card(self, number: int, step: str, kind: str = "check") -> dict[str, str]:
        """Return a step's form on the job's page; another's, made out to this one, where it is not shown."""
        action = f"/jobs/{number}/answer"
        page = self.open(f"/jobs/{number}")
        fields = self.form(page, action, step) if f'value="{step}"' in page else self.form(page, action)
        return {**fields, "step": step, "kind": kind}

    def meet_gate(self, number: int) -> None:
        """Tick the one safety condition."""
        at = f"/jobs/{number}"
        answer = self.send(at, f"{at}/gate", "cells-seen", sure="yes", how="looked under the hatch")
        assert answer.status_code == 303, answer.text


@pytest.fixture(scope="session")
def library() -> Library:
    """The little machine's pack; shared, since composing and compiling are pure."""
    return Library([little_pack()])


@pytest.fixture
def workshop(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """A workshop with the little machine's pack."""
    made = Workshop.create(tmp_path / "workshop", library=library)
    yield made
    made.close()


@pytest.fixture
def visitor(workshop: Workshop) -> Iterator[Visitor]:
    """A browser without JavaScript at that workshop's pages."""
    with TestClient(create_app(workshop), base_url=HOST) as client:
        yield Visitor(client)
