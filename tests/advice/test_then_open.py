"""What may follow a deed once the piece is read again, and seams that only rows move (model 6.3, fit rules 27, 38)."""

from __future__ import annotations

import numpy as np
import pytest

from fitcheck.advice.decide import knitting_again
from fitcheck.advice.decide.decision import Action, recommend
from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.knitting_again import NewPiece, Pieces, new_piece
from fitcheck.advice.decide.sewing import sew
from fitcheck.advice.decide.stage import truths
from fitcheck.advice.decide.state import DecisionState, Seam
from fitcheck.advice.decide.then_open import Open, stretches_closed
from fitcheck.advice.decide.ways import Ways, impossible_ways, plain, ways
from fitcheck.records.makes import Costs
from tests.advice.backs import COUNTS, back

LENGTHS = ("to_underarm", "armhole_depth", "body_length")
TO_UNDERARM = list(COUNTS).index("to_underarm")
SEAM_ALLOWED = {"u": 1.0, "other_u": 1.0, "allowed_mm": 3.8, "most_mm": 7.6}


def action(state: DecisionState, code: str) -> Action:
    return next(one for one in recommend(state).actions if one.code == code)


def short(by: float, rows: tuple[int, int] | None, **more: object) -> DecisionState:
    """A back of wool that is short by a share of its lengths, beside a front with as many rows, or of its length."""
    off = {key: -by * COUNTS[key] * 3.1 for key in LENGTHS}
    seam = Seam("to_underarm", "front", 0.0, **SEAM_ALLOWED, rows=rows)
    return back(off, u=1.0, holds=True, seams=(seam,), **more)


def test_a_stretch_moves_no_seam_that_is_sewn_row_by_row():
    """2 % of the side seam are 7.6 mm by the tape, which is as much as can be sewn; in rows both have 122."""
    in_rows, by_tape = (action(short(0.02, rows), "block_again") for rows in ((122, 122), None))
    assert in_rows.expected_loss < by_tape.expected_loss - 0.1
    assert in_rows.stretch[0] == "along"
    assert in_rows.chance > by_tape.chance + 0.05


def test_a_new_piece_has_the_rows_that_it_is_sewn_to_in_a_stitch_of_its_own():
    """The rows came 6 % short and the next are expected 6 % taller: 122 of them are as long as wanted."""
    alike, taller = (action(short(0.06, (122, 122), shift=shift), "knit_again") for shift in ({}, {"along": 1 / 0.94}))
    assert taller.chances[TO_UNDERARM] > 0.9
    assert alike.chances[TO_UNDERARM] < 0.6


def test_the_new_piece_as_it_is_expected_is_sewn_among_those_that_may_come_as_it_is_alone():
    garment = Garment(short(0.06, None, shift={"along": 1 / 0.94, "across": 1.03}), Costs())
    then = Open(garment, [plain(garment, "carry_on", 0.0)], Costs())
    _, (way, stage, sewn) = new_piece(garment, then, Costs())
    alone = sew(garment, Ways([way]), stage)
    assert [among.tolist() for among in sewn] == [by_itself.tolist() for by_itself in alone]
    assert sewn.width.any()


def test_after_a_deed_a_piece_is_stretched_no_more_than_before_it_where_nothing_is_too_small():
    """A front was ripped back for a stretch that only then was looked at: nine deeds where one was enough."""
    garment = Garment(back({"chest": 4.0, "body_length": -20.0}, u=1.5, holds=True), Costs())
    then = Open(garment, ways(garment, Costs(), impossible_ways(garment)), Costs())
    either = Ways(then.stretches)
    closed = dict(zip(("across", "along"), stretches_closed(garment, either, garment.d[None], {})[:, 0], strict=True))
    assert closed == {"across": True, "along": False}
    assert {way.stretch[0] for way in ways(garment, Costs(), impossible_ways(garment)) if way.stretch} == {"along"}


SPREADS = (0.63, 0.75, 0.81, 0.92, 0.98, 1.06, 1.19, 1.43)


@pytest.mark.parametrize("off", [{"chest": -40.0, "hem": -40.0}, {"chest": 50.0, "shoulder_width": 40.0}])
def test_a_new_piece_is_looked_at_with_so_many_fronts_that_more_would_say_the_same(off, monkeypatch):
    """Of one front to each new back the chance came out .05 off: few of these backs lie where the front just fits."""
    garment = Garment(back(off, u=1.5, piece_sd=0.03, next_sd=0.03, spreads=SPREADS), Costs())
    then = Open(garment, ways(garment, Costs(), impossible_ways(garment)), Costs())
    few, _ = new_piece(garment, then, Costs())
    drawn = np.random.default_rng(1)
    monkeypatch.setattr(knitting_again, "NEXT_PIECES", 400)
    monkeypatch.setattr(knitting_again, "fan", lambda size, each: drawn.standard_normal((each, size, 2)))
    many, _ = new_piece(garment, then, Costs())
    assert few.all_fit == pytest.approx(many.all_fit, abs=0.02)


def test_a_piece_that_came_taller_is_apart_by_the_tape_and_not_by_its_rows():
    """12 mm more than it is known to be; rows off its lower end move both seams alike."""
    for rows, apart_mm in (((122, 122), 0.0), (None, 12.0)):
        garment = Garment(short(0.0, rows), Costs())
        stage = truths(garment, garment.d[None] + 12.0)
        of = Ways([plain(garment, "carry_on", 0.0), plain(garment, "carry_on", 0.0, hem=True)])
        kept, hemmed = sew(garment, of, stage).mean[:, 0, -1]
        end = sew(garment, of, stage).end[1, 0]
        assert kept == pytest.approx(apart_mm)
        assert end > 0
        assert hemmed == pytest.approx(apart_mm - end)


@pytest.mark.parametrize("code", ["block_again", "rip_back"])
def test_after_a_deed_the_piece_may_still_be_knitted_again(code):
    state = back({"shoulder_width": -30.0, "chest": -20.0, "hem": -20.0}, holds=True)
    deed, again = (action(state, one) for one in (code, "knit_again"))
    assert deed.expected_loss <= deed.cost + again.expected_loss + 1e-9


@pytest.mark.parametrize("code", ["block_again", "rip_back"])
def test_a_deed_after_which_it_is_knitted_again_all_the_same_is_not_on_offer(code):
    """Its chance would be that of the new piece, 9 in 10, at a seventh of the work; together they cost more."""
    state = back({"shoulder_width": -30.0, "chest": -90.0, "hem": -90.0}, holds=True)
    assert recommend(state).action.code == "knit_again"
    assert action(state, code).impossible.code == "nothing_to_change"


def test_what_sprang_back_may_be_stretched_again_and_what_stayed_may_not():
    garment = Garment(back({"chest": -30.0, "body_length": -30.0}, holds=True), Costs())
    then = Open(garment, ways(garment, Costs(), {}), Costs())
    after = then.after_knitting_again()
    across = [v for v, way in enumerate(after.each) if way.stretch and way.stretch[0] == "across"]
    d = np.tile(garment.d, (3, 1))
    d[2, list(COUNTS).index("hem")] = 40.0
    closed = stretches_closed(garment, after, d, {"across": np.array([0.01, 0.011, 0.0])})
    assert closed[across].tolist() == [[False, True, True]]
    along = [v for v, way in enumerate(after.each) if way.stretch and way.stretch[0] == "along"]
    assert closed[along].tolist() == [[False, False, True]]
    assert not closed[[v for v, way in enumerate(after.each) if way.stretch is None]].any()


def test_what_is_open_after_a_deed():
    state = back({"chest": -30.0, "shoulder_width": -30.0}, holds=True)
    garment = Garment(state, Costs())
    every = ways(garment, Costs(), {})
    then = Open(garment, every, Costs())
    first = next(way for way in every if way.stretch == ("across", 0.03) and not way.hem)

    def codes(of: Ways) -> set[str]:
        return {way.code for way in of.each}

    assert codes(then.after_stretching(first)) == {"carry_on", "alter_hem", "block_again", "rip_back"}
    assert codes(then.after_ripping()) == {"carry_on", "alter_hem", "block_again"}
    assert codes(then.after_knitting_again()) == {"knit_again", "block_again", "rip_back"}
    beside_a_front = Garment(short(0.02, (122, 122)), Costs())
    again = Open(beside_a_front, every[:1], Costs()).after_knitting_again()
    assert {(way.hem, way.both_ends) for way in again.each} == {(False, False), (True, False), (True, True)}
    unheld = Garment(back({"chest": -30.0}, holds=False), Costs())
    assert "block_again" not in codes(Open(unheld, every[:1], Costs()).after_knitting_again())


def test_pieces_that_lie_worse_than_another_would_are_knitted_once_more():
    """V = work + E min(loss, V), found here by repeating it; what fits is what fits of those that are kept."""
    loss = np.array([5.0, 0.2, 1.1, 0.4, 9.0, 2.5])
    fits = np.array([0.1, 0.9, 0.6, 0.8, 0.0, 0.3])
    value = 0.0
    for _ in range(500):
        value = 1.0 + float(np.minimum(loss, value).mean())
    found = Pieces(loss, fits, np.column_stack([fits, fits])).or_once_more(1.0)
    assert found.loss == pytest.approx(value, abs=1e-9)
    assert found.all_fit == pytest.approx(fits[loss <= value].mean())
    assert found.chances == pytest.approx([fits[loss <= value].mean()] * 2)


def test_pieces_that_lie_worse_than_knitting_again_are_knitted_again():
    again = NewPiece(1.0, 0.7, np.array([0.75]))
    found = Pieces(np.array([0.5, 4.0]), np.array([0.9, 0.1]), np.array([[0.95], [0.2]])).or_again(again)
    assert found.loss == pytest.approx((0.5 + 1.0) / 2)
    assert found.all_fit == pytest.approx((0.9 + 0.7) / 2)
    assert found.chances == pytest.approx([(0.95 + 0.75) / 2])
