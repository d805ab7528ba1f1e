"""Whatever of the rest the program fails over, everything else of it stands, and what failed is named."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from typing import Any

import pytest

from fitcheck.advice.to_come import as_planned, making_up, picked_up, plans_of, seams, to_knit
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.plan import Plan
from fitcheck.reports import the_rest
from fitcheck.reports.choose import chosen
from fitcheck.reports.shaped import shaped
from fitcheck.reports.steps import steps
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.data import json_text
from tests.advice.to_come.test_the_rest import MAKES, demo, rest

MAKE = "grey_pullover"


class SecretError(Exception):
    """What is raised here; it quotes what was typed."""


def told() -> the_rest.TheRest:
    return the_rest.rest_told(steps(chosen(demo(), MAKE)))


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> Iterator[Any]:
    """Make a function of a module raise, for some of its calls; what is logged quotes nothing."""

    def made_to(module: Any, name: str, of: Any = lambda *_: True) -> None:
        works = getattr(module, name)

        def fails(*given: Any, **named: Any) -> Any:
            if of(*given):
                raise SecretError("51,8 of Ines")
            return works(*given, **named)

        monkeypatch.setattr(module, name, fails)

    with caplog.at_level(logging.ERROR):
        yield made_to
    logged = " ".join(record.getMessage() for record in caplog.get_records("call"))
    assert "SecretError" in logged
    assert "51,8" not in logged


def why(reason: Any) -> str:
    assert isinstance(reason, CannotSay)
    assert reason.code == "failed"
    return cannot_say_sentence(reason)


def test_counts_that_fail_leave_the_report_and_its_advice(failing: Any) -> None:
    failing(to_knit, "pieces_to_knit")
    answered = told()
    assert "failed over the counts for the rest" in why(answered.answer.why)
    assert answered.answer.pieces == ()
    assert "counts for the rest" in why(answered.sheet("front"))
    report = shaped(answered)
    assert report.points
    assert report.rest is not None
    assert "failed over the counts for the rest" in why(report.yarn)


def test_a_plan_that_fails_leaves_the_others_the_counts_and_the_report(failing: Any) -> None:
    failing(plans_of, "plan_piece", lambda kind, *_: kind == "front")
    answered = told()
    drawn = {piece.kind: piece for piece in answered.planned}
    assert "the program failed over the front" in why(drawn["front"].plan)
    assert isinstance(drawn["back"].plan, Plan)
    assert {piece.kind: len(piece.counts) for piece in answered.answer.pieces} == {"front": 9, "sleeve": 4}
    assert "front" in why(answered.sheet("front"))
    report = shaped(answered)
    assert report.points
    assert "51,8" not in json_text(report)


@pytest.mark.parametrize(("module", "name"), [(seams, "join"), (making_up, "marks_of")])
def test_a_seam_that_fails_leaves_plans_sheets_and_yarn(module: Any, name: str, failing: Any) -> None:
    failing(module, name)
    answered = told()
    assert isinstance(answered.sheet("front"), Sheet)
    assert not isinstance(answered.answer.yarn, CannotSay)
    assert len(answered.answer.seams) == 5
    if name == "join":
        assert "failed over the shoulder seam" in why(answered.answer.seams[0].join)


def test_yarn_that_fails_leaves_sheets_and_seams(failing: Any) -> None:
    failing(the_rest, "yarn_left")
    answered = told()
    assert "failed over the yarn" in why(answered.answer.yarn)
    assert isinstance(answered.sheet("front"), Sheet)
    assert all(not isinstance(seam.join, CannotSay) for seam in answered.answer.seams)


def test_a_band_a_sheet_the_rows_of_a_plan_and_the_ways_out_fail_alone(failing: Any) -> None:
    failing(picked_up, "_on_the_bed")
    failing(the_rest, "sheet")
    failing(as_planned, "rows_of")
    failing(the_rest, "refused_of")
    failing(the_rest, "armholes_said")
    answered = told()
    assert "failed over the neck band" in why(answered.answer.bands[0].picked)
    assert "failed over the sheet of the front" in why(answered.sheet("front"))
    assert answered.answer.refused is None
    assert answered.answer.armholes == ()
    assert [piece.kind for piece in answered.answer.pieces] == ["front", "sleeve"]
    assert shaped(answered).points


@pytest.mark.parametrize("make", MAKES)
def test_nothing_of_the_demo_fails(make: str) -> None:
    assert '"failed"' not in json_text(rest(make).answer)
