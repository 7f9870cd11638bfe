"""A tutorial read as a script: files it has written, changes it has made, commands with what they answer.

```yaml      first line `# NAME`: the file is written; `# NAME, at its end`: the rest is added to it
```diff      first line `# NAME`: the lines with - are replaced by those with + that follow
```console   `$ command`, then the answer; a line `...` stands for any lines
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

BLOCK = re.compile(r"^```(yaml|diff|console)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Block:
    """One block of a page: what kind it is, and its text."""

    kind: str
    text: str

    @property
    def name(self) -> str:
        """The file that a yaml or diff block is about."""
        return self.text.partition("\n")[0].removeprefix("# ").partition(",")[0]

    @property
    def rest(self) -> str:
        """The text after the line that names the file."""
        return self.text.partition("\n")[2]

    @property
    def command(self) -> list[str]:
        """The words of a console block's command."""
        return self.text.partition("\n")[0].removeprefix("$ powergood ").split()


def blocks(page: str) -> list[Block]:
    """Return the blocks of a page in order."""
    return [Block(kind, text) for kind, text in BLOCK.findall(page)]


def write(block: Block, folder: Path) -> None:
    """Do to the file what a yaml or diff block says."""
    file = folder / block.name
    if block.kind == "diff":
        text = file.read_text(encoding="utf-8")
        for removed, added in re.findall(r"((?:^-.*\n)+)((?:^\+.*\n)+)", block.rest, re.MULTILINE):
            old, new = (re.sub(r"^[-+]", "", part, flags=re.MULTILINE) for part in (removed, added))
            assert text.count(old) == 1, f"{block.name} has not once: {old}"
            text = text.replace(old, new)
        file.write_text(text, encoding="utf-8")
    elif block.text.startswith(f"# {block.name}, at its end"):
        file.write_text(file.read_text(encoding="utf-8") + block.rest, encoding="utf-8")
    else:
        file.write_text(block.rest, encoding="utf-8")


def answers(shown: str, said: str) -> bool:
    """Tell whether what a command said is what a page shows, `...` standing for any lines."""
    parts = [re.escape(part) for part in re.split(r"^\.\.\.\n", shown, flags=re.MULTILINE)]
    return re.fullmatch(r"(?:.*\n)*?".join(parts), said) is not None
