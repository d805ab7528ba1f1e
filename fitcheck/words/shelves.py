"""Sentences of the wardrobe, the swatch book and the size tables, which the templates call ``shelves``."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.records.swatches import Span
from fitcheck.words.names import direction_of, point_name
from fitcheck.words.phrases import capital, count_words, listed, side_word

# Garments and people


LONGEST_NAME = 60
"""Characters in the longest name of a garment that is part of a sentence or heading."""


def garment_measures(name: str, measures: Sequence[str]) -> str:
    """What a garment measures where it matters; a very long name stands above it, once and whole."""
    told = f"{', '.join(measures)}." if measures else "nothing was measured on this occasion."
    return capital(told) if len(name) > LONGEST_NAME else f"{capital(name)}: {told}"


def drawn_with_tapes(name: str) -> str:
    """What the drawing of a garment shows."""
    return f"{name} as it was measured, with its tapes"


def drawn_with_others(name: str) -> str:
    """What the drawing on a garment's card shows."""
    return f"{name}, drawn at one scale with the others"


def laid_over(upper: str, under: str, at: str) -> str:
    """What the drawing of two garments shows."""
    return f"{upper} laid over {under}, lined up at the {at}"


def garments_here(count: int) -> str:
    """How many garments there are."""
    if count < 2:
        return "One garment to measure against." if count else "Lay a sweater that fits on the table."
    return f"{count} garments to measure against."


def show_all(count: int) -> str:
    """The way out of a search."""
    return f"Show all {count}"


def for_whom(wearer: str) -> str:
    """Whose it is."""
    return f"for {wearer}"


def about_garment(wearer: str, when: str, asked: str, *, invented: bool) -> str:
    """What stands under a garment's card."""
    parts = [f"for {wearer}" if wearer else "", measured_on(when) if when else "", asked]
    return ", ".join(part for part in (*parts, "invented" if invented else "") if part)


def measured_on(day: str) -> str:
    """When it was measured."""
    return f"measured {day}"


def readings(count: int) -> str:
    """How many readings there are."""
    return count_words(count, "reading")


def last_measured(months: int) -> str:
    """That a garment was measured long ago."""
    return f"Last measured {months} months ago; knitting grows."


def read_once(once: int, points: int) -> str:
    """How many of the points were read once only; empty where none was."""
    if not once:
        return ""
    if once == points:
        return "One reading a point: a second laying of each makes it about a third surer."
    return f"{once} of {points} points {'was' if once == 1 else 'were'} read once only."


def add_to_readings(day: str) -> str:
    """The button for more readings of a measuring; day: its date, empty where nobody said it."""
    return f"Add to the readings of {day}" if day else "Add to these readings"


def measured_anew(day: str) -> str:
    """What a measuring anew is, beside more readings of one; day: as above."""
    return f"Measured anew, it gets its own date, and the latest counts. More readings make {day or 'these'} surer."


def occasion(name: str, *, worn: bool) -> str:
    """A measuring, by its date."""
    return f"{name}, worn" if worn else name


def wished(wishes: Sequence[str]) -> str:
    """Changes that are wished for on a make."""
    return f"wished: {', '.join(wishes)}"


def behind_readings(spread: str, layings: int) -> str:
    """How far readings of a point lie apart, and of how many layings they are."""
    return ", ".join(
        said for said in (spread and f"{spread} apart", f"{layings} layings" if layings > 1 else "") if said
    )


def read_again_with(day: str) -> str:
    """That a garment is read again, beside the readings of a day."""
    return f"Read it again, with the readings of {day}." if day else "Read it again."


def likely(low: str, high: str) -> str:
    """What is likely of a measure."""
    return f"likely {low} to {high}"


def typed_as(text: str, unit: str, typed: str) -> str:
    """A reading in the page's unit, and how it was typed where that is otherwise."""
    return f"{text} {unit}{f', typed {typed}' if typed else ''}"


def set_aside(reading: str, reason: str) -> str:
    """That a reading was set aside, and why if somebody said."""
    return f"{reading}: set aside{f', {reason}' if reason else ''}"


def several_readings(example: str) -> str:
    """How several readings are typed in one field."""
    return f"Several readings go in one field: {example}."


def several_readings_of_points(example: str) -> str:
    """The same of a form with many points."""
    return (
        f"Several readings of a point go in one field with a space between: {example}. Leave out what you did not "
        "measure."
    )


def dashed_and_full(dashed: str, full: str) -> str:
    """Which garment is which, one laid over the other."""
    return (
        f"Dashed: {dashed}. Full: {full}. The figures are by how much the full one differs; what is drawn thin was "
        "not measured."
    )


def left_out_at(points: str) -> str:
    """What was left out of a comparison; the garment follows, as a link."""
    return f"Left out: {points} at"


def read_on_one(name: str, points: Sequence[str]) -> str:
    """Points that only one of two garments has."""
    return f"Only {name} was read at: {', '.join(points)}."


def of_a_person(garments: int, points: int, day: str) -> str:
    """What stands beside a person: garments, body measures, and when they were taken."""
    body = count_words(points, "body measure") if points else "no body measures"
    return f"{count_words(garments, 'garment')}, {body}{f', measured {day}' if day else ''}"


def body_measures(name: str, count: int) -> str:
    """How many measures of a body there are."""
    return f"{name}: {count_words(count, 'body measure')}." if count else f"{name}: nothing was read on the body yet."


# Swatches, fabrics, yarns


def swatches_here(swatches: int, fabrics: int) -> str:
    """How many swatches there are, in how many fabrics."""
    return f"{count_words(swatches, 'swatch')} in {count_words(fabrics, 'fabric')}."


def known_well(name: str) -> str:
    """That a fabric is known well enough to knit from."""
    return f"{capital(name)} is known well enough to knit from."


def own_gauge(stitches: str, rows: str) -> str:
    """The gauge of one swatch in a list: "24.1 st · 33.6 rows"."""
    return " · ".join([f"{stitches} st" if stitches else "", f"{rows} rows" if rows else ""]).strip(" ·")


def at_dial(name: str, dial: str) -> str:
    """A swatch in a list: its name, and its dial where the name does not say it."""
    return name if not dial or f"dial {dial}" in name else f"{name}, dial {dial}"


def thread_to(thread: str, span: str) -> str:
    """What a row of a strip of clicks holds: "rows to 10 cm"."""
    return f"{thread} to {span}"


def line_of(number: int, what: str) -> str:
    """What a field of a line is, for who does not see its column: "Swatch 2, across"."""
    return f"Swatch {number}, {what}"


def keep_lines(count: int) -> str:
    """The button that keeps the lines of a form."""
    return f"Keep {count_words(count, 'swatch')}" if count else "Keep them"


NEXT_PIECE_GIVES = "What the next piece gives, from all swatches together; dots: swatched there."
TWO_READINGS = "Two readings in one field: put a space between them."


def newest_of(shown: int, count: int) -> str:
    """How many of a fabric's swatches are shown."""
    return f"The newest {shown} of {count}."


def from_swatches(swatches: str, pieces: int) -> str:
    """What a fabric is known from."""
    return f"from {swatches} and {count_words(pieces, 'piece')}" if pieces else f"from {swatches}"


MOST_NAMED = 8


def others_of_yarn(names: Sequence[str]) -> str:
    """Swatches of the same yarn that a make does not use."""
    more = len(names) - MOST_NAMED
    rest = f" and {more} more" if more > 0 else ""
    return f"Of the same yarn, and not used here: {', '.join(names[:MOST_NAMED])}{rest}."


def next_piece(dial: str | None) -> str:
    """The heading over the gauge of the next piece."""
    return f"The next piece at dial {dial}" if dial else "The next piece"


def at_stages(stages: Sequence[str]) -> str:
    """What a fold shows that holds the gauges of stages: "Rested and off the machine"."""
    return capital(listed(stages))


def in_percent(title: str) -> str:
    """The heading of a drawing of changes."""
    return f"{title}, percent"


def swatch_head(name: str, gauge: str, rows: str, span: str) -> str:
    """The gauge of a swatch by itself."""
    return f"{name}: {gauge} stitches{f' and {rows} rows' if rows else ''} to {span}, washed and blocked."


def swatch_waits(name: str, *, asked: bool, unwashed: bool) -> str:
    """Why a swatch has no gauge."""
    return f"{name}: {'asked about' if asked else 'not washed yet' if unwashed else 'no gauge yet'}."


def swatch_by_itself(stitches: str, rows: str) -> str:
    """What is likely of a swatch's gauge, and that it is no piece."""
    return (
        f"This swatch by itself, not yet the next piece: likely {stitches} stitches"
        f"{f' and {rows} rows' if rows else ''}. A swatch is a small sample: a whole piece may differ a little."
    )


def to_span(figure: str, span: str) -> str:
    """A gauge: "22.4 to 10 cm"."""
    return f"{figure} to {span}"


def is_likely(figures: str) -> str:
    """What is likely, as it stands: "likely 22.2 to 22.7"."""
    return f"likely {figures}"


def each(size: str, unit: str) -> str:
    """The size of one stitch or row."""
    return f"{size} {'in' if unit == 'in' else 'mm'} each"


def read_stage_again(stage: str) -> str:
    """That a swatch is read again at a stage."""
    return f"Read it again: {stage}."


def width_over(stitches: int) -> str:
    """The label of a swatch's width."""
    return f"Width over {stitches} stitches"


def height_over(rows: int | None) -> str:
    """The label of a swatch's height."""
    return f"Height over {rows} rows" if rows else "Height over the rows"


def hours(count: float) -> str:
    """How long a swatch rested or dried."""
    return f"{count:g} hour{'' if count == 1 else 's'}"


def between_marks(span: Span, noun: str) -> str:
    """What lies between the marks of a swatch, and where these are."""
    told = f"{span.between} {noun}"
    return told if span.rule == "between" else f"{told} (marks at {span.first} and {span.last})".replace("-", "−")


# Size tables and sizes


def tables_here(count: int) -> str:
    """How many size tables there are."""
    return f"{count_words(count, 'size table')} of patterns."


def sizes_of(names: Sequence[str], check: Sequence[str]) -> str:
    """The sizes of a table, and what is the matter with it; empty where nothing can be said of that."""
    more = [f"And {len(check) - 1} more."] if len(check) > 1 else []
    return " ".join([f"Sizes {', '.join(names)}.", *check[:1], *more])


TABLE_AGREES = "Its counts, measures and gauge go together."


def table_name(name: str) -> str:
    """The name of a size table, as a heading."""
    return f"{name}."


def point_of_row(row: int) -> str:
    """What a field of the size grid holds, for who does not see it: the point of a row."""
    return f"Point of row {row}"


def name_of_size(column: int) -> str:
    """The same: the name of a size."""
    return f"Name of size {column}"


def cell(size_name: str, label: str, row: int) -> str:
    """The same: a figure of a size."""
    return f"Size {size_name}, {label or f'row {row}'}"


def stitches_and_dots(span: str) -> str:
    """What the first row of a strip of clicks holds."""
    return f"stitches to {span} (dots: swatched)"


def difference_in(unit: str) -> str:
    """What the rulers of sizes show."""
    return f"The difference in {'inches' if unit == 'in' else 'cm'}; brackets: what is allowed."


def finished_in(unit: str) -> str:
    """What the table of sizes shows."""
    return f"Finished, in {'inches' if unit == 'in' else 'cm'}; under it the difference and the stitches."


def wanted(figure: str) -> str:
    """What is wanted, under the name of a point."""
    return f"wanted {figure}"


def size(name: str) -> str:
    """A size as the head of a column."""
    return f"size {name}"


def beside(first: str, second: str) -> str:
    """Two sizes side by side."""
    return f"Size {first} beside size {second}"


def differs_at(key: str, length: str, off: float) -> str:
    """How the upper of two garments differs at a point: "chest 1.2 cm wider"."""
    return f"{point_name(key)}\u00a0{length} {side_word(direction_of(key), off, comparative=True)}"


def one_beside_other(name: str, other: str, differences: Sequence[str], *, common: bool) -> str:
    """How one garment differs from another, the largest differences first."""
    if not common:
        return f"{name} and {other} have no point in common."
    if not differences:
        return f"{name} and {other} cannot be told apart by the tape."
    return f"{name} beside {other}: {', '.join(differences)}."


def asked_about(keys: Sequence[str]) -> str:
    """Which points are asked about: "chest and hem are asked about"."""
    return f"{listed([point_name(key) for key in keys])} {'is' if len(keys) == 1 else 'are'} asked about"


def measured_round(rows: Sequence[str], *, counted: bool) -> str:
    """What is asked where rows of a table look round; counted: by their stitches, else by what is usual."""
    named, one = capital(listed(rows)), len(rows) == 1
    if not counted:
        return f"{named} {'is' if one else 'are'} wider than a sweater laid flat usually is: measured round?"
    verb, stitches = ("is", "its stitches make") if one else ("are", "their stitches make")
    return f"{named} {verb} about twice what {stitches}: measured round?"
