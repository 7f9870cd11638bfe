"""A model's own limits at first power, and its edition's: laid over the family's, and never in silence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.knowledge.compose import compose
from powergood.knowledge.model import Claim, MachineModel, ModelSheet, OwnLimit, Source
from powergood.knowledge.problems import Problem
from powergood.packs import builtin_pack
from powergood.packs.own_sheets import sheet_problems

PACK = builtin_pack()
FAMILY = PACK.families["at-atx-desktop"]
MANUAL = Source("M1", "Service manual of the model, page 12")
SHEET = ModelSheet(1, "orrin-2", "Orrin 2", FAMILY.id, sources=(MANUAL,))


def made(sheet: ModelSheet) -> MachineModel:
    found = compose(FAMILY, PACK.subsystems.values(), sheet, PACK.cautions, PACK.sources)
    assert isinstance(found, MachineModel), found
    return found


def own(reading: str, low: float, high: float, source: str = "M1") -> OwnLimit:
    return OwnLimit(reading, Claim(low, source), Claim(high, source), "Service manual (read)")


def ends(model: MachineModel, stage: str, limit: str) -> tuple[float, float]:
    found = next(each for s in model.stages if s.id == stage for each in s.limits if each.id == limit)
    assert found.low
    assert found.high
    return found.low.value, found.high.value


def told(sheet: ModelSheet) -> list[Problem]:
    return list(sheet_problems(sheet, (PACK,)))


def test_a_sheets_own_limit_holds_in_place_of_the_familys_and_says_where_it_is_from() -> None:
    sheet = replace(SHEET, limits=(own("supply-alone.twelve", 11.6, 12.4),))
    model = made(sheet)
    assert ends(model, "supply-alone", "twelve") == (11.6, 12.4)
    assert ends(model, "board-rails", "twelve") == (11.4, 12.6)
    stage = next(each for each in model.stages if each.id == "supply-alone")
    assert next(each for each in stage.limits if each.id == "twelve").edition == "Service manual (read)"
    assert told(sheet) == []
    assert model.digest != made(SHEET).digest


@pytest.mark.parametrize(
    ("edition", "has_minus_five", "three"),
    [
        ("atx-0-9", True, (3.135, 3.465)),
        ("atx-2-1", True, (3.168, 3.432)),
        ("atx12v-2-0", False, (3.135, 3.465)),
    ],
)
def test_the_edition_sets_the_limits_and_takes_away_the_rails_it_lacks(
    edition: str, has_minus_five: bool, three: tuple[float, float]
) -> None:
    model = made(replace(SHEET, edition=edition))
    stage = next(each for each in model.stages if each.id == "supply-alone")
    assert ("minus-five" in [each.id for each in stage.limits]) is has_minus_five
    assert ends(model, "supply-alone", "three") == three


def test_twelve_volts_have_ten_in_a_hundred_at_peak_and_five_at_rest_in_every_edition_of_atx() -> None:
    for edition in ("", "atx-0-9", "atx-2-1", "atx12v-2-0"):
        model = made(replace(SHEET, edition=edition))
        assert ends(model, "one-at-a-time", "twelve-peak") == (10.8, 13.2)
        assert ends(model, "board-rails", "twelve") == (11.4, 12.6)


def test_an_at_supply_has_no_standby_rail_and_no_limit_of_a_standard() -> None:
    model = made(replace(SHEET, edition="at"))
    limits = [each for stage in model.stages if stage.id != "board-ohms" for each in stage.limits]
    volts = [each for each in limits if each.unit == "V"]
    assert {each.low.source for each in volts if each.low} == {"common practice"}
    assert not {"standby", "three", "twelve-peak"} & {each.id for each in volts}


@pytest.mark.parametrize(
    ("limit", "check", "says"),
    [
        (own("supply-alone.twleve", 11.6, 12.4), "known-id", "did you mean `supply-alone.twelve`"),
        (own("supply-alone.twelve", 12.4, 11.6), "limits-in-order", "not below"),
        (OwnLimit("supply-alone.twelve", Claim(11.6, "M1")), "limits-in-order", "give one here too"),
        (own("supply-alone.twelve", 11.6, 12.4, "judgement"), "limit-source", "names where it was read"),
        (own("supply-alone.twelve", 11.6, 12.4, "common practice"), "limit-source", "will not do"),
        (own("supply-alone.twelve", 11.6, 12.4, "M2"), "known-source", "no source `M2`"),
        (own("supply-alone.minus-five", -5.4, -4.6), "limit-clash", "has no such rail"),
    ],
)
def test_what_cannot_stand_is_an_error_at_its_place_in_the_sheet(
    limit: OwnLimit, check: str, says: str
) -> None:
    found = told(replace(SHEET, edition="atx12v-2-0", limits=(limit,)))
    wrong = [each for each in found if each.severity == "error" and each.check == check]
    assert wrong, found
    assert says in wrong[0].message
    assert (wrong[0].where.file, wrong[0].where.path[:2]) == ("sheet", ("limits", limit.id))


def test_the_same_reading_twice_and_one_that_the_model_has_not_are_errors() -> None:
    twice = (own("supply-alone.five", 4.8, 5.2), own("supply-alone.five", 4.9, 5.1))
    assert [each.check for each in told(replace(SHEET, limits=twice))] == ["one-id"]
    gone = replace(SHEET, copies={"front-button": 0}, limits=(own("standby-alone.standby", 4.8, 5.2),))
    assert "this model has no such stage" in next(e.message for e in told(gone) if e.check == "limit-clash")


def test_an_edition_that_says_two_things_of_one_reading_is_an_error() -> None:
    first = FAMILY.editions[0]
    lacking = own(first.lacks[0], 1.0, 2.0, "SR1")
    wrong = {
        "one-id": (replace(first, limits=(*first.limits, first.limits[0])),),
        "limit-clash": (replace(first, limits=(*first.limits, lacking)),),
    }
    for check, editions in wrong.items():
        family = replace(FAMILY, editions=editions)
        found = compose(family, PACK.subsystems.values(), None, PACK.cautions, PACK.sources)
        assert not isinstance(found, MachineModel)
        assert {each.check for each in found} == {check}
    twice = replace(FAMILY, editions=(first, replace(first, limits=())))
    found = compose(twice, PACK.subsystems.values(), None, PACK.cautions, PACK.sources)
    assert not isinstance(found, MachineModel)
    assert {each.check for each in found} == {"one-id"}


def test_an_edition_that_the_family_has_not_is_told_with_those_there_are() -> None:
    found = told(replace(SHEET, edition="atx-3"))
    assert [each.check for each in found] == ["known-id"]
    assert found[0].where.path == ("edition",)


def test_other_than_the_edition_or_wider_is_a_warning_and_no_silent_win() -> None:
    sheet = replace(SHEET, edition="atx-2-1", limits=(own("supply-alone.three", 3.1, 3.4),))
    found = {each.check: each for each in told(sheet)}
    assert set(found) == {"limit-clash", "limit-wider"}
    assert {each.severity for each in found.values()} == {"warning"}
    assert "3.168 to 3.432 V" in found["limit-clash"].message
    assert ends(made(sheet), "supply-alone", "three") == (3.1, 3.4)
