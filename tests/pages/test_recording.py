"""Recording at the bench in a real browser, with scripts and without."""

from __future__ import annotations

import io
import re

import pytest
from looking import DESK, PHONE, opened, violations
from PIL import Image
from playwright.sync_api import Page, expect

from powergood import bench


def _photo() -> dict[str, object]:
    made = io.BytesIO()
    Image.new("RGB", (800, 600), (90, 110, 90)).save(made, "JPEG")
    return {"name": "IMG_0001.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


def _take_in(page: Page, at: str) -> None:
    page.goto(f"{at}/machines/new")
    page.get_by_label("What it is").fill("Pilot boat laptop")
    page.get_by_label("Kind").select_option("skerry-20")
    page.get_by_label("Its story, in a line").fill("From the harbour office.")
    page.locator("input[type=file]").set_input_files(_photo())


def _begin(page: Page, at: str) -> None:
    _take_in(page, at)
    page.get_by_role("button", name="Put it in the book").click()
    page.get_by_label("What is wrong with it").fill("black screen")
    page.get_by_role("button", name="Begin the job").click()


def _meet_gate(page: Page) -> None:
    page.get_by_label("Every cell is seen").check()
    page.get_by_role("button", name="This is met Cells seen").click()
    expect(page.get_by_text("Before anything else")).to_have_count(0)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_a_repair_goes_from_taking_in_to_signed_off(browser, fresh, scripts, size):
    ws, at = fresh
    context = opened(browser, viewport=size, java_script_enabled=scripts)
    page = context.new_page()
    _begin(page, at)
    _meet_gate(page)
    page.get_by_role("link", name="Power-on pad").click()
    page.locator("label", has_text="Lamp lit, screen dark").click()
    page.get_by_role("button", name="Save start 1").click()
    expect(page.get_by_role("heading", name="Start 1 told")).to_be_visible()
    page.get_by_role("link", name="To the next step").click()
    for _ in range(14):
        job = bench.job(ws, 1)
        if job.sign_off.ready or job.next is None:
            break
        _answer(page, ws)
        expect(page.locator(f"#fact-{job.record[-1].fact + 1}")).to_be_attached()
    page.get_by_role("link", name="Sign off").click()
    page.get_by_label(re.compile("Words for the record|Why it is let go")).fill("Ran for an evening.")
    page.get_by_role("button", name="Sign off job 1").click()
    expect(page.get_by_text("Signed off").first).to_be_visible()
    assert bench.job(ws, 1).standing == "signed off"
    context.close()


def _answer(page: Page, ws: bench.Workshop) -> None:
    """Answer the step on the card as a machine with a failed inverter would."""
    card = bench.job(ws, 1).next
    assert card
    cures = {"change-inverter", "replace-picture"}
    changed = any(line.kind == "fix" and line.prompted_by in cures for line in bench.job(ws, 1).record)
    truth = {"torch": "good", "power-lamp": "good", "adapter-volts": "good"}
    truth["how-far"] = "good" if changed else "picture"
    outcome = truth.get(card.step, card.keys[0].outcome)
    if card.consent:
        page.locator(".card .consent input").check()
    page.locator(f'.card button[name="outcome"][value="{outcome}"]').click()


def test_answers_come_back_without_loading_the_page_and_lead_the_eye_to_what_is_new(browser, fresh):
    _, at = fresh
    page = opened(browser, viewport=PHONE).new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    _begin(page, at)
    page.evaluate("window.same = true")
    _meet_gate(page)
    assert page.evaluate("window.same")
    expect(page.locator(".said")).to_contain_text("Written down")
    expect(page.locator(".said")).to_be_focused()
    page.locator(".card .outcome").first.click()
    expect(page.locator(".said")).to_contain_text("Written down:")
    assert page.evaluate("window.same")
    assert violations(page) == []
    page.get_by_text("Note", exact=True).click()
    page.get_by_role("button", name="Keep the note").click()
    expect(page.get_by_text("The note is empty").first).to_be_visible()
    assert page.evaluate("window.same")
    assert violations(page) == []
    assert [line for line in said if "422" not in line] == []
    page.context.close()


def test_words_not_sent_are_there_again_after_the_page_was_closed_and_gone_once_sent(browser, fresh):
    _, at = fresh
    context = opened(browser, viewport=PHONE)
    page = context.new_page()
    _begin(page, at)
    page.get_by_text("Note", exact=True).click()
    page.get_by_label("Words of the note").fill("crust at the left clip")
    expect(page.get_by_label("Words of the note")).to_have_attribute("data-kept", "yes")
    page.close()
    page = context.new_page()
    page.goto(f"{at}/jobs/1")
    expect(page.get_by_label("Words of the note")).to_have_value("crust at the left clip")
    expect(page.get_by_text("Kept from before")).to_be_visible()
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".record")).to_contain_text("crust at the left clip")
    page.goto(f"{at}/jobs/1")
    expect(page.locator("#note-text")).to_have_attribute("data-live", "yes")
    expect(page.get_by_text("Kept from before")).to_have_count(0)
    context.close()


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_after_an_answer_the_page_stands_at_what_changed(browser, fresh, scripts):
    _, at = fresh
    page = opened(browser, viewport=PHONE, java_script_enabled=scripts).new_page()
    _begin(page, at)
    _meet_gate(page)
    page.locator(".card .outcome").first.click()
    expect(page.locator("#said")).to_be_in_viewport()
    assert page.locator("#said + #step").count() == 1
    page.get_by_text("Note", exact=True).click()
    page.get_by_label("Words of the note").fill("crust at the clip")
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".adding #said")).to_be_in_viewport()
    page.context.close()


def test_nothing_typed_on_a_machines_page_is_lost_by_another_button_or_a_link(browser, fresh):
    _, at = fresh
    context = opened(browser, viewport=PHONE)
    page = context.new_page()
    _take_in(page, at)
    page.get_by_role("button", name="Put it in the book").click()
    words = page.get_by_label("What is wrong with it")
    place = page.locator("#details-place")
    expect(words).to_have_attribute("data-live", "yes")  # no hand is quicker than the page's script
    words.press_sequentially("hums and smells")
    page.locator("a[href^='/know-how/skerry-20']").first.click()
    page.go_back()
    page.reload()
    expect(words).to_have_value("hums and smells")
    page.get_by_text("Change a detail").click()
    place.fill("loft")
    page.get_by_role("group", name="Was it kept damp?").get_by_label("Yes").check()
    page.get_by_role("button", name="Keep these answers").click()
    expect(page.get_by_text("Kept.", exact=True)).to_be_visible()
    expect(words).to_have_value("hums and smells")
    expect(place).to_have_value("loft")
    page.goto(f"{at}/machines")
    page.go_back()
    page.get_by_role("button", name="Keep the changes").click()
    expect(words).to_have_value("hums and smells")
    page.get_by_role("button", name="Begin the job").click()
    expect(page.get_by_role("heading", name="Which of these")).to_be_visible()
    assert bench.job(fresh[0], 1).complaint == "hums and smells"
    assert bench.machine(fresh[0], bench.job(fresh[0], 1).machine.tag).card.place == "loft"
    context.close()


def test_when_the_bench_does_not_answer_the_words_stay_and_the_page_says_so(browser, fresh):
    ws, at = fresh
    context = opened(browser, viewport=PHONE)
    page = context.new_page()
    _begin(page, at)
    context.route("**/note", lambda route: route.abort())
    page.get_by_text("Note", exact=True).click()
    page.get_by_label("Words of the note").fill("worth keeping")
    page.get_by_role("button", name="Keep the note").click()
    expect(page.get_by_text("The bench did not answer")).to_be_visible()
    expect(page.get_by_label("Words of the note")).to_have_value("worth keeping")
    context.unroute("**/note")
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".record")).to_contain_text("worth keeping")
    assert sum("worth keeping" in line.sentence for line in bench.job(ws, 1).record) == 1
    context.close()


def test_the_stopwatch_keeps_the_second_at_which_a_key_was_pressed(browser, fresh):
    ws, at = fresh
    page = opened(browser, viewport=PHONE).new_page()
    _begin(page, at)
    _meet_gate(page)
    page.clock.install()
    page.get_by_role("link", name="Power-on pad").click()
    expect(page.locator("[data-stopwatch]")).to_have_attribute("data-live", "yes")
    page.get_by_role("button", name="Switched on now").click()
    page.clock.run_for(4_000)
    page.locator("label", has_text="Lamp lit, screen dark").click()
    told = page.get_by_text(re.compile(r"^at [4-9] s$"))  # four seconds, and what the machine took to press
    expect(told).to_be_visible()
    pressed = told.inner_text().removeprefix("at ")
    page.get_by_role("button", name="Save start 1").click()
    expect(page.get_by_role("heading", name="Start 1 told")).to_be_visible()
    assert any(f"{pressed} after switching on" in line.note for line in bench.job(ws, 1).record)
    page.context.close()


def test_a_chosen_photo_is_shown_before_it_is_sent(browser, fresh):
    _, at = fresh
    page = opened(browser, viewport=PHONE).new_page()
    _take_in(page, at)
    expect(page.get_by_role("img", name="The photo you chose")).to_be_visible()
    page.context.close()


def test_night_can_be_chosen_whatever_the_device_says(browser, fresh):
    _, at = fresh
    page = opened(browser, viewport=PHONE, color_scheme="light").new_page()
    page.goto(at)
    body = page.locator("body")
    day = body.evaluate("(each) => getComputedStyle(each).backgroundColor")
    page.get_by_text("Your name, and day or night").click()
    page.get_by_role("button", name="Night").click()
    expect(body).not_to_have_css("background-color", day)
    page.get_by_role("button", name="As this device").click()
    expect(body).to_have_css("background-color", day)
    page.context.close()


def test_the_keyboard_skips_to_the_page_and_reaches_the_first_answer(browser, fresh):
    _, at = fresh
    page = opened(browser, viewport=DESK).new_page()
    page.goto(f"{at}/machines/new")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_label("Tag")).to_be_focused()
    page.context.close()


def test_the_accessibility_rules_would_object_to_a_planted_fault(browser, fresh):
    """Guards the guard: a picture without words and a field without a label are found."""
    _, at = fresh
    page = opened(browser, viewport=DESK).new_page()
    page.goto(at)
    planted = """'<img src="/static/mark.svg"><input>'"""
    page.locator("main").evaluate(f"(main) => main.insertAdjacentHTML('beforeend', {planted})")
    found = " ".join(violations(page))
    assert "image-alt" in found
    assert "label" in found
    page.context.close()
