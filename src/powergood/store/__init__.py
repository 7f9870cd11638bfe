"""The workshop on disk: facts in SQLite that only grow, photos by digest, settings, backup and restore."""

from powergood.store.append import next_free_tag
from powergood.store.store import Clock, Store, utc_now

__all__ = ["Clock", "Store", "next_free_tag", "utc_now"]
