"""Seams in words: what is sewn to what, what is counted off, and whether it fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.advice.to_come.seams import Seam
from fitcheck.knitting.joins import Join, SewnEdge
from fitcheck.records.constructions import JoinKey, Part, SeamBy
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words, few, listed, spaced

_TITLES: dict[JoinKey, str] = {
    "shoulder": "Two shoulders",
    "side": "Two side seams",
    "underarm": "Two underarms",
    "armhole": "Two armholes",
    "sleeve": "Two sleeve seams",
    "panel_back": "Two panels to the back",
    "panel_front": "Two panels to the front",
    "panel_top": "Two sleeves over the panels",
    "raglan_back": "Two raglan seams at the back",
    "raglan_front": "Two raglan seams at the front",
}
_HOW: dict[SeamBy, str] = {"rows": "Row to row.", "stitches": "Stitch to stitch.", "length": "Along the seam line."}
_VERDICTS = {"fits": "fits", "eases": "eases", "does_not_join": "does not join"}


@dataclass(frozen=True, slots=True)
class EdgeSaid:
    """One side of a seam: "back and front", "23.3 + 23.7 cm", its length for a bar [mm]."""

    name: str
    measure: str
    mm: float


@dataclass(frozen=True, slots=True)
class SeamSaid:
    """One seam: its title, its two sides, the verdict, how it is sewn; notches as shares of the longer side.

    code   fits, eases, does_not_join, or cannot_say
    notches  (share along the edge, share along its partner) [0 to 1]
    """

    key: JoinKey
    title: str
    code: str
    verdict: str
    edges: tuple[EdgeSaid, ...]
    told: str
    notches: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class SeamsSaid:
    """All seams: heading, the sentence under it, and each in the order of making up."""

    head: str
    because: str
    seams: tuple[SeamSaid, ...]


def seams_said(answer: RestAnswer, tape: Tape) -> SeamsSaid:
    """Whether every edge joins, and what is sewn first."""
    if answer.why is not None:
        return SeamsSaid("No seams yet.", cannot_say_sentence(answer.why), ())
    seams = tuple(_seam(seam, tape) for seam in answer.seams)
    wrong = [seam for seam in seams if seam.code == "does_not_join"]
    unsaid = [seam for seam in seams if seam.code == "cannot_say"]
    eased = [seam for seam in seams if seam.code == "eases"]
    if wrong:
        others = len(seams) - len(wrong) - len(unsaid)
        head = f"{wrong[0].title}: {wrong[0].verdict}."
        return SeamsSaid(head, f"{capital(few(others))} others fit. Nothing is sewn before this one is settled.", seams)
    if unsaid:
        waiting = listed([seam.title.lower() for seam in unsaid])
        return SeamsSaid("What is known joins.", f"Still without an answer: {waiting}.", seams)
    told = f"Only the {listed([seam.title.lower() for seam in eased])} are eased." if eased else "Nothing is eased."
    return SeamsSaid("Every edge joins.", f"{told} Sew the {seams[0].title.lower()} first.", seams)


def _seam(seam: Seam, tape: Tape) -> SeamSaid:
    title = _TITLES[seam.key]
    if not isinstance(seam.join, Join):
        return SeamSaid(seam.key, title, "cannot_say", "cannot say", (), cannot_say_sentence(seam.join))
    join = seam.join
    sides = (_edge(seam.parts[0], join.edge, join.by, tape), _edge(seam.parts[1], join.partner, join.by, tape))
    return SeamSaid(
        seam.key,
        title,
        join.verdict,
        _verdict(join, tape),
        sides,
        " ".join(part for part in (_HOW[join.by], _unsaid(seam)) if part),
        tuple(_shares(join)),
    )


def _verdict(join: Join, tape: Tape) -> str:
    """ "fits", "eases 1.8 %", "does not join: 111 rows to 108"."""
    word = _VERDICTS[join.verdict]
    if join.verdict == "eases":
        return f"{word} {tape.number(100 * abs(join.ease), 1)} %"
    if join.verdict == "does_not_join":
        if join.by == "length":
            return f"{word}: {tape.length(join.partner.mm)} to {tape.size(join.edge.mm)}"
        mine, theirs = _counted(join.edge, join.by), _counted(join.partner, join.by)
        return f"{word}: {count_words(theirs, join.by[:-1] if join.by == 'rows' else 'stitch')} to {mine}"
    return word


def _counted(edge: SewnEdge, by: SeamBy) -> int:
    return edge.rows if by == "rows" else edge.stitches


def _edge(parts: Sequence[Part], edge: SewnEdge, by: SeamBy, tape: Tape) -> EdgeSaid:
    name = listed([spaced(part) for part in dict.fromkeys(parts)])
    length = tape.length(edge.mm)
    if by == "rows":
        return EdgeSaid(name, f"{count_words(edge.rows, 'row')}, {length}", edge.mm)
    if by == "stitches":
        return EdgeSaid(name, f"{count_words(edge.stitches, 'stitch')}, {length}", edge.mm)
    return EdgeSaid(name, length, edge.mm)


def _unsaid(seam: Seam) -> str:
    """What of the edge nobody wrote down."""
    return "The armhole is drawn as the usual curve: say how it was shaped." if seam.assumed else ""


def _shares(join: Join) -> list[tuple[float, float]]:
    """Notches as shares of their own side."""
    whole = (
        (join.edge.mm, join.partner.mm)
        if join.by == "length"
        else (float(_counted(join.edge, join.by)), float(_counted(join.partner, join.by)))
    )
    return [(mine / whole[0], theirs / whole[1]) for mine, theirs in join.notches]
