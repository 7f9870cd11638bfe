"""Model sheets on the page, as a browser without JavaScript sends them."""

from __future__ import annotations

import re

from powergood.bench import Workshop, modelsheets


def make(visitor, origin: str = "little") -> str:
    answer = visitor.send(
        f"/know-how/{origin}", f"/know-how/{origin}/sheet/make", title="Torvane 300", year="1997"
    )
    assert answer.status_code == 303, answer.text
    found = re.search(r"/know-how/([^/]+)/sheet/change", answer.headers["location"])
    assert found
    return found[1]


def test_a_sheet_is_made_changed_and_read_without_a_script(visitor, workshop: Workshop) -> None:
    name = make(visitor)
    at = f"/know-how/{name}/sheet/change"
    answer = visitor.send(at, at, **{"fasteners:hatch": "2 clips", "weak_points": "Its hinge cracks."})
    assert answer.status_code == 303, answer.text
    page = visitor.open(f"/know-how/{name}/sheet")
    assert "2 clips" in page
    assert "Its hinge cracks." in page
    kinds = visitor.open("/machines/new")
    assert "Torvane 300" in kinds


def test_a_mistake_stands_beside_its_field_and_every_word_is_kept(visitor, workshop: Workshop) -> None:
    name = make(visitor)
    at = f"/know-how/{name}/sheet/change"
    answer = visitor.send(at, at, **{"minutes:hatch": "soon", "weak_points": "Its hinge cracks."})
    assert answer.status_code == 422
    assert 'id="minutes-hatch-problem"' in answer.text
    assert 'aria-describedby="minutes-hatch-problem"' in answer.text
    assert visitor.form(answer.text, at)["minutes:hatch"] == "soon"
    assert visitor.form(answer.text, at)["weak_points"].strip() == "Its hinge cracks."
    assert modelsheets.sheet(workshop, name).weak_points == ()


def test_a_sheet_goes_out_as_one_file_and_comes_in_after_it_was_shown(visitor, workshop: Workshop) -> None:
    name = make(visitor)
    file = visitor.client.get(f"/know-how/{name}/sheet/file")
    assert file.headers["content-disposition"] == f'attachment; filename="{name}.yaml"'
    text = file.text.replace("year: 1997", "year: 1998")
    shown = visitor.send("/sheets/take-in", "/sheets/take-in", files={"file": (f"{name}.yaml", text)})
    assert shown.status_code == 200
    assert "Nothing is written down yet" in shown.text
    assert modelsheets.sheet(workshop, name).year == 1997
    agreed = visitor.form(shown.text, "/sheets/take-in", holding=name_of_stamp(shown.text))
    assert visitor.post("/sheets/take-in", agreed).status_code == 303
    assert modelsheets.sheet(workshop, name).year == 1998


def test_what_was_agreed_to_is_shown_again_when_the_sheet_changed_meanwhile(
    visitor, workshop: Workshop
) -> None:
    name = make(visitor)
    text = visitor.client.get(f"/know-how/{name}/sheet/file").text.replace("year: 1997", "year: 1998")
    shown = visitor.send("/sheets/take-in", "/sheets/take-in", text=text)
    agreed = visitor.form(shown.text, "/sheets/take-in", holding=name_of_stamp(shown.text))
    modelsheets.change_sheet(workshop, name, {"make": "Another hand"})
    again = visitor.post("/sheets/take-in", agreed)
    assert again.status_code == 200
    assert "Another hand" in again.text
    assert modelsheets.sheet(workshop, name).year == 1997


def test_the_address_of_a_source_is_where_its_title_leads_and_never_words(
    visitor, workshop: Workshop
) -> None:
    name = make(visitor)
    source = {"source:0:title": "Own stopwatch", "source:0:address": "https://example.org/boxes"}
    modelsheets.change_sheet(workshop, name, {**source, "minutes:hatch": "2 (M1)"})
    page = visitor.open(f"/know-how/{name}/sheet")
    assert '<a href="https://example.org/boxes" rel="noreferrer">Own stopwatch</a>' in page
    text = visitor.client.get(f"/know-how/{name}/sheet/file").text.replace("/boxes", "/crates")
    compared = visitor.send("/sheets/take-in", "/sheets/take-in", text=text).text
    compared = re.sub(r"<textarea.*?</textarea>", "", compared, flags=re.DOTALL)
    for shown in (page, compared):
        assert "Own stopwatch" in shown
        assert "example.org" not in re.sub(r"<[^>]+>", " ", shown)


def name_of_stamp(page: str) -> str:
    found = re.search(r'name="seen" value="([0-9a-f]{64})"', page)
    assert found
    return found[1]


def test_a_file_that_clashes_or_is_none_is_refused_in_words(visitor, workshop: Workshop) -> None:
    text = visitor.client.get("/know-how/skerry-20/sheet/file").text
    clash = visitor.send("/sheets/take-in", "/sheets/take-in", text=text)
    assert clash.status_code == 422
    assert "It clashes with what is here" in clash.text
    spoilt = visitor.send(
        "/sheets/take-in", "/sheets/take-in", text=text.replace("family: little", "family: x")
    )
    assert "there is no family" in spoilt.text
    binary = visitor.send("/sheets/take-in", "/sheets/take-in", files={"file": ("x.yaml", b"\xff\xfe\x00")})
    assert "This is no text file" in binary.text
    empty = visitor.send("/sheets/take-in", "/sheets/take-in")
    assert "Choose a file" in empty.text


def test_a_sheet_of_a_pack_has_no_form_to_change_it(visitor) -> None:
    assert visitor.client.get("/know-how/skerry-20/sheet/change").status_code == 422


def test_what_is_not_known_is_a_plain_page(visitor) -> None:
    for at in ("no-such", "no-such/sheet", "little/faults/x", "little/checks/x", "little/complaints/x"):
        assert visitor.client.get(f"/know-how/{at}").status_code == 404
    assert visitor.client.get("/know-how?find=x&kind=no-such").status_code == 404


def test_a_job_leads_to_its_faults_and_checks(visitor) -> None:
    number = visitor.job_with_complaint()
    page = visitor.open(f"/jobs/{number}")
    for address in set(re.findall(r'href="(/know-how/[^"]+)"', page)):
        visitor.open(address)
    assert "/know-how/skerry-20/faults/" in page
    assert "/know-how/skerry-20/checks/" in page


def test_a_way_in_is_added_with_a_source_of_its_own_and_a_mistake_in_it_is_not_folded_away(
    visitor, workshop: Workshop
) -> None:
    name = make(visitor)
    at = f"/know-how/{name}/sheet/change"
    added = {
        "new-opening:0:title": "Shield off",
        "new-opening:0:minutes": "2 (M1)",
        "new-opening:0:refit": "often",
        "source:0:title": "Own stopwatch",
    }
    answer = visitor.send(at, at, **added)
    assert answer.status_code == 422
    assert re.search(r"<details open><summary>Add another way in", answer.text)
    assert "<details open><summary>Hatch" not in answer.text
    kept = visitor.form(answer.text, at)
    assert kept["new-opening:0:title"] == "Shield off"
    assert visitor.send(at, at, **{**added, "new-opening:0:refit": "3"}).status_code == 303
    page = visitor.open(f"/know-how/{name}/sheet")
    assert "Shield off" in page
    assert "Own stopwatch" in page
    assert "openings, shield-off" in page


def test_a_fault_of_its_own_is_made_on_the_page_and_stands_in_know_how(visitor, workshop: Workshop) -> None:
    name = make(visitor)
    at = f"/know-how/{name}/sheet/change"
    choices = modelsheets.sheet_choices(workshop, name)
    typed = {
        "fault:0:title": "Joint of its socket cracked",
        "fault:0:part": choices.parts[0].name,
        "fault:0:breaks:0:of": choices.functions[0].name,
        "fault:0:breaks:0:chance": "often",
        "fix:0:do": "Solder it anew",
        "fix:0:cures:0:of": "new-fault",
        "fix:0:cures:0:chance": "0.9",
        "fix:0:minutes": "20",
    }
    answer = visitor.send(at, at, **typed)
    assert answer.status_code == 422
    assert "<details open><summary>Add a fault" in answer.text
    assert 'id="fault-0-breaks-0-chance-problem"' in answer.text
    kept = visitor.form(answer.text, at)
    assert kept["fault:0:part"] == choices.parts[0].name
    assert kept["fix:0:cures:0:of"] == "new-fault"
    answer = visitor.send(at, at, **{**typed, "fault:0:breaks:0:chance": "90 %"})
    assert answer.status_code == 303, answer.text
    assert "New fault: Joint of its socket cracked" in visitor.open(f"/know-how/{name}/sheet")
    fault = workshop.library.sheet(name).faults[0].id
    assert "Solder it anew" in visitor.open(f"/know-how/{name}/faults/{fault}")


def crack(workshop: Workshop, name: str, times: int) -> None:
    """Give a sheet so many faults of its own, each with a way to mend it."""
    choices = modelsheets.sheet_choices(workshop, name)
    for row in range(times):
        typed = {
            f"fault:{row}:title": f"Crack {row}",
            f"fault:{row}:part": choices.parts[0].name,
            f"fault:{row}:breaks:0:of": choices.functions[0].name,
            f"fault:{row}:breaks:0:chance": "0.9",
            f"fix:{row}:do": f"Mend crack {row}",
            f"fix:{row}:cures:0:of": "new-fault",
            f"fix:{row}:cures:0:chance": "0.9",
            f"fix:{row}:minutes": "5",
        }
        assert modelsheets.change_sheet(workshop, name, typed) == {}


def test_a_sheet_with_many_faults_of_its_own_can_still_be_changed_on_the_page(
    visitor, workshop: Workshop
) -> None:
    name = make(visitor)
    crack(workshop, name, 18)
    at = f"/know-how/{name}/sheet/change"
    assert len(visitor.form(visitor.open(at), at)) > 400
    assert visitor.send(at, at, note="All from one bench").status_code == 303
    assert workshop.library.sheet(name).note == "All from one bench"


def test_a_form_of_an_older_sheet_is_not_taken_and_its_words_stay(visitor, workshop: Workshop) -> None:
    """Rows go by their place: sent twice, what deletes the first row would delete the second too."""
    name = make(visitor)
    at = f"/know-how/{name}/sheet/change"
    older = visitor.form(visitor.open(at), at)
    assert visitor.post(at, {**older, "weak_points": "Its hinge cracks."}).status_code == 303
    before = workshop.library.sheet(name)
    for again in ({"weak_points": "Its hinge cracks."}, {"make": "Torvane works"}):
        answer = visitor.post(at, {**older, **again})
        assert answer.status_code == 422
        assert "was changed since this form was shown" in answer.text
        assert next(iter(again.values())) in answer.text
        assert workshop.library.sheet(name) == before


def test_a_form_that_deletes_a_way_to_mend_deletes_no_other_when_it_is_sent_again(
    visitor, workshop: Workshop
) -> None:
    name = make(visitor)
    crack(workshop, name, 2)
    at = f"/know-how/{name}/sheet/change"
    older = {**visitor.form(visitor.open(at), at), "fix:0:do": ""}
    assert visitor.post(at, older).status_code == 303
    assert [fix.do for fix in workshop.library.sheet(name).fixes] == ["Mend crack 1"]
    again = visitor.post(at, older)
    assert again.status_code == 422
    assert [fix.do for fix in workshop.library.sheet(name).fixes] == ["Mend crack 1"]
    shown = visitor.form(again.text, at)
    assert visitor.post(at, shown).status_code == 422
    assert [fix.do for fix in workshop.library.sheet(name).fixes] == ["Mend crack 1"]
