"""A workshop of nobody else's for each test: model sheets are made and changed in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from powergood.bench import Workshop


@pytest.fixture
def ws(tmp_path: Path) -> Iterator[Workshop]:
    """A fresh workshop with the program's own pack."""
    made = Workshop.create(tmp_path / "workshop")
    yield made
    made.close()
