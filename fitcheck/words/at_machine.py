"""The page at the machine in words: one act fills the screen, the next stands inside the button."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from fitcheck.knitting.by_counter import stretches
from fitcheck.knitting.lines import Head, Note, Sheet, SheetLine
from fitcheck.records.frozen import frozen
from fitcheck.records.sheet_kinds import BAND_KINDS
from fitcheck.words.phrases import capital, count_words, few, listed, sentence, small_first, spaced
from fitcheck.words.sheet import ACTS, group_half, line_act, needles_words, notes_told, ordinal

MOST_ACTS = 4
"""Acts that are listed between two rows; how many more there are is a figure."""


@frozen
class HalfTold:
    """What is said between two halves: the one that is finished, and the one that comes.

    head  "The right half is finished.";  told: what waits, how long the next one is
    next  "the left half"
    """

    head: str
    told: tuple[str, ...]
    next: str


@frozen
class ActTold:
    """One act as it fills the screen.

    figure      the act's row: what the counter shows before it; empty where nobody can say
    shows       the same [rows]; None where nobody can say
    side        where the carriage stands: "left", "right" or empty;  stands: "carriage left"
    act         "Narrow 1, both sides"
    time, of    which time of a repeat; 1 of 1 where it is done once;  times: "3 of 9", empty where it is done once
    after       "106 stitches after, L53–R53"
    notes       what stands small under it
    go          what Done of the act before leads to: "go to row 119"
    there       what is done there: "there: the same, 4 of 9"
    between     the act inside a line: "narrow 1, both sides"
    bed         what is on the bed afterwards, as a sentence's part: "102 stitches are on the bed, L51–R51"
    spoken      the whole screen as a sentence for who does not see it
    title       of the tab
    stretch     number of the stretch in which the counter runs on
    half        what is said before it where a half is finished
    """

    figure: str
    shows: int | None
    side: str
    stands: str
    act: str
    time: int
    of: int
    times: str
    after: str
    notes: tuple[str, ...]
    go: str
    there: str
    between: str
    bed: str
    spoken: str
    title: str
    stretch: int
    half: HalfTold | None


def acts_told(sheet: Sheet) -> tuple[ActTold, ...]:
    """Every act of a sheet, one for each time that it is done."""
    times = [
        (line, number, len(folded.times)) for folded in sheet.lines for number, line in enumerate(folded.times, start=1)
    ]
    lines = [line for line, _, _ in times]
    numbers = stretches(lines)
    return tuple(
        _act(sheet.head, lines, place, number, of, numbers[place]) for place, (_, number, of) in enumerate(times)
    )


def _act(head: Head, lines: Sequence[SheetLine], place: int, number: int, of: int, stretch: int) -> ActTold:
    line, before = lines[place], lines[place - 1] if place else None
    act, row = line_act(line, head), line.counter
    stands = f"carriage {line.carriage}" if line.carriage else ""
    after = _after(line, before)
    at = capital(f"row {row}" if row is not None else "the rib") + (f", {stands}" if stands else "")
    repeated = number > 1
    there = f"the same, {number} of {of}" if repeated else small_first(act)
    spoken_act = _spoken(line, head) + (f", {_which(number)} of {few(of)}" if of > 1 else "")
    return ActTold(
        figure="" if row is None else str(row),
        shows=line.counter,
        side=line.carriage,
        stands=stands,
        act=act,
        time=number,
        of=of,
        times=f"{number} of {of}" if of > 1 else "",
        after=after,
        notes=tuple(_notes(line)),
        go=_go(line, before),
        there=f"there: {there}",
        between=small_first(act),
        bed=_on_the_bed(line),
        spoken=_aloud(f"{at}. {spoken_act}. {after}"),
        title=f"{at}. {act}.",
        stretch=stretch,
        half=_half(lines, place),
    )


_HERE: Mapping[str, Callable[[Note], str]] = {
    "rib_rows_unsaid": lambda note: "How many rows has the rib? Nobody said: count them on the piece that it meets.",
}
"""Notes that are others where nothing can be written beside them."""


def _notes(line: SheetLine) -> Iterator[str]:
    """What stands small under an act; of loops that are picked up only how many, for the rest fills no phone."""
    picked = [str(note.values["stitches"]) for note in line.notes if note.code == "picked"]
    if picked:
        yield f"Along the edge {listed(picked)}: the sheet says from which rows."
    yield from notes_told((note for note in line.notes if note.code != "picked"), _HERE)


def _go(line: SheetLine, before: SheetLine | None) -> str:
    """What leads from the act before to this one: "go to row 119"."""
    if before is None:
        return f"go to row {line.counter or 0}"
    if line.counter is None:
        return "knit the rib"
    shows = before.to if before.act == "set_counter" else before.counter
    return f"stay at row {line.counter}" if shows == line.counter else f"go to row {line.counter}"


def _after(line: SheetLine, before: SheetLine | None) -> str:
    """What is on the bed once it is done: "106 stitches after, L53–R53"."""
    if line.needles is None:
        return "The bed is empty."
    same = before is not None and before.needles == line.needles and before.after == line.after
    return f"{count_words(line.after, 'stitch')}{'' if same else ' after'}, {needles_words(line.needles)}"


def _on_the_bed(line: SheetLine) -> str:
    if line.needles is None:
        return "the bed is empty"
    are = "is" if line.after == 1 else "are"
    return f"{count_words(line.after, 'stitch')} {are} on the bed, {needles_words(line.needles)}"


# Said aloud


_AT_SIDES = ("widen", "narrow", "widen_edge", "add", "cast_off", "rest")
_FIRST = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def _which(number: int) -> str:
    return _FIRST[number - 1] if number <= len(_FIRST) else ordinal(number)


def _spoken(line: SheetLine, head: Head) -> str:
    """ "Narrow one at both sides" """
    verb, what = ACTS[line.act](line, head)
    if line.act not in _AT_SIDES:
        return verb + what
    return f"{verb} {few(line.stitches)} at {'both sides' if line.at == 'both' else f'the {line.at}'}"


def _aloud(text: str) -> str:
    """A dash between needles is read as "to"."""
    return sentence(text.replace("–", " to "))


# Between two halves


def _half(lines: Sequence[SheetLine], place: int) -> HalfTold | None:
    """What is said before the first act of a second half."""
    line = lines[place]
    if not line.part.endswith("_half") or not place or not lines[place - 1].part.endswith("_half"):
        return None
    if lines[place - 1].part == line.part:
        return None
    done = [other for other in lines if other.part == lines[place - 1].part]
    coming = [other for other in lines if other.part == line.part]
    waits = [
        f"{count_words(other.stitches, 'stitch')} of the {_group(other)} wait on waste yarn."
        for other in done[-1:]
        if other.act == "park"
    ]
    set_to = next((other.to for other in coming if other.act == "set_counter" and other.to is not None), None)
    name, last = group_half(coming), coming[-1].counter
    long = [f"The {name} has {last - set_to} rows."] if set_to is not None and last is not None else []
    return HalfTold(f"The {group_half(done)} is finished.", (*waits, *long), f"the {name}")


def _group(line: SheetLine) -> str:
    return "shoulder" if line.name.endswith("_shoulder") else spaced(line.name)


# The piece


def finished_head(piece: str) -> str:
    """ "The front is finished." """
    return f"The {spaced(piece)} is finished."


def finished_told(piece: str, acts: Sequence[ActTold], cautions: Iterable[str] = ()) -> str:
    """How much was done, and what comes then; cautions: sentences of what can ruin the piece as it is washed."""
    done = f"All {count_words(len(acts), 'act')} are done."
    if piece in BAND_KINDS:
        return f"{done} The seams come next."
    return " ".join([done, "Weigh it, wash it, let it dry, then measure it.", *cautions])


def begin_head(piece: str) -> str:
    """ "Begin the front" """
    return f"Begin the {spaced(piece)}"


def begin_told(acts: Sequence[ActTold]) -> str:
    """What is done first."""
    first = acts[0]
    return (
        f"First: {first.between}{f', {first.stands}' if first.stands else ''}. The sheet stays as it is from here on."
    )


def tab_title(piece: str) -> str:
    """Title of the page where no act is in hand."""
    return f"At the machine: {spaced(piece)}"


def older_counts(then: Mapping[str, int], now: Mapping[str, int]) -> str:
    """That the counts are others than those of a begun sheet: "counts say 124, this sheet 126." """
    pairs = [(now[point], then[point]) for point in then if point in now and now[point] != then[point]]
    if not pairs:
        return "the lines by your counts are others now."
    new, old = pairs[0]
    return f"counts say {new}, this sheet {old}."


# Another row


def between_told(acts: Sequence[ActTold], first: int, last: int) -> Iterator[tuple[str, str]]:
    """Rows and act of each run of equal acts from a line to before another: ("117, 119, 121", "narrow 1, both sides").

    No more than `MOST_ACTS` of them.
    """
    for between, run in _runs(acts, first, last):
        yield ", ".join(str(act.shows) for act in run if act.shows is not None), between


def acts_listed(acts: Sequence[ActTold], first: int, last: int) -> int:
    """How many acts those runs have."""
    return sum(len(run) for _, run in _runs(acts, first, last))


def _runs(acts: Sequence[ActTold], first: int, last: int) -> list[tuple[str, list[ActTold]]]:
    runs = [(between, list(run)) for between, run in groupby(acts[first:last], lambda act: act.between)]
    return runs[:MOST_ACTS]
