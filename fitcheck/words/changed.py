"""What a change did to the answer: "Was: ... Now: ...", and which points have another verdict now."""

from __future__ import annotations

from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import Report
from fitcheck.words.figures import CM, Tape
from fitcheck.words.names import point_name
from fitcheck.words.phrases import count_words, listed, spaced
from fitcheck.words.points import changed_sentence
from fitcheck.words.recommendation import advised
from fitcheck.words.said import Deed, Said

MOST_COUNTS = 3
"""Counts that are told of one change; the rest of them stand in the tables."""
LONG = 3
"""Deeds from which on two lists are not told whole: a notice is no page."""


@frozen
class Changed:
    """What is told of a change: the answer, how many points changed, and each of them; one alone is the text itself."""

    text: str
    counted: str = ""
    points: tuple[str, ...] = ()


def changed(before: Report, after: Report, because: str, tape: Tape = CM) -> Changed:
    """Tell what a change did.

    because  what was changed: "third reading"
    """
    codes = {point.key: point.code for point in before.points}
    now = {point.key: point.code for point in after.points}
    points = [
        changed_sentence(codes.get(key, "not_measured"), code, f"{point_name(key)}, {because}")
        for key, code in now.items()
        if codes.get(key, "not_measured") != code
    ]
    points += [
        changed_sentence(code, "not_compared", f"{point_name(key)}, {because}")
        for key, code in codes.items()
        if key not in now
    ]
    then, at_last = advised(before, tape), advised(after, tape)
    was, is_now = then.done, at_last.done
    counts = _counts(before, after)
    stays = f"Kept ({because}). The answer stays as it was{f', its counts do not: {listed(counts)}' if counts else ''}."
    if was == is_now and len(points) < 2 and not counts:
        return Changed(points[0] if points else stays)
    text = stays if was == is_now else apart(then, at_last)
    counted = f"{len(points)} point{'' if len(points) == 1 else 's'} changed" if points else ""
    return Changed(text, counted, tuple(points))


def apart(was: Said, now: Said) -> str:
    """What two answers do; of long lists the first deed that is another, and how many more are."""
    gone, come = ([deed for deed in one.all_deeds if not _does(other, deed)] for one, other in ((was, now), (now, was)))
    long = min(len(was.all_deeds), len(now.all_deeds)) >= LONG
    if not (long and gone and come):
        return f"Was: {was.done} Now: {now.done}"
    more = max(len(gone), len(come)) - 1
    others = f" {count_words(more, 'deed')} more changed." if more else ""
    return f"Was: {gone[0].label} {gone[0].ended} Now: {come[0].label} {come[0].ended}{others}"


def _does(answer: Said, deed: Deed) -> bool:
    """Whether an answer has a deed, whatever its number is."""
    return any((other.when, other.what) == (deed.when, deed.what) for other in answer.all_deeds)


def _counts(before: Report, after: Report) -> list[str]:
    """Counts of pieces still to knit that became others: "the front's chest was 126, now 124"."""
    was = {(piece.kind, piece.other): piece for piece in before.to_knit}
    told = []
    for piece in after.to_knit:
        earlier = was.get((piece.kind, piece.other), piece)
        for key, count in piece.counts.items():
            then = earlier.count(key)
            if then is not None and then != count.count:
                told.append(f"the {spaced(piece.kind)}’s {point_name(key)} was {then}, now {count.count}")
    return told[:MOST_COUNTS]
