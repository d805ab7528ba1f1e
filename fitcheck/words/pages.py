"""Sentences of the pages that carry a figure, a name or a count: the templates call them ``say``."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.copied import copied_first
from fitcheck.words.names import direction_of, point_name
from fitcheck.words.phone import WALK
from fitcheck.words.phrases import capital, count_words, few, small_first
from fitcheck.words.rest import PieceTable

# Refusals and questions

COMES_BACK = "After this you are back in the form that you left, with everything typed in it."
"""What stands above a form that another one led to."""


def not_taken(read: str) -> str:
    """The beginning of a refusal: what was read."""
    return WALK["not_taken_read"].format(read=read or WALK["nothing_read"])


def fields_refused(count: int) -> str:
    """How many fields of a form were refused."""
    return f"{'One field wants' if count == 1 else 'These want'} another look; everything typed is still here."


def both_stay(added: Sequence[tuple[str, str]]) -> str:
    """Readings that were typed while others were kept."""
    each = ", ".join(f"{name} {value}" for name, value in added)
    return f"The readings that you typed are added to those that are there, so both stay: {each}."


def read_from(source: str, taken: str) -> str:
    """Where a wanted figure comes from, and what the tape alone says where another figure is taken."""
    return f"Wanted comes from {source}.{f' {capital(taken)}.' if taken else ''}"


def about_reading(told: str, aside: str | None, *, confirmed: bool) -> str:
    """What is said of a reading: where it is from, that it was set aside and why, that it was confirmed."""
    parts = [told, f"set aside: {aside}" if aside else "", "confirmed" if confirmed else ""]
    return ", ".join(part for part in parts if part)


# Folds


def deleted(count: int) -> str:
    """The fold of what was deleted on a shelf."""
    return f"Deleted, can be brought back ({count})"


def deleted_makes(count: int) -> str:
    """The same of makes."""
    return f"Deleted: {count}"


def granted(count: int) -> str:
    """The fold of what is taken for granted."""
    return f"Taken for granted ({count})"


def granted_of_make(count: int) -> str:
    """The same of a make, where it invites to say more."""
    return f"Taken for granted: {count_words(count, 'thing')} you have not said"


def not_compared(count: int) -> str:
    """The fold of what the sizes cannot be compared at."""
    return f"Not compared ({count})"


# Makes


def no_outline(not_drawn: str) -> str:
    """Why a piece is not drawn: why its construction never is, or what is missing."""
    if not_drawn:
        return f"No outline: rulers only. {capital(not_drawn)}."
    return "No outline yet: shoulder or chest and one length draw it. The rulers stand beside."


def no_outline_of_garment(not_drawn: str) -> str:
    """The same of a garment."""
    if not_drawn:
        return f"No outline: {not_drawn}."
    return "Too little was measured to draw it: the chest or the shoulder, and a length."


def table_changed(day: str) -> str:
    """That a size table was changed under way."""
    return (
        f"The size table was changed on {day}, after the first piece was cast on: that piece may have been knitted "
        "with its old figures."
    )


def as_the_table_has_it(knitted: str) -> str:
    """What sizes are about once a piece is knitted; what is left to knit follows, as a link."""
    return (
        "All of this is the sweater as the table has it, every piece with the table’s own counts. What is still to "
        f"be changed now that {knitted} is knitted stands under"
    )


def the_piece(piece: str) -> str:
    """A piece, as the title of its strip."""
    return f"The {piece}"


def how_to_lay(piece: str) -> str:
    """How overhangs are read."""
    return f"Where the tape goes. Lay the {piece} on the sweater, level at one end; the overhang is at the other."


MENDS = {
    "back": "Shoulder and armhole no later piece or band can mend; what the chest lacks, the front can make up.",
    "front": "Shoulder and armhole no later piece or band can mend; what the chest lacks, a back still to come can.",
    "sleeve": "The upper arm no other piece can mend; length and cuff can be altered at the lower end.",
}
"""Why three points of a piece come first."""


def first_answer(piece: str) -> str:
    """What three points tell, and from when on."""
    return f"{MENDS[piece]} From the first one on there is an answer."


# Settings


def not_taken_in(count: int) -> str:
    """The heading where a file was refused."""
    return f"Not taken in: {count_words(count, 'thing')} to look at."


HOW_TAKEN_IN = (
    ("merge", "add what is not here"),
    ("update", "add, and take the file’s where both have one"),
    ("replace", "make all equal to the file"),
)
"""The ways in which a file is taken in: value and label of each."""


def conflicting(conflicts: Sequence[str]) -> str:
    """What to do where a file has other versions than are here."""
    return (
        f"{', '.join(conflicts)}. Nothing was changed. To take the file’s versions instead, choose "
        f'"{dict(HOW_TAKEN_IN)["update"]}" and send it again; all else stays.'
    )


def about(value: str) -> str:
    """A figure that is known about."""
    return f"about {value}"


def learns(assumed: str) -> str:
    """What freezing the household's tape does."""
    return (
        "Each make learns from its own readings and those of its sweater and swatches, beginning at the usual "
        f"{assumed}. Frozen, what was read anywhere counts for every make: narrower intervals for a steady hand, wider "
        "for a quick one."
    )


def what_is_kept(counts: Sequence[str]) -> str:
    """What the household holds."""
    return f"{capital(', '.join(counts))}." if counts else "Nothing is kept yet."


def backup_hint(path: str) -> str:
    """Where a backup stands, and what the files are for."""
    return (
        f"A backup holds the history too and stands beside {path}. The household file (JSON) can be taken in anywhere; "
        "the table (CSV) opens in any spreadsheet."
    )


TAPE_KNOWN_FROM = {
    "assumed": "That is assumed: nobody read anything twice yet. Two readings of one point begin to tell.",
    "mixed": "That is half assumed yet: more readings of points that were read before will tell.",
    "measured": "That is measured, by your own repeated readings.",
}
"""From what it is known how steady the household's tape is, by the basis of its pool."""
TAPE_BASIS = {"assumed": "assumed", "mixed": "half assumed yet", "measured": "measured"}
"""The same in a word."""


def hand_at(mm: str, length: str) -> str:
    """How steady the household's tape is at a length."""
    return f"{mm} mm at {length}"


def tape_is_right_to(length: str, mm: str) -> str:
    """What one reading of the household's tape is good for."""
    return f"At {length} one reading of your tape is right to about {mm} mm."


def and_more(count: int) -> str:
    """How many faults are not told."""
    return f"And {count} more."


# Fields


def what_speaks(size_name: str) -> str:
    """What comes before what, and what a make is held against while nothing is chosen: a size of its table."""
    told = (
        "A sweater that fits is enough. A number typed here counts before body and ease, and these before the sweater."
    )
    if not size_name:
        return told
    return (
        f"{told} Nothing is chosen here yet, so it is held against the measures of size {size_name} in its size table."
    )


def usually_allowed(smaller: str, larger: str, ease: str = "", *, is_round: bool = False) -> str:
    """The fold of ease, as it was typed, and of what is allowed at a point."""
    sides = smaller if smaller == larger else f"{smaller} smaller, {larger} larger"
    said = f"Ease {ease} round" if ease and is_round else f"Ease {ease}".rstrip()
    return f"{said}, and what is allowed (usually {sides})"


def piece_at_point(piece: str, point: str) -> str:
    """The legend of how a piece lies at a point."""
    return f"The {piece}, at the {point}"


def first_asked(count: int) -> str:
    """What comes before the plan is answered."""
    return f"First: {'is this so?' if count == 1 else 'are these so?'}"


# The page of the API


def needed(kind: str, *, required: bool) -> str:
    """The type of a parameter."""
    return f"{kind}, needed" if required else kind


def answered(status: Sequence[int], problems: Sequence[int]) -> str:
    """The status of an answer, and its problems."""
    good, bad = (", ".join(str(code) for code in codes) for codes in (status, problems))
    return f"{good}. Problems: {bad}"


# The page of a make


def tick(name: str, state: str) -> str:
    """A tick of the path for who cannot see it: "Fabric, done"."""
    return f"{name}, {state}"


def to_look_at(count: int) -> str:
    """The heading of the points that are not settled: "Two points to look at"; empty without one."""
    return f"{capital(few(count))} {'point' if count == 1 else 'points'} to look at" if count else ""


def matching(count: int, *, alone: bool) -> str:
    """The heading of the points that match: "Six match"; of all of them "All six match". Empty without one.

    alone  nothing else was read
    """
    if alone and count > 1:
        return f"{'Both' if count == 2 else f'All {few(count)}'} match"
    return f"{capital(few(count))} {'matches' if count == 1 else 'match'}" if count else ""


def points_not_compared(count: int) -> str:
    """The fold of the points that could not be compared: "Two not compared"."""
    return f"{capital(few(count))} not compared"


def things_to_do(count: int) -> str:
    """The heading of the deeds: "Three things to do"."""
    return f"{capital(few(count))} {'thing' if count == 1 else 'things'} to do"


def counts_of(title: str, count: int, like: str) -> str:
    """The fold of a piece's counts: "The sleeve: 3 counts, as planned".

    like  the piece whose counts they are too
    """
    return f"{title}: {count_words(count, 'count')}, {f'as for the {like}' if like else 'as planned'}"


def new_counts(pieces: Sequence[PieceTable], *, more: bool) -> str:
    """What is in the fold of what the deeds change, beside its heading: "4 new counts, and more"."""
    if not pieces:
        return "what else changes"
    told = count_words(sum(piece.new for piece in pieces), "new count")
    return f"{told}, and more" if more else told


WHY_COUNT = {
    "doubted": "The tape and the count do not go together.",
    "next_piece": "Then it can say how many stitches the next piece needs.",
    "stitch": "Then it can tell this fabric’s stitch.",
}
"""What a count that is asked for tells."""


def asked_above(point: str, read: str) -> str:
    """A question in few words, where the answer above has asked it in full."""
    return f"{capital(point)}, {read}: what does the tape say?"


def more_asked(count: int) -> str:
    """How many more questions there are than a page asks; empty where there are none."""
    return f"{count:,} more {'is' if count == 1 else 'are'} asked once these are answered." if count else ""


def asked_of(whose: str, asked: str) -> str:
    """A question about something else than the piece on the table: "Blue jumper: 65.9 cm for the body length? ..."."""
    return f"{capital(whose)}: {asked}" if whose else asked


def not_possible(way: str, because: str) -> str:
    """A way that cannot be gone, with its reason: "Block again, because the yarn is felted."."""
    return f"{capital(way)}, {because}."


def count_asked(key: str) -> str:
    """Which count helps most."""
    noun = "Rows of" if direction_of(key) == "along" else "Stitches across"
    return f"{noun} the {point_name(key)}?"


def count_planned(count: int) -> str:
    """Why a count stands in its field already."""
    return f"{count} are planned. Keep it if the piece has as many; if not, type what is on it."


WHY_DIAL = {
    "unsaid": "Until it is said, no swatch speaks for it.",
    "doubted": "What is typed here is not asked again.",
}
"""Why a dial is asked for."""


def dial_asked(piece: str) -> str:
    """At which dial a piece was knitted."""
    return f"At which dial was {piece} knitted?"


NOT_TICKED = "Not kept: the service is away, or the answer has changed. Load the page again."
"""What stands under the deeds where a tick could not be kept."""
WASH_ALIKE = "Wash the garment the way the swatches were washed."
"""What is said of every make, once."""
COUNTS_FOR_THE_REST = "Counts for the rest"
TAKE_COUNTS = "Take these counts"
HANG_IT_UP = "Hang it in the wardrobe"
HOW_IT_CAME_OUT = "How it came out"
"""The button that makes the advised counts the planned ones."""
GIVE_NUMBERS = "Give numbers"
"""The button that leads to what a make must fit, where the garment is not to be copied."""
NAME_MACHINE = "Name the machine"
"""The button that leads to the machine of a make, where it is asked how many needles the bed has."""
NAME_SWATCHES = "Name its swatches"
"""The button that leads to the swatches of a make, where it is asked which of their fabrics is its own."""
ANSWER = "Answer the question"
"""The button that leads to a question."""
AS_READ = {
    "widths": (("yes", "Copy its widths"), ("no", "Do not copy them")),
    "worn": (("yes", "Copy it as it hangs"), ("no", "Do not copy it")),
    "newer": (("yes", "Keep the earlier measuring"),),
}
"""The answers to whether a garment is to be copied as it was read."""
FELTED = (("yes", "It felted"), ("no", "It did not"))
"""The answers to whether a piece felted."""
FELTED_ANSWERED = {"yes": "the piece felted", "no": "the piece did not felt"}
"""What was answered, beside what it changed."""
AS_READ_ANSWERED = {"yes": "the sweater copied as it was read", "no": "the sweater not copied as it was read"}
"""What was answered, beside what it changed."""


def felted_asked(piece: str) -> str:
    """Whether a piece felted, in one question."""
    return f"Did {piece} felt in the wash?"


def as_read_asked(why: str | None, garment: str) -> str:
    """Whether a garment is to be copied as it was read, in one question."""
    if why == "worn":
        return f"Is {garment} to be copied as it hangs?"
    if why == "newer":
        return "Or is the earlier measuring kept?"
    return copied_first(why, garment)[0]


ROUND_OFFERED = "Measure once more, to be surer"
"""The button that leads to a round which is offered beside a plan that is sure enough."""


def read_it(what: str) -> str:
    """The button that leads to the tape."""
    return f"Read {what}"


def yes_count(count: int) -> str:
    """The button that says a planned count is right."""
    return f"Yes, {count}"


def read_again(what: str) -> str:
    """The same for what was read before."""
    return f"Read {what} again"


def for_another_of_pattern(dial: str) -> str:
    """Which dial would do, once the pieces keep theirs: the first sentence about it."""
    return f"For another sweater of this pattern, {small_first(dial)}"


def to_be_surer(swatch: str) -> str:
    """Where to swatch before a piece is knitted again."""
    return f"To be surer first: {small_first(swatch)}"


def for_another_sweater(swatch: str) -> str:
    """Where to swatch once the pieces keep their dial."""
    return f"For another sweater: {small_first(swatch)}"
