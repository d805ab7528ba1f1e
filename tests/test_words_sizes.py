"""Sentences and layout about sizes: said as a colleague would, and never wider than the page."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from fitcheck.advice.sizes.answers import SizesAnswer, WidthAt
from fitcheck.advice.sizes.choice import side_by_side
from fitcheck.advice.sizes.which_size import sizes_of
from fitcheck.estimates.fabric.assumptions import DEFAULT
from fitcheck.estimates.fabric.fit import Fabric
from fitcheck.estimates.numbers import Quantity
from fitcheck.terminal.sizes import printed_sizes
from fitcheck.words import sizes as words_sizes
from fitcheck.words.figures import Tape
from tests.advice.size_sample import body, fabric, household

FORBIDDEN = re.compile(r"\b(error|invalid|significant|confidence|optimal|fail|please|oops)", re.IGNORECASE)


def ask(cloth: Fabric | None, sizes: dict[str, Any], numbers: dict[str, Any], **make: Any) -> SizesAnswer:
    home = household(sizes, numbers, **make)
    return sizes_of(home.makes[0], home, cloth)


def even(mm: float) -> int:
    """Even count of 22 stitches in 10 cm, two edge stitches in it."""
    return 2 * round((mm * 0.22 + 2) / 2)


def many(n: int, name: str = "{}") -> dict[str, Any]:
    found = {}
    for i in range(n):
        chest, shoulder, arm = 46 + 4 * i, 37 + 2 * i, 16 + i
        pieces: dict[str, dict[str, Any]] = body(
            chest, even(10 * chest), shoulder_width=(shoulder, even(10 * shoulder))
        )
        pieces["back"]["body_length"] = (60 + i, None)
        pieces["sleeve"] = {"upper_arm": (arm, even(20 * arm)), "cap_height": (12 + i / 2, 36 + 2 * i)}
        found[name.format(i + 1)] = pieces
    return found


WANTED = {"chest": 53.3, "shoulder_width": 40.5, "upper_arm": 18, "body_length": 63, "cap_height": 13}
TABLE = {"gauge": {"stitches": 22, "rows": 30, "over": "10 cm"}, "row_counted": ["cap_height"]}
CLOTH = fabric(4.5, 3.0, u=0.004, assumptions=DEFAULT)


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("name", ["{}", "a name as long as a whole line of a pattern, number {}"])
def test_eight_sizes_stay_within_the_page(unit: Any, width: int, name: str) -> None:
    text = printed_sizes(ask(CLOTH, many(8, name), WANTED, table=TABLE), unit, width=width)
    assert max(map(len, text.split("\n"))) <= width
    assert all(line == line.rstrip() for line in text.split("\n"))
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert not FORBIDDEN.search(text)


def test_eight_sizes_stand_side_by_side_at_80_columns_in_cm() -> None:
    text = printed_sizes(ask(CLOTH, many(8), WANTED, table=TABLE))
    heads = [line.split() for line in text.split("\n") if line.startswith("  size")]
    names = [head[1:] for head in heads]
    assert [name.rstrip("*") for name in names[0]] == [str(i + 1) for i in range(8)]
    assert sum(name.endswith("*") for name in names[0]) == 1


def test_every_figure_of_the_table_is_the_answers_own() -> None:
    """Size 3: (120 - 2) 4.5 = 531 mm against 533: 53.1 and -0.2."""
    text = printed_sizes(ask(CLOTH, {"3": many(3)["3"]}, WANTED, table=TABLE))
    lines = text.split("\n")
    at = next(place for place, line in enumerate(lines) if line.startswith("  chest"))
    assert lines[at].split() == ["chest", "53.1"]
    assert lines[at + 1].split() == ["wanted", "53.3", "−0.2"]


def test_the_headline_names_size_and_chance() -> None:
    answer = ask(CLOTH, many(4), WANTED, table=TABLE)
    said = words_sizes.sizes_headline(answer)
    assert said.startswith("Knit size 3 at dial 7. ")
    assert said.endswith(" in 10 that every width fits.")


def test_two_sizes_within_one_in_ten_are_both_named_in_the_headline() -> None:
    """(112 - 2) 4.5 = 495 mm for size 2, (120 - 2) 4.5 = 531 for size 3; wanted in the middle."""
    answer = ask(fabric(4.5, u=0.03, assumptions=DEFAULT), many(4), {"chest": 51.3})
    said = words_sizes.sizes_headline(answer)
    assert "size 2" in said.lower() or "or 2" in said
    assert "within 1 in 10" in said
    assert "The chest decides between them" in words_sizes.side_by_side_sentence(answer)


def off(value: float, low: float, high: float, u: float = 1.0) -> WidthAt:
    found = ask(CLOTH, many(3), WANTED, table=TABLE)
    width = found.sizes[0].widths[0]
    return replace(width, difference=Quantity(value, low, high, 0.9, u, 9.0, "mm"))


@pytest.mark.parametrize(
    ("difference", "said"),
    [
        ((-16.0, -31.0, 0.0), "1.6 cm narrow (likely 0 to 3.1)"),
        ((-16.0, -31.0, -2.0), "1.6 cm narrow (likely 0.2 to 3.1)"),
        ((12.0, -3.0, 27.0), "1.2 cm wide (likely 0.3 narrow to 2.7 wide)"),
        ((0.1, -0.4, 0.4), "as wanted (likely within 0.1)"),
        ((20.0, 19.8, 20.2), "2.0 cm wide (likely 2.0)"),
        ((-16.0, -16.0, -16.0, 0.0), "1.6 cm narrow"),
    ],
)
def test_a_difference_of_a_size_has_words_and_no_signs(difference, said: str) -> None:
    assert words_sizes.off_words(off(*difference)) == said


def test_in_inches_a_difference_below_a_mark_is_within_an_eighth() -> None:
    assert words_sizes.off_words(off(0.2, -1.0, 1.2), Tape("in", ".")) == "as wanted (likely within 1/8)"


def test_no_size_fits_is_said_as_such() -> None:
    """(158 - 2) 4.5 = 702 mm for the 700 that are wanted; 160 stitches would be 711."""
    assert words_sizes.sizes_headline(ask(CLOTH, many(2), {"chest": 70})) == (
        "At dial 7 neither size fits at every width. Size 2 comes nearest. "
        "Or counts of your own, chest 158 stitches: 5 in 10."
    )
    many_wanted = ask(CLOTH, many(3), {"chest": 70, "shoulder_width": 60, "upper_arm": 30})
    assert words_sizes.sizes_headline(many_wanted).startswith(
        "At dial 7 no size fits at every width. Size 3 comes nearest."
    )
    alone = words_sizes.sizes_headline(ask(CLOTH, many(1), {"chest": 70}))
    assert alone.startswith("At dial 7 size 1 does not fit at every width. Or counts of your own, chest ")


def with_chances(best: float, second: float, answer: SizesAnswer | None = None) -> SizesAnswer:
    """An answer about two sizes with other chances that everything fits."""
    found = answer or ask(CLOTH, many(2), {"chest": 51.3})
    first = str(found.best)
    sizes = tuple(replace(one, all_fit=best if one.name == first else second) for one in found.sizes)
    weights = dict.fromkeys((one.key for one in found.sizes[0].widths), 2.0)
    return replace(found, sizes=sizes, side_by_side=side_by_side(sizes, first, None, weights))


@pytest.mark.parametrize(
    ("best", "second", "said"),
    [
        (0.12, 0.04, r"At dial 7 neither size is likely to fit at every width\. Size \d comes nearest, 1 in 10\."),
        (0.22, 0.18, r"At dial 7 neither size is likely to fit at every width\. Size \d comes nearest, 2 in 10\."),
        (0.40, 0.34, r"Size \d or \d at dial 7\. They are within 1 in 10 of each other\.$"),
        (0.28, 0.20, r"Knit size \d at dial 7\. 3 in 10 that every width fits\.$"),
        (0.40, 0.20, r"Knit size \d at dial 7\. 4 in 10 that every width fits\.$"),
    ],
)
def test_two_sizes_are_a_choice_only_where_either_may_well_fit(best: float, second: float, said: str) -> None:
    assert re.match(said, words_sizes.sizes_headline(with_chances(best, second)))


def test_the_sizes_are_told_at_the_dials_beside_in_one_table() -> None:
    """A number tighter the stitch is 7 % smaller, 4.5 / 1.07 = 4.21 mm: more stitches, so a larger size."""
    home = household(many(4), {"chest": 53.3})
    here = sizes_of(home.makes[0], home, CLOTH, dial=7.0, beside=[8.0, 6.0])
    there = sizes_of(home.makes[0], home, CLOTH, dial=6.0)
    tighter, own, _looser = words_sizes.dial_rows(here)
    assert [row.dial for row in words_sizes.dial_rows(here)] == ["6", "7", "8"]
    assert (tighter.best, own.best) == (there.best, here.best)
    assert here.best != there.best
    assert [row.here for row in words_sizes.dial_rows(here)] == [False, True, False]
    assert words_sizes.dials_sentence(here) == "All the other figures are for dial 7."
    text = printed_sizes(here)
    assert "Dial by dial" in text
    assert f"  7*    {own.best}  " in text
    alone = sizes_of(home.makes[0], home, CLOTH, dial=7.0)
    assert alone.dials == words_sizes.dial_rows(alone) == ()
    assert "Dial by dial" not in printed_sizes(alone)


def test_where_printed_widths_are_too_close_to_call_what_is_allowed_is_said() -> None:
    """1 cm either way of a printed chest of 54: 1.9 %, which is written as 2."""
    answer = ask(fabric(4.7, u=0.03, assumptions=DEFAULT), {"3": many(3)["3"]}, WANTED, table=TABLE)
    (told, *_) = words_sizes.against_sentences(answer)
    assert "too close to call" in told
    assert told.endswith("in width; at the chest 2 % either way is allowed.")
    assert "2 % either way" in words_sizes.against_sentences(answer, Tape("cm", ","))[0]


def test_a_wide_fabric_is_said_to_come_out_wide_with_its_percent() -> None:
    """5.155 mm against 100/22 = 4.545 mm: 13.4 %."""
    answer = ask(fabric(5.155, u=0.002, assumptions=DEFAULT), many(4), WANTED, table=TABLE)
    (width, *_) = words_sizes.against_sentences(answer)
    assert width.startswith("Knitted as printed, the pieces come out 13 % (likely ")
    assert " wide:" in width


def test_a_fabric_as_wide_as_the_counts_suppose_is_not_said_to_be_wide_where_one_width_of_the_table_is() -> None:
    """Stitches of 4.53 mm against 100/22 = 4.545 mm, so -0.3 %; ten too many at the chest make it 4 cm wide."""
    sizes = many(1)
    sizes["1"]["front"]["chest"] = sizes["1"]["back"]["chest"] = (46, even(460) + 10)
    answer = ask(fabric(4.53, u=0.004, assumptions=DEFAULT), sizes, WANTED, table=TABLE)
    share = answer.against.stitch_percent
    assert isinstance(share, Quantity)
    assert answer.against.code == "wide"
    assert share.low < share.value < 0 < share.high
    (width, *_) = words_sizes.against_sentences(answer)
    assert width.startswith("Knitted as printed, not every width comes out: one is too wide. This fabric does not say")
    assert "it is −0.5 % (likely −5 to +4) in width beside the one" in width


def test_the_narrow_side_has_no_sign_and_its_interval_runs_upwards() -> None:
    answer = ask(fabric(3.9, u=0.002, assumptions=DEFAULT), many(4), WANTED, table=TABLE)
    (width, *_) = words_sizes.against_sentences(answer)
    found = re.search(r"come out ([\d.]+) % \(likely ([\d.]+) to ([\d.]+)\) narrow", width)
    assert found
    value, low, high = map(float, found.groups())
    assert low < value < high


def test_the_cap_is_said_low_with_the_rows_that_keep_its_height() -> None:
    """40 rows of 100/30 mm are 13.3 cm; of 3.0 mm 12.0 cm, and 44 rows make 13.3 again."""
    answer = ask(fabric(4.5, 3.0), {"3": many(3)["3"]}, WANTED, table=TABLE)
    (one,) = answer.sizes[0].row_counted
    assert words_sizes.row_counted_sentence(one) == (
        "The cap height is counted in rows: 40 rows are 12.0 cm here, 1.3 cm low. "
        "44 rows keep the pattern’s height; draw the shaping anew over them."
    )


def test_a_size_off_the_bed_says_both_figures() -> None:
    machine = {"id": "bed", "name": "bed", "needles": 110}
    answer = ask(CLOTH, many(2), {"chest": 46}, machine=machine)
    said = [words_sizes.refused_size_sentence(size) for size in answer.sizes]
    told = "Size 2: the back has 112 stitches at the chest; this bed has 110 needles. "
    assert f"{told}A looser dial, side panels or a narrower body is the way out." in said


def test_a_mix_is_told_with_its_block_and_the_armhole() -> None:
    numbers = {"chest": 49.5, "shoulder_width": 40.5, "upper_arm": 18.0}
    said = words_sizes.mixed_sentence(ask(fabric(4.5, u=0.003, assumptions=DEFAULT), many(4), numbers))
    assert said.startswith("Mixed: chest from size 2; armhole, cap and shoulder and upper arm together from size 3")
    assert "10 stitches off at each armhole, where size 3 takes 14." in said


def test_a_mistyped_cell_is_pointed_at() -> None:
    sizes = many(6)
    sizes["4"]["front"]["chest"] = (58, 150)
    told = words_sizes.table_sentences(ask(CLOTH, sizes, WANTED, table=TABLE))
    assert told[0].startswith("Look again at size 4, front, chest:")


def test_what_is_missing_is_said_once_with_what_would_help() -> None:
    sizes = many(3)
    for size in sizes.values():
        size["back"]["neck_width"] = (17, None)
    answer = ask(CLOTH, sizes, {**WANTED, "neck_width": 17}, table=TABLE)
    told = [one for one in words_sizes.lacks_sentences(answer) if one.startswith("Neck width")]
    assert len(told) == 1
    assert "Type the stitches" in told[0]


def test_without_a_swatch_the_answer_says_on_what_it_rests() -> None:
    answer = ask(None, many(4), WANTED, table=TABLE)
    assert words_sizes.sizes_headline(answer).startswith("Knit size 3, if the pattern’s gauge is met")
    assert "pattern’s gauge is met exactly" in printed_sizes(answer)


def test_without_a_table_the_counts_are_the_answer() -> None:
    text = printed_sizes(ask(fabric(4.5), {}, {"chest": 54}))
    assert text.startswith("Knit 122 stitches at the chest, at dial 7. No size table was typed.")


def test_the_decimal_mark_is_the_persons_own() -> None:
    text = printed_sizes(ask(CLOTH, many(3), WANTED, table=TABLE), mark=",")
    assert "53,1" in text
    assert not re.search(r"\d\.\d", text)


def test_every_assumption_has_a_sentence() -> None:
    for cloth in (None, CLOTH):
        answer = ask(cloth, {"1": {"back": {"chest": (50, 112)}}}, {"chest": 50}, table=TABLE)
        for one in answer.assumed:
            said = words_sizes.size_assumed_sentence(one)
            assert one.code not in said
            assert said.endswith(".")
