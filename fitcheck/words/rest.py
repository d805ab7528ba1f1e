"""What is still to knit: a table of counts for each piece, what else changes; and whether it is the right sweater."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType

from fitcheck.advice.rest.demands import Demands, Unmet
from fitcheck.advice.rest.pieces import How, Note, RestCount, RestPiece, known_by
from fitcheck.advice.rest.right_sweater import RightSweater
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.rest.taking import TakenCount
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.records.frozen import frozen
from fitcheck.records.points import PieceKind
from fitcheck.reports.shapes import Head
from fitcheck.words.bands import bands_told
from fitcheck.words.dates import write_day
from fitcheck.words.figures import Tape
from fitcheck.words.names import direction_of, piece_name, point_name, reference_name
from fitcheck.words.phrases import capital, counted_words, listed, side_word, spaced

WHAT_A_COUNT_GIVES = (
    "What a count gives: the piece as it lies, washed and blocked, with what the seams will swallow, as the wanted "
    "figures above have it."
)
_HOW: dict[How, str] = {
    "planned": "",
    "again_at_dial": ", knitted again",
    "again": ", knitted again",
    "rip_back": ", from where it is ripped upward",
    "at_the_end": ", at its lower end",
}
_PARTS = {
    "armhole_seam": "the armhole seams",
    "neck_band": "the neck band",
    "front_rows_and_cap": "the armholes, and the sleeve cap drawn anew",
    "armhole_mark": "the mark of the armhole",
    "side_panel": "the side panels",
    "twin": "its twin",
    "hem": "the lower end",
    "cuff_band": "the cuff",
}
"""What answers for a point, where it is no count of a piece."""
_ASKED: dict[str, str] = {
    "hem": "How many stitches at the hem",
    "chest": "How many stitches at the chest",
    "shoulder_width": "How many stitches from shoulder to shoulder",
    "neck_width": "How many stitches at the neck",
    "cuff": "How many stitches at the cuff",
    "upper_arm": "How many stitches at the upper arm",
    "to_underarm": "How many rows up to the underarm",
    "armhole_depth": "How many rows from the underarm to the shoulder",
    "neck_depth": "How many rows from the foot of the neck up",
    "sleeve_length": "How many rows in the whole sleeve",
    "panel_width": "How many stitches in the panel",
    "panel_length": "How many rows in the panel",
}


@frozen
class CountRow:
    """One count as a row of a table.

    instead  "instead of 120", where a count changes
    like    what the count before was taken from, where nobody gave it: "as the left front"
    change  "4 stitches more", "unchanged"
    knit    the count to knit: "108", of a length with a rib "108 rows and the rib"; empty where none is known
    gives   what it measures, with its unit; empty where the fabric does not say
    parts   the same as a sum where a band is in it: "34.0 + 6.0 cm"
    band    the band in it: "with 6.0 cm band"
    """

    count: RestCount
    point: str
    instead: str
    like: str
    change: str
    knit: str
    gives: str
    parts: str
    band: str


@frozen
class PieceTable:
    """One piece as a table: its title, what its counts were before ("planned", "knitted"), and what is asked.

    point  the one whose count is asked for, or can be put right
    asked  that question, or the count that is proposed where what is wanted tells it, or a guess that stands till then
    like   the piece before it that has the very same rows; empty where none has
    """

    piece: RestPiece
    title: str
    before: str
    rows: tuple[CountRow, ...]
    notes: tuple[str, ...]
    point: str
    asked: str
    like: str = ""

    @property
    def new(self) -> int:
        """How many of its counts change."""
        return sum(row.count.changed for row in self.rows)


@frozen
class PartRow:
    """A change that is no count of a piece: point, what answers, by how much."""

    point: str
    part: str
    change: str


@frozen
class RestTold:
    """The whole list.

    open     that nothing is decided yet; empty otherwise
    bands    what each band that is still to come is knitted by, a sentence or two each
    unmet    where a count does not keep what it should, a sentence each
    demands  what the counts keep, a sentence each
    gives    what the measures beside the counts are
    taken    which counts were taken from the advice, when, and instead of what; a sentence a day
    """

    title: str
    open: str
    pieces: tuple[PieceTable, ...]
    parts: tuple[PartRow, ...]
    bands: tuple[str, ...]
    unmet: tuple[str, ...]
    demands: tuple[str, ...]
    gives: str = WHAT_A_COUNT_GIVES
    taken: tuple[str, ...] = ()


def count_asked(key: str) -> str:
    """The question for the count of a point, without its mark."""
    return _ASKED.get(key, f"How much at {point_name(key)}")


def rest_title(rest: Rest) -> str:
    """What the list is called: counts where there are any."""
    return "Counts for the rest" if rest.pieces or rest.bands else "What changes"


def rest_heading(rest: Rest) -> str:
    """The same on a page, where one piece alone changes: "Counts for the front"."""
    changed = [piece for piece in rest.pieces if piece.changed]
    return f"Counts for the {spaced(changed[0].kind)}" if len(changed) == 1 and not rest.parts else rest_title(rest)


def rest_told(
    rest: Rest, tape: Tape, taken: Sequence[TakenCount] = (), to_knit: Sequence[PieceToKnit] = ()
) -> RestTold:
    """Say what is still to knit and to change.

    taken    counts of it that were taken from the advice
    to_knit  the same pieces with every count that a sheet needs
    """
    new = next((spaced(piece.kind) for piece in rest.pieces if piece.how == "again"), "piece")
    return RestTold(
        rest_title(rest),
        "Nothing is decided yet: so far every count stays as planned." if rest.open else "",
        _told_once([_table(piece, tape, new, to_knit) for piece in rest.pieces]),
        tuple(
            PartRow(point_name(part.point), _PARTS.get(part.by, spaced(part.by)), _amount(part.point, part.mm, tape))
            for part in rest.parts
        ),
        bands_told(rest.bands, tape),
        tuple(_unmet(rest.demands)),
        tuple(_kept(rest.demands)),
        taken=taken_sentences(taken),
    )


def taken_sentences(taken: Sequence[TakenCount]) -> tuple[str, ...]:
    """Which counts were taken from the advice, when, and instead of what; a sentence a day.

    "Taken from the advice on 25 Nov 2026: the front’s chest, 126 instead of 122; hem, 120 instead of 116."
    """
    days: dict[str, dict[str, list[str]]] = {}
    for count in taken:
        instead = f" instead of {count.instead_of}" if count.instead_of is not None else ""
        told = f"{point_name(count.point)}, {count.count}{instead}"
        of_day = days.setdefault(write_day(datetime.fromisoformat(count.at)), {})
        of_day.setdefault(count.piece, []).append(told)
    return tuple(
        f"Taken from the advice on {day}: "
        + "; ".join(f"the {spaced(piece)}’s {'; '.join(told)}" for piece, told in of_day.items())
        + "."
        for day, of_day in days.items()
    )


def _told_once(tables: Sequence[PieceTable]) -> tuple[PieceTable, ...]:
    """The tables, each with the piece before it whose rows are the same."""
    told: list[PieceTable] = []
    for table in tables:
        same = next((other for other in told if table.rows and _shown(other) == _shown(table)), None)
        told.append(replace(table, like=spaced(same.piece.kind)) if same is not None else table)
    return tuple(told)


def _shown(table: PieceTable) -> list[tuple[str, ...]]:
    return [(row.point, row.knit, row.change, row.instead, row.parts) for row in table.rows]


def _table(piece: RestPiece, tape: Tape, new: str, to_knit: Sequence[PieceToKnit]) -> PieceTable:
    """One piece as a table; new is the piece that is knitted again, for which others wait."""
    known = next((known for known in to_knit if (known.kind, known.other) == (piece.kind, piece.other)), None)
    waits = f", once the new {new} is read" if "wait" in piece.notes else ""
    return PieceTable(
        piece,
        f"{_title(piece.kind, piece.how, other=piece.other)}{waits}",
        "planned" if piece.how in ("planned", "again_at_dial") else "knitted",
        tuple(_row(count, tape) for count in piece.counts),
        tuple(NOTES[note] for note in piece.notes) + _at_dial(piece),
        piece.asks or known_by(piece.kind),
        _asked(piece, known),
    )


def _asked(piece: RestPiece, known: PieceToKnit | None) -> str:
    """The question for what nobody gave, or how what it is taken as is put right; empty where it is given."""
    if piece.asks:
        asked = count_asked(piece.asks)
        return f"The {spaced(piece.kind)}: {asked[0].lower()}{asked[1:]}?"
    key = known_by(piece.kind)
    point = f"the {spaced(piece.kind)}’s {point_name(key)}"
    wanted = known.counts.get(key) if known is not None else None
    if wanted is not None and wanted.comes == "wanted":
        return (
            f"{wanted.count} stitches across {point} come nearest to what is wanted. Say the planned count if it is "
            "another."
        )
    if any(count.key == key and count.like == "back" for count in piece.counts):
        return f"If {point} was planned otherwise, say its count."
    return ""


def _unmet(demands: Demands) -> list[str]:
    told = [
        f"{_whose(unmet)}: {unmet.count} is no whole number of repeats {_repeat(demands)}; "
        f"{unmet.below} and {unmet.above} are."
        for unmet in demands.broken
    ]
    return told + [
        f"{_whose(unmet)}: {unmet.count} is more than the {demands.needles} needles." for unmet in demands.too_wide
    ]


def _kept(demands: Demands) -> list[str]:
    told = []
    if demands.even:
        told.append("Changes across are even, so the middle of every piece stays its middle.")
    if demands.multiple > 1 and not demands.broken:
        told.append(f"Chest and hem are whole repeats {_repeat(demands)}.")
    if demands.needles is not None and not demands.too_wide:
        told.append(f"All of it fits the {demands.needles} needles of the bed.")
    return told


def _repeat(demands: Demands) -> str:
    return f"of {demands.multiple}" + (f" and {demands.balance} over" if demands.balance else "")


def _title(kind: PieceKind, how: How, *, other: bool = False) -> str:
    return f"The {'other ' if other else ''}{spaced(kind)}{_HOW[how]}"


def rest_piece_name(piece: RestPiece) -> str:
    """A piece that is still to come in a sentence: "the front", "the other sleeve"."""
    return f"the {'other ' if piece.other else ''}{spaced(piece.kind)}"


def _whose(unmet: Unmet) -> str:
    return f"{_title(unmet.piece, unmet.how)}’s {point_name(unmet.key)}"


def _row(count: RestCount, tape: Tape) -> CountRow:
    change = "unchanged"
    if count.step:
        counted = counted_words(direction_of(count.key), abs(count.step))
        change = f"{counted} {'more' if count.step > 0 else 'fewer'}"
    elif count.amount_mm:
        change = _amount(count.key, count.amount_mm, tape)
    return CountRow(
        count,
        point_name(count.key),
        f"instead of {count.before}" if count.changed and count.before is not None else "",
        f"as the {spaced(count.like)}" if count.like else "",
        change,
        _knit(count),
        tape.length(count.gives_mm) if count.gives_mm is not None else "",
        _sum(count, tape),
        f"with {tape.length(count.band_mm)} band" if count.band_mm else "",
    )


def _knit(count: RestCount) -> str:
    """ "126 st", "108 rows", "108 rows and the rib"; empty where no count is known."""
    if count.now is None:
        return ""
    return f"{count.now} {'st' if count.across else 'rows'}{' and the rib' if count.band_mm else ''}"


def _sum(count: RestCount, tape: Tape) -> str:
    """What a length with a band measures, as a sum of what is plain and the band; the two make up the whole."""
    if count.gives_mm is None:
        return ""
    if not count.band_mm:
        return tape.length(count.gives_mm)
    band = tape.steps(count.band_mm)
    plain = tape.steps(count.gives_mm) - band
    return f"{tape.bare(plain * tape.step_mm)} + {tape.length(band * tape.step_mm)}"


def _amount(key: str, mm: float, tape: Tape) -> str:
    way = side_word("along" if direction_of(key) == "along" else "across", mm, comparative=True)
    return f"{tape.length(mm)} {way}"


NOTES: Mapping[Note, str] = MappingProxyType(
    {
        "taken_as_knitted": "Counts that nobody gave are taken as they were knitted.",
        "cap_anew": "Draw the sleeve cap anew to match the armholes.",
        "wait": "These are its counts as things stand: how the new piece comes out may change them.",
    }
)
"""What is said below the counts of a piece."""


def _at_dial(piece: RestPiece) -> tuple[str, ...]:
    if piece.how != "again_at_dial":
        return ()
    return (f"At dial {piece.dial}, with the planned counts, which stay as they are.",)


def right_sweater_question(asked: RightSweater, head: Head, tape: Tape) -> str:
    """Whether it is the right sweater, with the figures of the first points."""
    figures = [
        f"{point_name(point.key)} {tape.bare(point.measured_mm)} against {tape.length(point.wanted_mm)}"
        for point in asked.points[:3]
    ]
    return (
        f"Is this the right sweater? {capital(piece_name(head))} is more than a quarter "
        f"{'smaller' if asked.smaller else 'larger'} than {reference_name(head)} makes it at every point that was "
        f"read: {listed(figures)}."
    )
