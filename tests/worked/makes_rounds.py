"""Worked makes of model 6.6: when a round of measuring comes first, and what it is worth."""

from __future__ import annotations

from tests.worked.told import Told
from tests.worked.truth import (
    BODY,
    FRONT,
    PLAIN,
    ROW,
    STITCH,
    Raw,
    counted,
    household,
    lengths,
    over,
    piece,
    readings,
    swatch,
)
from tests.worked.worked import Worked

LAID = {"shoulder_width": 0.0, "chest": -15.0, "armhole_depth": 0.0}
"""Overhangs of a back that lies level with its garment but for the chest, which falls 1.5 cm short [mm]."""


def first_day(*, stitches: int | None = None, bed: bool = False) -> Raw:
    """A back laid on its garment once at three points; of fabric, machine and yarn nothing else is known."""
    counts = {"chest": {"counted": stitches}} if stitches else None
    made = piece("back", counts, None, dial=None, stage={"overhangs": over(LAID, times=1, layings=False)})
    home = household([made], fits={})
    (make,) = home["makes"]
    if not bed:
        del make["machine"]
    del make["yarn"], made["yarn"]
    return home


def blocked_once() -> Raw:
    """A back that was blocked from 3.5 % narrow to 1.6 %, and is 2 % short; the garment's armhole was read unevenly."""
    first = lengths(BODY, w=0.965 * STITCH, h=0.99 * ROW)
    before = {"kind": "blocked", "blocking": "patted", "readings": readings(first)}
    made = piece("back", counted(BODY), lengths(BODY, w=0.984 * STITCH, h=0.98 * ROW), before=[before])
    return unevenly(made, "armhole_depth", "21.3", "20.6", "20.7")


def unevenly(made: Raw, key: str, *texts: str) -> Raw:
    """A back beside a garment of which one point was read unevenly, and all of its readings were kept when asked."""
    home = household([made], fits=PLAIN, planned={"front": FRONT}, swatches=[swatch()])
    kept = [{"text": text, "laying": laying, "confirmed": True} for laying, text in enumerate(texts, 1)]
    home["garments"][0]["occasions"][0]["readings"][key] = kept
    return home


NOTHING_COUNTED = Told(first_day())

MAKES = [
    Worked(
        "three_overhangs_give_an_answer_at_once",
        "model 6: deeds on pieces not yet knitted need no second laying",
        "2.4 cm of the chest are lacking with the seams: a front 4 cm wider than its back is as far as its shape bears",
        first_day(),
        first=("other_counts",),
    ),
    Worked(
        "three_overhangs_give_the_same_answer_once_stitches_and_bed_are_named",
        "model 6.6; fit rule 4: the front is 4 cm wider than its back at most",
        "a count and a bed tell nothing of the lengths, so laying it on again is worth as much as before: where the "
        "front is as wide as its shape bears, it is so whatever is true of the seams",
        first_day(stitches=112, bed=True),
        first=("other_counts",),
        counts={("front", "chest"): 120},
        holds={
            "what the tape could tell is worth as much as before": lambda told: (
                abs(told.advice.value_of_measuring - NOTHING_COUNTED.advice.value_of_measuring) < 0.01
            )
        },
    ),
    Worked(
        "read_once_everywhere_and_right",
        "model 6.6; the reason is the reason",
        "every point read once, and right: it is kept either way, and the tape decides how wide its front is",
        household(
            [piece("back", counted(BODY), lengths(BODY), how={"times": 1})],
            fits=PLAIN,
            planned={"front": FRONT},
            garment_how={"times": 1},
        ),
        first=("read",),
        about=("chest",),
        then=("carry_on",),
        holds={"the counts are the reason": lambda told: told.tells("The counts for the rest hang on what the tape")},
    ),
    Worked(
        "blocked_once_and_the_garment_read_unevenly",
        "model 6.6; fit rule 38",
        "what is open is the garment's armhole, and no blocking tells that: one was blocked six times in a row, across "
        "and along in turn; nine readings more would settle its lengths, and three tell enough",
        blocked_once(),
        first=("read",),
        then=("block_again",),
    ),
    Worked(
        "right_and_the_garments_shoulder_read_unevenly",
        "model 6.3: what is wanted stays as uncertain as it is; model 6.6",
        "the back is right, and of the garment 39.2, 39.3 and 38.2 were read for 39.6: a new armhole is judged by the "
        "same three readings, so the back was ripped for nothing; as many again tell most of what is open, though no "
        "number would settle it",
        unevenly(piece("back", counted(BODY), lengths(BODY)), "shoulder_width", "39.2", "39.3", "38.2"),
        first=("read",),
        about=("shoulder_width",),
        then=("carry_on",),
    ),
    Worked(
        "narrow_at_the_hem_and_the_garments_shoulder_read_unevenly",
        "model 6.3: what is wanted stays as uncertain as it is",
        "no blocking tells what is wanted, so 5 mm of the hem are no reason for one: it was taken for 9 in 10",
        unevenly(
            piece("back", counted(BODY), {**lengths(BODY), "hem": 108 * STITCH - 5.0}),
            "shoulder_width",
            "39.9",
            "39.8",
            "38.8",
        ),
        first=("read",),
        about=("shoulder_width",),
        then=("carry_on", "other_counts"),
        holds={"nothing is surer for a blocking": lambda told: told.deed("block_again").chance < 0.8},
    ),
]
