"""Before "knit the back first" (model 8b): other counts, a swatch, or hardly a chance. Each household is its own.

The pattern is made for 26 stitches over 4 in, 3.908 mm a stitch; the swatch says 22.9 to 10 cm, 4.367 mm. So a chest of
52.0 cm, 133 stitches and two in the seams, comes out 133 x 4.367 = 58.1 cm, and 52.0 takes 119 + 2 = 121; of 120 and
122, about as near, the fewer stitches are the surer ones.
"""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck import words
from fitcheck.advice.sizes.answers import FirstPiece
from fitcheck.advice.sizes.which_size import sizes_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.files import open_household
from fitcheck.records.households import Household
from fitcheck.reports.choose import chosen
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report
from fitcheck.reports.steps import steps
from fitcheck.terminal.report import printed
from fitcheck.words.fabric import swatched_dial_sentence
from fitcheck.words.first_piece import swatch_told
from fitcheck.words.sizes import asked_sentences, sizes_headline
from tests.advice.fabric_sample import lines
from tests.advice.size_sample import body, household

STITCH = 100 / 22.9
STOP = "Do not knit size M: the chest comes out 58.1 cm, not 52.0."


def swatch(key: str = "one", dial: str | None = "7", mm: float = STITCH, spread: float = 0.5, **more: Any) -> dict:
    """A swatch of 40 stitches and 60 rows of 3.1 mm, washed and blocked."""
    stage = {"kind": "blocked", "across": lines(40 * mm, spread), "along": lines(60 * 3.1, 0.5)}
    dialled = {} if dial is None else {"dial": dial}
    return {"id": key, **dialled, "stitches": {"count": 40}, "rows": {"count": 60}, "stages": [stage], **more}


def planned(sizes: dict[str, Any], *swatches: dict, gauge: bool = False, needles: int | None = 200, **make: Any) -> Any:
    """A make of no piece yet, with a chest of 52.0 cm wanted."""
    bed = None if needles is None else {"id": "bed", "name": "the bed", "needles": needles}
    table = {"table": {"gauge": {"stitches": 26, "over": "4 in"}}} if gauge else {}
    make = {"swatches": [one["id"] for one in swatches], **make}
    return household(sizes, {"chest": 52}, machine=bed, others={"swatches": list(swatches)}, **table, **make)


def told(home: Household) -> tuple[Report, FirstPiece]:
    answer = report(home)
    assert answer.first is not None
    return answer, answer.first


# (a) does another size or count lose less by a tenth of a back or more?

TYPED = {
    "the gauge and centimetres": ({"M": body(52, None)}, {"gauge": True, "size": "M"}),
    "the gauge and centimetres, no size chosen": ({"M": body(52, None)}, {"gauge": True}),
    "counts": ({"M": body(None, 135)}, {"size": "M"}),
    "counts and centimetres": ({"M": body(52, 135)}, {"size": "M"}),
    "everything, beside another size": ({"S": body(46, 120), "M": body(52, 135)}, {"gauge": True, "size": "M"}),
}


@pytest.mark.parametrize("typed", TYPED)
def test_a_pattern_for_another_gauge_is_stopped_in_the_first_sentence_however_it_was_typed(typed: str) -> None:
    sizes, how = TYPED[typed]
    answer, first = told(planned(sizes, swatch(), **how))
    assert first.not_this is not None
    assert first.not_this.finished_mm == pytest.approx(133 * STITCH, abs=0.5)
    assert first.counts["chest"] == first.not_this.instead == 120
    assert words.headline(answer).startswith(f"{STOP} 120 stitches at dial 7 give 51.5")
    assert answer.sizes is not None
    assert answer.sizes.first == first
    assert sizes_headline(answer.sizes).startswith(STOP)


@pytest.mark.parametrize(
    ("changed", "stopped"),
    [
        ({}, False),
        ({"planned": {"back": {"chest": 115}, "front": {"chest": 130}}}, True),
        ({"yarn": "cotton"}, True),
        ({"wishes": {"chest": {"by": "1 cm", "meant": "flat"}}}, True),
    ],
)
def test_counts_by_which_the_garment_itself_was_knitted_in_this_yarn_are_not_stopped(
    changed: dict[str, Any], stopped: bool
) -> None:
    counts = {"back": {"chest": 110}, "front": {"chest": 130}}
    hung = {
        "id": "hung",
        "name": "hung",
        "occasions": [{"id": "now", "state": "washed_flat", "readings": {"chest": ["52.0"]}}],
        "knitted": {"dial": "7", "counts": counts},
    }
    first = {"id": "first", "name": "first", "yarn": "wool", "finished": "2026-11-28", "became": "hung"}
    make = {"id": "next", "name": "next", "yarn": "wool", "swatches": ["one"], "planned": counts}
    make |= {"fits": {"garment": "hung", "occasion": "now"}, "learns_from": ["first"], **changed}
    yarns = [{"id": key, "name": key} for key in ("wool", "cotton")]
    kept = {"fitcheck": 4, "unit": "cm", "garments": [hung], "yarns": yarns, "makes": [first, make]}
    home = open_household({**kept, "swatches": [swatch()]})
    # The back's 110 stitches alone would come out 4 cm narrow.
    answer = report(home, make="next").first
    assert answer is not None
    assert (answer.not_this is not None) == stopped


def test_planned_counts_are_stopped_without_any_size_table_too() -> None:
    answer, first = told(planned({}, swatch(), planned={"back": {"chest": 135}, "front": {"chest": 135}}))
    assert words.headline(answer).startswith(
        "Do not knit 135 stitches at the chest: it comes out 58.1 cm, not 52.0. 121 stitches at dial 7 give 52.0. "
        "Knit the back first: 121 stitches at the chest, at dial 7."
    )
    assert answer.sizes is None
    assert first.not_this is not None
    # 6.1 cm off where 1.0 is allowed: 2 (0.1 6.1^2 + 1.2 5.1) = 19.7, less the one or so that the right ones lose.
    assert first.not_this.saves == pytest.approx(19.0, abs=0.7)


def test_another_size_is_named_where_it_is_nearer() -> None:
    sizes = {"S": body(46, 120), "M": body(52, 135)}
    answer, first = told(planned(sizes, swatch(), size="M"))
    assert first.not_this is not None
    assert first.not_this.nearest == "S"
    assert "120 stitches at dial 7 give 51.5, or size S is nearest." in words.headline(answer)
    # Whole repeats of 50 are 100 or 150 stitches, 9.2 cm narrow or 12.6 wide: no other way than size S.
    sizes["S"] = body(46, 122)
    answer, first = told(planned(sizes, swatch(), size="M", multiple=50))
    assert first.size == "S"
    assert words.headline(answer).startswith(f"{STOP} Size S is nearer. Knit the back first: 122 stitches")


def test_where_none_of_several_sizes_was_chosen_the_nearest_is_named() -> None:
    answer, _ = told(planned({"S": body(46, 126), "M": body(52, 135)}, swatch()))
    assert words.headline(answer).startswith(
        "Knit no size as it is. Of size S, the nearest, the chest comes out 54.2 cm, not 52.0. 120 stitches at dial 7"
    )


@pytest.mark.parametrize("count", [120, 121, 122])
def test_a_count_that_is_hardly_off_is_knitted(count: int) -> None:
    answer, first = told(planned({"M": body(52, count)}, swatch(), size="M", multiple=1))
    assert first.not_this is None
    assert words.headline(answer) == (f"Knit the back first: {count} stitches at the chest, at dial 7. That is size M.")


def test_a_count_a_little_off_is_stopped_where_another_saves_a_tenth_of_a_back() -> None:
    """123 stitches are 0.8 cm wide where 1.0 is allowed: it is likely within, and 121 still save half a back."""
    _, first = told(planned({"M": body(52, 123)}, swatch(), size="M", multiple=1))
    assert first.not_this is not None
    assert 0.1 <= first.not_this.saves < 0.8


def test_what_is_allowed_on_one_side_more_moves_no_count() -> None:
    """Fit rule 26: -5/+40, -5 and any, and 5 either way aim at what is wanted."""
    for larger in ("4 cm", "100 cm", "0.5 cm"):
        allowed = {"chest": {"smaller": "0.5 cm", "larger": larger}}
        _, first = told(planned({}, swatch(), tolerances=allowed))
        assert first.counts["chest"] == 121


# (b) a swatch at that dial


def test_without_a_blocked_swatch_one_is_knitted_first() -> None:
    answer, first = told(planned({"M": body(52, 121)}, size="M"))
    assert first.swatch is not None
    assert first.swatch.reason == "no_swatch"
    assert words.headline(answer).startswith("Knit a swatch first, wash and block it. Nothing says yet what a stitch")
    rested = swatch()
    rested["stages"][0]["kind"] = "rested"
    assert told(planned({"M": body(52, 121)}, rested, size="M"))[1].swatch is not None


def at_dial(dial: str, *swatched: str) -> FirstPiece:
    """What comes before a back that is to be knitted at a dial, with swatches at others, 7 % a number apart."""
    swatches = [swatch(f"at_{place}", of, STITCH * 1.07 ** (float(of) - 7)) for place, of in enumerate(swatched)]
    following = {"id": "back", "piece": "back", "dial": dial}
    return told(planned({}, *swatches, pieces=[following]))[1]


def test_a_typed_dial_counts_and_is_swatched_itself_or_closely_on_both_sides() -> None:
    assert at_dial("7", "7").swatch is None
    assert at_dial("7.1", "7", "8").swatch is None
    for dial, swatched in (("9", ("7", "8")), ("7", ("6", "8")), ("6", ("7",))):
        asked = at_dial(dial, *swatched)
        assert asked.dial == dial
        assert asked.swatch is not None
        assert (asked.swatch.reason, asked.swatch.dial) == ("not_at_dial", dial)
        assert swatch_told(asked.swatch)[0].startswith(f"Knit a swatch at dial {dial} first")


def test_swatches_that_contradict_each_other_are_asked_about() -> None:
    """Labels of 6 and 8 changed: the looser dial has stitches 13 % smaller; 1 % smaller is chance."""
    changed = [swatch("one", "6", STITCH * 1.07), swatch("other", "8", STITCH / 1.07)]
    answer, first = told(planned({}, *changed))
    assert first.swatch is not None
    assert (first.swatch.reason, first.swatch.tighter, first.swatch.looser) == ("labels_changed", "6", "8")
    assert words.headline(answer).startswith(
        "Look at the swatches first: were their labels changed? The one labelled dial 8 has smaller stitches than the "
        "one labelled dial 6."
    )
    for ratio in (0.99, 1.07):
        _, first = told(planned({}, swatch("one", "7"), swatch("other", "8", STITCH * ratio)))
        assert first.swatch is None


# (c) hardly a chance

FINE = {"chest": "0.5 cm"}


def test_a_swatch_comes_first_where_knowing_the_stitch_would_make_it_likely() -> None:
    """By six stitches, read to a tenth of them, 2 in 10 within half a centimetre; known exactly, 4 in 10."""
    six = {"kind": "blocked", "across": lines(6 * STITCH, 0.5), "along": lines(60 * 3.1, 0.5)}
    answer, first = told(planned({}, swatch(stitches={"count": 6}, stages=[six]), tolerances=FINE))
    assert first.swatch is not None
    assert first.swatch.reason == "would_tell"
    assert first.swatch.chance_now is not None
    assert first.swatch.chance_then is not None
    assert first.swatch.chance_now < 0.25 <= first.swatch.chance_then
    assert first.swatch.chance_then >= first.swatch.chance_now + 0.1
    assert words.headline(answer).startswith("Knit a swatch at dial 7 first, wash and block it. ")
    assert "once the stitch is known" in words.headline(answer)


def test_what_no_swatch_can_help_is_said_with_its_chance_and_its_limit() -> None:
    answer, first = told(planned({}, swatch(), tolerances={"chest": "0.2 cm"}))
    assert first.swatch is None
    assert first.hardly_fits is not None
    assert (first.hardly_fits.limit, first.hardly_fits.key) == ("fabric", "chest")
    assert first.hardly_fits.chance < 0.25
    assert words.headline(answer) == (
        "Knit the back first: 121 stitches at the chest, at dial 7. 1 in 10 that every width fits, because 0.2 cm is "
        "allowed at the chest, finer than pieces come out alike."
    )


def test_the_bed_is_a_wall_and_the_answer_says_the_ways_out() -> None:
    """Fit rule 24: 121 stitches are wanted on 112 needles."""
    answer, first = told(planned({}, swatch(), needles=112))
    assert first.counts["chest"] == 112
    assert first.hardly_fits is not None
    assert (first.hardly_fits.limit, first.hardly_fits.needles, first.hardly_fits.stitches) == ("bed", 112, 122)
    assert first.code == "bed"
    assert words.headline(answer) == (
        "The bed has 112 needles, and the chest wants 122 stitches. Less than 1 in 20 that every width fits on it. "
        "A looser dial, two side panels of 12 stitches or a narrower body is the way out. "
        "On it knit the back first: 112 stitches at the chest, at dial 7."
    )


def test_what_is_wanted_may_be_known_less_well_than_is_allowed() -> None:
    """A neck of 12 cm that was read once: 3.6 mm of tape, where pieces of one fabric differ by 2.8."""
    read = {"neck_width": [{"text": "12 cm", "laying": 1}]}
    occasion = {"id": "once", "state": "washed_flat", "readings": read}
    home = household(
        {},
        machine={"id": "bed", "name": "the bed", "needles": 200},
        others={
            "garments": [{"id": "old", "name": "old one", "occasions": [occasion]}],
            "swatches": [swatch()],
        },
        fits={"garment": "old", "occasion": "once"},
        swatches=["one"],
        tolerances={"neck_width": "0.1 cm"},
    )
    answer, first = told(home)
    assert first.hardly_fits is not None
    assert (first.hardly_fits.limit, first.hardly_fits.key) == ("tape", "neck_width")
    limit = "because 0.1 cm is allowed at the neck width, finer than what is wanted there is known."
    assert limit in words.headline(answer)


def test_whole_repeats_that_come_no_nearer_are_the_limit() -> None:
    _, first = told(planned({}, swatch(), multiple=50))
    assert first.hardly_fits is not None
    assert first.hardly_fits.limit == "repeat"


# The bed


@pytest.mark.parametrize(("count", "asked"), [(121, True), (110, False)])
def test_many_stitches_ask_for_the_needles_while_no_machine_is_named(count: int, asked: bool) -> None:
    mm = 520 / (count - 2)
    answer, first = told(planned({"M": body(52, count)}, swatch(mm=mm), size="M", multiple=1, needles=None))
    assert (first.ask_needles == count) is asked
    question = f"How many needles has the bed? {count} stitches must lie on it, and no machine is named."
    assert (question in words.headline(answer)) is asked
    assert answer.sizes is not None
    assert (question in asked_sentences(answer.sizes)) is asked
    named, _ = told(planned({"M": body(52, count)}, swatch(mm=mm), size="M", multiple=1))
    assert "How many needles" not in words.headline(named)


# What the table means (fit rule 36)


def with_sleeves(wanted_cm: float, *printed: float) -> Household:
    """Sizes with a chest of 52 and these sleeve lengths."""
    sizes = {f"size {cm:g}": {**body(52, 121), "sleeve": {"sleeve_length": (cm, None)}} for cm in printed}
    return planned(sizes, swatch(), fits={"numbers": {"chest": 52, "sleeve_length": wanted_cm}})


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ((41.5, 42.5), "Every size’s sleeve is 13.0 to 14.0 cm short: does the pattern measure it to the underarm?"),
        ((41.5, 48.0), ""),
        ((52.0, 55.0), ""),
        ((30.0, 31.0), ""),
    ],
)
def test_a_sleeve_that_is_off_by_a_cap_in_every_size_is_asked_about(printed: tuple[float, ...], said: str) -> None:
    answer, _ = told(with_sleeves(55.5, *printed))
    assert answer.sizes is not None
    assert " ".join(asked_sentences(answer.sizes)).startswith(said)
    assert bool(asked_sentences(answer.sizes)) is bool(said)


@pytest.mark.parametrize(("seam", "asked"), [(14.0, True), (11.5, False)])
def test_shoulders_of_a_table_that_do_not_add_up_are_asked_about(seam: float, asked: bool) -> None:
    """Neck 17.0 and twice 13.8 across, 14.0 along a seam that drops 2.4, make 44.6; 39.6 is printed."""
    back = {"chest": (52, 121), "neck_width": (17, None), "shoulder_seam": (seam, None), "shoulder_width": (39.6, None)}
    answer, _ = told(planned({"M": {"back": back}}, swatch()))
    assert answer.sizes is not None
    assert (answer.sizes.shoulders is not None) is asked
    if asked:
        assert "make 44.6 cm across; its shoulder width says 39.6 cm." in asked_sentences(answer.sizes)[0]


# The dial


def test_sizes_are_reckoned_at_the_swatched_dial_that_comes_nearest_not_at_the_newest() -> None:
    """The counts were made for 4.367 mm, the stitch at 7; the newest swatch was knitted at 8."""
    swatches = [
        swatch("old", "7"),
        swatch("new", "8", STITCH * 1.07),
        swatch("tight", "6", STITCH / 1.07),
    ]
    swatches[1]["stages"][0]["on"] = "2026-05-01"
    answer, first = told(planned({"M": body(52, 121), "L": body(56, 130)}, *swatches))
    assert answer.sizes is not None
    assert first.dial == answer.sizes.dial_written == "7"
    assert [(at.dial, at.best) for at in answer.sizes.dials] == [("6", "L"), ("7", "M"), ("8", "M")]
    assert all(not isinstance(at.free_counts, CannotSay) for at in answer.sizes.dials)
    # What stands in the table is what the whole answer for that dial says.
    home = planned({"M": body(52, 121), "L": body(56, 130)}, *swatches)
    step = steps(chosen(home))
    assert step.ahead is not None
    for at in answer.sizes.dials:
        whole = sizes_of(home.makes[0], home, step.ahead.fabric, pool=step.hands.tape, dial=float(at.dial))
        of_best = whole.size(str(whole.best))
        assert of_best is not None
        assert (at.best, at.all_fit, at.free_counts) == (whole.best, of_best.all_fit, whole.free_counts)


def test_a_click_that_comes_nearer_than_what_was_swatched_is_named_beside_it() -> None:
    """26 stitches over 4 in want 3.908 mm; the tightest swatch, at 6, has 4.081 at first sight."""
    swatches = [swatch("one", "7"), swatch("other", "6", STITCH / 1.07)]
    answer, first = told(planned({"M": body(52, 135)}, *swatches, gauge=True))
    assert answer.fabric is not None
    best = answer.fabric.dials.best
    assert not isinstance(best, CannotSay)
    assert best.position < 6
    assert first.dial == answer.fabric.dials.knit_at == "6"
    sentence = "Of the dials that were swatched 6 comes nearest: sizes and counts are reckoned for it."
    assert swatched_dial_sentence(answer.fabric.dials) == sentence
    assert sentence in " ".join(printed(answer).split())
    _, alone = told(planned({"M": body(52, 121)}, swatch()))
    assert alone.dial == "7"


def test_a_typed_dial_is_the_dial_of_the_sizes() -> None:
    """As the what-if of the API has it: a piece still to be knitted, with a dial and no more."""
    swatches = [swatch("one", "7"), swatch("other", "8", STITCH * 1.07)]
    following = {"id": "next-0", "piece": "back", "dial": "8"}
    answer, first = told(planned({"M": body(52, 121)}, *swatches, pieces=[following], size="M"))
    assert answer.sizes is not None
    assert first.dial == answer.sizes.dial_written == "8"
    assert first.not_this is not None
    assert first.not_this.finished_mm == pytest.approx(119 * STITCH * 1.07, rel=0.005)
