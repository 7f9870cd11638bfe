"""What the tables of the benchmarks are made with: rows, means with errors, words of how far it has come."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime

import numpy as np

Rows = list[list[str]]


def say(words: str) -> None:
    """Tell how far it has come."""
    print(f"{datetime.now(UTC):%H:%M:%S} load {load()} {words}", file=sys.stderr, flush=True)


def load() -> str:
    """Return how busy the machine is, where the system says so."""
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"


def table(head: list[str], rows: Rows) -> str:
    """Return a Markdown table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def mean_and_error(values: np.ndarray, shape: str) -> str:
    """Return a mean with its standard error."""
    return f"{values.mean():{shape}} ± {values.std(ddof=1) / values.size**0.5:.0f}"
