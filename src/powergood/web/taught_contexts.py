"""What the pages about learned numbers and preferences are given."""

from __future__ import annotations

from dataclasses import dataclass, field

from powergood.bench.taught_views import TaughtView, WorthView
from powergood.web.forms import Filled


@dataclass(frozen=True, slots=True)
class TaughtPage:
    """What closed jobs have taught, with a form to set each number aside.

    view : the bench's own view.
    """

    view: TaughtView
    title: str = "What your jobs taught"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class WorthPage:
    """What time, money and the machine are worth, and when to stop.

    view : the bench's own view.
    """

    view: WorthView
    title: str = "Worth and limits"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


TaughtPages = TaughtPage | WorthPage
