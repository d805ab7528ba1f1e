"""Fit rule 11: what the tape spans depends on how the marks are counted; three conventions give one w."""

import pytest
from pydantic import ValidationError

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
