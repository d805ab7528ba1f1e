"""The rest of the sweater in words: what to cast on next and why, and a table of counts for every piece."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date

from fitcheck.advice.left import TWINS
from fitcheck.advice.rest.demands import Unmet
from fitcheck.advice.to_come.plans_of import AssumedShape
from fitcheck.advice.to_come.to_knit import CountToKnit, PieceToKnit
from fitcheck.advice.to_come.ways_out import Refused
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.frozen import frozen
from fitcheck.records.points import KINDS, POINTS, SLEEVES, PieceKind
from fitcheck.reports.the_rest import FINISHED, NOTHING_LEFT, DrawnPiece, First, RestAnswer, Waits
from fitcheck.words.bed import LOOSER_DIAL, off_the_bed
from fitcheck.words.cannot_say import ALL_KNITTED, IS_FINISHED, TO_SEW, cannot_say_parts
from fitcheck.words.dates import write_day
from fitcheck.words.figures import Tape, chance_words
from fitcheck.words.lifting import BindSaid, RefusedSaid, binds_said, refused_said
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, count_words, counted_words, listed, sentence, spaced
from fitcheck.words.rest import count_asked
from fitcheck.words.said import heading
from fitcheck.words.unshaped import armhole_of_even_rows, unshaped_heading
from fitcheck.words.why_not import what_would_help, why_not

_ASSUMED: dict[AssumedShape, str] = {
    "armhole_curve": "its armhole, which nobody wrote down, is drawn as the usual curve",
    "neck_curve": "its neck is drawn as the usual curve",
    "neck_depth": "the depth of its neck is the usual one",
    "shoulder_groups": "its shoulders fall as usual",
    "raglan_top": "its top is as wide as usual",
    "no_rib": "it begins without the rib that was counted: name that band and how deep it is",
}
_WAITS: dict[Waits, tuple[str, str]] = {
    "undecided": ("First the answer, then the counts.", "Nothing is decided about the piece on the table yet."),
    "again": (
        "First knit that piece again, and read it.",
        "What is sewn to it gets its counts from it: these are the counts as it is expected.",
    ),
}

_FIRST: dict[First, str] = {
    "block_again": "First block the piece on the table again, and read it.",
    "rip_back": "First rip the piece on the table back and knit it up, and read it.",
}


@frozen
class RestRow:
    """A count as a row of a table.

    planned  the count before, empty where none was known;  knit: "126 st", "108 rows"
    change   "6 more"; empty where it stays
    gives    what it measures, without the unit;  fits: "19 in 20", "as back", "usual"
    """

    key: str
    point: str
    planned: str
    knit: str
    change: str
    gives: str
    fits: str


@frozen
class PieceSaid:
    """One piece: its title, its rows, what is said under them, what is asked, and why it has no sheet.

    sheet  "Sheet of the front"
    asks   a question without its mark, empty where nothing is asked;  lacks: the point that it asks about
    why    why there is no sheet, and what would go; both empty where there is one
    ways   the ways to one, where the piece is not the next: one of them may change what is knitted before it
    before  what the counts before are: planned, or on the needles
    """

    kind: PieceKind
    title: str
    sheet: str
    rows: tuple[RestRow, ...]
    notes: tuple[str, ...]
    asks: str
    why: tuple[str, str]
    before: str = "planned"
    ways: RefusedSaid | None = None
    lacks: str = ""


@frozen
class RestSaid:
    """The page.

    head, because  the heading and the sentence under it
    pieces   those still to knit
    refused  why the next one cannot be cast on, and the ways out; None where it can
    bind, binds  whether anything that the counts keep costs anything, and what they keep; empty without counts
    """

    head: str
    because: str
    pieces: tuple[PieceSaid, ...]
    refused: RefusedSaid | None = None
    bind: str = ""
    binds: tuple[BindSaid, ...] = ()


OnNeedles = Mapping[PieceKind, Mapping[str, int]]
"""Counts of the begun sheet of each piece on the needles, by point."""


def rest_said(answer: RestAnswer, tape: Tape, begun: OnNeedles | None = None) -> RestSaid:
    """What to cast on next, and every count of the pieces still to knit.

    begun  pieces whose begun sheets stand beside the counts instead of what was planned
    """
    if answer.why == FINISHED:
        return RestSaid(ALL_KNITTED, IS_FINISHED, ())
    if answer.why == NOTHING_LEFT:
        return RestSaid(ALL_KNITTED, TO_SEW, ())
    if answer.why is not None:
        why_not, help_ = cannot_say_parts(answer.why)
        return RestSaid(help_ or why_not, why_not if help_ else "", ())
    needles = begun or {}
    pieces = tuple(_piece(piece, answer, tape, needles.get(piece.kind)) for piece in answer.pieces)
    if answer.waits is not None:
        return RestSaid(*_WAITS[answer.waits], pieces)
    coming = next((piece for piece in answer.pieces if piece.kind == answer.next), None)
    if coming is None:
        asked = next(said for said in pieces if said.asks)
        return RestSaid(f"{asked.asks}?", "Nothing can be cast on before that is said.", pieces)
    drawn = _drawn(answer, coming.kind)
    if answer.refused is not None and answer.refused.piece == coming.kind:
        refused = refused_said(answer.refused)
        pieces = tuple(replace(piece, why=("", "")) if piece.kind == coming.kind else piece for piece in pieces)
        return RestSaid(refused.head, refused.because, pieces, refused)
    bind, binds = binds_said(answer.pieces)
    if drawn is not None and drawn.why is not None:
        return RestSaid(*_refused(drawn.why), pieces, None, bind, binds)
    pieces = tuple(_with_ways(piece, answer.refused) for piece in pieces)
    because = _because(coming, tape)
    if answer.refused is not None and any(way.piece == coming.kind for way in answer.refused.ways):
        because += f" {_LATER.format(piece=spaced(answer.refused.piece))}"
    head = _cast_on(coming)
    if answer.first is not None:
        head, because = _FIRST[answer.first], f"As it is expected, then {head[0].lower()}{head[1:]} {because}"
    return RestSaid(head, because, pieces, None, bind, binds)


def finished_said(finished: date, counts: Mapping[PieceKind, Mapping[str, int]]) -> RestSaid:
    """What was knitted of a sweater that is finished, where its counts still to knit stood.

    counts  of each kind of piece, by point: as knitted, else as planned
    """
    pieces = tuple(
        PieceSaid(
            kind,
            piece_title(kind),
            "",
            tuple(
                RestRow(key, point_name(key), "", _knit(key, counts[kind][key]), "", "", "")
                for key in sorted(counts[kind], key=lambda key: POINTS[key].knitted)
            ),
            (),
            "",
            ("", ""),
            "",
        )
        for kind in sorted(counts, key=KINDS.index)
    )
    told = "Its counts: as knitted, and as planned where nobody said what was knitted."
    return RestSaid(ALL_KNITTED, f"Finished on {write_day(finished)}. {told}" if pieces else "", pieces)


_LATER = "But look at the {piece} first: it cannot be knitted so, and a way out of it may change this piece."
"""Said beside what is cast on, where a way out for a piece after it changes it."""


def _with_ways(piece: PieceSaid, refused: Refused | None) -> PieceSaid:
    """A piece that cannot be knitted as it was counted, with the ways to one that can."""
    if refused is None or refused.piece != piece.kind:
        return piece
    said = refused_said(refused)
    return replace(piece, why=(said.head, said.because), ways=said)


def piece_title(kind: PieceKind, *, other: bool = False) -> str:
    """A piece as a heading: "The front", "Two sleeves", "The other sleeve"."""
    if kind in ("sleeve", "side_panel"):
        return f"The other {spaced(kind)}" if other else f"Two {spaced(kind)}s"
    return f"The {spaced(kind)}"


def sheet_button(kind: PieceKind) -> str:
    """ "Sheet of the front" """
    return f"Sheet of {'a' if kind in ('sleeve', 'side_panel') else 'the'} {spaced(kind)}"


def _drawn(answer: RestAnswer, kind: PieceKind) -> DrawnPiece | None:
    return next((drawn for drawn in answer.drawn if drawn.kind == kind and drawn.id is None), None)


def _cast_on(piece: PieceToKnit) -> str:
    """ "Cast on the front: 120 stitches, 126 at the chest." """
    first, widest = ("cuff", "upper_arm") if "cuff" in piece.counts else ("hem", "chest")
    first = first if first in piece.counts else next(iter(piece.counts))
    count, wide = piece.count(first), piece.count(widest)
    which = "the other" if piece.other else "one" if piece.kind == "sleeve" else "the"
    name = f"{which} {spaced(piece.kind)}"
    plain = f"Cast on {name}: {count_words(count or 0, 'stitch')}."
    if wide is None or wide == count:
        return plain
    return heading(f"{plain[:-1]}, {wide} at the {point_name(widest)}.", plain)


def _because(piece: PieceToKnit, tape: Tape) -> str:
    """Why the counts are these: which changed, and what they measure."""
    changed = [count for count in piece.counts.values() if count.before not in (None, count.count)]
    changed = [count for count in changed if POINTS[count.key].direction == "across" or count.comes != "reckoned"]
    if not changed:
        if any(count.comes == "as_twin" for count in piece.counts.values()):
            return f"Nobody planned its counts: they are those of {_twin(piece)}."
        open_still = [point_name(count.key) for count in piece.counts.values() if count.comes == "wanted"]
        if open_still:
            this = "this count comes" if len(open_still) == 1 else "these counts come"
            return f"Nobody planned its {listed(open_still)}: {this} nearest to what is wanted."
        return "Every count is as planned."
    told = [
        f"{point_name(count.key)} {count.count} instead of {count.before}"
        for count in changed
        if POINTS[count.key].direction == "across"
    ] or [f"{point_name(count.key)} {counted_words('along', count.count)}" for count in changed]
    across = [count for count in changed if POINTS[count.key].direction == "across"] or changed
    widest = max(across, key=lambda count: abs(count.count - (count.before or 0)))
    pair = f", as {_twin(piece)} has it" if widest.comes == "as_twin" else ""
    return sentence(f"{listed(told)}{pair}: {tape.length(widest.mm)} at the {point_name(widest.key)}")


def _twin(piece: PieceToKnit) -> str:
    """The other one of a pair, which is knitted: "the left front", "the other one"."""
    return f"the {'other one' if piece.other else spaced(TWINS.get(piece.kind, ''))}"


def _piece(piece: PieceToKnit, answer: RestAnswer, tape: Tape, begun: Mapping[str, int] | None = None) -> PieceSaid:
    drawn = _drawn(answer, piece.kind)
    why = _refused(drawn.why) if drawn is not None and drawn.why is not None and piece.asks is None else ("", "")
    assumed = [_ASSUMED[code] for code in drawn.assumed] if drawn is not None else []
    notes = [sentence(text) for text in assumed]
    usual = [point_name(count.key) for count in piece.counts.values() if count.comes == "usual"]
    if usual:
        notes.append(sentence(f"nothing is wanted of its {listed(usual)}: the usual rows are taken"))
    cap = piece.counts.get("cap_height")
    if cap is not None and cap.before not in (None, cap.count):
        notes.append(f"Its cap is the fairest that goes into the armhole: {cap.count} rows, not {cap.before}.")
    notes.extend(_held_back(piece))
    if piece.lacks is not None:
        notes += [sentence(why_not(piece.lacks)), sentence(what_would_help(piece.lacks))]
    elif _of_the_pattern(piece):
        notes.append("Its widths are those of the pattern: nobody measured what it is to fit.")
    notes.extend(_broken(unmet) for unmet in answer.broken if unmet.piece == piece.kind)
    asks = count_asked(piece.asks) if piece.asks else ""
    return PieceSaid(
        piece.kind,
        piece_title(piece.kind, other=piece.other),
        sheet_button(piece.kind),
        tuple(_row(count, tape, (begun or {}).get(count.key)) for count in piece.counts.values()),
        tuple(notes),
        asks,
        why,
        "planned" if begun is None else "on the needles",
        lacks=piece.asks or "",
    )


def _held_back(piece: PieceToKnit) -> Iterator[str]:
    """Why a count is not the planned one, or not the one that is wanted: the carriage, and the bed."""
    armhole, drop, whole = (piece.counts.get(key) for key in ("armhole_depth", "shoulder_drop", "body_length"))
    if armhole is not None and drop is not None and armhole.before is not None:
        if armhole.before % 2 == 0 and abs(armhole.count - armhole.before) == 1:
            yield f"{armhole_of_even_rows(armhole.before)} {armhole.count} are knitted."
    elif drop is not None and drop.before not in (None, drop.count):
        groups = count_words(drop.count // 2 + 1, "group")
        yield f"Its shoulders rest in {groups}: {count_words(drop.count, 'row')}, not {drop.before}."
    elif whole is not None and whole.before not in (None, whole.count):
        parts = [str(rows) for key in _STACKED if (rows := piece.count(key)) is not None]
        yield f"{listed(parts)} rows make {whole.count} in all, not {whole.before}."
    for count in piece.counts.values():
        if count.off_bed is not None:
            told = off_the_bed(count.off_bed.needed, count.off_bed.needles)
            yield f"{capital(point_name(count.key))}: {told} {LOOSER_DIAL}"


_STACKED = ("to_underarm", "armhole_depth", "shoulder_drop")
"""Lengths of a body piece of which the whole is the sum."""


def _broken(unmet: Unmet) -> str:
    beside = f"{unmet.below} and {unmet.above}"
    return f"{unmet.count} at the {point_name(unmet.key)} stays as planned. It is no whole repeats: {beside} are."


def _of_the_pattern(piece: PieceToKnit) -> bool:
    """Whether every width is the planned one, and nothing says whether it fits."""
    widths = [count for count in piece.counts.values() if POINTS[count.key].direction == "across"]
    judged = widths if piece.kind in SLEEVES else piece.counts.values()
    return all(count.comes == "advised" for count in widths) and all(count.fits is None for count in judged)


def _row(count: CountToKnit, tape: Tape, begun: int | None) -> RestRow:
    """A count beside the one of a begun sheet, else the one that stood there before."""
    before = count.before if begun is None else begun
    step = count.count - before if before is not None else 0
    return RestRow(
        count.key,
        point_name(count.key),
        _planned(count) if begun is None else str(begun),
        _knit(count.key, count.count),
        f"{abs(step)} {'more' if step > 0 else 'fewer'}" if step else "",
        tape.size(count.mm),
        _fits(count),
    )


def _knit(key: str, count: int) -> str:
    """ "126 st", "108 rows" """
    return counted_words("along", count) if POINTS[key].direction == "along" else f"{count} st"


def _planned(count: CountToKnit) -> str:
    """The count before: what was planned, or knitted; nothing of one that nobody had said."""
    if count.before is not None:
        return str(count.before)
    return str(count.count) if count.comes in ("advised", "as_piece") else ""


def _fits(count: CountToKnit) -> str:
    """How likely a count fits, or why that is not said."""
    if count.fits is not None:
        return chance_words(count.fits)
    return {"as_piece": "as knitted", "reckoned": "follows", "usual": "usual"}.get(count.comes, "")


def _refused(why: CannotSay) -> tuple[str, str]:
    """What cannot be knitted, and what would go."""
    first, then = unshaped_heading(why) if isinstance(why, CannotShape) else cannot_say_parts(why)
    return capital(first), then


def counts_button(kind: PieceKind) -> str:
    """ "Put the back’s counts right": where what is asked of the rest cannot hold together because of them."""
    return f"Put the {spaced(kind)}’s counts right"


TO_THE_ANSWER = "To the answer"
READ_FIRST = "Read a piece"
"""Buttons that lead to what comes before the counts."""
CHOSEN = "Kept: sheets that are not begun yet follow it."
"""Said once after the knitter chose how the rest is knitted."""
