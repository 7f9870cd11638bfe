"""Photos: kept when they are photos, refused with 415 and the form kept when they are not."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image

from powergood import bench


def _jpeg(size: tuple[int, int] = (640, 480)) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", size, (120, 90, 60)).save(made, "JPEG")
    return made.getvalue()


def test_a_machine_is_taken_in_with_its_photo_in_one_form(visitor, workshop):
    answer = visitor.send(
        "/machines/new",
        "/machines",
        files={"photo": ("IMG_1.jpg", _jpeg(), "image/jpeg")},
        name="Laptop",
        sheet="little",
    )
    page = visitor.open(answer.headers["location"])
    address = re.search(r"/photos/[0-9a-f]{64}", page)
    assert address
    for question in ("", "?small=yes"):
        photo = visitor.client.get(address[0] + question)
        assert photo.status_code == 200
        assert photo.headers["content-type"].startswith("image/")
        assert "immutable" in photo.headers["cache-control"]
        assert Image.open(io.BytesIO(photo.content)).size[0] <= 640


@pytest.mark.parametrize(
    "data",
    [b"not a photo", b"", b"\xff\xd8\xff\xe0" + b"\x00" * 50, _jpeg()[:400], b"<svg xmlns='x'/>"],
    ids=["text", "empty", "broken", "cut short", "drawing"],
)
def test_a_file_that_is_no_photo_gets_415_and_the_typed_text_back(visitor, workshop, data):
    answer = visitor.send(
        "/machines/new",
        "/machines",
        files={"photo": ("shot.jpg", data, "image/jpeg")},
        name="Laptop",
        sheet="little",
        story="from the loft",
    )
    assert answer.status_code == 415
    assert visitor.form(answer.text, "/machines")["story"] == "from the loft"
    assert bench.machines(workshop) == ()


def test_a_photo_joins_the_record_of_its_job_with_its_caption(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    answer = visitor.send(
        at, f"{at}/photos", files={"photo": ("a.jpg", _jpeg(), "image/jpeg")}, caption="crust by the clip"
    )
    assert answer.status_code == 303
    page = visitor.open(at)
    assert "crust by the clip" in page
    assert 'src="/photos/' in page


def test_a_photo_is_in_the_book_before_its_jobs_page_is_worked_out(visitor, workshop, monkeypatch):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/photos"), "caption": "crust"}

    def fails(*_args: object) -> None:
        raise RuntimeError("the page cannot be worked out")

    with monkeypatch.context() as broken:
        broken.setattr(bench, "job", fails)
        with pytest.raises(RuntimeError):
            visitor.post(f"{at}/photos", fields, {"photo": ("IMG_2.jpg", _jpeg(), "image/jpeg")})
    assert [photo.caption for photo in bench.job(workshop, number).photos] == ["crust"]


def test_a_bad_photo_on_a_job_gets_415_and_keeps_the_caption(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    answer = visitor.send(
        at, f"{at}/photos", files={"photo": ("a.jpg", b"no", "image/jpeg")}, caption="crust"
    )
    assert answer.status_code == 415
    assert visitor.form(answer.text, f"{at}/photos")["caption"] == "crust"


@pytest.mark.parametrize("digest", ["x", "0" * 64, "..%2F..%2Fetc%2Fpasswd", "A" * 64])
def test_a_photo_that_is_not_there_is_a_plain_404(visitor, digest):
    answer = visitor.client.get(f"/photos/{digest}")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text


SHOT = {"photo": ("IMG_1.jpg", _jpeg(), "image/jpeg")}
"""A photo as a phone sends it."""


def _digests(page: str) -> set[str]:
    return set(re.findall(r"/photos/([0-9a-f]{64})", page))


def test_a_photo_outlives_another_mistake_of_its_form_and_is_sent_with_the_mended_one(visitor):
    answer = visitor.send("/machines/new", "/machines", files=SHOT, name="", sheet="little", year="19x7")
    assert answer.status_code == 422
    assert "Your photo is kept" in answer.text
    (kept,) = _digests(answer.text)
    assert visitor.client.get(f"/photos/{kept}").status_code == 200
    again = visitor.form(answer.text, "/machines")
    assert again["kept_photo"] == kept
    second = visitor.post("/machines", {**again, "name": "Laptop", "year": "wrong again"})
    assert visitor.form(second.text, "/machines")["kept_photo"] == kept
    done = visitor.post("/machines", {**again, "name": "Laptop", "year": "1997"})
    assert done.status_code == 303
    assert kept in _digests(visitor.open(done.headers["location"]))


def test_a_kept_photo_can_be_left_out_or_another_taken_in_its_place(visitor):
    answer = visitor.send("/machines/new", "/machines", files=SHOT, name="", sheet="little")
    again = {**visitor.form(answer.text, "/machines"), "name": "Laptop"}
    left_out = visitor.post("/machines", {**again, "without_photo": "yes"})
    assert _digests(visitor.open(left_out.headers["location"])) == set()
    other = {"photo": ("IMG_2.jpg", _jpeg((320, 200)), "image/jpeg")}
    answer = visitor.post("/machines", {**again, "name": "Second", "tag": "2nd"}, other)
    (shown,) = _digests(visitor.open(answer.headers["location"]))
    assert shown != again["kept_photo"]


def test_a_bad_photo_and_every_other_mistake_are_told_at_once(visitor):
    bad = {"photo": ("a.jpg", b"no", "image/jpeg")}
    answer = visitor.send("/machines/new", "/machines", files=bad, name="", sheet="little")
    assert answer.status_code == 415
    assert "2 things need mending" in answer.text


@pytest.mark.parametrize("where", ["job", "machine"])
def test_a_photo_outlives_a_caption_that_is_too_long(visitor, workshop, where):
    number = visitor.job_with_complaint()
    tag = bench.job(workshop, number).machine.tag
    at = f"/jobs/{number}" if where == "job" else f"/machines/{tag}"
    answer = visitor.send(at, f"{at}/photos", files=SHOT, caption="x" * 300)
    assert answer.status_code == 422
    again = visitor.form(answer.text, f"{at}/photos")
    done = visitor.post(f"{at}/photos", {**again, "caption": "crust by the clip"})
    assert done.status_code == 303
    (photo,) = bench.machine(workshop, tag).photos
    assert (photo.digest, photo.caption) == (again["kept_photo"], "crust by the clip")


@pytest.mark.parametrize("digest", ["0" * 64, "../../etc/passwd", "x"])
def test_a_digest_of_no_photo_here_is_told_beside_the_field(visitor, workshop, digest):
    page = visitor.open("/machines/new")
    fields = {**visitor.form(page, "/machines"), "name": "Other", "sheet": "little", "kept_photo": digest}
    answer = visitor.post("/machines", fields)
    assert answer.status_code == 422
    assert "Choose it again" in answer.text
    assert bench.machines(workshop) == ()
