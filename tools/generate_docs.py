"""Write the reference pages that are made from the code, or say which of them are stale.

    python tools/generate_docs.py            write them all
    python tools/generate_docs.py --check    write nothing; fail and name the stale ones

What the code cannot say (the meaning of a plain field such as `minutes`) stands in `tools/meanings.toml`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
REFERENCE = ROOT / "docs" / "reference"
sys.path[:0] = [str(ROOT), str(ROOT / "src")]

from tools.reference import commands, data, names, rules  # noqa: E402  (the path must be set first)

PAGES: Mapping[str, Callable[[], str]] = {
    "commands.md": commands.page,
    "pack-files.md": data.pack_files,
    "pack-rules.md": rules.page,
    "pack-schema.json": data.pack_schema,
    "findings-file.md": data.findings_file,
    "advice.md": data.advice,
    "page-variables.md": data.page_variables,
    "record.md": data.record,
    "python.md": names.page,
}
"""Each generated page, and what makes its text."""


def stale() -> list[str]:
    """Return the pages whose file is not what the code says now."""
    return [name for name, make in PAGES.items() if on_disk(name) != make()]


def on_disk(name: str) -> str:
    """Return a page as it stands; empty when it is not there."""
    file = REFERENCE / name
    return file.read_text(encoding="utf-8") if file.exists() else ""


def main(words: Sequence[str]) -> int:
    """Write the pages, or check them; return the exit code."""
    if "--check" in words:
        old = stale()
        for name in old:
            print(f"docs/reference/{name} is not what the code says: write it anew with `python3 do.py docs`")
        return 1 if old else 0
    for name, make in PAGES.items():
        text = make()
        changed = text != on_disk(name)
        (REFERENCE / name).write_text(text, encoding="utf-8", newline="\n")
        print(f"docs/reference/{name}{' (changed)' if changed else ''}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
