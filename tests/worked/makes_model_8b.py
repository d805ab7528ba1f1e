"""Worked makes of model 8b: the dial of a piece, fabric groups, and what is said before the first piece."""

from __future__ import annotations

from tests.worked.told import Told
from tests.worked.truth import (
    BODY,
    FRONT,
    PLAIN,
    ROW,
    SLEEVE,
    STITCH,
    at_dial,
    body,
    counted,
    dial_swatches,
    garment_of,
    household,
    lengths,
    only,
    piece,
    read,
    readings,
    swatch,
)
from tests.worked.worked import Worked

PLANNED = {"front": FRONT, "sleeve": SLEEVE}
WIDTHS = ("hem", "chest", "shoulder_width", "neck_width")
PATTERN = 100 / 24.5
"""Stitch of a pattern for 24.5 to 10 cm [mm]; the fabric of the plain sweater has 21.7."""
SIZES = {"XS": 0.82, "S": 0.91, "M": 1.0, "L": 1.09}
"""How large every width of a size is beside the plain sweater's."""


def size_table(stitch: float = PATTERN, *, gauge=True, counts=True, measures=True, inches=False):
    """A pattern's sizes for stitches of this width; its M is the plain sweater's size, in that stitch."""

    def cell(key: str, factor: float):
        flat = 5 * round(PLAIN[key] * factor / 5)
        count = 2 * round((flat / stitch + (-2 if key == "neck_width" else 2)) / 2)
        return {**({"measure": f"{flat / 10} cm"} if measures else {}), **({"count": count} if counts else {})}

    of = {name: {key: cell(key, factor) for key in WIDTHS} for name, factor in SIZES.items()}
    over = 101.6 if inches else 100.0
    printed = {"stitches": round(2 * over / stitch) / 2, "over": "4 in" if inches else "10 cm"}
    return {
        "id": "pattern",
        "name": "a pattern",
        "sizes": [{"name": name, "pieces": {"back": cells, "front": cells}} for name, cells in of.items()],
        **({"gauge": printed} if gauge else {}),
        **({"print_step": "0.5 cm"} if measures else {}),
    }


def before(*, swatches=None, tables=(), planned=None, numbers=None, unit="cm", needles=200, **make):
    """A make of which nothing is knitted yet: swatches, a pattern, and what it must fit."""
    return household(
        numbers=numbers or body(),
        swatches=dial_swatches(6, 7, 8) if swatches is None else swatches,
        tables=tables,
        planned=planned,
        unit=unit,
        needles=needles,
        **make,
    )


def begun(*, garment=None, state="washed_flat", again=None, as_read=None, **make):
    """A make of which nothing is knitted yet, planned from the green pullover.

    state    its state when it was read
    again    how much wider it was when it was read again [1]
    as_read  what somebody answered
    """
    read = {key: mm for key, mm in PLAIN.items() if key in WIDTHS}
    occasions = [{"id": "may", "on": "2026-05-10", "state": state, "readings": readings(read)}]
    if again is not None:
        wider = readings({key: mm * again for key, mm in read.items()})
        occasions.append({"id": "june", "on": "2026-06-20", "state": "washed_flat", "readings": wider})
    home = household(
        fits=read,
        swatches=dial_swatches(6, 7, 8),
        garment={"occasions": occasions, **(garment or {})},
        **make,
    )
    if as_read is not None:
        home["makes"][0]["fits"]["as_read"] = as_read
    return home


def gauge_at_7(told: Told) -> float:
    """Stitch width of the next piece at dial 7 [mm]."""
    click = next(click for click in told.report.dial.clicks if click.dial == "7")
    return float(click.across.size.value)


def stitch_of_next(told: Told) -> float:
    return float(next(gauge for gauge in told.report.fabric.gauge if gauge.direction == "across").size.value)


def not_m(told: Told) -> bool:
    """Whether size M's 126 stitches are not what is knitted first."""
    first = told.report.first
    return first is None or first.counts.get("chest") != 126


def two_strands(number: int):
    return swatch("7", key=f"double_{number}", w=6.1, h=4.3, strands=2)


EIGHT = [swatch("7", key=f"single_{number}", strands=1) for number in range(8)]
UNSAID_EIGHT = [swatch("7", key=f"unsaid_{number}") for number in range(8)]
UNSAID = piece("back", counted(BODY), lengths(BODY, w=STITCH * 1.02), dial=None)
ROUGH = {
    "id": "rough",
    "yarn": "wool",
    "dial": "7",
    "stitches": {"count": 13},
    "rows": {"count": 12},
    "stages": [{"kind": "blocked", "blocking": "patted", "across": ["6"], "along": ["4"]}],
}
"""13 stitches and 12 rows, read once and to a whole centimetre: 6 and 4, so the stitch is known to 5 %."""

MAKES = [
    Worked(
        "dial_unsaid_is_said_first",
        "model 8b, the dial of a piece is asked, never guessed",
        "the back's dial was not said: of all that is taken for granted that comes first",
        household([UNSAID], fits=PLAIN, planned=PLANNED, swatches=[swatch()]),
        holds={"the dial comes first": lambda told: "dial" in told.granted[0]},
    ),
    Worked(
        "dial_unsaid_front_from_its_own_stitch",
        "model 8b, the front beside it: its own F/N",
        "knitted with stitches of 4.69 at an unsaid dial: 1 cm wide, which a front of 108 in that stitch answers",
        household([UNSAID], fits=PLAIN, planned=PLANNED, swatches=[swatch()]),
        counts={("front", "chest"): (106, 110)},
    ),
    Worked(
        "dial_unsaid_never_moves_the_swatches",
        "model 8b, it never moves the swatches' gauge",
        "the back's stitch is 8 % wider at a dial that nobody said; at 7 the swatches have 4.60",
        household(
            [piece("back", counted(BODY), lengths(BODY, w=STITCH * 1.08), dial=None)],
            fits=PLAIN,
            planned=PLANNED,
            swatches=dial_swatches(6, 7, 8),
        ),
        holds={"4.60 at dial 7": lambda told: abs(gauge_at_7(told) - STITCH) < 0.03},
    ),
    Worked(
        "one_strand_or_two",
        "model 8b, the largest group is taken, and asked first",
        "eight swatches of one strand and one of two, and the make does not say: asked before anything is knitted",
        before(swatches=[*EIGHT, two_strands(1)], planned={"back": BODY, **PLANNED}),
        first=("strands",),
    ),
    Worked(
        "strands_unsaid_are_asked_where_both_are_swatched",
        "model 8b, an unsaid value joins any; one strand or two is asked where both are swatched",
        "eight swatches say nothing of strands, one says two, and the back says nothing: asked, and eight are taken",
        household(
            [piece("back", counted(BODY), lengths(BODY))],
            numbers=body(),
            planned=PLANNED,
            swatches=[*UNSAID_EIGHT, two_strands(1)],
        ),
        holds={
            "4.60": lambda told: abs(stitch_of_next(told) - STITCH) < 0.05,
            "asked": lambda told: told.report.fabric.asked.setting == "strands",
        },
    ),
    Worked(
        "strands_unsaid_of_a_piece_join_the_swatches",
        "model 8b, an unsaid value joins any",
        "every swatch is of two strands, and the back says nothing: it is of their fabric, and nothing is asked",
        household(
            [piece("back", counted(BODY), lengths(BODY, w=6.1, h=4.3))],
            numbers=body(garment_of(BODY, w=6.1, h=4.3)),
            planned=PLANNED,
            swatches=[two_strands(1), two_strands(2)],
        ),
        first=("carry_on",),
        holds={
            "both swatches count": lambda told: not told.report.fabric.left_out,
            "not asked": lambda told: told.report.fabric.asked is None,
        },
    ),
    Worked(
        "the_newest_swatch_never_outvotes_eight",
        "model 8b, the newest swatch never outvotes eight",
        "eight swatches of one strand have 4.60, the newest, of two, has 6.1",
        before(swatches=[*EIGHT, two_strands(1)]),
        holds={"4.60": lambda told: abs(stitch_of_next(told) - STITCH) < 0.05},
    ),
    Worked(
        "the_group_that_the_piece_is_of",
        "model 8b, the one that its pieces belong to is taken",
        "eight swatches of one strand; the back is of two, so its front is too",
        household(
            [piece("back", counted(BODY), lengths(BODY, w=6.1, h=4.3), strands=2)],
            numbers=body(garment_of(BODY, w=6.1, h=4.3)),
            planned=PLANNED,
            swatches=[*EIGHT, two_strands(1)],
        ),
        first=("carry_on",),
        keeps=True,
        holds={"6.1": lambda told: abs(stitch_of_next(told) - 6.1) < 0.1},
    ),
    Worked(
        "a_swatch_blocked_another_way_keeps_the_slope",
        "model 8b, a swatch blocked another way keeps the group's dial slope",
        "the swatch at 7 was patted; those at 6 and 8 were pinned, and they tell the slope from before they were wet",
        before(
            swatches=[
                swatch("7", stages={"rested": (1.03, 1.02)}),
                *(
                    {
                        **swatch(str(dial), w=at_dial(dial, STITCH), h=at_dial(dial, ROW)),
                        "stages": [
                            {
                                "kind": "rested",
                                "across": read(40 * at_dial(dial, STITCH) * 1.03),
                                "along": read(60 * at_dial(dial, ROW) * 1.02),
                            },
                            {
                                "kind": "blocked",
                                "blocking": "pinned",
                                "across": read(40 * at_dial(dial, STITCH) * 1.06),
                                "along": read(60 * at_dial(dial, ROW) * 1.06),
                            },
                        ],
                    }
                    for dial in (6, 8)
                ),
            ]
        ),
        holds={
            "most of the slope is data": lambda told: (
                max(slope.share_from_data for slope in told.report.dial.slopes if slope.direction == "across") > 0.3
            ),
            "4.60 at dial 7": lambda told: abs(gauge_at_7(told) - STITCH) < 0.06,
        },
    ),
    Worked(
        "pattern_for_a_finer_fabric",
        "model 8b (a), another size or count by .10",
        "M is for 24.5 to 10 cm; in 21.7 its chest comes out 57.0, not 50.5: not this one, S or 112 stitches",
        before(tables=[size_table()], size="M"),
        first=("other_size",),
        holds={"not 126": not_m},
        says=("size M",),
    ),
    Worked(
        "pattern_for_a_finer_fabric_counts_alone",
        "model 8b (a), typed, planned, chosen or advised alike",
        "only the pattern's counts were typed",
        before(tables=[size_table(gauge=False, measures=False)], size="M"),
        first=("other_size",),
        holds={"not 126": not_m},
    ),
    Worked(
        "pattern_for_a_finer_fabric_without_gauge",
        "model 8b (a), typed, planned, chosen or advised alike",
        "the pattern's counts and centimetres were typed, no gauge",
        before(tables=[size_table(gauge=False)], size="M"),
        first=("other_size",),
        holds={"not 126": not_m},
    ),
    Worked(
        "pattern_for_a_finer_fabric_in_inches",
        "model 8b (a), typed, planned, chosen or advised alike",
        "the same pattern, its gauge over 4 inches, and a household that measures in inches",
        before(tables=[size_table(inches=True)], size="M", unit="in", swatches=dial_swatches(6, 7, 8, unit="in")),
        first=("other_size",),
        holds={"not 126": not_m},
    ),
    Worked(
        "planned_counts_for_a_finer_fabric",
        "model 8b (a), typed, planned, chosen or advised alike",
        "126 stitches were planned by hand: 57.0 in this fabric, where 50.6 are wanted; 112 are right",
        before(planned={"back": {**BODY, "chest": 126, "hem": 122, "shoulder_width": 98}}),
        first=("other_size",),
        holds={"not 126": not_m},
    ),
    Worked(
        "a_pattern_for_this_fabric",
        "model 8b (a), otherwise the back first",
        "the pattern is for this very fabric, and M is the size that is wanted",
        before(tables=[size_table(STITCH)], size="M"),
        first=("knit_first",),
        holds={"112": lambda told: told.report.first.counts["chest"] in (110, 112, 114)},
    ),
    Worked(
        "planned_counts_that_are_right",
        "model 8b (a), otherwise the back first",
        "the planned counts are those of the plain sweater",
        before(planned={"back": BODY, **PLANNED}),
        first=("knit_first",),
        holds={"112": lambda told: told.report.first.counts["chest"] == 112},
    ),
    Worked(
        "no_blocked_swatch",
        "model 8b (b), no blocked swatch at that dial: swatch",
        "the only swatch was read an hour off the machine and never washed",
        before(
            swatches=[
                {
                    **swatch("7"),
                    "stages": [{"kind": "off_machine", "across": read(190), "along": read(210)}],
                }
            ],
            planned={"back": BODY, **PLANNED},
        ),
        first=("swatch",),
    ),
    Worked(
        "no_swatch_at_all",
        "model 8b (b), no blocked swatch at that dial: swatch",
        "nothing is known of the fabric",
        before(swatches=[], planned={"back": BODY, **PLANNED}),
        first=("swatch",),
    ),
    Worked(
        "swatched_far_from_that_dial",
        "model 8b (b), or on both sides of it, at most one number apart",
        "swatched at 4 and 5 alone, and the back is to be knitted at 8",
        before(
            swatches=dial_swatches(4, 5),
            planned={"back": BODY, **PLANNED},
            pieces=[{"id": "back", "piece": "back", "dial": "8"}],
        ),
        first=("swatch",),
    ),
    Worked(
        "swatches_that_contradict_each_other",
        "model 8b (b), a looser dial with smaller stitches: labels changed?",
        "the swatch that says 8 has stitches of 4.29, that of 6 has 4.93",
        before(
            swatches=[
                swatch("6", w=at_dial(8, STITCH), h=at_dial(8, ROW)),
                swatch("8", w=at_dial(6, STITCH), h=at_dial(6, ROW)),
            ],
            planned={"back": BODY, **PLANNED},
        ),
        first=("swatch", "answer"),
    ),
    Worked(
        "a_rough_swatch",
        "model 8b (c), the chance is small and a swatch would make it large: swatch first",
        "the stitch is known to 5 %, 26 mm of the chest, from 13 stitches read once; with it known, it would fit",
        before(swatches=[ROUGH], planned={"back": BODY, **PLANNED}, tolerances=dict.fromkeys(WIDTHS, "0.8 cm")),
        first=("swatch",),
    ),
    Worked(
        "finer_than_any_fabric",
        "model 8b (c), otherwise the back first, with the chance and what limits it",
        "three good swatches, and 1 mm is allowed everywhere: no swatch helps there",
        before(planned={"back": BODY, **PLANNED}, tolerances=dict.fromkeys(BODY, "0.1 cm")),
        first=("knit_first",),
        says=("in 20", "allowed"),
    ),
    Worked(
        "a_count_in_doubt_keeps_the_dial",
        "model 8b, a count in doubt is left out as a count",
        "the shoulder has 6 stitches fewer than believed; its dial, yarn and washing still tell of the fabric",
        household(
            [piece("back", counted(BODY, at=()), lengths({**BODY, "shoulder_width": 82}))],
            fits=PLAIN,
            planned=PLANNED,
            swatches=dial_swatches(6, 7, 8),
        ),
        first=("count",),
        holds={
            "the front keeps dial 7": lambda told: told.report.dial.keeps == "7",
            "the next stitch is 4.60": lambda told: abs(stitch_of_next(told) - STITCH) < 0.05,
        },
    ),
    Worked(
        "sizes_at_the_dial_that_is_advised",
        "model 8b, sizes are reckoned at the dial that is named",
        "swatched at 6, 7 and 8; the pattern is for dial 7's fabric, and only there its M is 50.5",
        before(tables=[size_table(STITCH)]),
        holds={
            "at 7": lambda told: told.report.fabric.dials.best.dial.startswith("7"),
            "M is best there": lambda told: told.report.sizes.best == "M",
        },
    ),
    Worked(
        "only_widths_that_are_wanted_count",
        "model 8b (a), the count that would be knitted",
        "only the chest is wanted, and M's chest is right: nothing speaks against it",
        before(tables=[size_table(STITCH)], size="M", numbers=only(PLAIN, "chest")),
        first=("knit_first",),
    ),
    Worked(
        "a_rib_is_asked_about_before_the_first_piece",
        "model 8b and rule 37, asked before any width is copied",
        "the green pullover is a rib, and nothing but its widths says which size",
        begun(tables=[size_table(STITCH)], garment={"rib": True}),
        first=("reference",),
        says=("are the widths of green pullover to be copied?",),
        holds={"asked once": lambda told: "say_as_read" not in told.helps},
    ),
    Worked(
        "a_garment_read_worn_is_asked_about_before_the_first_piece",
        "model 8b and rule 37, asked before any width is copied",
        "the green pullover was read worn, how much it grew is not known, and nothing else says which size",
        begun(tables=[size_table(STITCH)], state="worn"),
        first=("reference",),
        says=("wash green pullover",),
    ),
    Worked(
        "a_rib_that_is_copied_is_not_asked_about_again",
        "model 8b, a question is asked once",
        "somebody said that the widths of the rib are to be copied",
        begun(tables=[size_table(STITCH)], garment={"rib": True}, as_read=True),
        first=("knit_first",),
        holds={"M": lambda told: told.report.first.size == "M"},
    ),
    Worked(
        "a_rib_on_which_no_count_hangs_is_not_asked_about",
        "model 8b and rule 37, where it changes the size or counts",
        "the planned counts are those of the plain sweater, and the rib's widths say the same",
        begun(planned={"back": BODY, **PLANNED}, garment={"rib": True}),
        first=("knit_first",),
    ),
    Worked(
        "a_newer_measuring_of_another_size",
        "rule 37, the garment read again since",
        "the green pullover was read again and is one size wider everywhere: L instead of M",
        begun(tables=[size_table(STITCH)], again=1.09),
        first=("reference",),
        says=("take the newer measuring of green pullover?",),
    ),
    Worked(
        "an_older_measuring_that_is_kept",
        "model 8b, a question is asked once",
        "the same, and somebody said that the earlier measuring is kept",
        begun(tables=[size_table(STITCH)], again=1.09, as_read=True),
        first=("knit_first",),
        holds={"M": lambda told: told.report.first.size == "M"},
    ),
    Worked(
        "a_newer_measuring_of_the_same_size",
        "rule 37, where it changes the size or counts",
        "the green pullover was read again, and is as it was",
        begun(tables=[size_table(STITCH)], again=1.0),
        first=("knit_first",),
    ),
]
