"""The workshop on disk: facts in SQLite that only grow, photos by digest, settings, backup and restore."""

from powergood.store.append import next_free_tag
from powergood.store.backup import BackupReport, Progress, backup
from powergood.store.export import fact_object, write_facts
from powergood.store.restore import RestoreReport, restore
from powergood.store.store import Clock, Store, utc_now

__all__ = [
    "BackupReport",
    "Clock",
    "Progress",
    "RestoreReport",
    "Store",
    "backup",
    "fact_object",
    "next_free_tag",
    "restore",
    "utc_now",
    "write_facts",
]
