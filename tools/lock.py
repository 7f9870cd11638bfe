"""The locked requirements, made from pyproject.toml for every system and Python they are for.

Used by `do.py lock`; needs uv. No index address is written into them, so they work behind any mirror.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

PYTHONS = ("3.11", "3.12", "3.13", "3.14")
PLATFORMS = (
    "x86_64-unknown-linux-gnu",
    "aarch64-unknown-linux-gnu",
    "x86_64-unknown-linux-musl",
    "x86_64-apple-darwin",
    "aarch64-apple-darwin",
    "x86_64-pc-windows-msvc",
)
HEADER = "# Made by `python3 do.py lock` from pyproject.toml; do not edit.\n"
NOT_FOR_TESTS = ("x86_64-unknown-linux-musl",)  # the browser driver of the page tests has no wheel there


def lock_all(root: Path, uv: str, words: Sequence[str], say: Callable[[str], None]) -> None:
    """Write requirements/run.txt and dev.txt, then prove that each has wheels for every system.

    `words` go to uv (`--upgrade`, say). Raises CalledProcessError; uv's own words stand on stderr.
    """
    base = [uv, "pip", "compile", "--quiet", "--only-binary", ":all:", "--no-header", "--no-annotate"]
    whole = [*base, "--universal", "--python-version", PYTHONS[0], "--generate-hashes", "--no-emit-index-url"]
    whole += ["--no-emit-find-links", *words, "pyproject.toml"]
    for kind, extra in (("run", []), ("dev", ["--group", "dev", "-c", "requirements/run.txt"])):
        file = f"requirements/{kind}.txt"
        say(f"Resolving {file} ...")
        subprocess.run([*whole, *extra, "-o", file], cwd=root, check=True, stdout=subprocess.DEVNULL)
        text = (root / file).read_text(encoding="utf-8").removeprefix(HEADER)
        (root / file).write_text(HEADER + text, encoding="utf-8", newline="\n")
        systems = [each for each in PLATFORMS if kind == "run" or each not in NOT_FOR_TESTS]
        for number, system in enumerate(systems, 1):
            say(f"  trying it for {system} ({number} of {len(systems)}) ...")
            for version in PYTHONS:
                there = ["--no-deps", "--python-platform", system, "--python-version", version, file]
                subprocess.run([*base, *there], cwd=root, check=True, stdout=subprocess.DEVNULL)
