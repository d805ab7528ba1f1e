"""Worked makes of fit rules 30 to 38: wishes, what is not judged, reading steps, level, stages, pins, what adds up."""

from __future__ import annotations

from tests.worked.makes_model_6 import BACK, DROP, PANELLED, back_with, done
from tests.worked.told import across
from tests.worked.truth import (
    ALONG,
    BODY,
    FRONT,
    PANEL,
    PLAIN,
    ROW,
    SLEEVE,
    STITCH,
    body,
    counted,
    household,
    lengths,
    only,
    over,
    piece,
    read,
    readings,
    swatch,
)
from tests.worked.worked import UNDOES, Worked

PLANNED = {"front": FRONT, "sleeve": SLEEVE}
INCH = 25.4
FOUR_POINTS = {"shoulder_width": 9.2, "chest": 9.2, "armhole_depth": 3.3, "body_length": 3.3}
"""What a perfect back sticks out over its garment: the stitches and rows that its seams will swallow [mm]."""


def laid(by, *, times=2, **make):
    """A back laid on the garment."""
    return household(
        [piece("back", counted(BODY), None, stage={"overhangs": over(by, times=times)})],
        fits=body(),
        planned=PLANNED,
        **make,
    )


def wanted(told, key: str) -> float:
    return float(told.point(key).wanted.value)


def blocked_wider(*times: float, wanted: float = 1.05):
    """A back that was blocked, then again, each time so much wider than at first; it must fit what is wider still."""
    lay = [{key: mm * (wider if key in WIDTHS else 1.0) for key, mm in lengths(BODY).items()} for wider in (1, *times)]
    before = [{"kind": "blocked", "blocking": "patted", "readings": readings(of)} for of in lay[:-1]]
    back = piece("back", counted(BODY), lay[-1], before=before)
    fits = {key: mm * wanted if key in WIDTHS else mm for key, mm in PLAIN.items()}
    return household([back], fits=fits, planned=PLANNED)


def front_blocked(*times: float):
    """A front beside a right back, as wide of what is wanted at each of its blockings [1]."""
    lay = [lengths(FRONT, zones={key: share for key in FRONT if key not in ALONG}) for share in times]
    before = [{"kind": "blocked", "blocking": "patted", "readings": readings(of)} for of in lay[:-1]]
    front = piece("front", counted(FRONT), lay[-1], before=before)
    back = piece("back", counted(BODY), lengths(BODY))
    return household([back, front], fits=PLAIN, planned={"sleeve": SLEEVE}, swatches=[swatch()])


def stretched_sleeve():
    """A sleeve of fabric whose rows are 3 % short of it, drawn that much longer; body and swatches are as they came."""
    w, h = STITCH * 1.015, ROW * 0.97
    pieces = []
    for kind, right in (("back", BODY), ("front", FRONT)):
        more = {key: round(count / 0.97) if key in ALONG else 2 * round(count / 2.03) for key, count in right.items()}
        pieces.append(piece(kind, counted(more), lengths(more, w=w, h=h)))
    first = {"kind": "blocked", "blocking": "patted", "readings": readings(lengths(SLEEVE, w=w, h=h))}
    pieces.append(piece("sleeve", counted(SLEEVE), lengths(SLEEVE), before=[first]))
    swatches = [swatch(key=key, w=w, h=h) for key in ("one", "two", "three")]
    return household(pieces, fits=PLAIN, planned={"sleeve": SLEEVE}, swatches=swatches)


def pulled_and_patted_back():
    """A back that lay pulled long, and was wetted and patted back to size; it must fit what is 2.5 % wider."""
    made = lengths(BODY)
    pulled = {key: mm * (0.96 if key in WIDTHS else 1.05) for key, mm in made.items()}
    first = {"kind": "blocked", "blocking": "patted", "on": "2026-06-01", "readings": readings(pulled)}
    back = piece("back", counted(BODY), made, before=[first], stage={"on": "2026-06-09"})
    return household(
        [back], fits={key: mm * 1.025 if key in WIDTHS else mm for key, mm in PLAIN.items()}, planned=PLANNED
    )


def worn(lengths_mm):
    """What says of a garment that it was read worn."""
    return [{"id": "may", "on": "2026-05-10", "state": "worn", "readings": readings(lengths_mm)}]


def answered(file, *, as_read: bool):
    """The same household, in which it is said whether the garment is to be copied as it was read."""
    (make,) = file["makes"]
    return {**file, "makes": [{**make, "fits": {**make["fits"], "as_read": as_read}}]}


WIDTHS = ("hem", "chest", "shoulder_width", "neck_width")
NARROW_AGAINST_A_RIB = household([done(BODY, chest=100, hem=96)], fits=PLAIN, planned=PLANNED, garment={"rib": True})
SHORTER_THAN_WORN = household(
    [done(BODY)],
    fits=PLAIN,
    planned=PLANNED,
    garment={"occasions": worn({**PLAIN, "body_length": PLAIN["body_length"] + 20})},
)

MAKES = [
    Worked(
        "a_wish_in_the_length_goes_below_the_underarm",
        "rule 30, +2 cm body length goes to the underarm unless said",
        "2 cm longer are wished: 2 cm below the underarm, none in the armhole",
        back_with(make={"wishes": {"body_length": "+2 cm"}}, to_underarm=124, body_length=196),
        first=("carry_on",),
        holds={
            "to the underarm": lambda told: abs(wanted(told, "to_underarm") - 118 * ROW - 20) < 3,
            "not the armhole": lambda told: abs(wanted(told, "armhole_depth") - 64 * ROW) < 3,
        },
    ),
    Worked(
        "a_wish_in_the_sleeve_goes_below_the_underarm",
        "rule 30, a wish in a length moves the lengths nested in it",
        "the sleeve is wished 3 cm shorter: below the underarm, the cap stays",
        household(
            [
                BACK,
                done(FRONT, kind="front"),
                done({**SLEEVE, "sleeve_to_underarm": 119, "sleeve_length": 161}, kind="sleeve"),
            ],
            fits=PLAIN,
            wishes={"sleeve_length": "-3 cm"},
        ),
        first=("carry_on",),
        holds={
            "to the underarm": lambda told: abs(wanted(told, "sleeve_to_underarm") - 128 * ROW + 30) < 3,
            "not the cap": lambda told: abs(wanted(told, "cap_height") - 42 * ROW) < 3,
        },
    ),
    Worked(
        "panel_width_unsaid",
        "rule 31, not judged is said first",
        "side panels, and nobody said how wide: chest and hem cannot be judged, and that is asked for",
        household(
            [done(PANELLED)],
            fits=PLAIN,
            construction="side_panels",
            planned={"front": {**FRONT, "hem": 92, "chest": 96}, "sleeve": SLEEVE},
        ),
        holds={
            "chest is refused": lambda told: "chest" in told.report.refused,
            "panel is asked for": lambda told: "panel" in told.head,
            "not everything matches": lambda told: "every point that was read" not in told.head,
        },
    ),
    Worked(
        "a_set_in_garment_for_a_drop_shoulder",
        "rule 31, a point was refused: other construction",
        "the garment has set-in sleeves, the make a drop shoulder: its armhole does not compare",
        household([done(DROP)], fits=PLAIN, construction="drop_shoulder", planned={"front": DROP}),
        holds={
            "refused": lambda told: "armhole_depth" in told.report.refused,
            "not everything matches": lambda told: "every point that was read" not in told.head,
        },
    ),
    Worked(
        "whole_inches",
        "rule 32, a change smaller than the step of the readings is no advice",
        "a perfect back and its garment, both read to whole inches: nothing is changed, and a finer tape is asked for",
        household(
            [piece("back", counted(BODY), lengths(BODY), how={"unit": "in", "step": INCH, "times": 2})],
            fits=PLAIN,
            planned=PLANNED,
            unit="in",
            garment_how={"step": INCH, "times": 2},
        ),
        keeps=True,
        never=("rip_back", "knit_again", "alter_hem", "block_again"),
        holds={"a finer tape": lambda told: "1/8" in told.text or "millimetre" in told.text},
    ),
    Worked(
        "one_step_of_the_tape_is_no_slip",
        "rule 32, reading step",
        "the garment's neck is 6.52 in: read to whole inches it is 7, 7 and 6, and nothing is asked about that",
        household(
            [piece("back", counted(BODY), lengths(BODY), how={"unit": "in", "step": INCH})],
            fits=PLAIN,
            planned=PLANNED,
            unit="in",
            garment_how={"step": INCH},
        ),
        never=("answer",),
    ),
    Worked(
        "finer_than_the_tape",
        "rule 32, an allowance finer than any tape is said so",
        "half a millimetre is allowed at the shoulder of a perfect back",
        back_with(make={"tolerances": {"shoulder_width": "0.05 cm"}}),
        first=("carry_on",),
        keeps=True,
        holds={"said": lambda told: told.point("shoulder_width").reason == "tolerance_below_tape"},
    ),
    Worked(
        "level_is_not_nothing",
        "rule 33, an overhang of level is short by the seams still to come",
        "level at every point, so 9 mm are missing in the widths once it is sewn: the head says so",
        laid(dict.fromkeys(FOUR_POINTS, 0.0)),
        holds={
            "seams": lambda told: "seam" in told.head,
            "narrow by two stitches": lambda told: -12 < told.point("shoulder_width").difference.value < -5,
        },
    ),
    Worked(
        "asked_how_it_is_seamed",
        "rule 33, asks how the garment is seamed where most of the doubt lies there",
        "level everywhere and read six times: what is left open is the seams, half or whole stitches",
        laid(dict.fromkeys(FOUR_POINTS, 0.0), times=6),
        holds={"asked": lambda told: "seamed" in told.head},
    ),
    Worked(
        "a_perfect_back_laid_on_its_garment",
        "rule 33; model 6.0, three overhangs still answer at once",
        "it sticks out by what the seams will swallow",
        laid(FOUR_POINTS),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "twelve_cm_over",
        "rule 33, an overhang over 4 cm is asked first",
        "the chest is said to stick out 12 cm: 12, or 1.2?",
        laid({**FOUR_POINTS, "chest": 120.0}),
        first=("answer",),
        about=("chest",),
    ),
    Worked(
        "a_tenth_of_the_point_over",
        "rule 33, or a tenth of the point",
        "the neck was read once, 2.2 cm wide of 16: asked; two readings that agree are no slip",
        laid({**FOUR_POINTS, "neck_width": 22.0}, times=1),
        first=("answer",),
        about=("neck_width",),
    ),
    Worked(
        "carried_without_a_count",
        "rule 34, a length is carried by the change in finishing without any count",
        "off the machine and uncounted; the swatch told that washing takes 8 % of the length and adds 1 % across",
        household(
            [
                piece(
                    "back",
                    None,
                    {
                        key: mm * (1.08 if key in ("body_length", "to_underarm", "armhole_depth") else 0.99)
                        for key, mm in lengths(BODY).items()
                    },
                    stage={"kind": "off_machine"},
                )
            ],
            fits=PLAIN,
            planned=PLANNED,
            swatches=[swatch(stages={"off_machine": (0.99, 1.08)})],
        ),
        never=("say cannot_carry", *UNDOES),
        holds={"carried": lambda told: told.report.head.carried},
    ),
    Worked(
        "a_count_two_percent_off_the_tape",
        "rule 34, where a count and the tape disagree by over 2 % the count is asked for",
        "120 stitches were typed at the chest, and the tape has 112 of them beside a swatch at that dial",
        household(
            [piece("back", counted({**BODY, "chest": 120}, at=()), lengths(BODY))],
            fits=PLAIN,
            planned=PLANNED,
            swatches=[swatch()],
        ),
        first=("count", "answer"),
        about=("chest",),
        holds={"the tape stands": lambda told: abs(told.point("chest").measured.value - 112 * STITCH) < 4},
    ),
    Worked(
        "pinned_across_only",
        "rule 35, the free direction is judged",
        "pinned across while it was read; along it lay free, and is right",
        household(
            [piece("back", counted(BODY), lengths(BODY), stage={"pinned": ["across"], "blocking": "pinned"})],
            fits=PLAIN,
            planned=PLANNED,
        ),
        never=("say pinned", *UNDOES),
        holds={
            "along is judged": lambda told: told.point("body_length").code == "matches",
            "across is held": lambda told: told.point("chest").code == "held_at",
        },
    ),
    Worked(
        "pinned_across_and_short",
        "rule 35, the free direction is judged",
        "pinned across; 10 rows are missing below the underarm: the hem answers, pins or not",
        household(
            [
                piece(
                    "back",
                    counted({**BODY, "to_underarm": 108, "body_length": 180}),
                    lengths({**BODY, "to_underarm": 108, "body_length": 180}),
                    stage={"pinned": ["across"], "blocking": "pinned"},
                )
            ],
            fits=PLAIN,
            planned=PLANNED,
        ),
        first=("alter_hem",),
    ),
    Worked(
        "shoulders_do_not_add_up",
        "rule 36, neck + 2 x shoulder against shoulder width",
        "neck 16.6 and two shoulders of 14.0 make 44.6, and 39.6 were read across: one is 5 cm off",
        household(
            [piece("back", counted(BODY), lengths(BODY))],
            fits={**PLAIN, "shoulder_seam": 140.0},
            planned=PLANNED,
        ),
        holds={"asked": lambda told: told.asked_at & {"shoulder_seam", "shoulder_width", "neck_width"}},
    ),
    Worked(
        "shoulders_add_up",
        "rule 36, neck + 2 x shoulder against shoulder width",
        "neck 16.6 and two shoulders of 11.6 on a slope of 2.6 make 39.6: nothing is asked",
        household(
            [piece("back", counted(BODY), lengths(BODY))],
            fits={**PLAIN, "shoulder_seam": 118.0, "shoulder_drop": 26.4},
            planned=PLANNED,
        ),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "a_neck_that_no_head_passes",
        "rule 36; rule 18, neck inside must pass the head",
        "9 cm wide inside the band and 3 deep: no adult's head of 56 cm goes through",
        household(
            [piece("back", counted(BODY), lengths(BODY))],
            numbers={**body(), "neck_inside": 90.0},
            planned=PLANNED,
            bands=[{"edge": "neck", "depth": "2.5 cm", "how": "added_later"}],
        ),
        holds={"head": lambda told: "head" in told.text},
    ),
    Worked(
        "sleeve_lengths_of_the_other_definition",
        "rule 36, sleeve length off by 10 to 16 cm in every size",
        "every printed sleeve is 13 cm shorter than the garment's: measured to the underarm? asked",
        household(
            numbers={**body(), "sleeve_length": PLAIN["sleeve_length"], "cap_height": PLAIN["cap_height"]},
            swatches=[swatch()],
            size="M",
            tables=[
                {
                    "id": "pattern",
                    "name": "a pattern",
                    "sizes": [
                        {
                            "name": name,
                            "pieces": {
                                "back": {"chest": {"measure": f"{chest} cm", "count": round(chest * 10 / STITCH) + 2}},
                                "sleeve": {"sleeve_length": {"measure": f"{length} cm"}},
                            },
                        }
                        for name, chest, length in (("S", 46.0, 41.5), ("M", 50.5, 42.5), ("L", 55.0, 43.5))
                    ],
                }
            ],
        ),
        holds={"asked": lambda told: "sleeve_length" in told.asked_at or "underarm" in told.text},
    ),
    Worked(
        "the_garment_was_read_again",
        "rule 37, the make says so and offers the newer measuring",
        "the make is pinned to May, and in October the garment was measured again and is 2 cm wider",
        household(
            [BACK],
            fits=PLAIN,
            planned=PLANNED,
            garment={
                "occasions": [
                    {"id": "may", "on": "2026-05-10", "state": "washed_flat", "readings": readings(PLAIN)},
                    {
                        "id": "october",
                        "on": "2026-10-02",
                        "state": "washed_flat",
                        "readings": readings({**PLAIN, "chest": PLAIN["chest"] + 20}),
                    },
                ]
            },
        ),
        holds={"said": lambda told: "October" in told.text or "measured again" in told.text},
    ),
    Worked(
        "a_garment_in_rib_is_asked_about",
        "rule 37, a reference in rib is asked about before any width is copied",
        "the garment is a rib, and the back is 3 cm narrow against it: asked first, not noted below",
        NARROW_AGAINST_A_RIB,
        first=("reference",),
        then=("knit_again",),
        says=("are the widths of green pullover to be copied?", "if they are copied, knit the back again"),
        never=(*UNDOES, "other_counts", "carry_on", "block_again"),
    ),
    Worked(
        "a_piece_is_washed_before_its_garment_is_asked_about",
        "model 6.0, gates in their order: the stage first",
        "the same, read off the machine, and the swatch tells what washing does: washed first, and then asked",
        household(
            [
                piece(
                    "back",
                    counted({**BODY, "chest": 100, "hem": 96}),
                    lengths({**BODY, "chest": 100, "hem": 96}, w=0.99 * STITCH, h=1.08 * ROW),
                    stage={"kind": "off_machine"},
                )
            ],
            fits=PLAIN,
            planned=PLANNED,
            garment={"rib": True},
            swatches=[swatch(stages={"off_machine": (0.99, 1.08)})],
        ),
        first=("wash",),
        says=("Wash and block the back first",),
    ),
    Worked(
        "a_garment_in_rib_is_copied",
        "rule 37, a reference in rib; rule 31",
        "the same, and its widths are to be copied: the advice goes on",
        answered(NARROW_AGAINST_A_RIB, as_read=True),
        first=("knit_again",),
    ),
    Worked(
        "a_garment_in_rib_is_not_copied",
        "rule 37, a reference in rib; rule 31",
        "the same, and its widths are not to be copied: lengths are judged, and numbers are asked for",
        answered(NARROW_AGAINST_A_RIB, as_read=False),
        first=("carry_on",),
        keeps=True,
        says=("its widths are not to be copied",),
        holds={
            "widths are refused": lambda told: (
                {key for key, why in told.report.refused.items() if why.code == "not_copied"}
                == {"chest", "hem", "shoulder_width", "neck_width"}
            ),
            "lengths are judged": lambda told: told.point("body_length").code == "matches",
        },
    ),
    Worked(
        "a_garment_in_rib_that_the_back_matches",
        "rule 37, nothing is asked where nothing hangs on it",
        "the garment is a rib, and the back is as wide as it: carry on",
        household([done(BODY)], fits=PLAIN, planned=PLANNED, garment={"rib": True}),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "a_garment_in_rib_short_in_length",
        "rule 37, only widths of a rib are asked about",
        "the garment is a rib, the back as wide as it and 3 cm short: rows at the hem, and no question",
        household(
            [done({**BODY, "body_length": 181, "to_underarm": 109})],
            fits=PLAIN,
            planned=PLANNED,
            garment={"rib": True},
        ),
        first=("alter_hem",),
    ),
    Worked(
        "a_rib_before_the_first_piece",
        "rule 37, before any width is copied",
        "nothing is knitted yet, and the garment is a rib: whether it is copied is the first help",
        household(fits=PLAIN, planned=PLANNED, garment={"rib": True}),
        holds={"it would help to say": lambda told: told.helps[0] == "say_as_read"},
    ),
    Worked(
        "a_rib_before_the_first_piece_beside_numbers",
        "rule 37, only what comes from the garment",
        "the same, and every width is given as a number: nothing is asked of the garment",
        household(fits=PLAIN, numbers=only(PLAIN, *(key for key in PLAIN if across(key))), garment={"rib": True}),
        holds={"nothing is asked": lambda told: "say_as_read" not in told.helps},
    ),
    Worked(
        "stretches_add_up",
        "rule 38, one blocking more adds to the stretch already given",
        "blocked 2.5 % wider already, and still 2.5 % narrow: 3 % in all, so no more of it",
        blocked_wider(1.025),
        never=("block_again",),
        holds={
            "half a per cent at most": lambda told: (
                told.deed("block_again").impossible is not None or told.deed("block_again").stretch_percent <= 0.6
            )
        },
    ),
    Worked(
        "stretched_for_the_first_time",
        "rule 38, one blocking more",
        "a front that is 4.5 % narrow is blocked 3 % wider, for its seams and the back make up what is left",
        front_blocked(0.955),
        first=("block_again",),
    ),
    Worked(
        "what_two_blockings_did_not_hold",
        "rule 38, one blocking more; common practice, no source",
        "5.5 % narrow, stretched twice, and 4 % narrow still: what went twice goes a third time, so an evening brought "
        "3 mm; one was blocked four times in a row",
        front_blocked(0.945, 0.953, 0.96),
        never=("block_again",),
        silent=("block the front again",),
    ),
    Worked(
        "what_the_second_blocking_gained_nothing_of",
        "rule 38, one blocking more; common practice, no source",
        "the second time it came out as it lay: that counts as a stretch too, and a third brings no more",
        front_blocked(0.945, 0.953, 0.953),
        never=("block_again",),
    ),
    Worked(
        "the_twin_of_a_stretched_sleeve_is_blocked_alike",
        "rule 5, every piece treated alike; model 6.4, twins",
        "drawn 3 % longer the sleeve fits, and so does its twin, of the same fabric, blocked alike: a fabric that took "
        "the stretch for its own let the twin come out in between",
        stretched_sleeve(),
        first=("carry_on",),
        never=UNDOES,
        keeps=True,
        holds={"nine in ten": lambda told: told.deed("carry_on").chance >= 0.9},
    ),
    Worked(
        "a_first_stretch_is_free",
        "rule 38; rule 5, 3 % in all",
        "never stretched and 2.5 % narrow everywhere: that is within 3 %",
        household(
            [piece("back", counted(BODY), lengths(BODY))],
            fits={key: mm * 1.025 if key in WIDTHS else mm for key, mm in PLAIN.items()},
            planned=PLANNED,
        ),
        never=UNDOES,
        holds={"on offer": lambda told: told.deed("block_again").impossible is None},
    ),
    Worked(
        "the_way_back_into_shape_is_no_stretch",
        "rules 22 and 38, going back to the relaxed shape is free of the 3 %",
        "it lay 4 % narrow and 5 % long and was patted back: that is no stretch, and 2.5 % wider is within 3 %",
        pulled_and_patted_back(),
        never=UNDOES,
        holds={"on offer": lambda told: told.deed("block_again").impossible is None},
    ),
    Worked(
        "two_cm_of_body_length_off_in_whole_centimetres",
        "rule 32, reading step",
        "read to whole centimetres, the back is 3 mm short: no row is added for that",
        household(
            [
                piece(
                    "back",
                    counted({**BODY, "body_length": 189}),
                    lengths({**BODY, "body_length": 189}),
                    how={"step": 10.0},
                )
            ],
            fits=PLAIN,
            planned=PLANNED,
            garment_how={"step": 10.0},
        ),
        keeps=True,
        never=("alter_hem", *UNDOES),
    ),
    Worked(
        "four_stages_by_name",
        "rule 34, off the machine, rested, washed, blocked",
        "rested overnight, then blocked: the blocked stage is judged, not the rested one that was 4 % longer",
        household(
            [
                piece(
                    "back",
                    counted(BODY),
                    lengths(BODY),
                    before=[
                        {
                            "kind": "rested",
                            "readings": {"body_length": read(190 * ROW * 1.04), "chest": read(112 * STITCH * 0.98)},
                        }
                    ],
                )
            ],
            fits=PLAIN,
            planned=PLANNED,
        ),
        first=("carry_on",),
        keeps=True,
        holds={"blocked": lambda told: told.report.head.stage == "blocked"},
    ),
    Worked(
        "read_worn_is_asked_about",
        "rule 37, a reference read worn is asked about",
        "the garment was read worn, and the back is 2 cm shorter than it: asked first",
        SHORTER_THAN_WORN,
        first=("reference",),
        says=("wash green pullover, dry it flat and read it again. It was read worn",),
        never=(*UNDOES, "alter_hem"),
    ),
    Worked(
        "read_worn_is_copied",
        "rule 37, a reference read worn; rule 6",
        "the same, and it is to be copied as it hangs: the advice goes on with the usual growth",
        answered(SHORTER_THAN_WORN, as_read=True),
        never=("reference",),
        holds={
            "growth is assumed": lambda told: "growth_along" in told.granted,
            "washed and read again it would help": lambda told: "read_washed" in told.helps,
            "its state is not asked again": lambda told: "reference_state" not in told.helps,
        },
    ),
    Worked(
        "read_worn_is_not_copied",
        "rule 37, a reference read worn",
        "the same, and it is not to be copied: nothing is left to judge by, and numbers are asked for",
        answered(SHORTER_THAN_WORN, as_read=False),
        first=("say not_copied",),
        says=("give numbers",),
    ),
    Worked(
        "read_worn_and_its_growth_is_known",
        "rule 6, wanted blocked is wanted worn less its growth",
        "read worn 3 % longer, and it is known that it grows by 3 %: carry on, and no question",
        household(
            [done(BODY)],
            fits=PLAIN,
            planned=PLANNED,
            garment={
                "growth_along_percent": 3,
                "growth_across_percent": 0,
                "occasions": worn({key: mm if across(key) else mm * 1.03 for key, mm in PLAIN.items()}),
            },
        ),
        first=("carry_on",),
        keeps=True,
    ),
    Worked(
        "only_what_was_read_is_judged",
        "rule 31, the headline",
        "three points were read and match; the chest was not read at all",
        household(
            [piece("back", counted(BODY), only(lengths(BODY), "shoulder_width", "armhole_depth", "body_length"))],
            fits=PLAIN,
            planned=PLANNED,
        ),
        first=("carry_on",),
        keeps=True,
        holds={"the chest would help": lambda told: any(one.point == "chest" for one in told.report.helps)},
    ),
    Worked(
        "a_panel_between_right_pieces",
        "rule 31; rule 27",
        "panel, back and front are right and of equal rows",
        household(
            [done(PANELLED), done({**FRONT, "hem": 92, "chest": 96}, kind="front"), done(PANEL, kind="side_panel")],
            fits=PLAIN,
            construction="side_panels",
            panel_width="7.4 cm",
            planned={"sleeve": SLEEVE},
        ),
        first=("carry_on",),
        keeps=True,
    ),
]
