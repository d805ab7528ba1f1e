"""Worked makes of model 5: slips in zones, two gauges, another dial, out of shape; what is asked once, and first."""

from __future__ import annotations

from tests.worked.truth import (
    BAND,
    BODY,
    FRONT,
    HALF,
    PLAIN,
    SLEEVE,
    at_dial,
    counted,
    dial_swatches,
    household,
    lengths,
    piece,
    swatch,
)
from tests.worked.worked import UNDOES, Worked

PLANNED = {"front": FRONT, "sleeve": SLEEVE}
BELIEVED = counted(BODY, at=())
"""What the knitter believes of a back; nobody counted."""


def back_with(counts=BELIEVED, *, swatches=(), unit="cm", planned=PLANNED, zones=None, w=4.6, h=3.3, dial="7", **real):
    """A plain back that the knitter believes to be as planned, and that has other counts in truth."""
    how = {"unit": unit}
    knitted = lengths({**BODY, **real}, w=w, h=h, zones=zones)
    made = piece("back", counts, knitted, how=how, dial=dial)
    return household([made], fits=PLAIN, planned=planned, swatches=swatches, unit=unit)


MAKES = [
    Worked(
        "hem_and_chest_4_short",
        "model 5, zones",
        "hem and chest have 4 stitches fewer than believed: a front 4 wider if so, 8 if its stitches are small",
        back_with(hem=104, chest=108),
        first=("count",),
        about=("hem", "chest"),
        silent=("No miscount",),
    ),
    Worked(
        "hem_and_chest_8_short_with_a_swatch",
        "model 5, zones",
        "hem and chest have 8 stitches fewer: no new counts of a stitch in doubt, and nothing is blocked for it",
        back_with(hem=100, chest=104, swatches=[swatch()]),
        first=("count",),
        about=("hem", "chest"),
        silent=("No miscount",),
    ),
    Worked(
        "hem_and_chest_8_short_in_inches",
        "model 5, zones",
        "the same back, read in eighths of an inch",
        back_with(hem=100, chest=104, unit="in"),
        first=("count",),
        about=("hem", "chest"),
        silent=("No miscount",),
    ),
    Worked(
        "hem_and_chest_8_long",
        "model 5, zones",
        "hem and chest have 8 stitches more than believed; the shoulder is as planned",
        back_with(hem=116, chest=120),
        first=("count",),
        about=("hem", "chest"),
        says=("the plan goes by the tape there.",),
        silent=("No miscount",),
    ),
    Worked(
        "ten_rows_short_to_the_underarm",
        "model 5, nested lengths are sums of zones",
        "10 rows are missing below the underarm, so the body is 10 short too; the armhole has its rows",
        back_with(to_underarm=108, body_length=180),
        first=("count", "alter_hem"),
        holds={
            "the armhole is no suspect": lambda told: told.explained["along"][1] not in ("armhole_depth",),
            "it does not ask about the armhole": lambda told: told.about != "armhole_depth",
        },
    ),
    Worked(
        "ten_rows_short_after_the_armhole_was_counted",
        "model 5, a point that was counted is no suspect",
        "as before; the armhole was counted, so only what lies below it can be off",
        back_with(counted(BODY, at=("armhole_depth",)), to_underarm=108, body_length=180, swatches=[swatch()]),
        holds={
            "the armhole is no suspect": lambda told: told.explained["along"][1] != "armhole_depth",
            "it does not ask about the armhole": lambda told: told.about != "armhole_depth",
        },
    ),
    Worked(
        "eight_rows_short_in_the_armhole",
        "model 5, nested lengths are sums of zones",
        "8 rows are missing in the armhole and so in the body; below the underarm all is there",
        back_with(armhole_depth=56, body_length=182),
        holds={
            "it is not below the underarm": lambda told: told.explained["along"][1] != "to_underarm",
            "it does not ask for the rows to the underarm": lambda told: told.about != "to_underarm",
        },
        first=("count",),
        about=("armhole_depth", "body_length"),
    ),
    Worked(
        "a_count_that_was_only_planned",
        "model 5, one zone",
        "hem and chest were planned in the make and typed nowhere else; both have 8 stitches fewer",
        back_with(
            {key: count for key, count in BELIEVED.items() if key not in ("hem", "chest")},
            planned={**PLANNED, "back": BODY},
            hem=100,
            chest=104,
        ),
        first=("count",),
        about=("hem", "chest"),
    ),
    Worked(
        "chest_alone_4_short",
        "model 5, one point",
        "4 stitches are missing at the chest alone: a front 4 wider if so; the count says which",
        back_with(chest=108),
        first=("count",),
        about=("chest",),
    ),
    Worked(
        "shoulder_6_short_by_its_decreases",
        "model 5, shoulder width by its decreases; rule 23",
        "6 stitches too many were taken off in the armhole: counted before anything is ripped",
        back_with(shoulder_width=82),
        first=("count",),
        about=("shoulder_width",),
        then=("rip_back",),
    ),
    Worked(
        "neck_2_short",
        "model 5, power: neck +-2 found 99 %",
        "2 stitches fewer in the neck: 9 mm of 156, where nothing else is off",
        back_with(neck_width=32),
        holds={"the neck is named": lambda told: told.explained["across"] == ("miscount", "neck_width")},
        never=UNDOES,
    ),
    Worked(
        "everything_after_the_cast_on",
        "model 5, everything after the cast-on",
        "6 stitches too few were cast on, and every width has 6 fewer: one row to count, not a new gauge",
        back_with(hem=102, chest=106, shoulder_width=82, neck_width=28, swatches=[swatch()]),
        first=("count",),
        about=("hem", "chest", "shoulder_width"),
    ),
    Worked(
        "after_the_cast_on_but_not_in_the_neck",
        "model 5, everything after the cast-on",
        "6 too few were cast on; the neck was cast off as planned, so it is right and no suspect",
        back_with(hem=102, chest=106, shoulder_width=82, swatches=[swatch()]),
        first=("count",),
        about=("hem", "chest", "shoulder_width"),
    ),
    Worked(
        "counted_hem_and_chest_are_no_suspects",
        "model 5, a question is asked once",
        "hem and chest were counted and lie 3.5 % narrow: nothing is left to count there, the answer goes on",
        back_with(counted(BODY, at=("hem", "chest")), zones={"hem": 0.965, "chest": 0.965}),
        holds={"it asks for no count again": lambda told: told.first != "count" or told.about not in ("hem", "chest")},
    ),
    Worked(
        "she_cannot_count",
        "model 5, when she cannot, each zone is reckoned with its own stitch size and the headline goes on",
        "hem and chest are 4 short; asked and kept as they are, so a front that makes up 1.8 cm, and no question",
        back_with(
            {key: {**count, "confirmed": True} for key, count in BELIEVED.items()},
            hem=104,
            chest=108,
        ),
        first=("other_counts",),
        counts={("front", "chest"): (114, 122)},
    ),
    Worked(
        "two_gauges_all_counted",
        "model 5, each zone is reckoned with its own stitch size",
        "hem and chest are counted and 4 % narrow, the rest is right: the front needs 4.48 for 523.7 mm, so 114 to 124",
        back_with(counted(BODY), zones={"hem": 0.965, "chest": 0.965}),
        first=("other_counts",),
        counts={("front", "chest"): (116, 122)},
        silent=("count the",),
    ),
    Worked(
        "another_dial",
        "model 5, another dial",
        "said to be knitted at 7, and was knitted at 8: width and height stand where the swatches have 8",
        back_with(w=at_dial(8, 4.6), h=at_dial(8, 3.3), swatches=dial_swatches(6, 7, 8)),
        first=("dial",),
    ),
    Worked(
        "another_dial_tighter",
        "model 5, another dial",
        "said to be knitted at 7, and was knitted at 6",
        back_with(w=at_dial(6, 4.6), h=at_dial(6, 3.3), swatches=dial_swatches(6, 7, 8)),
        first=("dial",),
    ),
    Worked(
        "another_dial_answered",
        "model 5, an answered dial is the dial",
        "it was knitted at 8, and says so: 7 % too large everywhere is knitted again, and no dial is asked about",
        back_with(w=at_dial(8, 4.6), h=at_dial(8, 3.3), swatches=dial_swatches(6, 7, 8), dial="8"),
        first=("knit_again",),
    ),
    Worked(
        "a_hem_that_curls",
        "model 5, a hem's own edge",
        "the hem alone lies 1.2 % narrow, which its curl does: no suspect, nothing to count",
        back_with(zones={"hem": 0.988}),
        first=("carry_on", "other_counts"),
        holds={"one gauge": lambda told: told.explained["across"][0] == "one_gauge"},
    ),
    Worked(
        "a_perfect_back_is_asked_nothing",
        "model 5, asked in 2 % of perfect pieces at most",
        "every count is right, and the fabric differs by half a per cent from place to place",
        back_with(zones={"hem": 1.004, "chest": 0.995, "shoulder_width": 1.005, "body_length": 0.996}),
        first=("carry_on",),
        keeps=True,
        holds={"one gauge": lambda told: told.explained["across"][0] == "one_gauge"},
    ),
    Worked(
        "larger_above_the_underarm",
        "model 5, two gauges; what is asked is told why",
        "5 % wide and 6 % long above the underarm: the stitches at the chest are asked for because of the widths",
        back_with(zones={"armhole_depth": 1.06, "shoulder_width": 1.05, "neck_width": 1.05}, swatches=[swatch()]),
        first=("count",),
        about=("chest",),
        then=("rip_back", "other_counts"),
        holds={"the widths are the reason": lambda told: told.tells("counting is quick. From above the chest on the")},
    ),
    Worked(
        "pulled_a_little",
        "model 5, a gate only from 3 % on",
        "1.5 % narrow and 1.5 % long against the swatch: within what fabric does, and no gate",
        back_with(w=4.6 * 0.985, h=3.3 * 1.015, swatches=[swatch()]),
        never=("shape", *UNDOES),
    ),
    Worked(
        "one_mark_is_no_other_dial",
        "model 5, two marks or more from what was typed",
        "2.3 % large everywhere, as one mark of the dial would do: not asked, one gauge",
        back_with(w=at_dial(7 + 1 / 3, 4.6), h=at_dial(7 + 1 / 3, 3.3), swatches=dial_swatches(6, 7, 8)),
        never=("dial",),
    ),
    Worked(
        "pulled_long_without_a_reference",
        "model 5, without such a reference never an explanation",
        "4 % narrow and 5 % long, and nothing tells how the fabric is: out of shape is no explanation here",
        back_with(w=4.6 * 0.96, h=3.3 * 1.05),
        holds={"not explained by it": lambda told: all(code != "out_of_shape" for code, _ in told.explained.values())},
    ),
    Worked(
        "half_front_8_rows_short",
        "model 5, nested lengths of half a front",
        "8 rows are missing below the underarm of the left front, and in all of it; its armhole is right",
        household(
            [
                piece("back", counted(BODY), lengths(BODY)),
                piece("left_front", counted(HALF, at=()), lengths({**HALF, "to_underarm": 110, "body_length": 182})),
            ],
            fits=PLAIN,
            planned={"left_front": HALF, "right_front": HALF, "sleeve": SLEEVE},
            front_band=BAND,
        ),
        holds={"the armhole is no suspect": lambda told: told.about != "armhole_depth"},
        never=("carry_on",),
    ),
    Worked(
        "sleeve_12_rows_short_below_the_underarm",
        "model 5, nested lengths of a sleeve",
        "12 rows are missing below the underarm of the sleeve; its cap has its rows and is no suspect",
        household(
            [
                piece("back", counted(BODY), lengths(BODY)),
                piece("front", counted(FRONT), lengths(FRONT)),
                piece(
                    "sleeve",
                    counted(SLEEVE, at=()),
                    lengths({**SLEEVE, "sleeve_to_underarm": 116, "sleeve_length": 158}),
                ),
            ],
            fits=PLAIN,
        ),
        holds={"the cap is no suspect": lambda told: told.about != "cap_height"},
        never=("carry_on", "rip_back", "knit_again"),
    ),
]
