"""Fit rule 11: what the tape spans depends on how the marks are counted; three conventions give one w."""

import pytest
from pydantic import ValidationError

from fitcheck.estimates.fabric.answers import StitchSize
from fitcheck.records.swatches import Span

SPANS = [
    {"count": 40},  # counted between the marks
    {"first": -20, "last": 20, "rule": "centre_to_centre"},  # b - a
    {"first": -20, "last": 21, "rule": "inner_edge_to_inner_edge"},  # b - a - 1
]


@pytest.mark.parametrize("span", SPANS)
def test_three_conventions_of_one_swatch_give_one_stitch_width(span):
    assert 176.0 / Span.model_validate(span).between == pytest.approx(4.40)


def test_40_counted_as_41_is_2_5_percent():
    right = Span.model_validate({"first": 1, "last": 41, "rule": "centre_to_centre"}).between
    wrong = Span.model_validate({"count": 41}).between
    assert wrong / right - 1 == pytest.approx(0.025)


@pytest.mark.parametrize(
    "span",
    [
        {"first": 1, "last": 41},  # the form must ask which rule it is
        {"count": 40, "rule": "centre_to_centre"},
        {"first": 1, "last": 2, "rule": "inner_edge_to_inner_edge"},
        {"first": 5, "last": 5, "rule": "centre_to_centre"},
    ],
)
def test_a_span_that_does_not_say_how_it_was_counted_is_refused(span):
    with pytest.raises(ValidationError):
        Span.model_validate(span)


def test_81_stitches_with_markers_five_in_from_each_edge_span_71():
    # Common practice, no source: the markers hang in the fifth stitch from either edge, needles 5 and 77 of 81.
    marked = {"rule": "inner_edge_to_inner_edge", "first": 5, "last": 81 - 5 + 1}
    assert Span.model_validate(marked).between == 71


def test_6_51_stitches_and_10_4_rows_per_inch_are_26_0_and_41_6_over_4_in():
    # Common practice, no source; per_4in is what the report and the fabric print.
    for per_inch, per_4in in ((6.51, 26.0), (10.4, 41.6)):
        size = StitchSize(25.4 / per_inch, 3.8, 4.0, 0.9, 1.36, 0.01, "measured")
        assert round(size.per(101.6).value, 1) == per_4in
