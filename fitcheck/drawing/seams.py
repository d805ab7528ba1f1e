"""A seam as two bars to one scale, with links between marks that meet; an edge laid out flat, as it is picked up.

Ease is seen as links that lean. Bars of a page are to one scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from fitcheck.drawing.look import PAGE, WIDTH, Look
from fitcheck.drawing.rulers import zone_sign
from fitcheck.drawing.svg import circle, drawing, n, path, text, text_width
from fitcheck.words.picked_up import PickSaid
from fitcheck.words.seams import SeamSaid

LEFT, RIGHT = 9.0, 279.0
UPPER, LOWER = 12.0, 38.0
END, NOTCH = 6.0, 7.0
"""Half the height of the end of a bar, and of a mark on it [units]."""
LOOPS_APART = 1.6
"""Picked-up loops that lie closer than this are not drawn one by one [units]."""
KEY = 8.5
"""Radius of a run's letter [units]."""
_SIGNS = {"fits": "matches", "eases": "matches", "does_not_join": "differs"}


def join_sign(seam: SeamSaid) -> str:
    """The sign of a seam's verdict: the ruler made small, its bracket what can be eased."""
    return zone_sign(_SIGNS.get(seam.code, ""), seam.ease, look=PAGE)


def pair_bar(seam: SeamSaid, longest_mm: float) -> str:
    """Both sides of a seam as bars, and what meets; nothing where a side has no length.

    longest_mm  the longest side of the page
    """
    if len(seam.edges) != 2 or not all(edge.mm for edge in seam.edges):
        return ""
    room = text_width(seam.over) + 6.0 if seam.over else 0.0
    scale = (RIGHT - LEFT - room) / longest_mm
    ends = [LEFT + scale * edge.mm for edge in seam.edges]
    marks = [(LEFT + scale * mine, LEFT + scale * theirs) for mine, theirs in seam.notches]
    links = "".join(f"M{n(a)} {n(UPPER)}L{n(b)} {n(LOWER)}" for a, b in [(LEFT, LEFT), *marks, (ends[0], ends[1])])
    parts = [path(PAGE, "s-link", links)]
    for side, (y, end) in enumerate(zip((UPPER, LOWER), ends, strict=True)):
        parts.append(path(PAGE, "s-bar", f"M{n(LEFT)} {n(y)}H{n(end)}"))
        parts.append(path(PAGE, "s-end", _ticks([LEFT, end], y, END)))
        if marks:
            parts.append(path(PAGE, "s-notch", _ticks([mark[side] for mark in marks], y, NOTCH)))
    if seam.over:
        parts.append(text(PAGE, "t-val", max(ends) + 5.0, (UPPER + LOWER) / 2 + 4.0, seam.over))
    return drawing("pairbar", WIDTH, 50.0, parts, look=PAGE)


def edge_flat(pick: PickSaid, *, look: Look = PAGE, file: bool = False) -> str:
    """The edge of a band laid out flat: its runs with their letters, and a loop for each stitch that is picked up.

    file  the text of a file of its own
    """
    whole = sum(run.mm for run in pick.runs)
    places = [LEFT + (RIGHT - LEFT) * mm / whole for mm in accumulate((run.mm for run in pick.runs), initial=0.0)]
    parts = []
    for run, start, end in zip(pick.runs, places, places[1:], strict=False):
        step = (end - start) / max(run.stitches, 1)
        parts.append(path(look, "s-bar", f"M{n(start)} 52H{n(end)}"))
        parts.append(path(look, "s-end", _ticks([start, end], 52.0, 8.0)))
        if step >= LOOPS_APART:
            loops = "".join(f"M{n(start + step * (at + 0.5))} 49V40" for at in range(run.stitches))
            parts.append(path(look, "s-loop", loops))
        middle = (start + end) / 2
        parts.append(text(look, "t-val", middle, 30.0, str(run.stitches), "middle"))
        parts.append(circle(look, "t-key", middle, 76.0, KEY))
        parts.append(text(look, "t-keyn", middle, 80.3, run.letter, "middle"))
    return drawing("edgeflat", WIDTH, 90.0, parts, label=pick.drawn, ids=f"edge-{pick.key}", look=look, file=file)


def _ticks(places: Sequence[float], y: float, half: float) -> str:
    return "".join(f"M{n(x)} {n(y - half)}V{n(y + half)}" for x in places)
