"""The dial of a piece is asked, never guessed: where nobody said it, no swatch speaks for the piece (model 8b)."""

from __future__ import annotations

import pytest

from fitcheck.records.households import Household
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report
from fitcheck.terminal.report import printed
from fitcheck.words.fabric import at_unsaid_dial
from fitcheck.words.granted import assumed_sentence
from tests.advice.fabric_sample import FOUR, STITCH, answered, back, household, of, swatch

UNSAID = {"dial": None}
FITS = {"fits": {"numbers": {"chest": "52.0 cm", "shoulder_width": "41.0 cm", "armhole_depth": "20.0 cm"}}}


def reported(*swatches: dict[str, object], wider: float = 1.0, **piece: object) -> Report:
    home: Household = household(*swatches, pieces=[back(wider=wider, **piece)], **FITS)
    return report(home)


def width(answer: Report) -> float:
    assert answer.fabric is not None
    (blocked,) = [g for g in answer.fabric.gauge if (g.stage, g.direction) == ("blocked", "across")]
    return blocked.size.value


def test_it_is_said_first_among_what_is_taken_for_granted():
    told = reported(*FOUR, **UNSAID)
    assert (told.assumed[0].code, told.assumed[0].about) == ("piece_dial_unsaid", "back")
    assert assumed_sentence(told.assumed[0], head=told.head) in " ".join(printed(told).split())
    assert told.fabric is not None
    assert told.fabric.assumed[0].code == "piece_dial_unsaid"


def test_it_is_not_said_where_it_is_said_or_where_no_swatch_could_speak():
    assert "piece_dial_unsaid" not in {assumed.code for assumed in reported(*FOUR).assumed}
    assert "piece_dial_unsaid" not in {assumed.code for assumed in reported(**UNSAID).assumed}


@pytest.mark.parametrize("wider", [0.92, 1.0, 1.08])
def test_what_comes_next_is_as_the_piece_came_out_and_not_as_the_swatches(wider):
    unsaid, said = reported(*FOUR, wider=wider, **UNSAID), reported(*FOUR, wider=wider)
    # 0.5 %: what three points of a tape can be off by.
    assert width(unsaid) == pytest.approx(STITCH * wider, rel=0.005)
    assert unsaid.fabric is not None
    assert unsaid.fabric.dial is None
    assert said.fabric is not None
    assert said.fabric.dial == "7"
    # With the dial said the swatches draw the next piece to themselves.
    assert wider == 1.0 or abs(width(said) / STITCH - 1) < abs(wider - 1)


def test_the_swatches_gauge_is_theirs_whatever_the_piece_is():
    without, beside = of(*FOUR).fabric, of(*FOUR, pieces=[back(wider=1.1, **UNSAID)]).fabric
    one, other = without.gauge(7.0).across, beside.gauge(7.0).across
    assert (other.low, other.value, other.high) == pytest.approx((one.low, one.value, one.high), rel=1e-4)


def test_a_piece_without_a_dial_is_not_judged_by_the_swatches():
    """Ten percent wider than the swatches at 7, all over: no count is doubted, its own size is what its points say."""
    told = reported(*FOUR, wider=1.1, **UNSAID)
    assert not isinstance(told.explanation, str)
    across = next(d for d in told.explanation.directions if d.direction == "across")
    assert across.code == "one_gauge"
    assert across.size.value == pytest.approx(1.1 * STITCH, rel=0.003)


def test_the_next_piece_keeps_a_dial_that_was_said_and_takes_none_from_a_swatch_after_a_piece():
    assert of(*FOUR, pieces=[back()]).written == "7"
    assert of(*FOUR, pieces=[back(**UNSAID)]).written is None
    # A piece that is only begun says nothing yet.
    begun = {"id": "begun", "piece": "front", "counts": {}}
    assert of(*FOUR, pieces=[back(), begun]).written == "7"
    assert of(*FOUR, pieces=[back(**UNSAID), {**begun, "dial": "8"}]).written == "8"


def test_what_comes_next_stays_at_that_dial_whatever_the_swatches_say_of_another():
    told = reported(*FOUR, **UNSAID)
    assert told.fabric is not None
    assert at_unsaid_dial(told.fabric)
    said = reported(*FOUR)
    assert said.fabric is not None
    assert not at_unsaid_dial(said.fabric)


def test_a_swatch_without_a_dial_is_near_the_others_as_before():
    answer = answered(swatch("a", "7"), swatch("b", None))
    codes = {assumed.code for assumed in answer.assumed}
    assert "dial_unsaid" in codes
    assert "piece_dial_unsaid" not in codes
