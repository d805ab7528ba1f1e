"""Seams in words: what is sewn to what and in which order, what is counted off, whether it fits, what makes it fit."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.to_come.making_up import ArmholeSaid, Step, StepWhen, steps_of
from fitcheck.advice.to_come.seams import JoinWay, RibSewn, Seam, SeamMark
from fitcheck.knitting.joins import Join, SewnEdge
from fitcheck.records.constructions import JoinKey, Part, SeamBy
from fitcheck.records.frozen import frozen
from fitcheck.reports.the_rest import FINISHED, RestAnswer
from fitcheck.words.cannot_say import IS_FINISHED, cannot_say_sentence
from fitcheck.words.figures import Tape
from fitcheck.words.granted import caution_sentence
from fitcheck.words.phrases import capital, count_words, few, listed, spaced
from fitcheck.words.picked_up import BANDS, PickSaid, pick_said
from fitcheck.words.ways_to_join import WaySaid, way_noun, ways_said

SEAMS: dict[JoinKey, str] = {
    "shoulder": "two shoulders",
    "side": "two side seams",
    "underarm": "two underarms",
    "armhole": "two armholes",
    "sleeve": "two sleeve seams",
    "panel_back": "two panels to the back",
    "panel_front": "two panels to the front",
    "panel_top": "two sleeves over the panels",
    "raglan_back": "two raglan seams at the back",
    "raglan_front": "two raglan seams at the front",
}
EDGES: dict[JoinKey, str] = {
    "shoulder": "The shoulders",
    "side": "The sides",
    "underarm": "The underarms",
    "armhole": "The armholes",
    "sleeve": "The sleeve’s edges",
    "panel_back": "Panels and back",
    "panel_front": "Panels and front",
    "panel_top": "Sleeves and panels",
    "raglan_back": "The raglan edges at the back",
    "raglan_front": "The raglan edges at the front",
}
_HOW: dict[SeamBy, str] = {"rows": "Row to row", "stitches": "Stitch to stitch", "length": "Along the seam line"}
_GOES_ON: dict[JoinKey, str] = {
    "side": "Goes on into the sleeve’s seam.",
    "sleeve": "In one with the side seam, from the hem to the cuff.",
}
_WHEN: dict[StepWhen, str] = {
    "one_shoulder_open": "Picked up while the left shoulder is open.",
    "one_raglan_open": "Picked up while one raglan seam at the back is open.",
    "edge_to_edge": "Picked up from one front edge to the other.",
    "after_the_neck": "Picked up from the hem up, once the neck band is on.",
    "while_flat": "Picked up while the pieces lie flat.",
}
_VERDICTS = {"fits": "fits", "eases": "eases", "does_not_join": "does not join"}


@frozen
class EdgeSaid:
    """One side of a seam: "back and front", "45.3 cm", its length for a bar [mm]."""

    name: str
    measure: str
    mm: float


@frozen
class SeamSaid:
    """One step of making up: its title, its two sides, the verdict, how it is sewn.

    code     fits, eases, does_not_join, cannot_say, or band where one is picked up
    notches  marks that meet: how far along the edge and along its partner [mm]
    over     by how much the edges differ; empty where they join
    ease     how much longer the partner is, of the edge [1]
    told     how it is sewn, or why that cannot be said; empty where the sentence above all of them says it
    band     which band it is; empty of a seam
    assumed  an edge of it was never said, and can be
    """

    title: str
    code: str
    verdict: str
    edges: tuple[EdgeSaid, ...]
    told: str
    notches: tuple[tuple[float, float], ...] = ()
    over: str = ""
    ease: float = 0.0
    band: str = ""
    assumed: bool = False

    @property
    def both(self) -> str:
        """What both its edges measure, where that is one and the same; empty where it is not."""
        measures = {edge.measure for edge in self.edges}
        return measures.pop() if len(measures) == 1 else ""


@frozen
class AskSaid:
    """How a knitted piece's armhole was shaped: asked in one line, or as it was typed.

    piece  its key;  asks: the question;  hint: what the line comes to, and one that does
    typed  what stands in the field
    told   all of it in one, where nothing can be typed
    """

    piece: str
    asks: str
    hint: str
    typed: str
    told: str


@frozen
class SeamsSaid:
    """All of making up: heading, the sentence under it, and each step in its order.

    key    what bars, ticks and signs of its drawings mean
    picks  what each band is picked up from
    ways   what makes the first seam join that does not
    asks   how the armholes of knitted pieces were shaped
    mind   cautions that stand open beside them
    """

    head: str
    because: str
    seams: tuple[SeamSaid, ...]
    key: str = ""
    picks: tuple[PickSaid, ...] = ()
    ways: tuple[WaySaid, ...] = ()
    asks: tuple[AskSaid, ...] = ()
    mind: tuple[str, ...] = ()


def seams_said(answer: RestAnswer, tape: Tape) -> SeamsSaid:
    """Whether every edge joins, what is sewn first, and which bands are picked up on the way."""
    if answer.why == FINISHED:
        return SeamsSaid("Everything is sewn.", IS_FINISHED, ())
    if not answer.seams:
        return SeamsSaid("No seams yet.", cannot_say_sentence(answer.why) if answer.why is not None else "", ())
    steps = steps_of(answer.seams, answer.bands)
    head, because = _heading(answer, steps, tape)
    wrong = [seam for seam in answer.seams if _does_not_join(seam)]
    return SeamsSaid(
        head,
        because,
        tuple(_step(step, answer, tape) for step in steps),
        _key([seam.join for seam in answer.seams if isinstance(seam.join, Join)], tape),
        tuple(pick_said(band, tape) for band in answer.bands),
        tuple(ways_said(wrong[0], tape)) if wrong else (),
        tuple(_asked(armhole) for armhole in answer.armholes),
        tuple(map(caution_sentence, answer.cautions)),
    )


def _does_not_join(seam: Seam) -> bool:
    return isinstance(seam.join, Join) and seam.join.verdict == "does_not_join"


def _heading(answer: RestAnswer, steps: Sequence[Step], tape: Tape) -> tuple[str, str]:
    """What does not join; else what waits for an answer; else what is sewn first, and what is eased."""
    known = [(seam, seam.join) for seam in answer.seams if isinstance(seam.join, Join)]
    wrong = [(seam, join) for seam, join in known if join.verdict == "does_not_join"]
    if wrong:
        others = len(known) - len(wrong)
        fit = f"The other {few(others)} {'fits' if others == 1 else 'fit'}. " if others else ""
        seam, join = wrong[0]
        return (
            f"{EDGES[seam.key]} do not join: {_against(join, tape)}.",
            f"{fit}Nothing is sewn before that is settled.",
        )
    unsaid = [seam for seam in answer.seams if not isinstance(seam.join, Join)]
    if unsaid and not known:
        return "No seams yet.", _said_above(answer) or "None of its edges has an answer yet."
    if unsaid:
        waiting = f"Still without an answer: {listed([SEAMS[seam.key] for seam in unsaid])}."
        return "What is known joins.", f"{waiting} {_said_above(answer)}".rstrip()
    first = "right shoulder" if steps[0].side == "right" else SEAMS[answer.seams[0].key]
    seams = count_words(sum(step.times for step in steps), "seam")
    steps_words = listed([seams, *(BANDS[band.edge] for band in answer.bands)])
    return f"Every edge joins. Sew the {first} first.", f"{steps_words}. {_eased(known, tape)}"


def _said_above(answer: RestAnswer) -> str:
    """Why some edges have no answer, where it is the same for all of them: said once, above them; empty otherwise."""
    reasons = {cannot_say_sentence(seam.join) for seam in answer.seams if not isinstance(seam.join, Join)}
    return reasons.pop() if len(reasons) == 1 else ""


def _eased(known: Sequence[tuple[Seam, Join]], tape: Tape) -> str:
    """ "Only the cap is eased: 2.2 % longer than its armhole, and up to 5 % goes in." """
    eased = [(seam, join) for seam, join in known if join.verdict == "eases"]
    if not eased:
        return "Nothing is eased."
    if len(eased) > 1:
        return f"The {listed([SEAMS[seam.key] for seam, _ in eased])} are eased."
    seam, join = eased[0]
    most = max(abs(limit) for limit in join.allowed)
    more = f"{tape.number(100 * abs(join.ease), 1)} % {'longer' if join.ease > 0 else 'shorter'}"
    limit = f"and up to {tape.percent(100 * most)} goes in"
    partner, edge = (_together(parts) for parts in reversed(seam.parts))
    if seam.key == "armhole":
        return f"Only the sleeve is eased: {more} than its armhole, {limit}."
    return f"Only the {partner} is eased: {more} than the {edge}, {limit}."


def _key(joins: Sequence[Join], tape: Tape) -> str:
    """What the drawings mean, with what each way of sewing takes up: "5 % along the seam line, 2 % row to row"."""
    most: dict[SeamBy, float] = {}
    for join in joins:
        if join.by != "stitches":
            most[join.by] = max(most.get(join.by, 0.0), *(abs(limit) for limit in join.allowed))
    eased = [f"{tape.percent(100 * share)} {_HOW[by].lower()}" for by, share in most.items() if share]
    key = "Bars are the seam lines, one stitch in, all to one scale; ticks are the marks that meet."
    return f"{key} The sign brackets what can be eased: {listed(eased)}." if eased else key


def _step(step: Step, answer: RestAnswer, tape: Tape) -> SeamSaid:
    if step.seam is not None:
        return _seam(step, step.seam, answer, tape)
    assert step.band is not None
    pick, when = pick_said(step.band, tape), _WHEN[step.when]
    if pick.why:
        told = when if pick.why == _said_above(answer) else f"{when} {pick.why}"
        return SeamSaid(pick.title, "cannot_say", "cannot say", (), told, band=pick.key)
    edges = (EdgeSaid(pick.edge_name, pick.edge, 0.0), EdgeSaid("band", pick.band, 0.0))
    return SeamSaid(pick.title, "band", "picked up", edges, when, band=pick.key)


def _title(step: Step, seam: Seam) -> str:
    if step.side == "right":
        return "Right shoulder"
    return "Left shoulder and the band’s ends" if step.side == "left" else capital(SEAMS[seam.key])


def _seam(step: Step, seam: Seam, answer: RestAnswer, tape: Tape) -> SeamSaid:
    title = _title(step, seam)
    if not isinstance(seam.join, Join):
        told = "" if _said_above(answer) else cannot_say_sentence(seam.join)
        return SeamSaid(title, "cannot_say", "cannot say", (), told)
    join, by = seam.join, seam.join.by
    names = ("one edge", "the other") if seam.key == "sleeve" else tuple(_together(parts) for parts in seam.parts)
    sides = (
        _edge(names[0], join.edge, by, seam.ribs[0], tape),
        _edge(names[1], join.partner, by, seam.ribs[1], tape),
    )
    return SeamSaid(
        title,
        join.verdict,
        _verdict(join, tape),
        sides,
        _told(step, seam, join, answer, tape),
        tuple(_notches(seam, join)),
        _over(join, tape) if join.verdict == "does_not_join" else "",
        join.ease,
        assumed=seam.assumed and bool(answer.armholes),
    )


def _told(step: Step, seam: Seam, join: Join, answer: RestAnswer, tape: Tape) -> str:
    """How it is sewn, which marks meet, how its edge is known, and by how much it does not join."""
    if step.side == "left":
        return "As the right one; the ends of the neck band go with it."
    if join.verdict == "does_not_join":
        most = max(abs(limit) for limit in join.allowed)
        eased = f"up to {tape.percent(100 * most)} can be eased" if most else "it is joined one to one"
        return f"{capital(_over(join, tape))} more on one side, {tape.number(100 * abs(join.ease), 1)} %; {eased}."
    how = _HOW[join.by]
    if join.by == "stitches" and join.verdict == "eases":
        how += f", with {_over(join, tape)} of the longer side taken along"
    marks = _meeting(seam, by_rows=join.by == "rows")
    parts = [f"{how}; {marks}." if marks else f"{how}."]
    if _GOES_ON.keys() <= {other.key for other in answer.seams}:  # between panels no side is sewn to go on from
        parts.append(_GOES_ON.get(seam.key, ""))
    if seam.key == "armhole":
        parts.append(_shaped(seam, answer.armholes))
    return " ".join(part for part in parts if part)


def _meeting(seam: Seam, *, by_rows: bool) -> str:
    """ "the marks at 40 and 80 meet", "row 142 of the back meets 143 of the sleeve" """
    if not seam.marks:
        return ""
    if by_rows and all(mark.counter == mark.meets for mark in seam.marks):
        at = listed([str(mark.counter) for mark in seam.marks])
        return f"the marks at {at} meet" if len(seam.marks) > 1 else f"the marks at row {at} meet"
    if by_rows:
        return listed([f"row {mark.counter} meets row {mark.meets}" for mark in seam.marks])
    edges: dict[tuple[Part, int], list[SeamMark]] = {}
    for mark in seam.marks:
        edges.setdefault((mark.partner, mark.meets), []).append(mark)
    told = [f"{_rows(marks)} {meets} of the {spaced(part)}" for (part, meets), marks in edges.items()]
    return f"{listed(told)}, the shoulder the middle of its top"


def _rows(marks: Sequence[SeamMark]) -> str:
    """ "row 138 of back and front meets", "rows 142 of the back and 140 of the front meet" """
    if len(marks) > 1 and len({mark.counter for mark in marks}) == 1:
        return f"row {marks[0].counter} of {listed([spaced(mark.part) for mark in marks])} meets"
    each = listed([f"{mark.counter} of the {spaced(mark.part)}" for mark in marks])
    return f"rows {each} meet" if len(marks) > 1 else f"row {each} meets"


def _shaped(seam: Seam, armholes: Sequence[ArmholeSaid]) -> str:
    """How the armholes of what is knitted are known."""
    if seam.assumed:
        return "How the armhole was shaped is assumed: the usual curve."
    typed = [f"{armhole.line} at the {spaced(armhole.piece)}" for armhole in armholes if armhole.typed]
    return f"Shaped as written down: {listed(typed)}." if typed else ""


def _verdict(join: Join, tape: Tape) -> str:
    """ "fits", "eases 1.8 %", "does not join: 111 rows to 108"."""
    word = _VERDICTS[join.verdict]
    if join.verdict == "eases":
        return f"{word} {tape.number(100 * abs(join.ease), 1)} %"
    return f"{word}: {_against(join, tape)}" if join.verdict == "does_not_join" else word


def _against(join: Join, tape: Tape) -> str:
    """The longer edge against the other: "111 rows to 108"."""
    one, other = sorted((join.edge, join.partner), key=lambda edge: _counted(edge, join.by), reverse=True)
    if join.by == "length":
        return f"{tape.length(one.mm)} to {tape.size(other.mm)}"
    return f"{count_words(round(_counted(one, join.by)), _NOUNS[join.by])} to {round(_counted(other, join.by))}"


_NOUNS: dict[SeamBy, str] = {"rows": "row", "stitches": "stitch"}


def _over(join: Join, tape: Tape) -> str:
    """By how much the edges differ: "3 rows", "1.2 cm"."""
    apart = abs(_counted(join.edge, join.by) - _counted(join.partner, join.by))
    return tape.length(apart) if join.by == "length" else count_words(round(apart), _NOUNS[join.by])


def _counted(edge: SewnEdge, by: SeamBy) -> float:
    return edge.mm if by == "length" else edge.rows if by == "rows" else edge.stitches


def _together(parts: Sequence[Part]) -> str:
    return listed([spaced(part) for part in dict.fromkeys(parts)])


def _edge(name: str, edge: SewnEdge, by: SeamBy, rib: RibSewn | None, tape: Tape) -> EdgeSaid:
    mm = edge.mm + (rib.mm if rib is not None else 0.0)
    length = tape.length(mm)
    if by == "length":
        return EdgeSaid(name, length, mm)
    count = count_words(round(_counted(edge, by)), _NOUNS[by])
    if rib is not None:
        below = f"{rib.rows} rows" if rib.rows is not None else tape.length(rib.mm)
        count = f"{below} of rib + {count}"
    return EdgeSaid(name, f"{count}, {length}", mm)


def _notches(seam: Seam, join: Join) -> list[tuple[float, float]]:
    """Marks along both sides [mm]: where the rib ends and the marked rows; of a length its equal shares."""
    if join.by == "stitches":
        return []
    if join.by == "length":
        return list(join.notches)
    ribs = [rib.mm if rib is not None else 0.0 for rib in seam.ribs]
    rows = [(mark.row, mark.meets_row) for mark in seam.marks]
    per = join.edge.mm / join.edge.rows, join.partner.mm / join.partner.rows
    marks = [(0, 0), *rows] if all(ribs) else rows
    return [(ribs[0] + mine * per[0], ribs[1] + theirs * per[1]) for mine, theirs in marks]


def _asked(armhole: ArmholeSaid) -> AskSaid:
    """The question about an armhole, with what its line must come to."""
    name = spaced(armhole.piece)
    off = f"{count_words(armhole.stitches, 'stitch')} go off at each side"
    if armhole.typed:
        asks = f"The armhole of the {name} was shaped"
        return AskSaid(armhole.id, asks, f"{off}.", armhole.line, f"{asks}: {armhole.line}; {off}.")
    asks = f"How was the armhole of the {name} shaped?"
    if armhole.refused:
        hint = f"{off}; this line takes another number, so the usual curve is drawn until they agree."
        return AskSaid(armhole.id, asks, hint, armhole.refused, f"{asks} {armhole.refused}: {hint}")
    hint = f"In one line, such as: {armhole.line or A_LINE}. {off}."
    return AskSaid(armhole.id, asks, hint, "", f"{asks} {hint}")


A_LINE = "5 at once, then 2 every row, 6 every 2nd"


def other_count(typed: int, counted: int) -> str:
    """Said beside a line that takes off another number of stitches than the counts say."""
    return f"A line that takes off {counted} stitches at each side, as its counts say; this one takes off {typed}."


SHAPED = "The armhole is drawn as you typed it."
"""Said once after a shaping was typed."""
UNSHAPED = "The armhole is assumed again."
"""Said once after a shaping was taken away."""


JOINS_OTHERWISE = "These edges are others now. Look at them once more."
"""Said where a way is taken that is not offered any more."""


def way_taken(way: JoinWay) -> str:
    """Said once after a way was taken."""
    return f"The {spaced(way.piece)} has {count_words(way.count, way_noun(way))} now."
