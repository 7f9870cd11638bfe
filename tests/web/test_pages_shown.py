"""What the pages show, and what they say when something is not there."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from powergood import bench
from powergood.bench.weighed import Say, Weighing
from powergood.errors import DiskFull
from powergood.web import create_app

HOST = "http://localhost:8077"


def test_the_bench_shows_open_jobs_with_what_comes_next_and_machines_without_one(visitor):
    number = visitor.job_with_complaint()
    visitor.send("/machines/new", "/machines", name="Spare laptop", sheet="little")
    page = visitor.open("/")
    assert f'href="/jobs/{number}"' in page
    assert "Spare laptop" in page
    assert "Machines without a job" in page


def test_machines_are_found_by_tag_name_or_place(visitor):
    visitor.send("/machines/new", "/machines", name="Gannet", sheet="little", place="shelf 3")
    visitor.send("/machines/new", "/machines", name="Dipper", sheet="little", tag="Z-9")
    for find, there, not_there in (
        ("gann", "Gannet", "Dipper"),
        ("z-9", "Dipper", "Gannet"),
        ("shelf", "Gannet", "Dipper"),
    ):
        page = visitor.open(f"/machines?find={find}")
        assert there in page
        assert not_there not in page


def test_an_unclear_complaint_is_stored_first_and_then_asks_one_question(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="little")
    at = answer.headers["location"].split("?")[0]
    answer = visitor.send(at, f"{at}/jobs", words="it does not work")
    assert "/complaint" in answer.headers["location"]
    number = int(answer.headers["location"].split("/")[2])
    assert bench.job(workshop, number).complaint == "it does not work"
    page = visitor.open(answer.headers["location"])
    assert "Does any lamp light?" in page
    answer = visitor.send(
        f"/jobs/{number}/complaint", f"/jobs/{number}/complaint", "choose", complaint="dark"
    )
    assert answer.status_code == 303
    job = bench.job(workshop, number)
    assert job.complaint == "it does not work"
    assert job.complaint_known == "It runs but the screen stays dark"


def test_words_alone_begin_a_job_and_what_usually_should_work_is_wanted(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20")
    at = answer.headers["location"].split("?")[0]
    page = visitor.open(at)
    fields = visitor.form(page, f"{at}/jobs")
    begun = {name: value for name, value in fields.items() if name != "wanted"}
    assert page.index("Begin the job") < page.index('name="wanted"')
    assert "With nothing ticked, these count: The power lamp lights and The picture can be seen." in page
    answer = visitor.post(f"{at}/jobs", {**begun, "words": "black screen", "q:kept-damp": "yes"})
    number = int(re.findall(r"/jobs/(\d+)", answer.headers["location"])[0])
    job = bench.job(workshop, number)
    assert job.complaint == "black screen"
    assert [each.function for each in job.functions] == ["lamp-lit", "picture"]
    assert bench.machine(workshop, at.rsplit("/", 1)[1]).intake[0].answer == "yes"


def test_the_same_words_sent_with_the_past_first_still_begin_a_job(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20")
    at = answer.headers["location"].split("?")[0]
    fields = {**visitor.form(visitor.open(at), f"{at}/jobs"), "words": "dead", "q:kept-damp": "no"}
    visitor.post(f"{at}/intake", fields)
    first = visitor.post(f"{at}/jobs", fields)
    again = visitor.post(f"{at}/jobs", fields)
    assert first.headers["location"] == again.headers["location"]
    assert bench.job(workshop, 1).complaint == "dead"


def test_when_no_words_fit_every_known_complaint_can_be_chosen_by_hand(visitor, workshop):
    number = visitor.job_with_complaint("zzzz qqqq")
    at = f"/jobs/{number}/complaint"
    page = visitor.open(at)
    assert "Choose from all 2 known here" in page
    assert "It does not work" not in page
    visitor.send(at, at, "choose-other", complaint="dead")
    job = bench.job(workshop, number)
    assert (job.complaint, job.complaint_known) == ("zzzz qqqq", "Nothing happens at all")


def test_words_nothing_is_known_of_are_kept_and_can_be_said_another_way(visitor, workshop):
    number = visitor.job_with_complaint("zzzz qqqq")
    page = visitor.open(f"/jobs/{number}/complaint")
    assert "zzzz qqqq" in page
    visitor.send(f"/jobs/{number}/complaint", f"/jobs/{number}/complaint", words="black screen")
    assert bench.job(workshop, number).complaint_known


def test_a_fact_taken_back_stays_struck_through_with_its_reason(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    visitor.meet_gate(number)
    visitor.post(f"{at}/answer", {**visitor.card(number, "torch"), "outcome": "good"})
    fact = next(line.fact for line in bench.job(workshop, number).record if line.kind == "finding")
    answer = visitor.send(at, f"{at}/withdraw", str(fact), because="wrong machine")
    assert answer.status_code == 303
    page = visitor.open(at)
    assert "<s>" in page
    assert "wrong machine" in page


def test_what_if_shows_the_next_steps_and_writes_nothing(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    before = bench.job(workshop, number).record
    page = visitor.open(f"/jobs/{number}/what-if?check=torch&outcome=good")
    assert "Nothing is written down by this page" in page
    assert bench.job(workshop, number).record == before
    assert visitor.client.get(f"/jobs/{number}/what-if?check=torch&outcome=zzz").status_code == 422
    assert visitor.client.get(f"/jobs/{number}/what-if").status_code == 422


def test_an_answer_not_sure_and_no_verdict_and_cannot_are_written_as_such(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    visitor.meet_gate(number)
    visitor.post(f"{at}/answer", {**visitor.card(number, "torch"), "unsure": "good"})
    assert not bench.job(workshop, number).record[-1].sure
    visitor.post(f"{at}/answer", {**visitor.card(number, "how-far"), "outcome": "no verdict"})
    assert "no verdict" in bench.job(workshop, number).record[-1].sentence.lower()
    shown = bench.job(workshop, number)
    assert shown.next
    step = shown.next.step
    visitor.post(
        f"{at}/answer", {**visitor.card(number, step), "outcome": "cannot", "because": "no meter here"}
    )
    after = bench.job(workshop, number)
    assert step not in {card.step for card in (after.next, *after.steps) if card}
    assert "no meter here" in visitor.open(at)


def test_the_cutaway_says_the_same_in_words(visitor):
    number = visitor.job_with_complaint()
    page = visitor.open(f"/jobs/{number}")
    assert '<svg class="drawing"' in page
    assert "The same in words" in page
    words = page.split("The same in words")[1].split("</section>")[0]
    for title in ("Memory hatch", "Lid bezel", "Bottom case", "Inverter board", "Memory module"):
        assert title in words


def test_a_part_taken_out_is_drawn_as_out_and_can_go_back(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    assert visitor.send(at, f"{at}/part", slot="inverter", way="out").status_code == 303
    assert re.search(r'class="tile [^"]* gone"', visitor.open(at))
    assert visitor.send(at, f"{at}/part", slot="inverter", way="in", instance="SP-3").status_code == 303
    parts = [part for layer in bench.job(workshop, number).cutaway.layers for part in layer.parts]
    assert next(part for part in parts if part.slot == "inverter").instance == "SP-3"


def test_paper_and_name_are_kept_by_this_device(visitor):
    visitor.send("/machines", "/paper", paper="night")
    visitor.send("/", "/who", who="Ansa")
    page = visitor.open("/")
    assert 'data-paper="night"' in page
    assert 'value="Ansa"' in page
    number = visitor.job_with_complaint()
    assert "Ansa" in visitor.open(f"/jobs/{number}").split('id="the-record"')[1]


@pytest.mark.parametrize(
    "address", ["/nothing", "/jobs/99", "/jobs/x", "/machines/none", "/jobs/99/pad", "/jobs/99/sign-off"]
)
def test_what_is_not_there_is_a_page_that_says_nothing_was_lost_or_what_to_do(visitor, address):
    answer = visitor.client.get(address)
    assert answer.status_code == 404
    assert "<h1>" in answer.text
    assert "To the bench" in answer.text


def test_an_unexpected_trouble_is_a_plain_page_that_shows_what_was_typed(workshop, monkeypatch, visitor):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/note"), "text": "words worth keeping"}

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("planted")

    monkeypatch.setattr(bench, "record", broken)
    with TestClient(create_app(workshop), base_url=HOST, raise_server_exceptions=False) as client:
        client.cookies = visitor.client.cookies
        answer = client.post(f"{at}/note", data=fields, headers={"origin": HOST})
    assert answer.status_code == 500
    assert "words worth keeping" in answer.text
    assert "planted" not in answer.text


def test_a_full_disk_says_so_and_shows_what_was_typed(visitor, monkeypatch):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"

    def full(*_: object, **__: object) -> None:
        raise DiskFull("The disk is full; nothing more can be written.")

    fields = {**visitor.form(visitor.open(at), f"{at}/note"), "text": "words worth keeping"}
    monkeypatch.setattr(bench, "record", full)
    answer = visitor.post(f"{at}/note", fields)
    assert answer.status_code == 507
    assert "words worth keeping" in answer.text


def test_the_script_gets_only_the_jobs_part_of_the_page(visitor):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/note"), "text": "quick"}
    answer = visitor.post(f"{at}/note", fields, **{"hx-request": "true"})
    assert answer.status_code == 200
    assert answer.text.lstrip().startswith('<div id="job"')
    assert "<html" not in answer.text
    failed = visitor.post(f"{at}/note", {**fields, "text": "", "key": "other"}, **{"hx-request": "true"})
    assert failed.status_code == 422
    assert failed.text.lstrip().startswith('<div id="job"')


def test_take_in_questions_are_kept_and_shown(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20")
    at = answer.headers["location"].split("?")[0]
    fields = visitor.form(visitor.open(at), f"{at}/jobs")
    kept = visitor.post(f"{at}/intake", {**fields, "q:kept-damp": "yes", "words": "smells of the sea"})
    assert kept.status_code == 200
    assert "Kept." in kept.text
    assert "smells of the sea" in kept.text
    assert "Nothing was lost" not in kept.text
    tag = at.rsplit("/", 1)[1]
    assert bench.machine(workshop, tag).intake[0].answer == "yes"
    assert not bench.machine(workshop, tag).jobs
    assert visitor.send(at, at, name="Laptop B", place="loft").status_code == 303
    assert "Laptop B" in visitor.open(at)
    assert visitor.send(at, at, name="").status_code == 422


def test_a_fact_is_taken_back_before_anything_is_worked_out(visitor, workshop, monkeypatch):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    visitor.send(at, f"{at}/note", text="crust at the clip")
    page = visitor.open(at)
    note = bench.job(workshop, number).record[-1].fact
    fields = {**visitor.form(page, f"{at}/withdraw", str(note)), "because": "another machine"}

    def broken(*_: object, **__: object) -> None:
        raise ArithmeticError("planted")

    with monkeypatch.context() as planted:
        planted.setattr(bench, "job", broken)
        answer = visitor.post(f"{at}/withdraw", fields)
    assert "said=taken-back&" in answer.headers["location"]
    line = next(each for each in bench.job(workshop, number).record if each.fact == note)
    assert line.withdrawn_because == "another machine"


def test_a_take_in_answer_changed_and_changed_back_is_the_last_one_given(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20")
    at = answer.headers["location"].split("?")[0]
    page = visitor.open(at)
    for said in ("yes", "no", "yes"):
        fields = {**visitor.form(page, f"{at}/jobs"), "q:kept-damp": said, "words": "dead"}
        page = visitor.post(f"{at}/intake", fields).text
        assert bench.machine(workshop, at.rsplit("/", 1)[1]).intake[0].answer == said


def test_when_no_advice_can_be_worked_out_the_answer_is_kept_and_dead_checks_are_offered(
    visitor, workshop, monkeypatch
):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/note"), "text": "kept all the same"}

    def broken(*_: object, **__: object) -> None:
        raise ArithmeticError("planted")

    monkeypatch.setattr("powergood.bench.advising.advise", broken)
    assert visitor.post(f"{at}/note", fields).status_code == 303
    page = visitor.open(at)
    assert "kept all the same" in page
    assert "Measure the adapter at its plug" in page
    assert "planted" not in page.split("Checks that need no power")[1]


def test_a_finding_that_fits_a_fault_but_its_rivals_better_is_told_so(visitor, monkeypatch):
    number = visitor.job_with_complaint()
    say = Say(3, "A crust at the clip", "speaks a little against it", -0.5, 0.1, False, 0.2, True)
    fits = Weighing(number, "inverter.failed", "Inverter has failed", 0.1, 0.2, (say,))
    monkeypatch.setattr(bench, "weighing", lambda *_: fits)
    page = visitor.open(f"/jobs/{number}/moved/inverter.failed")
    assert "By itself it fits this fault." in page
    assert "fits other faults better, and so it speaks a little against it." in page


def test_bars_of_parts_say_that_each_is_its_parts_likeliest_fault(visitor):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}"
    said = "Each part by its likeliest fault"
    step = visitor.open(at).split("What each answer would leave suspect")[1]
    assert said in step.split("</details>")[0]
    fields = visitor.form(visitor.open(f"{at}/pad"), f"{at}/pad")
    visitor.post(f"{at}/pad", {**fields, "k:how-far": "picture"})
    assert said in visitor.open(f"{at}/pad").split("It leaves suspect")[1]
