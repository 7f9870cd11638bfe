"""What lies in a workshop's folder, and when a folder is free to become one."""

from __future__ import annotations

from pathlib import Path

from powergood.errors import WorkshopError

DATABASE_NAME = "workshop.sqlite"
PHOTOS_NAME = "photos"
PACKS_NAME = "packs"
LOCK_NAME = "write.lock"
COPIES_NAME = "before-migration"


def refuse_unless_free(folder: Path) -> None:
    """Raise WorkshopError unless `folder` is empty, or not there yet; hidden files do not count."""
    if not folder.exists():
        return
    if not folder.is_dir():
        raise WorkshopError(f"{folder} is a file, not a folder. Choose another name for the workshop.")
    if (folder / DATABASE_NAME).exists():
        raise WorkshopError(f"There is a workshop in {folder} already. Open it, or choose an empty folder.")
    ours = {LOCK_NAME, f"{DATABASE_NAME}.tmp", f"{DATABASE_NAME}.tmp-wal", f"{DATABASE_NAME}.tmp-shm"}
    in_the_way = sorted(p.name for p in folder.iterdir() if p.name not in ours and p.name[0] != ".")
    if in_the_way:
        raise WorkshopError(
            f"The folder {folder} is not empty (it holds {in_the_way[0]}). Choose an empty folder."
        )
