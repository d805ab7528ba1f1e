"""Worked makes of corners that files typed by hand led into: what is unsaid beside panels and open fronts, and more."""

from __future__ import annotations

from fitcheck.words.figures import Tape
from fitcheck.words.the_rest import rest_said
from tests.worked.makes_model_6 import PANELLED, done
from tests.worked.truth import (
    BAND,
    BODY,
    FRONT,
    HALF,
    PANEL,
    PLAIN,
    SLEEVE,
    Raw,
    counted,
    garment_of,
    household,
    lengths,
    only,
    piece,
    swatch,
)
from tests.worked.worked import Worked

BESIDE_PANELS = {**FRONT, "hem": PANELLED["hem"], "chest": PANELLED["chest"]}

CHILD = {
    "hem": 64,
    "to_underarm": 70,
    "chest": 68,
    "armhole_depth": 38,
    "shoulder_width": 52,
    "neck_width": 20,
    "body_length": 114,
}
CHILD_SLEEVE = {"cuff": 28, "sleeve_to_underarm": 76, "upper_arm": 46, "cap_height": 26, "sleeve_length": 102}
THICK = {
    "hem": 46,
    "to_underarm": 50,
    "chest": 46,
    "armhole_depth": 29,
    "shoulder_width": 36,
    "neck_width": 14,
    "body_length": 82,
}
"""A body of 9 stitches and 13 rows to 10 cm: 11.1 and 7.7 mm."""
THICK_NARROW = {**THICK, "hem": 44, "chest": 44}
THICK_SLEEVE = {"cuff": 20, "sleeve_to_underarm": 54, "upper_arm": 32, "cap_height": 18, "sleeve_length": 72}
THICK_WORN = {
    **garment_of(THICK_SLEEVE, w=11.1, h=7.7),
    **garment_of({**THICK, "neck_depth": 10}, w=11.1, h=7.7),
}
NO_EASE = household([done(BODY)], planned={"front": FRONT, "sleeve": SLEEVE}, wearer="ada")
"""Nothing but no ease is wanted, at chest and shoulder, of a body that was taped there."""
NO_EASE["wearers"] = [{"id": "ada", "name": "Ada", "body": {"chest": ["103.0", "103.2"], "shoulder_width": ["39.6"]}}]
NO_EASE["makes"][0]["fits"] = {"ease": {"chest": "0 cm", "shoulder_width": "0 cm"}}

ODD = {"armhole_depth": 65, "body_length": 191}
"""Rows of an armhole that the carriage can end."""


def typed_swatch(across: str, along: str) -> Raw:
    """A swatch of 40 stitches and 60 rows that was typed without any unit."""
    typed = swatch(key="in_another_unit")
    typed["stages"][-1] |= {"across": [{"text": across}] * 2, "along": [{"text": along}] * 2}
    return typed


MAKES = [
    Worked(
        "a_panel_width_unsaid_beside_a_wide_neck",
        "rule 31, not judged is said first, whatever is done then",
        "the neck is three stitches wide, which its band makes up; chest and hem were read, and only lack how wide the "
        "panels are: that is asked for before anything else, and never the chest once more",
        household(
            [done({**PANELLED, "neck_width": 37})],
            fits=PLAIN,
            construction="side_panels",
            planned={"front": BESIDE_PANELS, "sleeve": SLEEVE},
            bands=[{"edge": "neck", "depth": "2.5 cm", "how": "added_later"}],
        ),
        first=("other_counts",),
        holds={
            "not judged stands first": lambda told: told.head.startswith("Not judged yet: the chest and the hem."),
            "panel is asked for": lambda told: "one side panel" in told.head,
            "no point is to be read that was": lambda told: "read_point" not in told.helps,
        },
    ),
    Worked(
        "an_open_front_whose_band_nobody_said",
        "rule 12, open fronts; rule 31",
        "the back's hem is 6 stitches wide, and narrower halves would make it up; but how wide their band is nobody "
        "said: that is what is missing, before what is left of the back is told",
        household([done(BODY, hem=114)], fits=PLAIN, open_front=True),
        says=("Say first how wide the front band is when the fronts are closed.",),
        holds={"it would help most": lambda told: told.helps[0] == "say_front_band"},
    ),
    Worked(
        "counts_of_a_whole_front_beside_an_open_one",
        "rule 12, open fronts",
        "counts of one front are planned, and it is knitted in two halves: they are used nowhere, which is said",
        household([done(BODY)], fits=PLAIN, planned={"front": FRONT}, front_band="2.76 cm"),
        first=("carry_on",),
        holds={"the halves are asked for": lambda told: "plan_halves" in told.helps},
    ),
    Worked(
        "half_fronts_that_nobody_planned_have_the_rows_of_their_back",
        "rule 27, side seams have equal rows",
        "the back came out with 120 rows to the underarm, and is long enough so: both halves are sewn to it row by row",
        household(
            [done({**BODY, "to_underarm": 120, "body_length": 192})],
            fits=PLAIN,
            planned={half: {"chest": HALF["chest"], "hem": HALF["hem"]} for half in ("left_front", "right_front")},
            front_band="2.76 cm",
        ),
        counts={
            (half, key): count
            for half in ("left_front", "right_front")
            for key, count in {"to_underarm": 120, "armhole_depth": 64, "body_length": 192}.items()
        },
    ),
    Worked(
        "a_count_that_nobody_gave_is_proposed_where_what_is_wanted_tells_it",
        "rest 2, least E; nothing is asked that changes nothing",
        "nobody planned a sleeve: its upper arm takes 78 stitches for what is wanted, which is no question",
        household([done(BODY), done(FRONT, kind="front")], fits=PLAIN),
        first=("carry_on",),
        silent=("How many stitches",),
        holds={
            "78 are proposed": lambda told: told.tells(
                "78 stitches across the sleeve’s upper arm come nearest to what is wanted. Say the planned count if it "
                "is another."
            )
        },
    ),
    Worked(
        "half_a_front_follows_the_knitted_half_and_not_its_plan",
        "rule 27, both half fronts; a sentence agrees with the figures on its page",
        "two stitches more than planned were cast on for the left front, and it stays: the right one gets them too, "
        "which is another count than was planned for it",
        household(
            [done(BODY), done({**HALF, "hem": 54, "chest": 56}, kind="left_front")],
            fits=PLAIN,
            planned=dict.fromkeys(("left_front", "right_front"), HALF),
            front_band=BAND,
        ),
        first=("carry_on",),
        counts={("right_front", "hem"): 54, ("right_front", "chest"): 56},
        holds={
            "it is said": lambda told: (
                "Hem 54 instead of 52 and chest 56 instead of 54, as the left front has it"
                in rest_said(told.answer, Tape("cm", ".")).because
            )
        },
    ),
    Worked(
        "half_a_front_that_nobody_planned_is_no_plan",
        "rule 27, both half fronts; a sentence agrees with the figures on its page",
        "nobody planned the right front, which is knitted like the left one: that is said, and not that it was planned",
        household([done({**BODY, **ODD}), done({**HALF, **ODD}, kind="left_front")], fits=PLAIN, front_band=BAND),
        first=("carry_on",),
        counts={("right_front", "hem"): HALF["hem"], ("right_front", "chest"): HALF["chest"]},
        holds={
            "it is said": lambda told: rest_said(told.answer, Tape("cm", ".")).because.startswith(
                "Nobody planned its counts: they are those of the left front."
            ),
            "nothing stands under planned": lambda told: (
                {row.planned for row in rest_said(told.answer, Tape("cm", ".")).pieces[0].rows} == {""}
            ),
        },
    ),
    Worked(
        "a_count_that_nothing_tells_is_asked_for",
        "rest 2, least E; nothing is asked that changes nothing",
        "nobody planned a sleeve, and the garment's was not read: nothing but the knitter says how wide it is, which "
        "is asked as the page of the counts asks it, for the cuff that is cast on",
        household([done(BODY), done(FRONT, kind="front")], fits=only(PLAIN, *FRONT)),
        first=("carry_on",),
        holds={"it is asked": lambda told: told.tells("The sleeve: how many stitches at the cuff?")},
    ),
    Worked(
        "a_panel_that_no_garment_has",
        "rule 27; rule 31",
        "back and front are done, and a panel with the rows that it is sewn to; the garment has no panels, so how long "
        "one is is nowhere read and need not be: it is as long as up to the underarm",
        household(
            [done(PANELLED), done(BESIDE_PANELS, kind="front"), done(PANEL, kind="side_panel")],
            fits=PLAIN,
            construction="side_panels",
            panel_width="7.4 cm",
            planned={"sleeve": SLEEVE},
        ),
        first=("carry_on",),
        keeps=True,
        silent=("not judged", "How many stitches"),
        counts={("side_panel", "panel_width"): PANEL["panel_width"], ("side_panel", "panel_length"): 118},
        holds={"it is judged": lambda told: told.point("panel_length").code == "matches"},
    ),
    Worked(
        "panels_stay_where_a_front_alone_answers",
        "model 6.1: planned counts stand unless they save something",
        "the front is planned six stitches too wide at its hem alone: it answers by its hem, and no panel is touched",
        household(
            [done(PANELLED)],
            fits=PLAIN,
            construction="side_panels",
            panel_width="7.4 cm",
            planned={"front": {**BESIDE_PANELS, "hem": 98}, "side_panel": PANEL, "sleeve": SLEEVE},
        ),
        first=("other_counts",),
        counts={
            ("front", "hem"): 92,
            ("front", "chest"): BESIDE_PANELS["chest"],
            ("side_panel", "panel_width"): PANEL["panel_width"],
        },
    ),
    Worked(
        "the_cap_over_a_panel_is_another_than_that_of_a_garment_without",
        "rule 12: what lies elsewhere is not compared",
        "a sleeve is cast off over the panels at its underarm, so its cap is narrower and 6 rows higher than that of a "
        "garment without: it is no fault of the sleeve",
        household(
            [
                done(PANELLED),
                done(BESIDE_PANELS, kind="front"),
                done(PANEL, kind="side_panel"),
                piece("side_panel", counted(PANEL), lengths(PANEL), key="second_panel"),
                done({**SLEEVE, "cap_height": 48}, kind="left_sleeve"),
            ],
            fits=PLAIN,
            construction="side_panels",
            panel_width="7.4 cm",
        ),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "half_a_front_knitted_again_leaves_the_other_half",
        "model 6.3; words: the piece is called by its name",
        "the left front lacks 14 of 54 stitches and is knitted again; what can still answer is the right front, not a "
        "front that nobody knits",
        household(
            [done(BODY), done({**HALF, "hem": 38, "chest": 40}, kind="left_front")],
            fits=PLAIN,
            planned={"right_front": HALF, "sleeve": SLEEVE},
            front_band="2.76 cm",
        ),
        first=("knit_again",),
        silent=("the front’s counts",),
        holds={"the right front is named": lambda told: told.tells("What the right front’s counts and the hem")},
    ),
    Worked(
        "a_front_planned_as_wide_as_the_bed",
        "rule 24, the bed is a wall",
        "112 stitches are wanted at the chest, back and front are planned with the 104 that the bed has: nothing is to "
        "be changed there, and the answer says that the bed is why, and which ways lead out",
        household(
            [done({**BODY, "hem": 104, "chest": 104})],
            fits={**PLAIN, "hem": 469.2},
            needles=104,
            planned={"front": {**FRONT, "hem": 104, "chest": 104}, "sleeve": SLEEVE},
        ),
        says=("The bed has 104 needles, and more stitches are wanted at the chest of the front",),
    ),
    Worked(
        "sleeves_of_a_very_thick_fabric",
        "rule 15: a seam swallows a stitch of this fabric",
        "9 stitches to 10 cm: each seam of a sleeve swallows 11 mm, not the 4.5 of a usual stitch, and the planned "
        "counts are right",
        household(
            [piece("back", counted(THICK), lengths(THICK, w=11.1, h=7.7))],
            fits=THICK_WORN,
            planned={"front": {**THICK, "neck_depth": 10}, "sleeve": THICK_SLEEVE},
        ),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "a_front_makes_up_one_step_of_a_very_thick_fabric",
        "rule 4: front and back 4 cm apart at most, and always one step of what can be knitted",
        "44 stitches were cast on where 46 are right, 2.2 cm; a front of 48 lies 4.4 cm from the back, and is what "
        "anybody would knit",
        household(
            [piece("back", counted(THICK_NARROW), lengths(THICK_NARROW, w=11.1, h=7.7))],
            fits=THICK_WORN,
            planned={"front": {**THICK, "neck_depth": 10}, "sleeve": THICK_SLEEVE},
        ),
        first=("other_counts",),
        counts={("front", "hem"): 48, ("front", "chest"): 48},
    ),
    Worked(
        "a_front_makes_up_one_repeat_of_six",
        "rules 4 and 25: whole repeats, and always one step of what can be knitted",
        "a repeat of six was forgotten, 2.8 cm: the front gets one more, 5.5 cm wider than the back",
        household(
            [done({**BODY, "hem": 102, "chest": 102})],
            fits=garment_of({**FRONT, **SLEEVE, "hem": 108, "chest": 108}),
            multiple=6,
            planned={"front": {**FRONT, "hem": 108, "chest": 108}, "sleeve": SLEEVE},
        ),
        first=("other_counts",),
        counts={("front", "hem"): 114, ("front", "chest"): 114},
    ),
    Worked(
        "a_childs_back_is_narrow",
        "rule 4: the front makes it up, in a size for a child",
        "68 stitches at the chest are right round a child; the back has 64, and the front gets 72",
        household(
            [piece("back", counted({**CHILD, "hem": 60, "chest": 64}), lengths({**CHILD, "hem": 60, "chest": 64}))],
            fits={**garment_of(CHILD_SLEEVE), **garment_of({**CHILD, "neck_depth": 14})},
            planned={"front": {**CHILD, "neck_depth": 14}, "sleeve": CHILD_SLEEVE},
        ),
        first=("other_counts",),
        counts={("front", "chest"): 72, ("front", "hem"): 68},
    ),
    Worked(
        "a_long_back_read_in_inches",
        "rule 4: body length at the hem; inches",
        "eight rows too many below the underarm, read to an eighth of an inch: they come off at the hem",
        household(
            [done({**BODY, "to_underarm": 126, "body_length": 198}, how={"unit": "in"})],
            fits=PLAIN,
            planned={"front": FRONT, "sleeve": SLEEVE},
            unit="in",
        ),
        first=("alter_hem",),
        counts={("back", "to_underarm"): 118, ("back", "body_length"): 190},
    ),
    Worked(
        "no_ease_over_the_body_at_two_points",
        "rule 31; ease",
        "no ease is wanted at chest and shoulder and nothing elsewhere: the chest is 1.0 cm narrow and the front "
        "answers; points of which nobody wants anything do not come before that",
        NO_EASE,
        first=("other_counts",),
        counts={("front", "chest"): 116},
        silent=("not judged yet: the armhole",),
    ),
    Worked(
        "a_sleeve_is_judged_before_its_body",
        "rule 8; what was knitted first",
        "the first piece is a sleeve, 12 stitches narrow at the upper arm: nothing else gives that back, and it is "
        "cast on as it was",
        household(
            [done(SLEEVE, kind="sleeve", upper_arm=66)],
            fits=PLAIN,
            planned={"back": BODY, "front": FRONT, "sleeve": SLEEVE},
        ),
        first=("knit_again",),
        counts={("sleeve", "upper_arm"): (76, 80), ("sleeve", "cuff"): SLEEVE["cuff"]},
    ),
    Worked(
        "a_front_is_judged_before_its_back",
        "rule 4: the back makes up what the front lacks",
        "the front came first, four stitches narrow from hem to chest: the back gets four more",
        household(
            [done(FRONT, kind="front", chest=108, hem=104)],
            fits=PLAIN,
            planned={"back": BODY, "front": FRONT, "sleeve": SLEEVE},
        ),
        first=("other_counts",),
        counts={("back", "chest"): 116, ("back", "hem"): 112},
    ),
    Worked(
        "a_swatch_in_inches_typed_in_a_household_of_centimetres",
        "questions: a slip of the unit is asked about wherever something speaks against it",
        "40 stitches are 18.4 cm, and the tape said 7 1/4 in: typed without a unit both sides are a usual swatch of a "
        "fine yarn; only what is wanted over what is planned says otherwise",
        household(
            fits=PLAIN,
            planned={"back": BODY, "front": FRONT, "sleeve": SLEEVE},
            swatches=[typed_swatch("7 1/4", "7 3/4")],
        ),
        asks=("inches",),
        says=("Look at the swatch first: 7 1/4 cm?", "Was it inches: 7 1/4 in?"),
        silent=("do not knit 112",),
    ),
    Worked(
        "a_swatch_in_centimetres_typed_in_a_household_of_inches",
        "the same, the other way round, beside a back",
        "18 and 20 were centimetres: the back says so, and is right; no dial and no count is asked for that",
        household(
            [done(BODY, how={"unit": "in"})],
            fits=PLAIN,
            planned={"front": FRONT, "sleeve": SLEEVE},
            swatches=[typed_swatch("18", "20")],
            unit="in",
        ),
        first=("carry_on",),
        asks=("centimetres",),
    ),
    Worked(
        "one_of_two_swatches_in_inches",
        "the same: only the one that is off is asked about",
        "nothing is planned, wanted or knitted yet; the other swatch of the yarn speaks against it",
        household(swatches=[swatch(), typed_swatch("7 1/4", "7 3/4")]),
        asks=("inches",),
        holds={
            "of one swatch": lambda told: (
                {question.place.key for question in told.report.questions} == {"in_another_unit"}
            )
        },
    ),
    Worked(
        "a_fine_yarn_and_a_thick_one_are_no_slip_of_the_unit",
        "no false alarm: stitches of 3.2 and 4.6 mm in one make",
        "a swatch two numbers tighter, with stitches a third smaller",
        household(
            [done(BODY)],
            fits=PLAIN,
            planned={"front": FRONT, "sleeve": SLEEVE},
            swatches=[swatch("5", w=3.2, h=2.3)],
        ),
        holds={"nothing is asked": lambda told: not told.asked},
    ),
    Worked(
        "a_neck_that_cannot_be_knitted_before_the_first_piece",
        "rest 2, shaping that fits its rows is never lifted; said with the counts, not when it is on the needles",
        "a front neck of 90 rows over an armhole of 65 and a shoulder of 8: it would begin below the underarm",
        household(
            fits=PLAIN,
            planned={"back": BODY, "front": {**FRONT, "neck_depth": 90}, "sleeve": SLEEVE},
            swatches=[swatch()],
        ),
        first=("knit_first",),
        says=("The front, as counted: not possible: a neck 90 rows deep cannot be shaped so. 71 rows or fewer.",),
    ),
    Worked(
        "a_neck_that_cannot_be_knitted_once_the_back_is_there",
        "the same, and what is refused is nothing that can be left as it is",
        "the back matches; the front is refused on its page, and so in the answer, by the same figure",
        household([done(BODY)], fits=PLAIN, planned={"front": {**FRONT, "neck_depth": 90}, "sleeve": SLEEVE}),
        first=("carry_on",),
        says=("The front, as counted: not possible: a neck 90 rows deep cannot be shaped so. 71 rows or fewer.",),
        silent=("Nothing to change before the front",),
    ),
    Worked(
        "shoulders_that_fall_by_more_groups_than_they_have_stitches",
        "the same: a shoulder rests in no more groups than it has stitches",
        "60 rows of fall are 31 groups, and the shoulder has 27 stitches",
        household(
            fits=PLAIN,
            planned={kind: {**counts, "shoulder_drop": 60} for kind, counts in (("back", BODY), ("front", FRONT))},
            swatches=[swatch()],
        ),
        first=("knit_first",),
        says=("The back and the front, as counted: not possible: a shoulder cannot rest in 31 groups.",),
    ),
    Worked(
        "halves_of_an_open_front_beside_a_wide_back",
        "rule 4, front - back <= 4 cm: of what they are wanted, for a band lies between the halves",
        "the back is four stitches wide, and each half is knitted two narrower; without its band a front is 2.8 cm "
        "narrower than its back to begin with, which is no distance from it",
        household(
            [done(BODY, chest=116, hem=112)],
            fits=PLAIN,
            planned=dict.fromkeys(("left_front", "right_front"), HALF),
            front_band=BAND,
        ),
        first=("other_counts",),
        counts={("left_front", "chest"): 52, ("right_front", "chest"): 52, ("left_front", "hem"): 50},
    ),
    Worked(
        "counts_of_a_front_that_cannot_hold_together_are_told_in_the_answer",
        "rest 2, conflict: the answer and the page of the rest are one",
        "87 stitches across the back's shoulders less 34 of neck are no two equal ones, which its front cannot have "
        "either",
        household([done(BODY, shoulder_width=87)], fits=PLAIN, planned={"front": FRONT, "sleeve": SLEEVE}),
        says=("The front, as counted:", "cannot hold together."),
        silent=("Nothing to change before the front",),
    ),
]
