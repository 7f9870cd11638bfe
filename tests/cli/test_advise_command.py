"""`powergood advise` answers without a workshop, for people and for programs."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

Run = Callable[..., Result]


FINDINGS = """\
format: 1
intake: [unused-for-years]
facts:
  - {gate: quarantine, met: yes}
  - {gate: cells-seen, met: yes}
  - {gate: pack-looked-at, met: yes}
  - {gate: adapter-checked, met: yes}
  - {check: pad-power-lamp, outcome: good, power_up: 1}
  - {check: pad-light, outcome: light, power_up: 1}
  - {check: pad-image, outcome: good, power_up: 1, sure: no}
"""

# The fields that design of the interface fixes; more may be added, none taken away.
FIELDS = (
    "format family digest faults something_else together cleared gates steps expected_total "
    "expected_total_error at_least conflict"
)
STEP = "step kind ask outcomes minutes elapsed money opens expected_total why"


@pytest.fixture
def findings(tmp_path: Path) -> Path:
    path = tmp_path / "findings.yaml"
    path.write_text(FINDINGS)
    return path


def test_json_is_one_object_with_the_fixed_fields(run: Run, findings: Path) -> None:
    done = run("advise", "brenlund-n480", "--findings", findings, "--json")
    assert done.exit_code == 0
    answer = json.loads(done.output)
    assert set(FIELDS.split()) <= set(answer)
    assert answer["format"] == 1
    assert answer["family"] == "pata-laptop"
    assert {"fault", "part", "chance"} <= set(answer["faults"][0])
    assert {"area", "chance"} <= set(answer["something_else"][0])
    assert {"faults", "chance"} <= set(answer["together"][0])
    assert {"gate", "met", "because"} <= set(answer["gates"][0])
    assert set(STEP.split()) <= set(answer["steps"][0])
    totals = [step["expected_total"] for step in answer["steps"] if step["kind"] != "gate"]
    assert totals[0] == min(totals)


def test_equal_files_give_equal_answers(run: Run, findings: Path) -> None:
    first, second = (run("advise", "brenlund-n480", "--findings", findings, "--json") for _ in range(2))
    assert first.output == second.output


def test_findings_move_what_is_suspected(run: Run, findings: Path) -> None:
    def inverter(*words: str | Path) -> float:
        answer = json.loads(run("advise", "brenlund-n480", "--json", *words).output)
        return next(each["chance"] for each in answer["faults"] if each["fault"] == "inverter.failed")

    assert inverter("--findings", findings) > 2 * inverter()


def test_people_read_the_next_step_with_its_cautions_and_what_is_suspect(run: Run) -> None:
    done = run("advise", "quillane-tr14")
    assert done.exit_code == 0
    for said in ("Quillane TR14", "To be met first", "Next", "Suspect", "in 100", "minutes on average"):
        assert said in done.output


def test_what_the_step_is_held_against_is_in_words_and_in_figures(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "findings.yaml"
    path.write_text(FINDINGS + "  - {gate: quarantine, met: yes}\n  - {gate: disk-content-safe, met: yes}\n")
    answer = json.loads(run("advise", "brenlund-n480", "--findings", path, "--json").output)
    said = run("advise", "brenlund-n480", "--findings", path).output
    assert [each["because"] for each in answer["against"]] == ["next best", "own fix"]
    first, second = answer["steps"][:2]
    assert answer["against"][0]["step"] == second["step"]
    assert answer["against"][0]["saves"] == pytest.approx(second["expected_total"] - first["expected_total"])
    for each in answer["against"]:
        assert each["words"] in said


def test_a_family_can_be_advised_on_where_there_is_no_sheet(run: Run) -> None:
    assert run("advise", "pata-laptop", "--json").exit_code == 0


def test_mistakes_in_the_findings_are_all_told_with_line_and_column(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "findings.yaml"
    path.write_text("format: 1\nfacts:\n  - {check: pad-fam, outcome: good}\n  - {open: attic}\n")
    done = run("advise", "brenlund-n480", "--findings", path)
    assert done.exit_code == 2
    assert "findings.yaml:3:" in done.stderr
    assert "findings.yaml:4:" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_unknown_sheet_is_bad_input_that_names_those_there_are(run: Run) -> None:
    done = run("advise", "no-such")
    assert done.exit_code == 2
    assert "brenlund-n480" in done.stderr


def test_a_missing_findings_file_is_bad_input(run: Run, tmp_path: Path) -> None:
    done = run("advise", "brenlund-n480", "--findings", tmp_path / "none.yaml")
    assert done.exit_code == 2
    assert "none.yaml" in done.stderr


def test_a_conflict_is_reported_and_is_no_error(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "findings.yaml"
    path.write_text(
        "format: 1\nfacts:\n"
        "  - {check: pad-plug-lamp, outcome: bad, power_up: 1}\n"
        "  - {check: pad-current, outcome: standby-power, power_up: 1}\n"
        "  - {check: look-at-white, outcome: good, power_up: 1}\n"
    )
    done = run("advise", "brenlund-n480", "--findings", path, "--json")
    assert done.exit_code == 0
    assert json.loads(done.output)["conflict"]
    assert "fits nothing known" in run("advise", "brenlund-n480", "--findings", path).output
