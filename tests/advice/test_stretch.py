"""How far a piece was stretched, and what its fabric is without that (fit rules 5, 22 and 38; model 6.4)."""

from __future__ import annotations

import json
import math

import pytest

from fitcheck.advice.fabric.of_make import LeftOut, fabric_of
from fitcheck.advice.stretch import blocked_alike, lengthened, stretched
from fitcheck.records.files import open_household
from fitcheck.reports.decided import next_piece
from fitcheck.reports.shaped import worked_out
from tests.worked.truth import (
    ALONG,
    BODY,
    FRONT,
    PLAIN,
    ROW,
    SLEEVE,
    counted,
    household,
    lengths,
    piece,
    readings,
    swatch,
)


def blocked(*changes: tuple[float, float]):
    """A household with a back that was blocked once more after each change, across and along [1]."""
    return read_after(*(_times(across, along) for across, along in ((1.0, 1.0), *changes)))


def read_after(*blockings: dict[str, float]):
    stages = [{"kind": "blocked", "blocking": "patted", "readings": readings(made)} for made in blockings]
    back = {**piece("back", counted(BODY), lengths(BODY)), "stages": stages}
    planned = {"front": FRONT, "sleeve": SLEEVE}
    made = household([back], swatches=[swatch()], fits=PLAIN, planned=planned)
    return open_household(json.dumps(made).encode())


def _times(across: float, along: float) -> dict[str, float]:
    return {key: mm * (along if key in ALONG else across) for key, mm in lengths(BODY).items()}


def back_of(home):
    return home.makes[0].pieces[0]


def test_what_was_blocked_once_was_not_stretched():
    assert stretched(back_of(blocked())) == {}
    assert lengthened(back_of(blocked())) == {"across": 1.0, "along": 1.0}


def test_a_way_that_gained_nothing_paid_for_the_other():
    home = blocked((0.99, 1.02))
    assert stretched(back_of(home)) == pytest.approx({"across": 0.0, "along": 0.02}, abs=0.002)
    assert lengthened(back_of(home)) == pytest.approx({"across": 0.99, "along": 1.02}, abs=0.002)


def test_what_was_stretched_one_way_and_then_the_other_has_both():
    """2 % longer, then 1 % wider: from first to last it lies as wide as ever, and was stretched that way all the same.

    A back was told to be blocked 1 % wider six times in a row.
    """
    home = blocked((0.99, 1.02), (0.99 * 1.01, 1.02 * 0.995))
    assert stretched(back_of(home)) == pytest.approx({"across": 0.01, "along": 0.02}, abs=0.003)
    assert lengthened(back_of(home)) == pytest.approx({"across": 1.0, "along": 1.015}, abs=0.003)


def test_what_springs_back_may_be_given_again_once():
    once = blocked((1.02, 0.99), (1.01, 0.995))
    assert stretched(back_of(once)) == pytest.approx({"across": 0.01, "along": 0.0}, abs=0.002)
    assert lengthened(back_of(once)) == pytest.approx({"across": 1.01, "along": 0.995}, abs=0.002)
    twice = blocked((1.02, 0.99), (1.01, 0.995), (1.02, 0.99))
    assert stretched(back_of(twice)) == pytest.approx({"across": math.inf, "along": 0.0}, abs=0.002)
    slowly = blocked((1.03, 0.985), (1.02, 0.99), (1.01, 0.995))
    assert stretched(back_of(slowly)) == pytest.approx({"across": 0.01, "along": 0.0}, abs=0.003)


def test_what_was_read_elsewhere_in_between_is_held_against_what_was_read_before():
    only = {"armhole_depth": lengths(BODY)["armhole_depth"]}
    lay = {key: mm for key, mm in lengths(BODY).items() if key != "armhole_depth"}
    longer = {key: mm * (1.02 if key in ALONG else 0.99) for key, mm in lay.items()}
    assert stretched(back_of(read_after(lay, only, longer))) == pytest.approx({"across": 0.0, "along": 0.02}, abs=0.002)


def test_what_gained_nothing_was_stretched_all_the_same():
    assert stretched(back_of(blocked((1.01, 0.995), (1.01, 0.995))))["across"] == math.inf
    assert math.isfinite(stretched(back_of(blocked((1.0, 1.0))))["across"])


def test_patting_is_no_stretch_and_neither_is_ripping_back():
    assert math.isfinite(stretched(back_of(blocked((1.04, 0.96), (1.05, 0.955))))["across"])
    ripped = {**BODY, "armhole_depth": 72, "body_length": 198}
    assert math.isfinite(stretched(back_of(read_after(lengths(BODY), lengths(ripped), lengths(ripped))))["along"])


def test_what_was_pulled_and_patted_back_is_as_its_fabric_is():
    """4 % wider and 5 % shorter again is no stretch: what it measures now counts, not what it measured pulled."""
    assert lengthened(back_of(blocked((1.04, 0.95)))) == pytest.approx({"across": 1.0, "along": 1.0})


def test_what_was_ripped_back_was_not_stretched():
    """Eight rows more above the underarm: its armhole and its whole length are longer, and no row is."""
    ripped = {**BODY, "armhole_depth": 72, "body_length": 198}
    assert lengthened(back_of(read_after(lengths(BODY), lengths(ripped)))) == {"across": 1.0, "along": 1.0}


def test_a_stretch_is_none_of_the_fabric():
    """A row of 3.3 mm stays one, however long the piece was drawn."""
    homes = blocked(), blocked((0.99, 1.02))
    once, again = (fabric_of(home.makes[0], home).fabric for home in homes)
    for way in ("across", "along"):
        sizes = [getattr(known.specimen("back"), way).value for known in (once, again)]
        assert sizes[1] == pytest.approx(sizes[0], rel=0.002)
    assert fabric_of(homes[1].makes[0], homes[1]).left_out == (LeftOut("back", "stretched", "along"),)


def test_the_partner_comes_out_stretched_and_a_sleeve_as_its_fabric_is():
    """The back was drawn 2 % longer: the front is blocked alike, which the answer says; of sleeves it says nothing."""
    home = blocked((0.99, 1.02))
    known = fabric_of(home.makes[0], home)
    front, sleeve = (next_piece(back_of(home), known, [kind]).moved for kind in ("front", "sleeve"))
    assert front == pytest.approx({"across": 1.0, "along": 1.0}, abs=0.002)
    assert sleeve == pytest.approx({"across": 1 / 0.99, "along": 1 / 1.02}, abs=0.002)


def test_counts_of_a_sleeve_are_those_of_its_fabric_and_a_fronts_those_of_the_stretched_back():
    """The report, and the counts of the rest: a row of the front is 2 % higher, that of a sleeve is not."""
    rest, report = worked_out(blocked((0.99, 1.02)))
    for pieces in (report.rest.pieces, rest.answer.pieces):
        for kind, key, row in (("front", "armhole_depth", 1.02 * ROW), ("sleeve", "sleeve_length", ROW)):
            told = next(made for made in pieces if made.kind == kind).counts
            count = told[key] if isinstance(told, dict) else next(count for count in told if count.key == key)
            rows, mm = (count.count, count.mm) if isinstance(told, dict) else (count.now, count.gives_mm)
            assert mm / rows == pytest.approx(row, rel=0.003), (kind, key)


@pytest.mark.parametrize(
    ("kind", "left", "alike"),
    [
        ("back", ["front", "sleeve"], True),
        ("front", ["sleeve"], False),
        ("left_front", ["right_front"], True),
        ("sleeve", ["sleeve"], True),
        ("left_sleeve", ["front"], False),
        ("side_panel", ["side_panel"], False),
        ("back", [], False),
    ],
)
def test_what_belongs_to_it_is_blocked_alike(kind, left, alike):
    assert blocked_alike(kind, left) is alike
