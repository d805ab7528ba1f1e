"""All pieces of a sweater in one drawing: to one scale, each count on a line of its own, no label on another."""

from __future__ import annotations

from itertools import combinations
from math import hypot

import pytest

from fitcheck.drawing.look import TEXT
from fitcheck.drawing.pieces import PiecesDrawing, pieces_drawing
from fitcheck.drawing.placed import DISC
from fitcheck.knitting.plan import Plan
from fitcheck.records.makes import Make
from fitcheck.reports.choose import chosen
from fitcheck.reports.pieces_to_draw import PieceToDraw, pieces_to_draw
from fitcheck.reports.steps import steps
from fitcheck.reports.the_rest import rest_told
from fitcheck.words.pieces_drawn import pieces_drawn
from tests.drawing.drawn import by_class, everything, meetings, parsed
from tests.invented import household, in_turn

MAKES = [make.id for make in household().makes if make.finished is None]
WHOLE = ("grey_pullover", "blue_cotton_pullover", "grey_cardigan")
"""Makes all of whose pieces have a plan."""


def pieces(make: str, **changed) -> tuple[PieceToDraw, ...]:
    given = household()
    if changed:
        makes = [Make.model_validate({**one.model_dump(), **changed}) if one.id == make else one for one in given.makes]
        given = given.model_copy(update={"makes": makes})
    return pieces_to_draw(rest_told(steps(chosen(given, make))))


def drawn(make: str, unit="cm", **more) -> PiecesDrawing:
    made = pieces_drawing(pieces(make), unit, **more)
    assert made is not None
    return made


@pytest.mark.parametrize("make", in_turn(MAKES))
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_no_label_of_a_make_of_the_demo_meets_another(make, unit):
    root = parsed(drawn(make, unit).svg)
    assert meetings(root) == []
    discs = [(float(disc.get("cx")), float(disc.get("cy"))) for disc in by_class(root, "t-key")]
    assert all(hypot(x - u, y - v) >= 2 * DISC for (x, y), (u, v) in combinations(discs, 2))


@pytest.mark.parametrize("make", in_turn(MAKES))
def test_every_text_is_12_px_high_on_the_narrowest_phone_and_inside_the_drawing(make):
    root = parsed(drawn(make).svg)
    assert TEXT >= 12
    _, _, width, height = (float(part) for part in root.get("viewBox").split())
    assert width == 288
    discs = [(float(disc.get("cx")), float(disc.get("cy"))) for disc in by_class(root, "t-key")]
    assert all(DISC < x < width - DISC and DISC < y < height - DISC for x, y in discs)


@pytest.mark.parametrize("make", WHOLE)
def test_the_figures_in_the_drawing_are_the_counts_and_their_numbers_go_up(make):
    made = drawn(make)
    root = parsed(made.svg)
    counted = {(piece.kind, key): count for piece in pieces(make) for key, count in piece.counts.items()}
    shown = [text.text for text in by_class(root, "t-val")]
    for place, (at, figure) in enumerate(made.figures.items(), start=1):
        assert figure == place
        assert str(counted[at]) in shown
    assert [int(text.text) for text in by_class(root, "t-keyn")] == list(made.figures.values())


@pytest.mark.parametrize("make", WHOLE)
def test_every_width_and_every_length_below_the_underarm_finds_its_place(make):
    placed = {key for _, key in drawn(make).figures}
    wanted = {key for piece in pieces(make) for key in piece.counts} & {
        "hem", "chest", "shoulder_width", "neck_width", "cuff", "upper_arm", "to_underarm", "armhole_depth",
    }  # fmt: skip
    assert wanted <= placed


def test_pieces_are_drawn_to_one_scale():
    root = parsed(drawn("grey_pullover").svg)
    ends = {
        text.text: line
        for text, line in zip(
            [text for text in by_class(root, "t-val") if text.text.isdigit()], by_class(root, "t-line"), strict=True
        )
    }
    front, sleeve = (_long(ends[count]) for count in ("126", "82"))
    assert front / sleeve == pytest.approx(126 / 82, rel=0.01)


def _long(line) -> float:
    (x1, _), (x2, _) = (pair.split() for pair in line.get("d")[1:].split("L"))
    return abs(float(x2) - float(x1))


def test_a_knitted_piece_that_was_read_lies_full_under_its_dashed_plan():
    made = drawn("grey_pullover")
    assert made.lines == ("planned", "measured", "drawn in")
    root = parsed(made.svg)
    order = [element.get("class") for element, *_ in everything(root)]
    assert order.index("o-piece") < order.index("o-ref")
    assert "back, blocked" in [text.text for text in by_class(root, "t-val")]


def test_sleeves_that_are_called_alike_are_drawn_twice_and_counted_once():
    names = [text.text for text in by_class(parsed(drawn("grey_pullover").svg), "t-val")]
    assert names.count("left sleeve") == names.count("right sleeve") == 1
    assert names.count("82") == 1


def test_a_piece_on_the_needles_shows_how_far_it_is():
    made = drawn("grey_pullover", rows={"front": 40})
    assert "row 40" in [text.text for text in by_class(parsed(made.svg), "t-val")]
    assert "row 40" not in drawn("grey_pullover").svg


def test_a_make_of_which_nothing_can_be_drawn_has_no_drawing():
    finished = next(make.id for make in household().makes if make.finished is not None)
    assert pieces_drawing(pieces(finished)) is None


def test_a_piece_to_come_has_its_plan_and_its_counts_and_a_knitted_one_its_measures():
    back, front, sleeve = pieces("grey_pullover")
    assert back.knitted
    assert not back.counts
    assert back.measured["chest"] > 500
    assert not front.knitted
    assert front.counts["chest"] == 126
    assert not front.measured
    assert isinstance(front.plan, Plan)
    assert sleeve.times == 2


def test_a_piece_that_cannot_be_drawn_is_not_named_in_what_the_drawing_shows():
    title = next(element for element, *_ in everything(parsed(drawn("grey_pulled_long").svg)) if "title" in element.tag)
    assert title.text == (
        "Back as blocked with its plan dashed over it, all to one scale; the counts stand in the tables."
    )


def test_what_the_drawing_shows_is_said_in_one_sentence():
    assert pieces_drawn(pieces("grey_pullover")) == (
        "Back as blocked with its plan dashed over it, front as planned and both sleeves as planned, all to one scale; "
        "the counts stand in the tables."
    )
