"""Worked makes of a back that came out of the wash much too small, and of what looks like it and is none."""

from __future__ import annotations

from tests.worked.makes_model_6 import done
from tests.worked.truth import (
    BODY,
    FRONT,
    PLAIN,
    ROW,
    SLEEVE,
    STITCH,
    Raw,
    counted,
    dial_swatches,
    household,
    lengths,
    piece,
    swatch,
)
from tests.worked.worked import Worked

TO_COME = {"front": FRONT, "sleeve": SLEEVE}
SAID = "How was the back washed: did it felt?"


def shrunk(across: float, along: float, **more: object) -> Raw:
    """A back whose stitches and rows are so much smaller than its swatches have them."""
    small = lengths(BODY, w=STITCH * across, h=ROW * along)
    return piece("back", counted(BODY), small, **more)  # type: ignore[arg-type]


def of(back: Raw, **more: object) -> Raw:
    return household([back], **({"fits": PLAIN, "planned": TO_COME, "swatches": [swatch()]} | more))  # type: ignore[arg-type]


MAKES = [
    Worked(
        "a_back_a_quarter_smaller_than_its_swatch_both_ways",
        "caution, felting: nothing that felted is knitted to, blocked out, or counted",
        "the back was washed hot and felted; stitches and rows are a quarter smaller than the swatch has them, as they "
        "would be at a much tighter dial, which nothing in it tells apart: the wash is asked first, both are said, and "
        "no count is",
        of(shrunk(0.75, 0.75)),
        first=("felted",),
        then=("knit_again",),
        says=(SAID, "25 % smaller", "did the dial stand at 4?", "If it felted, knit the back again at dial 7."),
        silent=("148 stitches", "132 stitches"),
        holds={"it would help most": lambda told: told.helps[0] == "say_felted"},
    ),
    Worked(
        "one_that_nobody_swatched_and_that_is_a_quarter_smaller_than_planned",
        "the same",
        "no swatch tells it from a fabric that is so: asked before 148 stitches are told",
        of(shrunk(0.75, 0.75), swatches=()),
        first=("felted",),
        silent=("148 stitches",),
    ),
    Worked(
        "it_shrank_more_along_than_across",
        "the same",
        "wool felts more along its rows",
        of(shrunk(0.85, 0.72)),
        first=("felted",),
    ),
    Worked(
        "it_felted_as_was_answered",
        "what a yes leads to",
        "the back is lost; its stitches tell nothing of the next one, which is knitted as it was planned",
        of(shrunk(0.75, 0.75, felted=True)),
        first=("knit_again",),
        says=("at dial 7, with the planned counts", "felted, and nothing blocks it out", "cool and still"),
        silent=("132 stitches", "148 stitches", "What the back taught"),
        keeps=True,
        holds={"it is no specimen": lambda told: told.tells("it felted, and tells nothing of the fabric")},
    ),
    Worked(
        "it_did_not_felt_as_was_answered",
        "what a no leads to: asked once",
        "then the dial is asked, as before",
        of(shrunk(0.75, 0.75, felted=False)),
        first=("dial",),
    ),
    Worked(
        "one_number_of_the_dial_is_no_felt",
        "no false alarm: one number of the dial",
        "knitted at 6 and written down as 7: seven per cent, which the dial explains",
        of(shrunk(0.932, 0.932), swatches=dial_swatches(6, 7, 8)),
        first=("dial",),
        silent=("felt?",),
    ),
    Worked(
        "cotton_does_not_felt",
        "no false alarm: fibres",
        "the same back of cotton stood at another dial",
        of(shrunk(0.75, 0.75), fibre="cotton"),
        first=("dial",),
        silent=("felt?",),
    ),
    Worked(
        "narrow_and_as_long_as_it_should_be_is_no_felt",
        "no false alarm: one direction alone",
        "a quarter narrower, and no shorter",
        of(shrunk(0.75, 1.0)),
        never=("felted",),
    ),
    Worked(
        "a_back_that_is_as_its_swatch_is_no_felt",
        "no false alarm: a garment that is larger than the plan",
        "garment a quarter larger than what was planned, and the back as its swatch has it",
        of(done(BODY), fits={key: mm * 1.3 for key, mm in PLAIN.items()}),
        never=("felted",),
    ),
]
