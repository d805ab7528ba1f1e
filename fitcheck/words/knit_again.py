"""The recommendation to knit a piece again: with which counts, why, and what the new one is likely to be."""

from __future__ import annotations

from fitcheck.advice.rest.pieces import RestPiece
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import ActionReport, PointReport, Report
from fitcheck.words.changes import each_new_count
from fitcheck.words.figures import Tape, chance_words
from fitcheck.words.names import direction_of, piece_kind, piece_name, point_name
from fitcheck.words.phrases import capital, count_words, counted_words, few, listed
from fitcheck.words.points import because_it_is, worst_first
from fitcheck.words.rest import rest_piece_name
from fitcheck.words.said import MOST_HEAD, Deed, heading


def knitted_again(report: Report, action: ActionReport, tape: Tape) -> list[str | Deed]:
    """What is done, as a heading; why nothing less does; counts, yarn and chance."""
    piece = piece_name(report.head)
    counts = each_new_count(report, action, tape)
    told: list[str | Deed]
    how: list[str | Deed]
    if action.dial:
        whole = f"Knit {piece} again at dial {action.dial}, with the planned counts."
        told, how = [heading(whole, f"Knit {piece} again at dial {action.dial}.")], []
    elif counts and len(whole := f"Knit {piece} again, with {counts[0]}.") <= MOST_HEAD:
        told, how = [whole], [f"It also gets {listed(counts[1:])}."] if counts[1:] else []
    else:
        told = [f"Knit {piece} again{', with other counts' if counts else ''}."]
        how = [Deed(1, "for the new one", listed(counts))] if counts else []
    if report.head.felted:
        told += [f"{capital(piece)} felted, and nothing blocks it out.", "Wash the new one cool and still."]
        return [*told, *_cast_on(report), *_waiting(report)]
    off = worst_first(point for point in report.points if point.code != "matches" and point.code != "held_at")
    if off:
        told.append(because_it_is(report, off[:1], tape, f", {_no_other_way(off[0])}"))
    elif report.points:
        told.append(f"By itself {piece} matches; beside the pieces that are knitted already it does not.")
    told += [*how, *_cast_on(report), *_waiting(report), *_as_things_stand(report)]
    if any(alteration.by == "this_piece" and alteration.count is None for alteration in action.alterations):
        told.append("Count the stitches and rows before you unravel it: afterwards nobody can.")
    if action.grams and action.grams > 0:
        told.append(f"{action.grams:.0f} g can be unravelled.")
    if action.chance is not None:
        sure = chance_words(action.chance)
        told.append(f"What {piece} taught goes into the next one: {sure} that all of it fits.")
    return told


CAST_ON = ("hem", "cuff", "panel_width")
"""Widths whose stitches are cast on."""


def _cast_on(report: Report) -> list[str]:
    """The stitches to cast on for a piece that is knitted again, where they are known and no change names them."""
    pieces = report.rest.pieces if report.rest else ()
    return [
        f"Cast on {count_words(count.now, 'stitch')}."
        for rest_piece in pieces
        if rest_piece.how in ("again", "again_at_dial")
        for count in rest_piece.counts
        if count.key in CAST_ON and count.now is not None and not count.step
    ]


MOST_COUNTS = 3
"""No more counts of a piece are named in a sentence; the others stand in the table."""


def _waiting(report: Report) -> list[str]:
    """That the new piece is read before the others are knitted, which answer to it."""
    waiting = [rest_piece_name(rest_piece) for rest_piece in _to_wait(report)]
    return [f"Read the new {piece_kind(report.head)} before you knit {listed(waiting)}."] if waiting else []


def _to_wait(report: Report) -> list[RestPiece]:
    """The pieces to come whose counts are known only once the new one is read."""
    return [rest_piece for rest_piece in report.rest.pieces if "wait" in rest_piece.notes] if report.rest else []


def _as_things_stand(report: Report) -> list[str]:
    """What the pieces to come get beside the new one as it is expected."""
    told = []
    for rest_piece in _to_wait(report):
        changed = [count for count in rest_piece.counts if count.changed and count.step and count.now is not None]
        if not changed:
            continue
        each = [
            f"{counted_words(direction_of(count.key), count.now or 0)} at the {point_name(count.key)} "
            f"instead of {count.before}"
            for count in changed[:MOST_COUNTS]
        ]
        other = len(changed) - len(each)
        each += [f"{few(other)} other {'count' if other == 1 else 'counts'}"] if other else []
        told.append(f"As things stand {rest_piece_name(rest_piece)} gets {listed(each)}.")
    return told


def _no_other_way(point: PointReport) -> str:
    """Why what is off cannot be mended elsewhere."""
    known = POINTS.get(point.key)
    make_up = known.make_up if known else None
    if make_up is None:
        return "and no other piece can give it back"
    d = point.difference.value
    limit = make_up.too_small_mm if d < 0 else make_up.too_large_mm
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    if point.measured is not None and make_up.share:
        limit = min(limit, make_up.share * abs(point.measured.value))
    if allowed is not None and abs(d) > limit + allowed:
        return "more than the rest of the sweater can make up"
    return "and mending it elsewhere would cost more in the end"
