"""The pack that the how-to builds is a pack: what a reader copies from the page works."""

from __future__ import annotations

import re
from pathlib import Path

from powergood.packs import check_pack, load_pack

PAGE = Path(__file__).parents[2] / "docs" / "howto" / "pack.md"


def files() -> dict[str, str]:
    """Return the files that the page shows, by their name in the pack."""
    blocks = re.findall(r"^```yaml\n# (\S+\.yaml)\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.M | re.S)
    return dict(blocks)


def write(folder: Path, shown: dict[str, str]) -> Path:
    for name, text in shown.items():
        file = folder / "my-pack" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return folder / "my-pack"


def test_the_pack_of_the_howto_has_no_mistake_and_no_doubtful_place(tmp_path: Path) -> None:
    path = write(tmp_path, files())
    assert [str(issue) for issue in check_pack(path)] == []
    assert load_pack(path).machine("floppy-drive").faults


def test_without_the_inlet_its_check_tells_nothing_apart_as_the_howto_says(tmp_path: Path) -> None:
    shown = files()
    del shown["subsystems/inlet.yaml"]
    family = shown["families/floppy-drive.yaml"]
    shown["families/floppy-drive.yaml"] = family.replace("[drive, inlet]", "[drive]").replace(
        ", inlet: 1.5 (judgement)", ""
    )
    issues = [issue.message for issue in check_pack(write(tmp_path, shown))]
    assert any("known-good-adapter" in message and "tells nothing apart" in message for message in issues)
