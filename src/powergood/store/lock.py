"""The write lock: one writer at a time, among the threads of a process and among processes.

SQLite's own waiting starves writers, and its releases before 3.51.3 can damage a database when two
connections write and checkpoint at the same moment (sqlite.org/wal.html, "The WAL-Reset Bug"). Every
transaction that writes is therefore made while this lock is held.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from powergood.errors import WorkshopError
from powergood.store.layout import LOCK_NAME

_guard = threading.Lock()
_threads: dict[Path, threading.Lock] = {}


class WriteLock:
    """The lock of one workshop folder; every instance for a folder shares the same lock.

    `patience_s` is how long to wait for another writer before saying so.
    """

    def __init__(self, folder: Path, patience_s: float = 10.0) -> None:
        self.path = folder.resolve() / LOCK_NAME
        self.patience_s = patience_s
        with _guard:
            self._thread_lock = _threads.setdefault(self.path, threading.Lock())

    @contextmanager
    def held(self) -> Iterator[None]:
        """Hold the lock; raise WorkshopError when another writer does not let go in time."""
        deadline = time.monotonic() + self.patience_s
        if not self._thread_lock.acquire(timeout=self.patience_s):
            raise self._busy()
        try:
            descriptor = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o666)
            try:
                self._wait_for_file(descriptor, deadline)
                yield
            finally:
                os.close(descriptor)
        finally:
            self._thread_lock.release()

    def _wait_for_file(self, descriptor: int, deadline: float) -> None:
        pause_s = 0.001
        while not _take(descriptor):
            if time.monotonic() >= deadline:
                raise self._busy()
            time.sleep(pause_s)
            pause_s = min(pause_s * 2, 0.005)

    def _busy(self) -> WorkshopError:
        return WorkshopError(
            f"Another program is writing in {self.path.parent} and did not finish within "
            f"{self.patience_s:g} s. Nothing was changed. Wait for it, or close it, and try again."
        )


if sys.platform == "win32":
    import msvcrt

    def _take(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
