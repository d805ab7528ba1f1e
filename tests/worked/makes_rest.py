"""Worked makes of model 6.1 to 6.3: the counts of what is still to knit beside what is ripped back or knitted again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.worked.makes_model_6 import BACK, FRONT_DONE, PANELLED, back_with, done, sleeve_with
from tests.worked.told import Told
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
    household,
    lengths,
    piece,
    swatch,
)
from tests.worked.worked import Worked

DEEP = {"armhole_depth": 74, "body_length": 200}
DEEPER = {**BODY, "armhole_depth": 66, "body_length": 192}
"""Ten rows too many in the armhole, and so over all."""
NECK = [{"edge": "neck", "depth": "2.5 cm", "how": "added_later"}]
RIB = swatch("5", key="rib", w=3.9, h=3.0, stitch_pattern="1x1 rib")
"""The rib of the bands, swatched: 3.9 mm a stitch, 3.0 mm a row."""
WRONG = {**DEEP, "hem": 96, "chest": 100, "shoulder_width": 98}
"""A plan that is wrong everywhere: 12 stitches short round the body, 10 too many at the shoulder, 10 rows too deep."""


def beside_an_unread_front(**front: int):
    """A back with four stitches fewer at chest and hem, and a front that came off the machine with these counts."""
    off = {"kind": "off_machine", "grams": 170}
    unread = {"id": "front", "piece": "front", "dial": "7", "counts": counted({**FRONT, **front}), "stages": [off]}
    return household([done(BODY, chest=108, hem=104), unread], fits=PLAIN)


def planned_alike(**counts: int):
    """A back that was knitted as it was planned, and a front that is planned with the same wrong counts."""
    return back_with(planned={"front": {**FRONT, **counts}, "sleeve": SLEEVE}, **counts)


def knitted_anew(knitted: Mapping[str, int] = BODY, **planned: int):
    """A back that has these counts since it was knitted anew, where it was planned with others."""
    counts = {key: {**told, "planned": planned.get(key, told["planned"])} for key, told in counted(knitted).items()}
    return piece("back", counts, lengths(knitted))


def planned_otherwise(knitted: Mapping[str, int] = BODY, **planned: int):
    """A back that was knitted anew, beside a front planned as it was planned itself."""
    planned_front = {"front": {**FRONT, **planned}, "sleeve": SLEEVE}
    return household([knitted_anew(knitted, **planned)], fits=PLAIN, planned=planned_front)


def with_plan(home: Raw, **more: Any) -> Raw:
    """The same household with a right plan of the sleeves."""
    make = home["makes"][0] | {"planned": {"sleeve": SLEEVE}} | more
    return home | {"makes": [make]}


TAKEN_78 = {
    "piece": "sleeve",
    "point": "upper_arm",
    "count": 78,
    "instead_of": 80,
    "at": "2026-05-20T10:00:00Z",
    "report": "0" * 64,
}
LONG_BODY = {"to_underarm": 140, "body_length": 212}
"""22 rows too many below the underarm, and so over all."""


def panels_planned_long(back):
    """A back with side panels to come; they and the front are planned with 140 rows to the underarm."""
    front = {**FRONT, "hem": PANELLED["hem"], "chest": PANELLED["chest"], **LONG_BODY}
    return household(
        [back],
        fits=PLAIN,
        construction="side_panels",
        panel_width="7.4 cm",
        planned={"front": front, "side_panel": {**PANEL, "panel_length": 140}, "sleeve": SLEEVE},
    )


def waits(kind: str):
    """That a piece is to wait for the new one."""
    return lambda told: any(made.kind == kind and "wait" in made.notes for made in told.pieces)


def adds_up(kind: str, whole: str, *parts: str):
    """That a length over all has as many rows more or fewer as its parts have."""

    def holds(told: Told) -> bool:
        made = next(made for made in told.pieces if made.kind == kind)
        step = {one.key: one.step for one in made.counts}
        return step[whole] == sum(step[part] for part in parts)

    return holds


def count_of(made, key: str):
    """What is to be knitted at a point of one piece."""
    return next(one.now for one in made.counts if one.key == key)


LEFT_82 = household([BACK, FRONT_DONE, done(SLEEVE, kind="left_sleeve", upper_arm=82)], fits=PLAIN)
"""A left sleeve with four stitches too many at the upper arm."""

MAKES = [
    Worked(
        "a_ripped_armhole_takes_the_length_of_the_front_along",
        "model 6.1 and 5: nested lengths are sums of zones",
        "74 rows were planned in both armholes where 64 are right: the front loses ten over all as well",
        planned_alike(**DEEP),
        first=("rip_back",),
        counts={
            ("back", "armhole_depth"): 64,
            ("back", "body_length"): 190,
            ("front", "armhole_depth"): 64,
            ("front", "body_length"): 190,
        },
        says=("Read the back again before you knit the front.",),
    ),
    Worked(
        "a_front_is_knitted_as_its_back_was_ripped_and_knitted_anew",
        "model 6.1, best counts for what is still to come; rule 27",
        "88 stitches and 64 rows are right above the underarm and the back has them since it was ripped; the front is "
        "still planned with the 94 and 74 that were wrong: as it is planned it would be ripped in its turn",
        planned_otherwise(**DEEP, shoulder_width=94),
        first=("other_counts",),
        counts={
            ("front", "shoulder_width"): 88,
            ("front", "armhole_depth"): 64,
            ("front", "body_length"): 190,
            ("front", "chest"): FRONT["chest"],
        },
        says=(
            "Knit the front like the back above the underarm",
            "64 rows at the armhole depth",
            "As planned the front would come out",
        ),
        silent=("makes that up",),
    ),
    Worked(
        "a_front_off_the_machine_answers_by_its_stitches",
        "model 6: what is knitted is a constant",
        "the back lacks four stitches, and the front has four more; it is weighed, and not washed yet",
        beside_an_unread_front(chest=116, hem=112),
        piece="back",
        first=("carry_on",),
    ),
    Worked(
        "a_front_off_the_machine_that_lacks_as_much_gives_nothing",
        "model 6: what is knitted is a constant",
        "back and front lack four stitches each: 3.7 cm of the round, and no count is left to give them",
        beside_an_unread_front(chest=108, hem=104),
        piece="back",
        never=("carry_on", "other_counts"),
    ),
    Worked(
        "a_front_planned_right_stays_beside_a_back_with_a_slip",
        "model 6.1: planned counts stand",
        "the back has 116 rows to the underarm by a slip; the front is planned with the 118 that are right",
        planned_otherwise({**BODY, "to_underarm": 116, "body_length": 188}, to_underarm=118, body_length=190),
        first=("carry_on",),
        counts={("front", "to_underarm"): 118, ("front", "body_length"): 190},
        silent=("like the back",),
    ),
    Worked(
        "a_front_planned_otherwise_than_its_back_stays_so",
        "model 6.1: planned counts stand",
        "the armhole of the front was planned two rows deeper than the back's, which was knitted as it was planned",
        back_with(planned={"front": {**FRONT, "armhole_depth": 66, "body_length": 192}, "sleeve": SLEEVE}),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "a_front_that_nobody_planned_loses_the_rows_of_the_ripped_back",
        "model 6.1 and 5: nested lengths are sums of zones",
        "the back has 74 rows in the armhole where 64 are right; the front is taken from it, as it then is",
        back_with(planned=None, **DEEP),
        first=("rip_back",),
        counts={("front", "armhole_depth"): 64, ("front", "body_length"): 190},
    ),
    Worked(
        "a_front_planned_right_makes_up_an_armhole_two_rows_deep",
        "model 6.1: planned counts stand; rule 28",
        "the back has 66 rows in the armhole where 64 are right and planned: with the front's 64 it is a row deep, and "
        "63, which was advised, is three rows apart",
        back_with(armhole_depth=66, body_length=192),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "no_row_of_the_front_is_less_than_the_tape_can_tell",
        "rule 32: a change smaller than the step of the readings is no advice",
        "both armholes are two rows deep: a row of the front makes up half of one, 1.6 mm of a tape read to 3.2",
        household(
            [piece("back", counted(DEEPER), lengths(DEEPER), how={"unit": "in"})],
            fits=PLAIN,
            unit="in",
            planned={"front": {**FRONT, "armhole_depth": 66, "body_length": 192}, "sleeve": SLEEVE},
        ),
        never=("other_counts",),
        keeps=True,
    ),
    Worked(
        "a_row_of_the_front_armhole_is_one_of_its_length",
        "model 5: nested lengths are sums of zones",
        "the armholes of both are two rows deep: the front's is knitted shallower, and so is all of it",
        back_with(
            armhole_depth=66,
            body_length=192,
            planned={"front": {**FRONT, "armhole_depth": 66, "body_length": 192}, "sleeve": SLEEVE},
        ),
        first=("other_counts",),
        holds={"the front adds up": adds_up("front", "body_length", "armhole_depth")},
    ),
    Worked(
        "rows_at_the_hem_are_rows_of_every_length_that_ends_there",
        "model 5: nested lengths are sums of zones; rule 27",
        "twelve rows are missing below the underarm, which nobody read: the front grows there as it grows over all",
        household(
            [
                done(
                    {key: count for key, count in FRONT.items() if key not in ("to_underarm", "neck_depth")}
                    | {"body_length": 178}
                )
            ],
            fits={key: mm for key, mm in PLAIN.items() if key != "to_underarm"},
            planned={"front": {**FRONT, "to_underarm": 106, "body_length": 178}, "sleeve": SLEEVE},
        ),
        first=("alter_hem",),
        counts={("front", "body_length"): (188, 191), ("front", "to_underarm"): (116, 119)},
    ),
    Worked(
        "beside_a_back_knitted_again_the_front_gets_its_counts",
        "model 6.1: every candidate carries the best counts for what is still to knit",
        "back and front are planned with 82 stitches at the hem where 108 are right",
        planned_alike(hem=82),
        first=("knit_again",),
        counts={("back", "hem"): (106, 110), ("front", "hem"): (106, 110)},
        says=(
            "Read the new back before you knit the front and the sleeve.",
            "As things stand the front gets 108 stitches at the hem instead of 82.",
        ),
        holds={"the front waits": waits("front")},
    ),
    Worked(
        "beside_a_back_knitted_again_all_of_the_front_is_as_the_new_one",
        "model 6.1: every candidate carries the best counts for what is still to knit",
        "the plan of both is wrong round the body, at the shoulder and in the armhole",
        planned_alike(**WRONG),
        first=("knit_again",),
        counts={
            ("front", "hem"): (106, 110),
            ("front", "chest"): (110, 114),
            ("front", "shoulder_width"): (86, 90),
            ("front", "armhole_depth"): (63, 65),
            ("front", "body_length"): (189, 191),
        },
        holds={
            "the front waits": waits("front"),
            "as the back": lambda told: all(
                told.count("front", key) == told.count("back", key) for key in ("shoulder_width", "armhole_depth")
            ),
        },
    ),
    Worked(
        "a_front_that_nobody_planned_is_as_the_new_back",
        "model 6.1: every candidate carries the best counts for what is still to knit",
        "82 stitches at the back's hem where 108 are right, and no front was planned",
        back_with(planned=None, hem=82),
        first=("knit_again",),
        counts={("back", "hem"): (106, 110), ("front", "hem"): (106, 110)},
        holds={"the front waits": waits("front")},
    ),
    Worked(
        "a_front_planned_right_stays_beside_a_back_knitted_again",
        "model 6.1: planned counts stand",
        "only the back has 82 stitches at the hem; the front is planned with the 108 that are right",
        back_with(hem=82),
        first=("knit_again",),
        counts={("front", "hem"): 108},
        says=("Read the new back before you knit the front and the sleeve.",),
        holds={
            "the front waits": waits("front"),
            "the list of its counts says so": lambda told: "The front, once the new back is read" in told.text,
        },
        silent=("As things stand the front",),
    ),
    Worked(
        "a_panel_to_come_gets_the_rows_of_a_back_that_is_knitted_again",
        "rule 27, rows of side seams; model 6.1, best counts",
        "all were planned with 140 rows to the underarm where 118 are right, and the back is knitted again for its hem",
        panels_planned_long(done(PANELLED, **LONG_BODY, hem=60, shoulder_width=70)),
        first=("knit_again",),
        counts={("back", "to_underarm"): 118, ("front", "to_underarm"): 118, ("side_panel", "panel_length"): 118},
        holds={"the panel waits": waits("side_panel")},
    ),
    Worked(
        "what_is_sewn_to_a_back_knitted_again_gets_its_rows",
        "rule 27, rows of side seams; model 6.1, best counts",
        "the back was knitted again with the 118 rows that are right; front and panels are still planned with 140",
        panels_planned_long(knitted_anew(PANELLED, **LONG_BODY)),
        first=("other_counts",),
        counts={
            ("front", "to_underarm"): 118,
            ("front", "body_length"): 190,
            ("side_panel", "panel_length"): 118,
        },
        says=("knit it like the back: 118 rows at the length to underarm", "knit them like the back: 118 rows"),
    ),
    Worked(
        "a_panel_knitted_again_has_the_rows_that_it_is_sewn_to",
        "rule 27, rows of side seams; model 6.1, best counts",
        "the panel has 126 rows where the back has 118, and lacks six stitches: 118 rows, and 18 stitches cast on",
        household(
            [
                done(PANELLED),
                done({**FRONT, "hem": 92, "chest": 96}, kind="front"),
                done({"panel_width": 12, "panel_length": 126}, kind="side_panel"),
            ],
            fits=PLAIN,
            construction="side_panels",
            panel_width="7.4 cm",
            planned={"sleeve": SLEEVE},
        ),
        first=("knit_again",),
        counts={("side_panel", "panel_length"): 118, ("side_panel", "panel_width"): 18},
        says=("118 rows", "18 stitches at"),
    ),
    Worked(
        "a_sleeve_knitted_again_is_cast_on_as_it_was",
        "model 6.1, best counts: what is cast on is named",
        "52 stitches at the upper arm where 78 are right; the cuff is right with 48",
        sleeve_with(upper_arm=52),
        first=("knit_again",),
        counts={("sleeve", "cuff"): 48, ("sleeve", "upper_arm"): (76, 80)},
        says=("Cast on 48 stitches.",),
    ),
    Worked(
        "a_deeper_neck_band_is_said_in_rows_of_its_rib",
        "fit rules 1, 4 and 18: a band has rows and stitches of its own",
        "the neck is 2.8 cm wide, so a band of 2.5 cm becomes 1.4 deeper: 13 rows of 3.0 mm, 26 stitches on 10 cm",
        back_with(neck_width=40, make={"bands": NECK}, swatches=[swatch(), RIB]),
        first=("other_counts",),
        says=("Make the neck band 1.4 cm deeper", "3.9 cm instead of 2.5 cm, 13 rows."),
        holds={"stitches": lambda told: "26 stitches for every 10 cm" in " ".join(told.text.split())},
    ),
    Worked(
        "a_deeper_neck_band_whose_rib_nobody_swatched",
        "fit rules 4 and 18; what is not known is said with its reason",
        "the same, and no rib was swatched: the depth is known, the rows are not",
        back_with(neck_width=40, make={"bands": NECK}, swatches=[swatch()]),
        first=("other_counts",),
        says=("Make the neck band 1.4 cm deeper: 3.9 cm instead of 2.5 cm.",),
        holds={
            "why no rows": lambda told: (
                "For its rows and stitches, swatch the rib, and call" in " ".join(told.text.split())
            )
        },
    ),
    Worked(
        "a_deeper_neck_band_that_nobody_planned",
        "fit rules 4 and 18; what is not known is said with its reason",
        "the same, and nobody said how deep the neck band is to be",
        back_with(neck_width=40),
        first=("other_counts",),
        says=("Say how deep the neck band was to be",),
    ),
    Worked(
        "front_bands_are_picked_up_along_the_front_edge",
        "fit rule 18: stitches = edge / the band's stitch",
        "each front edge has 166 rows of 3.3 mm, 54.8 cm: 140 stitches of 3.9 mm; a band of 2.76 cm has 9 rows",
        household(
            [done(BODY)],
            fits=PLAIN,
            planned={side: {**HALF, "neck_depth": 24} for side in ("left_front", "right_front")},
            front_band=BAND,
            swatches=[swatch(), RIB],
        ),
        first=("carry_on",),
        holds={
            "9 rows": lambda told: [band.rows for band in told.report.rest.bands] == [9],
            "it is told": lambda told: "140 stitches along each front edge" in " ".join(told.text.split()),
        },
    ),
    Worked(
        "a_sleeve_called_neither_left_nor_right_has_a_twin",
        "model 6, twins: the loss counts again at every point, and a deed that fixes the first fixes the twin",
        "the upper arm has 82 stitches where 78 are right; the other sleeve is still to come, and gets 78 as well",
        sleeve_with(upper_arm=82),
        first=("knit_again",),
        says=("the other sleeve gets 78 stitches at the upper arm",),
        holds={
            "both get 78": lambda told: [count_of(made, "upper_arm") for made in told.pieces] == [78, 78],
            "as of a left one": lambda told: (
                told.deed("carry_on").expected_loss == Told(LEFT_82).deed("carry_on").expected_loss
            ),
        },
    ),
    Worked(
        "a_sleeve_is_as_the_kept_one_though_that_was_planned_otherwise",
        "model 6, twins: a twin still to knit is knitted like its partner",
        "81 and 49 were knitted by a slip where 78 and 48 were planned; the sleeve is kept, and its chance is that of "
        "both: nobody wears two sleeves that differ by three stitches",
        with_plan(sleeve_with(cuff=49, upper_arm=81)),
        first=("carry_on",),
        says=("that both sleeves fit so.",),
        counts={("sleeve", "cuff"): 49, ("sleeve", "upper_arm"): 81, ("sleeve", "sleeve_length"): 170},
    ),
    Worked(
        "a_sleeve_beside_a_kept_one_of_unlike_sides_is_a_stitch_off_it",
        "model 6, twins; rest 2, shaping is never lifted",
        "33 stitches more than at the cuff are no pair of equal sides: 80, a stitch off the kept sleeve and nearer to "
        "what is wanted than 82; the 78 that would be right there leave two sleeves of two widths",
        sleeve_with(upper_arm=81),
        first=("carry_on",),
        counts={("sleeve", "cuff"): 48, ("sleeve", "upper_arm"): 80},
    ),
    Worked(
        "a_sleeve_planned_too_short_is_told_before_it_is_knitted",
        "rest 2: planned counts stand unless they lose; rule 4, a sleeve is free",
        "the sleeves are planned 20 rows short, 6.6 cm: the back is right, and nobody should knit a sleeve to hear it",
        back_with(
            planned={"front": FRONT, "sleeve": {**SLEEVE, "sleeve_length": 150, "sleeve_to_underarm": 108}},
        ),
        first=("other_counts",),
        counts={("sleeve", "sleeve_length"): 170, ("sleeve", "sleeve_to_underarm"): 128, ("sleeve", "cap_height"): 42},
        says=("Knit the sleeves 20 rows longer",),
    ),
    Worked(
        "a_sleeve_whose_rows_are_allowed_stays_as_it_is_planned",
        "rest 2: planned counts stand unless they lose",
        "three rows too many, 1.0 of 1.3 cm that is allowed: the cuff can answer when it is knitted",
        back_with(
            planned={"front": FRONT, "sleeve": {**SLEEVE, "sleeve_length": 173, "sleeve_to_underarm": 131}},
        ),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "a_sleeve_knitted_again_gets_equal_sides",
        "rest 2, shaping is never lifted",
        "71 stitches at the upper arm over a cuff of 48, where 78 are right: 78 has equal sides, and 77 and 79, of the "
        "parity of the slip, have not",
        sleeve_with(upper_arm=71),
        first=("knit_again",),
        counts={("sleeve", "cuff"): 48, ("sleeve", "upper_arm"): 78},
    ),
    Worked(
        "a_count_taken_for_the_other_sleeve_stands",
        "model 6, twins; advised counts become the planned ones by one deed",
        "the first sleeve has 80 at the upper arm and stays; 78 was taken for the other one, so that it is right",
        with_plan(sleeve_with(upper_arm=80), taken=[TAKEN_78]),
        first=("carry_on",),
        counts={("sleeve", "upper_arm"): 78},
    ),
    Worked(
        "two_sleeves_that_are_called_alike_are_both_there",
        "model 6, twins: a knitted twin is a constant",
        "both sleeves are knitted, and the second has 60 stitches at the upper arm where 78 are right",
        household(
            [BACK, FRONT_DONE, done(SLEEVE, kind="sleeve"), {**done(SLEEVE, kind="sleeve", upper_arm=60), "id": "two"}],
            fits=PLAIN,
        ),
        first=("knit_again",),
        holds={"no other is to come": lambda told: [made.how for made in told.pieces] == ["again"]},
    ),
    Worked(
        "a_cuff_is_altered_on_both_sleeves",
        "model 6, twins",
        "eight rows are missing below the underarm: at the cuff of this sleeve, and in the other one that is to come",
        sleeve_with(sleeve_to_underarm=120, sleeve_length=162),
        first=("alter_hem",),
        says=("for the other sleeve: knit it 8 rows longer",),
        holds={"both have 170": lambda told: [count_of(made, "sleeve_length") for made in told.pieces] == [170, 170]},
    ),
    Worked(
        "the_reason_is_the_larger_share_of_what_is_made_up",
        "model 6, the reason is the reason",
        "the back is 2 stitches narrow, the front planned 10 narrow: it is the plan that the 12 stitches more are for",
        back_with(chest=110, planned={"front": {**FRONT, "chest": 102}, "sleeve": SLEEVE}),
        first=("other_counts",),
        counts={("front", "chest"): (112, 116)},
        says=("As planned the front would come out 4.6 cm too narrow at the chest.",),
        silent=("makes that up",),
    ),
    Worked(
        "the_reason_is_the_back_where_it_is_off_more",
        "model 6, the reason is the reason",
        "the back is 4 stitches narrow, the front planned 2 narrow: the back is what is made up",
        back_with(chest=108, planned={"front": {**FRONT, "chest": 110}, "sleeve": SLEEVE}),
        first=("other_counts",),
        counts={("front", "chest"): (114, 118)},
        says=("The back’s chest is 1.8 cm narrow",),
        silent=("As planned the front",),
    ),
]
