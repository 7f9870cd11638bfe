"""What happened, as facts that only grow; pure: it reads no clock and no file.

`model` names the kinds of fact; `timeline` puts them in order, withdrawals applied, and tells the state of
the bench before and after each.
"""

from powergood.record.model import BODY_KINDS, Body, Draft, Fact
from powergood.record.timeline import Bench, Timeline, bench_states, timeline

__all__ = ["BODY_KINDS", "Bench", "Body", "Draft", "Fact", "Timeline", "bench_states", "timeline"]
