"""Seams and bands in words: groups of rows, marks, ease, what does not join and what to do about it."""

from __future__ import annotations

import dataclasses

import pytest

from fitcheck.advice.rest.bands import BandStitch
from fitcheck.advice.to_come.picked_up import BandUp, PickedRun, PickedUp
from fitcheck.knitting.pick_up import PickUp, pick_up_rows
from fitcheck.words.figures import CM
from fitcheck.words.picked_up import groups_words, pick_said
from fitcheck.words.seams import seams_said
from tests.advice.to_come.test_making_up import with_front
from tests.advice.to_come.test_the_rest import MAKES, rest


@pytest.mark.parametrize(
    ("stitches", "rows", "told"),
    [
        (10, 13, "twice 3 of 4, then 4 of 5"),
        (23, 24, "23 of 24"),
        (9, 30, "6 times 1 of 3, then 3 times 1 of 4"),
        (129, 160, "4 of 5"),
    ],
)
def test_groups_are_said_so_that_they_come_to_the_stitches_and_the_rows(stitches: int, rows: int, told: str) -> None:
    assert told in groups_words(pick_up_rows(stitches, rows))


def test_groups_that_take_turns_are_said_once() -> None:
    groups = (PickUp(4, 5, 1), PickUp(5, 6, 1)) * 3 + (PickUp(4, 5, 2),)
    assert groups_words(groups) == "3 times 4 of 5 and 5 of 6 by turns, then twice 4 of 5"


def band(*runs: PickedRun, assumed: bool = False, rows: int | None = 8) -> BandUp:
    picked = PickedUp(sum(run.stitches for run in runs), sum(run.mm for run in runs), 0.1, runs)
    return BandUp("neck", 1, 25.0, rows, BandStitch(3.9, 3.0), assumed, picked)


def test_a_run_says_which_of_its_rows_are_taken_and_from_where_they_are_counted() -> None:
    side = PickedRun("front_right", 118.0, 34, False, 28, pick_up_rows(28, 34), "shoulder")
    (run,) = pick_said(band(side), CM).runs
    assert run.head == "Right side, 28 of 34 rows."
    assert run.told.startswith("From the shoulder down: ")
    assert run.told.endswith("Leave out the last row of each.")


def test_rows_that_nobody_counted_are_picked_up_evenly_and_a_flat_side_from_its_steps_too() -> None:
    told = pick_said(
        band(
            PickedRun("rib", 60.0, 0, False, 16, (), "hem"),
            PickedRun("front_left", 60.0, 10, False, 14, (), "centre"),
            PickedRun("front_neck", 60.0, 14, True, 14),
        ),
        CM,
    )
    assert [f"{run.letter} {run.head} {run.told}" for run in told.runs] == [
        "a Rib at the hem, 16. Evenly, along 6.0 cm.",
        "b Left side, 14 over 10 rows. From the centre up: one from each row and from each stitch cast off, as they "
        "come, evenly.",
        "c Front centre, 14. Every loop.",
    ]


def test_a_band_says_whether_its_stitch_is_assumed_and_that_it_wants_a_depth() -> None:
    run = PickedRun("front_neck", 60.0, 14, True, 14)
    assert "assumed: swatch the rib" in pick_said(band(run, assumed=True), CM).note
    assert "that of the rib’s swatch" in pick_said(band(run), CM).note
    unsaid = pick_said(band(run, rows=None), CM)
    assert "Say how deep it is to be" in unsaid.note
    assert unsaid.band == "14 stitches"


def test_what_does_not_join_says_the_longer_first_and_three_things_to_do() -> None:
    said = seams_said(with_front(to_underarm=111).answer, CM)
    assert (said.head, said.because) == (
        "The sides do not join: 111 rows to 108.",
        "The other four fit. Nothing is sewn before that is settled.",
    )
    assert [(way.head, way.button) for way in said.ways] == [
        ("Count again", "Count the front"),
        ("Take 3 rows out", "Front: 108 rows"),
        ("Take 1 row out", "Front: 110 rows"),
    ]
    (side,) = [seam for seam in said.seams if seam.code == "does_not_join"]
    assert (side.over, side.told) == ("3 rows", "3 rows more on one side, 2.8 %; up to 2 % can be eased.")


@pytest.mark.parametrize("make", MAKES)
def test_no_paragraph_of_making_up_is_longer_than_is_read_at_a_glance(make: str) -> None:
    said = seams_said(rest(make).answer, CM)
    told = [said.because, said.key, *(seam.told for seam in said.seams), *(ask.hint for ask in said.asks)]
    told += [text for pick in said.picks for text in (pick.note, *(run.told for run in pick.runs))]
    assert [text for text in told if len(text.split()) > 40] == []


def test_the_key_says_what_the_seams_of_this_sweater_take_up() -> None:
    assert seams_said(rest("grey_pullover").answer, CM).key.endswith(": 5 % along the seam line and 2 % row to row.")
    assert seams_said(rest("moss_drop_shoulder").answer, CM).key.endswith(" eased: 2 % row to row.")


def test_an_armhole_that_was_typed_is_said_at_its_seam() -> None:
    answer = rest("rust_pullover").answer
    typed = next(armhole for armhole in answer.armholes if armhole.typed)
    told = " ".join(seam.told for seam in seams_said(answer, CM).seams)
    assert f"Shaped as written down: {typed.line} at the back." in told
    unread = dataclasses.replace(answer, armholes=())
    assert "as you typed it" not in " ".join(seam.told for seam in seams_said(unread, CM).seams)


def test_a_band_says_how_it_is_knitted_from_the_first_needle_to_the_end() -> None:
    assert [pick.acts for pick in seams_said(rest("grey_cardigan").answer, CM).picks][1] == (
        "Hang them on needles L75 to R74.",
        "Knit 10 rows of the band.",
        "Cast off as loosely as it lies, or the edge draws up.",
    )
    run = PickedRun("front_neck", 600.0, 240, True, 240)
    too_wide = dataclasses.replace(band(run).picked, needles=("L60", "R60"), goes=2)
    told = pick_said(dataclasses.replace(band(run), picked=too_wide), CM)
    assert told.acts[0] == "They are more than the bed has: in 2 goes, each on needles L60 to R60."


def test_each_hem_band_has_stitches_of_its_own_and_a_single_group_leaves_out_one_row() -> None:
    neck, hem, cuff = seams_said(rest("blue_cotton_pullover").answer, CM).picks
    assert hem.head == "Picking up the hem band: 118 and 118 stitches"
    assert cuff.head == "Picking up each cuff: 51 stitches"
    assert neck.runs[1].told == "From the shoulder down: 23 of 24. Leave out the last row."
