"""Worked makes of fit rules 24 and 25 where they come first: the bed that nobody named, repeats, parity."""

from __future__ import annotations

from tests.worked.makes_model_6 import done
from tests.worked.truth import BODY, FRONT, PLAIN, SLEEVE, STITCH, Raw, body, counted, household, lengths, piece, swatch
from tests.worked.worked import Worked

PLANNED = {"front": FRONT, "sleeve": SLEEVE}


def slipped(noted: dict[str, int], true: dict[str, int], multiple: int = 1) -> Raw:
    """A back whose counts were noted otherwise than they were knitted; the front is planned in whole repeats."""
    whole = {key: FRONT[key] // multiple * multiple for key in ("chest", "hem")} if multiple > 1 else {}
    made = piece("back", counted({**BODY, **noted}, at=()), lengths({**BODY, **true}))
    return household([made], fits=PLAIN, planned={"front": {**FRONT, **whole}, "sleeve": SLEEVE}, multiple=multiple)


def to_begin(shoulder: int = 88, wanted: dict[str, float] | None = None, **make: object) -> Raw:
    """A sweater that is planned and swatched, before its first piece."""
    both = {"shoulder_width": shoulder}
    planned = {"back": {**BODY, **both}, "front": {**FRONT, **both}}
    return household(numbers=body({**PLAIN, **(wanted or {})}), planned=planned, swatches=[swatch()], **make)


MAKES = [
    Worked(
        "the_bed_held_as_many",
        "rule 24, asked only where the answer can change what is done",
        "the front takes 108 stitches where the back had 116: it lay on that bed, whichever it is",
        household([done(BODY, chest=116, hem=112)], fits=PLAIN, planned=PLANNED, machine=None),
        first=("other_counts",),
        silent=("needles",),
    ),
    Worked(
        "how_many_needles_before_the_back",
        "rule 24, while no machine is named, counts over 110 ask how many needles the bed has",
        "112 stitches are planned and right, and no machine is named: on 110 needles the back cannot be begun",
        to_begin(machine=None),
        first=("needles",),
        says=("How many needles has the bed? 112 stitches must lie on it", "If it has as many, knit the back first"),
    ),
    Worked(
        "a_planned_count_breaks_the_repeat",
        "rule 25; model 5, free checks of typed counts: whole repeats",
        "repeats of 6 and 112 planned at the chest, which comes out as wanted: the pattern makes 108 or 114",
        to_begin(multiple=6),
        first=("count",),
        says=("Is 112 at the chest right? Whole repeats of 6 make 108 or 114.",),
    ),
    Worked(
        "a_planned_count_is_whole_repeats_and_some_over",
        "rule 25, whole repeats plus balance",
        "repeats of 4 and none over: 108 and 112 are whole repeats, and nothing is asked",
        to_begin(multiple=4),
        first=("knit_first",),
    ),
    Worked(
        "planned_shoulders_an_odd_number_from_the_chest",
        "rule 25; model 5, chest - shoulder even",
        "87 planned at the shoulder and 112 at the chest, and half a stitch is nothing to the shoulder that is wanted",
        to_begin(87, {"shoulder_width": 85.5 * STITCH}),
        first=("count",),
        says=("Is 87 at the shoulder right?", "86 or 88"),
    ),
    Worked(
        "planned_shoulders_an_odd_number_from_the_chest_on_purpose",
        "rule 25, asked about once",
        "the same, and somebody said that 87 are right",
        to_begin(87, {"shoulder_width": 85.5 * STITCH}, planned_kept={"back": {"shoulder_width": 87}}),
        first=("knit_first",),
        silent=("Is 87",),
    ),
    Worked(
        "planned_counts_that_break_the_repeat_on_purpose",
        "rule 25, asked about once",
        "repeats of 10, and 108 and 112 stitches that somebody said are right",
        to_begin(multiple=10, planned_kept={"back": {"chest": 112, "hem": 108}}),
        first=("knit_first",),
        silent=("Whole repeats",),
    ),
    Worked(
        "a_planned_count_that_was_another_when_it_was_kept",
        "rule 25, asked about once; another count is asked about",
        "repeats of 10: the 112 of the chest were kept, and of the hem 110, which are 108 since",
        to_begin(multiple=10, planned_kept={"back": {"chest": 112, "hem": 110}}),
        first=("count",),
        says=("Is 108 at the hem right? Whole repeats of 10 make 100 or 110.",),
        silent=("Is 112",),
    ),
    Worked(
        "a_front_planned_with_no_whole_repeats_on_purpose",
        "rule 25, asked about once",
        "repeats of 10 and 112 stitches in back and front, on purpose: its list of counts does not question them again",
        household(
            [done(BODY)],
            fits=PLAIN,
            planned=PLANNED,
            multiple=10,
            planned_kept={"front": {"chest": 112, "hem": 108}, "sleeve": {"cuff": 48}},
        ),
        first=("carry_on",),
        silent=("no whole number of repeats",),
    ),
    Worked(
        "a_front_planned_with_no_whole_repeats",
        "rule 25, whole repeats; model 6.1, planned counts stand",
        "repeats of 10 and 112 stitches in back and front: the back fits, so the front stays as it is, and is told",
        household([done(BODY)], fits=PLAIN, planned=PLANNED, multiple=10),
        first=("carry_on",),
        keeps=True,
        holds={
            "the report says so": lambda told: told.tells(
                "The front’s chest: 112 is no whole number of repeats of 10; 110 and 120 are."
            )
        },
    ),
    Worked(
        "a_front_that_moves_from_no_whole_repeats",
        "rule 25, new counts are whole repeats",
        "repeats of 4, 114 stitches planned in front of a back of 108: the front that makes it up is 116, not 114",
        household(
            [done(BODY, chest=108)], fits=PLAIN, planned={**PLANNED, "front": {**FRONT, "chest": 114}}, multiple=4
        ),
        first=("other_counts",),
        counts={("front", "chest"): 116},
        silent=("no whole number of repeats",),
    ),
    Worked(
        "a_broken_repeat_is_counted_before_it_is_unravelled",
        "rules 23 and 25, counted where what is done hangs on it",
        "repeats of 4: 100 stitches were knitted and 98 noted; the back is 5 cm narrow and is to be knitted again",
        slipped({"chest": 98, "hem": 100}, {"chest": 100, "hem": 100}, multiple=4),
        first=("count",),
        about=("chest",),
        then=("knit_again",),
        says=("98 or 100?", "Whole repeats of 4 make 96 or 100 at the chest."),
    ),
    Worked(
        "a_broken_repeat_moves_the_front",
        "rule 25, asked about where the front's counts hang on it",
        "repeats of 4: 116 were knitted and 114 noted, and the front's counts hang on which",
        slipped({"chest": 114, "hem": 116}, {"chest": 116, "hem": 116}, multiple=4),
        first=("count",),
        about=("chest",),
        says=("114 or 116?",),
    ),
    Worked(
        "a_broken_repeat_that_moves_nothing",
        "rule 25; model 5, first only where the deed hangs on it",
        "repeats of 4: 108 were knitted and 106 noted, and the front gets 116 either way: asked by the way",
        slipped({"chest": 106, "hem": 108}, {"chest": 108, "hem": 108}, multiple=4),
        first=("other_counts",),
        asks=("count_breaks_repeat",),
    ),
    Worked(
        "odd_apart_is_counted_before_it_is_unravelled",
        "rules 23 and 25; model 5, chest - shoulder even",
        "100 stitches were knitted at the chest and 99 noted; 88 at the shoulder. The back is to be knitted again",
        slipped({"chest": 99, "hem": 96}, {"chest": 100, "hem": 96}),
        first=("count",),
        about=("chest",),
        then=("knit_again",),
        says=("99 or 100?", "the two sides are not shaped alike"),
    ),
    Worked(
        "a_body_wider_than_the_bed",
        "rule 24, the answer says which way out, side panels where the body can have them",
        "the chest takes 113 stitches and the bed has 106: two panels carry the seven that lack of back and of front, "
        "and a seam more at either side of each",
        household(fits=PLAIN, swatches=[swatch()], needles=106),
        first=("bed",),
        says=("A looser dial, two side panels of 9 stitches or a narrower body is the way out.",),
    ),
    Worked(
        "a_drop_shoulder_wider_than_the_bed",
        "the same: a drop shoulder has no underarm that a panel could end at",
        "no side panels are offered",
        household(fits=PLAIN, swatches=[swatch()], needles=106, construction="drop_shoulder"),
        first=("bed",),
        says=("A looser dial or a narrower body is the way out.",),
        silent=("panel",),
    ),
]
