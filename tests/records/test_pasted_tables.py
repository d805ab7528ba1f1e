"""Size tables as spreadsheets copy them and patterns print them, each typed here as somebody would have it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.records.pasted_tables import MOST_ROWS, MOST_SIZES, read_pasted
from fitcheck.records.points import POINTS
from fitcheck.records.row_labels import key_of, key_past_a_slip, unit_of

EIGHT = (
    "Round-neck pullover\t\t\t\t\t\t\t\t\n"
    "Finished measurements in cm, flat\t\t\t\t\t\t\t\t\n"
    "\tWomen\t\t\t\tMen\t\t\t\n"
    "Size\tS\tM\tL\tXL\tS\tM\tL\tXL\n"
    "To fit bust\t86\t91\t96\t101\t96\t101\t106\t111\n"
    "Chest\t46\t50\t54\t58\t52\t56\t60\t64\n"
    "Chest, sts\t104\t112\t120\t130\t116\t126\t134\t144\n"
    "Sholder\t38\t39\t40\t41\t42\t43.5\t45\t46\n"
    "Armhole depth\t20\t20.5\t21\t21.5\t22\t22.5\t23\t2l\n"
    "Yarn, 50 g balls\t8\t9\t9\t10\t10\t11\t11\t12\n"
    "Hip ease\t6\t6\t6\t6\t6\t6\t6\t6\n"
)
"""Two title rows, a merged head, eight sizes, a misspelt label, a letter for a figure, and rows of other things."""


def rows(pasted):
    return [(row.key, row.cells) for row in pasted.rows]


def left_out(pasted):
    return [(left.label, left.why) for left in pasted.left_out]


def test_eight_sizes_under_two_titles_and_a_merged_head_are_read_and_all_else_is_named():
    pasted = read_pasted(EIGHT, unit="cm")
    assert pasted.sizes == (
        "Women S", "Women M", "Women L", "Women XL", "Men S", "Men M", "Men L", "Men XL",
    )  # fmt: skip
    assert rows(pasted) == [
        ("back/chest/measure", ("46", "50", "54", "58", "52", "56", "60", "64")),
        ("back/chest/count", ("104", "112", "120", "130", "116", "126", "134", "144")),
        ("back/shoulder_width/measure", ("38", "39", "40", "41", "42", "43.5", "45", "46")),
        ("back/armhole_depth/measure", ("20", "20.5", "21", "21.5", "22", "22.5", "23", "2l")),
    ]
    assert [row.guessed for row in pasted.rows] == [False, False, True, False]
    assert [row.unit for row in pasted.rows] == ["cm", "", "cm", "cm"]
    assert left_out(pasted) == [
        ("Round-neck pullover", "no_figures"),
        ("Finished measurements in cm, flat", "no_figures"),
        ("To fit bust", "body"),
        ("Yarn, 50 g balls", "yarn"),
        ("Hip ease", "ease"),
    ]


TURNED = (
    "Sizes of the pullover\n"
    "Size\tChest\tChest sts\tShoulder\tSleeve length\tBalls of yarn\n"
    "S\t46\t104\t38\t50\t8\n"
    "M\t50\t112\t39\t51\t9\n"
)


def test_a_table_lying_the_other_way_is_not_read_until_it_is_turned():
    assert read_pasted(TURNED).sideways
    assert not read_pasted(TURNED).rows
    pasted = read_pasted(TURNED, turned=True)
    assert pasted.sizes == ("S", "M")
    assert rows(pasted) == [
        ("back/chest/measure", ("46", "50")),
        ("back/chest/count", ("104", "112")),
        ("back/shoulder_width/measure", ("38", "39")),
        ("sleeve/sleeve_length/measure", ("50", "51")),
    ]
    assert left_out(pasted) == [("Sizes of the pullover", "no_figures"), ("Balls of yarn", "yarn")]


def test_pieces_merged_over_the_points_of_a_turned_table_are_the_pieces_of_its_rows():
    text = "\tFront\t\tSleeve\t\n\tChest\tHem\tCuff\tLength\nS\t46\t44\t10\t50\nM\t50\t48\t10.5\t51\n"
    assert read_pasted(text).sideways
    assert rows(read_pasted(text, turned=True)) == [
        ("front/chest/measure", ("46", "50")),
        ("front/hem/measure", ("44", "48")),
        ("sleeve/cuff/measure", ("10", "10.5")),
        ("sleeve/sleeve_length/measure", ("50", "51")),
    ]


def test_a_piece_merged_down_beside_its_points_is_theirs():
    text = "Piece\tPoint\tS\tM\tL\nFront\tChest\t46\t50\t54\n\tHem\t44\t48\t52\n"
    text += "Sleeve\tUpper arm\t17\t18\t19\n\tCuff\t10\t\t11\n"
    pasted = read_pasted(text)
    assert pasted.sizes == ("S", "M", "L")
    assert rows(pasted) == [
        ("front/chest/measure", ("46", "50", "54")),
        ("front/hem/measure", ("44", "48", "52")),
        ("sleeve/upper_arm/measure", ("17", "18", "19")),
        ("sleeve/cuff/measure", ("10", "", "11")),
    ]


def test_a_piece_alone_in_its_line_is_that_of_the_lines_below_it():
    pasted = read_pasted("FRONT\nChest 46 50 54\nHem 44 48 52\nSLEEVES\nUpper arm 17 18 19\nNotes\n")
    assert rows(pasted) == [
        ("front/chest/measure", ("46", "50", "54")),
        ("front/hem/measure", ("44", "48", "52")),
        ("sleeve/upper_arm/measure", ("17", "18", "19")),
    ]
    assert left_out(pasted) == [("Notes", "no_figures")]


@pytest.mark.parametrize(("unit", "cells"), [("cm", ("46", "50")), ("in", ("18 1/8", "19 3/4"))])
def test_of_a_size_in_two_units_the_column_of_the_pages_unit_is_kept(unit, cells):
    pasted = read_pasted("\tS\t\tM\t\n\tcm\tin\tcm\tin\nChest\t46\t18 1/8\t50\t19 3/4\n", unit=unit)
    assert pasted.sizes == ("S", "M")
    assert [(row.cells, row.unit) for row in pasted.rows] == [(cells, unit)]
    assert [left.why for left in pasted.left_out] == ["other_unit"]


def test_a_column_of_stitches_beside_each_size_becomes_a_row_of_its_own():
    pasted = read_pasted("\tS\t\tM\t\n\tcm\tsts\tcm\tsts\nChest\t46\t104\t50\t112\nHem\t44\t100\t48\t108\n")
    assert pasted.sizes == ("S", "M")
    assert rows(pasted) == [
        ("back/chest/measure", ("46", "50")),
        ("back/chest/count", ("104", "112")),
        ("back/hem/measure", ("44", "48")),
        ("back/hem/count", ("100", "108")),
    ]


def test_of_rows_in_two_units_the_one_of_the_pages_unit_is_kept_and_units_may_be_mixed():
    text = "Size | XS | S | M\nChest (cm) | 46 | 48 | 50\nChest (in) | 18 | 19 | 19¾\n"
    text += "Length in inches | 24 | 24½ | 25 1/4\n"
    pasted = read_pasted(text, unit="in")
    assert [(row.key, row.cells, row.unit) for row in pasted.rows] == [
        ("back/chest/measure", ("18", "19", "19¾"), "in"),
        ("back/body_length/measure", ("24", "24½", "25 1/4"), "in"),
    ]
    assert left_out(pasted) == [("Chest (cm)", "other_unit")]
    assert [row.unit for row in read_pasted(text, unit="cm").rows] == ["cm", "in"]


def test_a_cell_in_two_units_keeps_the_first():
    assert rows(read_pasted('Size\tS\tM\nChest\t46 cm / 18"\t50 cm (19 3/4)\n')) == [
        ("back/chest/measure", ("46 cm", "50 cm"))
    ]


def test_a_file_divided_by_commas_keeps_its_quoted_cells():
    pasted = read_pasted('Size,S,M,L\nChest,46,50,54\nHem,"15 1/2",16,"17,5"\n')
    assert pasted.sizes == ("S", "M", "L")
    assert rows(pasted)[1] == ("back/hem/measure", ("15 1/2", "16", "17,5"))


def test_brackets_of_a_printed_pattern_name_the_sizes_and_say_their_unit():
    text = (
        "Sizes: S (M, L, XL)\nTo fit bust 81 (86, 91, 96) cm\nChest 46 (50, 54, 58) cm / 18 (19 3/4, 21, 23) in\n"
        "Upper arm 15 1/2 (16, 16½, 17) in\n"
    )
    pasted = read_pasted(text, unit="cm")
    assert pasted.sizes == ("S", "M", "L", "XL")
    assert [(row.key, row.cells, row.unit) for row in pasted.rows] == [
        ("back/chest/measure", ("46", "50", "54", "58"), "cm"),
        ("sleeve/upper_arm/measure", ("15 1/2", "16", "16 1/2", "17"), "in"),
    ]
    assert [left.why for left in pasted.left_out] == ["body"]


def test_a_printed_table_with_single_spaces_keeps_its_fractions_whole():
    pasted = read_pasted("XS S M L\nChest 46 50 54 58\nUpper arm 15 1/2 16 16 1/4 17\n")
    assert pasted.sizes == ("XS", "S", "M", "L")
    assert [cells for _, cells in rows(pasted)] == [("46", "50", "54", "58"), ("15 1/2", "16", "16 1/4", "17")]


def test_numbered_lines_and_a_column_of_units_are_no_figures():
    assert rows(read_pasted("1\tChest\t46\t50\n2\tHem\t44\t48\n")) == [
        ("back/chest/measure", ("46", "50")),
        ("back/hem/measure", ("44", "48")),
    ]
    pasted = read_pasted("Measure\tUnit\tS\tM\nChest\tin\t18\t20\nChest\tsts\t104\t112\n")
    assert pasted.sizes == ("S", "M")
    assert [(row.key, row.unit) for row in pasted.rows] == [("back/chest/measure", "in"), ("back/chest/count", "")]


def test_a_head_that_comes_again_is_no_row_and_a_dash_is_an_empty_cell():
    pasted = read_pasted("Size\tS\tM\nChest\t46\t50\n\nSleeve\nSize\tS\tM\nUpper arm\t—\t18\n")
    assert rows(pasted) == [("back/chest/measure", ("46", "50")), ("sleeve/upper_arm/measure", ("", "18"))]
    assert not pasted.left_out


def test_sizes_called_by_figures_and_a_head_without_a_label_name_them():
    assert read_pasted("Size\t34\t36\t38\nChest\t46\t50\t54\n").sizes == ("34", "36", "38")
    assert read_pasted("\tS\tM\nChest\t46\t50\n").sizes == ("S", "M")
    assert read_pasted("Chest\t46\t50\n").sizes == ("1", "2")


def test_a_row_of_a_second_unit_in_quotes_over_two_lines_is_one_row():
    pasted = read_pasted('Size\tS\tM\n"Chest\n(cm)"\t46\t50\n')
    assert rows(pasted) == [("back/chest/measure", ("46", "50"))]


def test_without_a_known_row_every_row_stays_to_be_named():
    pasted = read_pasted("Thing\tS\tM\nBit\t46\t50\nPiece of it\t20\t21\n")
    assert [(row.label, row.key) for row in pasted.rows] == [("Bit", ""), ("Piece of it", "")]


@pytest.mark.parametrize(
    ("label", "key"),
    [
        ("Cehst, stitches", "back/chest/count"),
        ("Sholder", "back/shoulder_width/measure"),
        ("Armhole dephth", "back/armhole_depth/measure"),
        ("Sleve length", "sleeve/sleeve_length/measure"),
        ("Ease", ""),
        ("Yoke", ""),
        ("Chest", ""),  # no slip in it
    ],
)
def test_a_label_is_read_past_one_slip_and_no_further(label, key):
    assert key_past_a_slip(label) == key


@pytest.mark.parametrize(
    ("label", "unit"),
    [
        ("Chest (cm)", "cm"), ("Chest, in", "in"), ("Length in inches", "in"), ("Chest/cm", "cm"),
        ("cm", "cm"), ('"', "in"),
        ("Chest in all", ""), ("Width in", "in"), ("Chest", ""), ("inches of ease at the chest", ""),
    ],
)  # fmt: skip
def test_the_end_of_a_label_says_the_unit(label, unit):
    assert unit_of(label) == unit


LABELS = ("Chest", "Hem", "Upper arm", "Cuff", "Sleeve length", "Armhole depth")
FIGURES = st.builds(
    lambda whole, more: f"{whole}{more}",
    st.integers(8, 140),
    st.sampled_from(["", ".5", ",5", " 1/2", "½", " 5/8", " cm", '"', "-3/8"]),
)
TITLES = st.lists(
    st.sampled_from(["My pullover", "Page 12, copied", "All of it", "Measurements"]), max_size=2, unique=True
)


@st.composite
def tables(draw):
    """Sizes, labels and cells of a table, every size with a figure."""
    names = draw(
        st.lists(
            st.sampled_from(["XS", "S", "M", "L", "XL", "2XL", "34", "36", "One size"]),
            min_size=2,
            max_size=8,
            unique=True,
        )
    )
    labels = draw(st.lists(st.sampled_from(LABELS), min_size=2, max_size=6, unique=True))
    return names, labels, [[draw(FIGURES) for _ in names] for _ in labels]


@given(tables(), TITLES, st.sampled_from(["\t", ";", " | ", "   "]))
def test_a_table_with_titles_over_it_is_read_as_it_stands_whatever_divides_its_cells(table, titles, mark):
    names, labels, cells = table
    lines = [
        *titles,
        mark.join(["Size", *names]),
        *(mark.join([label, *row]) for label, row in zip(labels, cells, strict=True)),
    ]
    pasted = read_pasted("\n".join(lines))
    assert pasted.sizes == tuple(names)
    assert rows(pasted) == [(key_of(label), tuple(row)) for label, row in zip(labels, cells, strict=True)]
    assert left_out(pasted) == [(title, "no_figures") for title in titles]


@given(tables(), TITLES)
def test_the_same_table_lying_the_other_way_is_the_same_once_it_is_turned(table, titles):
    names, labels, cells = table
    lines = [*titles, "\t".join(["Size", *labels])]
    lines += ["\t".join([name, *(row[at] for row in cells)]) for at, name in enumerate(names)]
    assert read_pasted("\n".join(lines)).sideways
    pasted = read_pasted("\n".join(lines), turned=True)
    assert pasted.sizes == tuple(names)
    assert rows(pasted) == [(key_of(label), tuple(row)) for label, row in zip(labels, cells, strict=True)]


@given(
    st.text(alphabet=st.sampled_from("\t\n;|,()[] 0123456789./½\"'-–Chestsizehmcminbackrow×SMLX"), max_size=300)
    | st.text(max_size=300),
    st.booleans(),
)
def test_no_pasted_text_is_too_strange(text, turned):
    pasted = read_pasted(text, turned=turned)
    if pasted is None or pasted.sideways:
        return
    assert pasted.rows or pasted.left_out
    assert len(pasted.sizes) <= MOST_SIZES or not pasted.rows
    assert len(pasted.rows) <= 2 * MOST_ROWS
    assert all(len(row.cells) == len(pasted.sizes) > 0 for row in pasted.rows)
    assert all(not row.key or row.key.split("/")[1] in POINTS for row in pasted.rows)
