"""What keeps other sites, other names and too much out."""

from __future__ import annotations

import pytest

from powergood import bench
from powergood.web.forms import MOST_FIELDS

HOST = "http://localhost:8077"


def _take_in(visitor) -> dict[str, str]:
    fields = visitor.form(visitor.open("/machines/new"), "/machines")
    return {**fields, "name": "Laptop", "sheet": "little"}


@pytest.mark.parametrize("origin", ["http://elsewhere.example", "null", "http://localhost:9999", ""])
def test_a_form_from_another_origin_is_refused_and_writes_nothing(visitor, workshop, origin):
    fields = _take_in(visitor)
    headers = {"origin": origin} if origin else {}
    answer = visitor.client.post("/machines", data=fields, headers=headers, follow_redirects=False)
    assert answer.status_code == 403
    assert bench.machines(workshop) == ()


def test_a_form_without_its_token_is_refused_but_what_was_typed_is_shown(visitor, workshop):
    fields = {**_take_in(visitor), "token": "wrong", "story": "a long story"}
    answer = visitor.post("/machines", fields)
    assert answer.status_code == 403
    assert "a long story" in answer.text
    assert bench.machines(workshop) == ()


def test_a_token_with_letters_beyond_ascii_is_refused_not_an_error(visitor):
    assert visitor.post("/machines", {**_take_in(visitor), "token": "é" * 40}).status_code == 403


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("evil.example", 400),
        ("localhost.evil.example", 400),
        ("", 400),
        ("localhost:8077", 200),
        ("127.0.0.1:8077", 200),
        ("192.168.1.20:8077", 200),
        ("[::1]:8077", 200),
    ],
)
def test_only_names_this_computer_goes_by_and_bare_addresses_are_answered(visitor, host, status):
    assert visitor.client.get("/", headers={"host": host}).status_code == status


def test_every_page_carries_the_strict_policy_and_a_cookie_scripts_cannot_read(visitor):
    answer = visitor.client.get("/")
    policy = answer.headers["content-security-policy"]
    assert policy.startswith("default-src 'self'")
    assert "unsafe" not in policy
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_pages_hold_no_inline_style_or_script_for_the_policy_to_refuse(visitor):
    number = visitor.job_with_complaint()
    for address in ("/", "/machines", "/machines/new", f"/jobs/{number}", f"/jobs/{number}/pad"):
        page = visitor.open(address)
        assert " style=" not in page, address
        assert "<style" not in page, address
        assert " onclick" not in page, address
        assert "<script>" not in page, address


def test_a_body_over_the_limit_is_refused_with_413(visitor):
    fields = {**_take_in(visitor), "story": "x" * 1_000}
    answer = visitor.post("/jobs/1/note", {**fields, "text": "y" * 1_100_000})
    assert answer.status_code == 413
    photo = {"photo": ("big.jpg", b"\xff\xd8" + b"0" * 25_100_000, "image/jpeg")}
    assert visitor.post("/machines", fields, files=photo).status_code == 413


def test_a_form_with_too_many_fields_is_refused_plainly(visitor):
    fields = {**_take_in(visitor), **{f"f{n}": "x" for n in range(MOST_FIELDS)}}
    answer = visitor.post("/machines", fields)
    assert answer.status_code == 400
    assert "That could not be read" in answer.text
