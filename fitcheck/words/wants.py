"""What a field of a form wants, said beside it where what was typed cannot be taken."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, spaced

# Readings and counts

ONE_POINT = "One point at least."
FIRST_POINT = "One point at least; from the first one on there is an answer."
CHEST_FIRST = "One point is enough to begin with; the chest is best."
ONE_READING = "One reading at least, at any point."
ONE_READING_OF_SWATCH = "One reading at least, across or along."
ONE_FIGURE = "One figure at least, in any of the fields."
TYPE_OR_SKIP = "Type what the tape says, or skip the point."
WHOLE_NUMBER = "A whole number, such as 122."
WHICH_WAY = "Sticks out or falls short? Tap one of them, or type +0.8 or −0.8."
TOO_THICK = "Knitted fabric is hardly thicker than 2 cm; millimetres are written behind it: 3 mm."
WHICH_GARMENT = "One of the wardrobe’s sweaters."
DIAL_NUMBER = "The number of the dial, such as 7; 7.1 is one mark more."
WHICH_STAGE = "Say first how the piece is: off the machine, rested, or washed, blocked and dry."
TWO_GARMENTS = "Two different garments."


def all_or_none(key: str) -> str:
    """That a point's fields go together."""
    return f"This one too, or leave all of the {point_name(key)} empty."


def counted_at(key: str, *, rows: bool) -> str:
    """What a count is called where no neighbour explains it."""
    return f"{'Rows' if rows else 'Stitches'}, {point_name(key)}"


def planned_at(kind: str, key: str, *, rows: bool) -> str:
    """What a planned count is called where no neighbour explains it."""
    return f"{capital(spaced(kind))}, planned {'rows' if rows else 'stitches'}, {point_name(key)}"


def one_of(labels: Sequence[str]) -> str:
    """What there is to choose."""
    return f"One of {' or '.join(labels)}."


# Swatches and yarns

WIDTH_BETWEEN_MARKS = "The width between the marks: one reading is enough to begin with."
ROWS_BETWEEN_MARKS = "The number of rows between the marks, for the height that was read."
ROWS_FIRST = 'Write down first how many rows lie between the marks: under "Change how it was knitted".'
EMPTY_BESIDE_MARKS = "Empty where the marks are counted by needles or rows; these stand below."
SHARE_OF_FIBRE = "How many percent of it? Only one share may stay empty."
GRAMS_ON_HAND = "How many grams of this lot are on hand? 0 where it is used up."


def by_marks(marked: str) -> str:
    """That a marked needle or row wants a way of counting."""
    return f"With a marked needle or row ({marked}) one of the two ways by marks."


def stitches_between_marks(example: str) -> str:
    """That a swatch wants its stitches."""
    return f"The number of stitches between the marks{example}."


def which_fibre(percent: str) -> str:
    """That a share wants its fibre."""
    return f"Which fibre is it of which {percent} % are in the yarn?"


# Size tables

OWN_NAME = "A name of its own for each size."
ROWS_OF_FIGURES = "Rows of figures with the point in front, as a spreadsheet copies them."
OF_THE_SWEATER = "Measures of the sweater: finished chest 96 (104, 112). These are of the body that it is for."
EACH_ROW_ONCE = "Each row once; this point stands in another row already."
FIGURE_OF_A_SIZE = "One figure at least: a measure or a count of one size."


def unit_beside(read: str, beside: str, unit: str) -> str:
    """What a bare figure lacks in a row whose other cells say another unit than the page's."""
    return f"Its unit too: {read} {beside} as the others of the row, or {read} {unit}."


def most_of_a_table(sizes: int, rows: int) -> str:
    """How large a table can be."""
    return f"A table has {sizes} sizes and {rows} rows at most."


def gauge_over(length: str) -> str:
    """That the length of a printed gauge wants its stitches."""
    return f"How many stitches, or rows, over {length}? Or leave that empty too."


# Makes, plans and files

HOW_BAND = "Say how this band comes on, or leave its depth empty."
PLAN_WANTS = {
    "chest": "What the chest shall measure, such as 54; or a garment of the wardrobe below it.",
    "stitches": "How many stitches lie between the marks of a swatch; or a fabric of the swatch book.",
    "count_1": "The stitches at the chest of one size, such as 120; or a whole table.",
}
"""What a plan asks for first, where its button was pressed and nothing was typed, by field."""
HOUSEHOLD_FILE = "A household file, as it is exported here."
READINGS_FILE = "A table of readings, as it is exported here."
UTF8_FILE = "A table saved as UTF-8."
