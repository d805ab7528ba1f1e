"""What a change did to the answer: "Was: ... Now: ...", and which points have another verdict now."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.reports.shapes import Report
from fitcheck.words.figures import CM, Tape
from fitcheck.words.names import point_name
from fitcheck.words.points import changed_sentence
from fitcheck.words.recommendation import advised


@dataclass(frozen=True, slots=True)
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
    was, is_now = advised(before, tape).done, advised(after, tape).done
    stays = f"Kept ({because}). The answer stays as it was."
    if was == is_now and len(points) < 2:
        return Changed(points[0] if points else stays)
    text = stays if was == is_now else f"Was: {was} Now: {is_now}"
    counted = f"{len(points)} point{'' if len(points) == 1 else 's'} changed" if points else ""
    return Changed(text, counted, tuple(points))
