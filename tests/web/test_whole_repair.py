"""A whole repair without JavaScript: from taking in to signing off, by the forms as they stand."""

from __future__ import annotations

from powergood import bench


def test_a_repair_can_be_recorded_from_taking_in_to_signed_off_without_javascript(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    page = visitor.open(at)
    assert "Before anything else" in page
    visitor.meet_gate(number)

    answer = visitor.send(f"{at}/pad", f"{at}/pad", **{"k:how-far": "picture"})
    assert answer.headers["location"] == f"{at}/pad?said=start"
    told = visitor.open(answer.headers["location"])
    assert "Start 1 told" in told
    assert "Lamp lit, screen dark" in told

    answer = visitor.post(
        f"{at}/answer", {**visitor.card(number, "torch"), "outcome": "good", "note": "faint but clear"}
    )
    assert answer.status_code == 303
    answer = visitor.post(
        f"{at}/answer",
        {**visitor.card(number, "change-inverter", "fix"), "outcome": "done", "instance": "SP-7"},
    )
    assert answer.status_code == 303
    page = visitor.open(at)
    assert "SP-7" in page

    answer = visitor.send(at, f"{at}/opening", "bezel")
    assert answer.status_code == 303
    answer = visitor.send(f"{at}/pad", f"{at}/pad", **{"k:how-far": "good", "k:power-lamp": "good"})
    assert answer.status_code == 303
    answer = visitor.send(f"{at}/sign-off", f"{at}/sign-off", words="run for an evening")
    assert answer.headers["location"] == f"{at}?said=signed-off"
    assert bench.job(workshop, number).standing == "signed off"
    assert "Signed off" in visitor.open(at)
