"""Forms sent twice, and by two devices at once: nothing is doubled and nothing is lost."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from powergood import bench
from powergood.web.forms import Filled


def test_every_form_of_the_job_page_sent_twice_is_written_once(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    visitor.meet_gate(number)
    sent = [
        (f"{at}/answer", "torch", {"outcome": "good"}),
        (f"{at}/opening", "bezel", {}),
        (f"{at}/note", "", {"text": "a note"}),
        (f"{at}/reading", "", {"quantity": "rail", "text": "5.01 V"}),
        (f"{at}/part", "", {"slot": "inverter", "way": "out"}),
    ]
    for action, holding, typed in sent:
        card = action.endswith("/answer")
        form = visitor.card(number, holding) if card else visitor.form(visitor.open(at), action, holding)
        fields = {**form, **typed}
        assert visitor.post(action, fields).status_code == 303
        once = bench.job(workshop, number).record
        assert visitor.post(action, fields).status_code == 303
        assert bench.job(workshop, number).record == once, action


def test_a_start_sent_twice_is_one_start(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}/pad"
    fields = {**visitor.form(visitor.open(at), at), "k:how-far": "picture", "note": "a hum"}
    visitor.post(at, fields)
    once = bench.job(workshop, number)
    visitor.post(at, fields)
    again = bench.job(workshop, number)
    assert again.record == once.record
    assert again.pad.power_up == 2


def test_a_machine_sent_twice_is_taken_in_once(visitor, workshop):
    fields = {**visitor.form(visitor.open("/machines/new"), "/machines"), "name": "Laptop", "sheet": "little"}
    first, second = visitor.post("/machines", fields), visitor.post("/machines", fields)
    assert first.headers["location"] == second.headers["location"]
    assert len(bench.machines(workshop)) == 1


def test_a_job_begun_twice_is_one_job(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="little")
    at = answer.headers["location"].split("?")[0]
    fields = {**visitor.form(visitor.open(at), f"{at}/jobs"), "words": "no picture"}
    first, second = visitor.post(f"{at}/jobs", fields), visitor.post(f"{at}/jobs", fields)
    assert first.headers["location"] == second.headers["location"]
    assert len(bench.board(workshop).open) == 1


def test_two_devices_answering_one_card_at_once_are_both_written_down(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}"
    forms = [
        {**visitor.card(number, "torch"), "outcome": "good", "note": "phone"},
        {**visitor.card(number, "torch"), "outcome": "bad", "note": "tablet"},
    ]
    with ThreadPoolExecutor(2) as both:
        answers = list(both.map(lambda fields: visitor.post(f"{at}/answer", fields), forms))
    assert [answer.status_code for answer in answers] == [303, 303]
    notes = {line.note for line in bench.job(workshop, number).record}
    assert {"phone", "tablet"} <= notes


def test_the_same_form_sent_at_once_by_an_impatient_thumb_is_written_once(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/note"), "text": "only once"}
    with ThreadPoolExecutor(6) as thumbs:
        answers = list(thumbs.map(lambda _: visitor.post(f"{at}/note", fields), range(6)))
    assert {answer.status_code for answer in answers} == {303}
    lines = bench.job(workshop, number).record
    assert sum("only once" in line.sentence + line.note for line in lines) == 1


def test_the_script_is_told_what_came_from_another_device_meanwhile(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}"
    mine = {**visitor.card(number, "torch"), "outcome": "good"}
    visitor.send(at, f"{at}/note", text="from the tablet")
    answer = visitor.post(f"{at}/answer", mine, **{"hx-request": "true"})
    assert answer.status_code == 200
    said = answer.text.split('role="status"')[1].split("</p>")[0]
    assert "from the tablet" in said
    assert "faint picture" in said


def test_other_words_sent_with_the_same_form_while_the_first_are_on_their_way_are_kept_too() -> None:
    first = Filled(text={"key": "k", "text": "rail A"}, every={"key": ["k"], "text": ["rail A"]})
    again = Filled(text={"key": "k", "text": "rail A"}, every={"key": ["k"], "text": ["rail A"]})
    other = Filled(text={"key": "k", "text": "rail B"}, every={"key": ["k"], "text": ["rail B"]})
    assert first.key == again.key
    assert first.key != other.key
    assert first.own_key == other.own_key == "k"
