"""The written pages: links lead somewhere, examples run, decisions and changes have their form."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from powergood.packs import builtin_pack
from powergood.packs.findings import read_findings

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
PAGES = [ROOT / "README.md", *sorted(DOCS.rglob("*.md"))]
DECISIONS = sorted((DOCS / "decisions").glob("[0-9]*.md"))
PARTS = ["Status", "Context", "Options", "Decision", "Consequences", "What would reopen it"]
CHANGES = [page for page in sorted((ROOT / "changelog.d").glob("*.md")) if page.name != "README.md"]


def name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def without_code(document: Path) -> str:
    text = document.read_text(encoding="utf-8")
    return re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)


def anchors(document: Path) -> set[str]:
    heads = re.findall(r"^#+ (.+)$", without_code(document), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).strip().replace(" ", "-") for head in heads}


def code(document: Path, language: str) -> list[str]:
    return re.findall(
        rf"^```{language}\n(.*?)^```", document.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )


@pytest.mark.parametrize("document", PAGES, ids=name)
def test_every_link_leads_to_a_file_and_heading_that_are_there(document: Path) -> None:
    broken = []
    for target in re.findall(r"\]\(([^)\s]+)\)", without_code(document)):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        file = (document.parent / path).resolve() if path else document
        if not file.exists() or (anchor and file.suffix == ".md" and anchor not in anchors(file)):
            broken.append(target)
    assert broken == []


@pytest.mark.parametrize("document", PAGES, ids=name)
def test_every_page_is_plain_and_begins_with_its_title(document: Path) -> None:
    text = document.read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert not re.search(r"\w!(\s|$)", without_code(document)), "no exclamation marks"


def test_every_page_can_be_reached_from_the_readme() -> None:
    found = [ROOT / "README.md"]
    for page in found:
        for target in re.findall(r"\]\(([^)\s#]+\.md)(?:#[\w-]+)?\)", page.read_text(encoding="utf-8")):
            file = (page.parent / target).resolve()
            if file.exists() and file not in found:
                found.append(file)
    assert [name(page) for page in PAGES if page not in found] == []


@pytest.mark.parametrize("document", DECISIONS, ids=name)
def test_a_decision_says_what_was_weighed_and_what_would_reopen_it(document: Path) -> None:
    heads = re.findall(r"^## (.+)$", document.read_text(encoding="utf-8"), re.MULTILINE)
    assert heads == PARTS


def test_no_two_decisions_have_one_number_and_the_list_has_them_all_in_order() -> None:
    numbers = [int(page.name[:4]) for page in DECISIONS]
    listed = re.findall(r"^(\d+)\. ", (DOCS / "decisions" / "README.md").read_text("utf-8"), re.MULTILINE)
    assert len(set(numbers)) == len(numbers)
    assert [int(number) for number in listed] == sorted(numbers)


@pytest.mark.parametrize("document", CHANGES, ids=name)
def test_a_change_is_told_in_a_few_lines(document: Path) -> None:
    text = document.read_text(encoding="utf-8").strip()
    assert 0 < len(text.splitlines()) <= 6
    assert text.endswith(".")


def test_the_architecture_names_every_package_and_no_module_that_is_not_there() -> None:
    text = (DOCS / "architecture.md").read_text(encoding="utf-8")
    source = ROOT / "src" / "powergood"
    packages = {path.name for path in source.iterdir() if (path / "__init__.py").exists()}
    assert {package for package in packages if f"**{package}**" not in text} == set()
    gone = [
        named
        for named in re.findall(r"`((?:\w+/)*\w+\.py)`", text)
        if not (source / named).exists() and not (ROOT / named).exists()
    ]
    assert gone == []


@pytest.mark.parametrize("example", code(DOCS / "howto" / "python.md", "python"), ids=lambda text: text[:30])
def test_the_python_examples_run_and_print_what_is_said(example: str, tmp_path: Path) -> None:
    said = [line.removeprefix("# -> ") for line in example.splitlines() if line.startswith("# -> ")]
    assert said, "an example shows what it prints, in lines that begin with # ->"
    environment = {"PYTHONPATH": str(ROOT / "src"), "PYTHONUTF8": "1"}
    done = subprocess.run(
        [sys.executable, "-c", example], capture_output=True, text=True, cwd=tmp_path, env=environment
    )
    assert done.stderr == ""
    assert done.stdout.splitlines() == said


def test_the_example_of_a_findings_file_is_one(tmp_path: Path) -> None:
    (example,) = code(DOCS / "reference" / "findings-file.md", "yaml")
    file = tmp_path / "findings.yaml"
    file.write_text(example, encoding="utf-8")
    sheet = next(iter(builtin_pack().sheets))
    found = read_findings(file, builtin_pack().machine(sheet))
    kinds = [type(draft.body).__name__ for draft in found.drafts]
    done = ["Opened", "FixDone", "Reading", "Withdrawn"]
    assert kinds == ["GateAnswered", "Finding", "Finding", "Finding", *done]
    assert found.intake
