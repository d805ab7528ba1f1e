"""What a way to go on changes on the rest of the garment, as imperatives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from types import MappingProxyType

from fitcheck.advice.alteration import MARK, Alteration, of_halves
from fitcheck.advice.left import TWINS
from fitcheck.advice.rest.nested import PARTS, above
from fitcheck.advice.rest.pieces import RestCount
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import BandEdge
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, SLEEVES
from fitcheck.reports.shapes import ActionReport, Advice, Report
from fitcheck.words.bands import band_depth, neck_band_then
from fitcheck.words.figures import Tape
from fitcheck.words.names import action_of, direction_of, other_body, other_piece, piece_name, point_name
from fitcheck.words.phrases import capital, count_words, counted_words, listed, side_word, small_first, spaced
from fitcheck.words.points import point_of, worst_first
from fitcheck.words.said import MOST_HEAD, heading


@frozen
class ChangedPart:
    """One part that changes.

    by       what answers for the misfit, as in an alteration
    saved    loss that it saves over carrying on unchanged [works of a back]
    begin    the imperative without the full stop; empty where only another piece is changed
    joint    what joins another piece to it
    other    another piece that changes, as an imperative: "knit the front"; empty where none does
    piece    that piece by itself: "the front"
    way      how that one changes: "4 rows shorter", "2 stitches wider: 116 instead of 114"
    counted  whether the way names its counts
    in_short  the imperative without what makes it too long for a heading; empty where it is short
    left      that, by itself: "120 instead of 112 at the chest, 116 instead of 108 at the hem"
    """

    by: str
    saved: float
    begin: str = ""
    joint: str = ""
    other: str = ""
    piece: str = ""
    way: str = ""
    counted: bool = False
    in_short: str = ""
    left: str = ""

    @property
    def imperative(self) -> str:
        """The whole of it, without the full stop."""
        if not self.other:
            return self.begin
        piece = f"{self.other} {self.way}"
        return f"{self.begin}{self.joint} and {piece}" if self.begin else capital(piece)


@frozen
class ChangePlan:
    """What an action changes, for the answer itself.

    deeds   where several parts change what is done, each with when: "now", "for the front", "for making up"
    now     what is done now, in one imperative; empty where nothing is
    later   what comes at the making-up, an imperative each
    how     how rows come off or go on at a lower end; empty where none do
    at_end  whether a lower end comes first, which is no carrying on
    in_short, left  what is done without what makes it too long for a heading, and that; empty where it is short
    piece   the piece that is knitted otherwise, where it is one thing: "the front"; empty where it is none
    """

    deeds: tuple[tuple[str, str], ...]
    now: str
    later: tuple[str, ...]
    how: str
    at_end: bool
    in_short: str = ""
    left: str = ""
    piece: str = ""

    @property
    def parts(self) -> tuple[str, ...]:
        """What is done, now and later."""
        return tuple(part for part in (self.now, *self.later) if part)


LOWER_ENDS: Mapping[str, BandEdge] = MappingProxyType({"hem": "hem", "cuff_band": "cuff"})
"""What answers at the lower end of this piece and of every other that ends there, with the edge of the band there."""
OF_ANOTHER_PIECE = ("other_body_piece", "twin", "side_panel", "sleeve")
"""What answers by counts of another piece that is still to come."""
MOST_IN_A_SENTENCE = 3
"""Counts of another piece; of more, a length whose part is named goes without saying."""
OF_THE_FRONT = "front_rows_and_cap"
"""What answers by rows of the other body piece and a cap drawn anew."""
MOST_COUNTED = MOST_HEAD - len("Carry on. Knit  .")
"""Characters that a piece and its way may have in a heading."""
AT_MAKING_UP = ("armhole_seam", "neck_band")
"""What answers only when the pieces are sewn together or picked up."""


def changes(report: Report, action: ActionReport, tape: Tape, *, name_points: bool = False) -> list[str]:
    """What an action changes on the rest of the garment, as imperatives without the full stop; what gains most first.

    name_points  name the point even where only one is altered: nothing else in the text does
    """
    return [part.imperative for part in _parts(report, action, tape, name_points=name_points, short=False)]


def plan(report: Report, action: ActionReport, tape: Tape) -> ChangePlan:
    """What an action changes, in short, with what is said of one piece standing together."""
    parts = _parts(report, action, tape, name_points=False, short=True)
    now = [part for part in parts if part.by not in AT_MAKING_UP]
    deeds = _deeds(parts)
    alone = len(parts) == 1 and (len(deeds) == 1 or len(parts[0].imperative) < MOST_HEAD)
    return ChangePlan(
        deeds=() if alone else deeds,
        now="; ".join(small_first(text) if place else text for place, text in enumerate(_joined(now))),
        later=tuple(part.imperative for part in parts if part.by in AT_MAKING_UP),
        how=_how_at_end(report, action, tape),
        at_end=bool(now) and now[0].by in LOWER_ENDS,
        in_short=parts[0].in_short if alone else "",
        left=parts[0].left if alone else "",
        piece=parts[0].piece if alone else "",
    )


def deeds_of(report: Report, action: ActionReport, tape: Tape) -> tuple[tuple[str, str], ...]:
    """What an action changes on the rest of the garment, each with when or for which piece; also where it is one."""
    return _deeds(_parts(report, action, tape, name_points=False, short=True))


def _deeds(parts: Sequence[ChangedPart]) -> tuple[tuple[str, str], ...]:
    """What is done, each with when; what is said of one piece stands together."""
    now = [small_first(part.begin) for part in parts if part.begin and part.by not in (*AT_MAKING_UP, OF_THE_FRONT)]
    pieces: dict[str, list[str]] = {}
    # Counts come last, so that nothing is read into them.
    for part in sorted(parts, key=lambda part: part.counted):
        if part.piece and part.by not in (OF_THE_FRONT, "like_this_piece"):
            pieces.setdefault(part.piece, []).append(part.way)
    each = {piece: [f"knit {_it(piece)} {listed(ways)}"] for piece, ways in pieces.items()}
    for part in parts:
        if part.by == OF_THE_FRONT:
            each.setdefault(part.piece, []).append(f"knit its armholes {part.way}")
            each.setdefault("the sleeves", []).append("draw the cap anew for the armholes")
        if part.by == "like_this_piece":
            each.setdefault(part.piece, []).append(f"knit {_it(part.piece)} {part.way}")
    made_up = [small_first(part.begin) for part in parts if part.begin and part.by in AT_MAKING_UP]
    deeds = [("now", "; ".join(now))] if now else []
    if len(now) > 1 and not each and not made_up and len(f"Now: {deeds[0][1]}.") > MOST_HEAD:
        deeds = [("now", what) for what in now]
    deeds += [(f"for {piece}", "; ".join(ways)) for piece, ways in each.items()]
    return (*deeds, *((("for making up", "; ".join(made_up)),) if made_up else ()))


def _it(piece: str) -> str:
    """How a piece that was named is called again: "them" for the sleeves."""
    return "them" if piece.endswith(("the sleeves", "the side panels")) else "it"


def _joined(now: Sequence[ChangedPart]) -> list[str]:
    """What is done now, an imperative each; what is said of a front's rows and of its stitches stands together."""
    body = next((part for part in now if part.by == "other_body_piece"), None)
    end = next((part for part in now if body is not None and part.begin and part.other == body.other), None)
    if body is None or end is None:
        return [part.imperative for part in now]
    end_first = now.index(end) < now.index(body)
    ways = [end.way, body.way] if end_first or body.counted else [body.way, end.way]
    piece = f"{body.other} {listed(ways)}"
    told = [end.begin, piece] if end_first else [capital(piece), end.begin]
    return told + [part.imperative for part in now if part not in (body, end)]


def _how_at_end(report: Report, action: ActionReport, tape: Tape) -> str:
    end = next((alteration for alteration in action.alterations if alteration.by in LOWER_ENDS), None)
    if end is None:
        return ""
    way, band = ("come off", "a shallower band") if end.mm < 0 else ("go on", "a deeper band")
    for known in report.rest.bands if report.rest else ():
        if known.edge == LOWER_ENDS[end.by] and known.depth_mm is not None and known.depth_mm + end.mm > 0:
            band = f"a band {tape.length(known.depth_mm + end.mm)} deep instead of {tape.length(known.depth_mm)}"
    return f"{'The rows' if end.stitches else 'Such rows'} {way} at a waste-yarn start, or {band} answers instead"


def _parts(report: Report, action: ActionReport, tape: Tape, *, name_points: bool, short: bool) -> list[ChangedPart]:
    """Every part that changes; what saves most first."""
    rest = [alteration for alteration in action.alterations if alteration.by != "this_piece"]
    parts: list[ChangedPart] = []
    for by, group in groupby(sorted(rest, key=lambda alteration: alteration.by), key=lambda alteration: alteration.by):
        altered = list(group)
        saved = max(_saved(report, action, alteration.point) for alteration in altered)
        if by == "like_this_piece":
            parts += _like_this_piece(report, by, altered, saved)
        elif by in OF_ANOTHER_PIECE:
            piece = _piece(report, by)
            parts.append(_other_piece(report, by, piece, altered, tape, saved, name_points or len(altered) > 1))
        elif by in LOWER_ENDS:
            parts.append(_lower_end(report, action, by, altered, tape, saved, short=short))
        elif by == MARK:
            # The mark moves the armhole and the length below it: said once.
            parts.append(ChangedPart(by, saved, _mark(report, altered, tape)))
        elif by == OF_THE_FRONT:
            parts += [_rows_of_the_front(report, alteration, tape, saved) for alteration in altered]
        else:
            parts += [
                _at_making_up(report, by, alteration, tape, _saved(report, action, alteration.point))
                for alteration in altered
            ]
    return [*sorted(parts, key=lambda part: -part.saved), *_sewn_to_it(report, action)]


KEPT = ("carry_on", "other_counts", "alter_hem", "block_again")
"""Ways to go on that keep every stitch of the piece above its lower end."""


def sewn_counts(report: Report, action: ActionReport) -> tuple[RestCount, ...]:
    """Widths that the other body piece gets because it is sewn to this one, and that nothing else of the plan moves.

    One stitch off a count that was planned is what its shaping takes, and goes without saying.
    """
    advice, head = report.recommendation, report.head
    if report.rest is None or not isinstance(advice, Advice) or advice.then != action.code or action.code not in KEPT:
        return ()
    return tuple(
        count
        for piece in report.rest.pieces
        if head.piece_kind in BODY and piece.how == "planned" and piece.kind == other_body(head)
        for count in piece.counts
        if count.by is None and count.like is None and abs(count.step) > 1 and POINTS[count.key].direction == "across"
    )


def _sewn_to_it(report: Report, action: ActionReport) -> list[ChangedPart]:
    """The other body piece with counts of its own where it is sewn to this one."""
    counts = sewn_counts(report, action)
    if not counts:
        return []
    each = [
        f"{count.now}{'' if place else ' stitches'} instead of {count.before} at the {point_name(count.key)}"
        for place, count in enumerate(counts)
    ]
    left, why = listed(each), f"to be sewn to {piece_name(report.head)}"
    return [_counted_otherwise("sewn_to_it", 0.0, other_piece(report.head), f"with {left}, {why}", why, left)]


def _counted_otherwise(by: str, saved: float, piece: str, way: str, short: str, left: str) -> ChangedPart:
    """A piece that is knitted with other counts.

    way  how, counts and all;  short: how, where a heading bears no more;  left: the counts that it leaves out
    """
    knit = f"knit {piece}"
    return ChangedPart(
        by, saved, other=knit, piece=piece, way=way, counted=True, in_short=f"{capital(knit)} {short}", left=left
    )


def _saved(report: Report, action: ActionReport, key: str) -> float:
    """Loss at a point that an action saves over carrying on unchanged [works of a back]."""
    point, unchanged = point_of(report, key), action_of(report, "carry_on")
    if point is None or unchanged is None:
        return 0.0
    return point.weight * (action.chances.get(key, 0.0) - unchanged.chances.get(key, 0.0))


def both_twins(report: Report) -> str:
    """The piece and the other one like it, where that is still to come: "both sleeves", "both fronts"; else ""."""
    kind = report.head.piece_kind
    twin = next((twin for own, twin in TWINS.items() if own == kind), None)
    coming = report.head.to_knit if twin == kind else [piece.kind for piece in report.to_knit]
    return ("both sleeves" if twin in SLEEVES else "both fronts") if twin in coming else ""


def _piece(report: Report, by: str) -> str:
    """The piece that is knitted otherwise: "the front", "the side panels", "the right sleeve"."""
    if by == "side_panel":
        return "the side panels"
    if by == "sleeve":
        return "the sleeves"
    if by == "twin":
        twin = next((twin for own, twin in TWINS.items() if own == report.head.piece_kind), "other one")
        return f"the {'other ' if twin == report.head.piece_kind else ''}{spaced(twin)}"
    return other_piece(report.head)


def _other_piece(
    report: Report,
    by: str,
    piece: str,
    altered: Sequence[Alteration],
    tape: Tape,
    saved: float,
    name_points: bool,
) -> ChangedPart:
    altered = sorted(altered, key=lambda alteration: -abs(alteration.mm))
    ways = {alteration.mm > 0 for alteration in altered}
    across = {direction_of(alteration.point) for alteration in altered} == {"across"}
    word = side_word("across" if across else "along", 1 if True in ways else -1, comparative=True)
    word = word if len(ways) == 1 else ""
    steps = {alteration.stitches for alteration in altered}
    one_step = steps.pop() if len(steps) == 1 else None
    counted = all(alteration.count is not None and alteration.stitches is not None for alteration in altered)
    if len(altered) > MOST_IN_A_SENTENCE:
        keys = {alteration.point for alteration in altered}
        altered = [alteration for alteration in altered if not keys & set(PARTS.get(alteration.point, ()))]
    if not counted:
        each = [_uncounted(alteration, tape, name_points) for alteration in altered]
        way, short = f"{listed(each)} than planned", f"{word or 'otherwise'} than planned"
        left = listed(each)
    else:
        # Of an open front each half has its counts, so the step of both together is no one's.
        by_step = bool(word) and one_step is not None and altered[0].halves is None
        each = [
            _new_count(alteration, _counted(alteration) if not place and not by_step else "")
            + (f" at the {point_name(alteration.point)}" if len(altered) > 1 or by in ("twin", "sleeve") else "")
            for place, alteration in enumerate(altered)
        ]
        than = "" if any(alteration.planned for alteration in altered) else f" than {piece_name(report.head)}"
        begin = _more(altered[0], one_step or 0, word) if by_step else word or "with other counts"
        short, left = f"{begin}{than}", ", ".join(each)
        way = f"{short}: {', '.join(each)}"
        if across and all(alteration.halves is None for alteration in altered):
            counts = ", ".join(f"{point_name(alteration.point)} {alteration.count}" for alteration in altered)
            short = heading(f"{short}: {counts} stitches", short, most=MOST_COUNTED - len(piece))
    return ChangedPart(
        by,
        saved,
        other=f"knit {piece}",
        piece=piece,
        way=way,
        counted=counted,
        in_short=f"Knit {piece} {short}",
        left=left,
    )


def _like_this_piece(report: Report, by: str, altered: Sequence[Alteration], saved: float) -> list[ChangedPart]:
    """The pieces that are sewn to this one, with the counts that it has; what follows from others is not named."""
    parts = []
    of_panels = [alteration for alteration in altered if alteration.point == "panel_length"]
    of_body = [alteration for alteration in altered if alteration not in of_panels]
    for piece, changed in ((other_piece(report.head), of_body), ("the side panels", of_panels)):
        keys = {alteration.point for alteration in changed}
        named = [alteration for alteration in changed if not keys & set(PARTS.get(alteration.point, ()))]
        if not named:
            continue
        above_all = all(POINTS[alteration.point].above_underarm for alteration in named)
        like = f"like {piece_name(report.head)}{' above the underarm' if above_all else ''}"
        left = listed([_count_there(alteration) for alteration in named])
        parts.append(_counted_otherwise(by, saved, piece, f"{like}: {left}", like, left))
    return parts


def _count_there(alteration: Alteration) -> str:
    """ "84 stitches at the shoulder"."""
    counted = counted_words(direction_of(alteration.point), alteration.count or 0)
    return f"{counted} at the {point_name(alteration.point)}"


def _new_count(alteration: Alteration, things: str) -> str:
    """ "124 instead of 120"; of an open front "69 stitches in each half instead of 72", as the table of counts has it.

    things  what is counted, where it is said: " stitches"
    """
    count, step, halves = alteration.count or 0, alteration.stitches or 0, alteration.halves
    if halves is None:
        return f"{count}{things}" + (f" instead of {count - step}" if alteration.planned else "")
    before = [half - own for half, own in zip(halves, of_halves(step), strict=True)]
    if halves[0] == halves[1] and before[0] == before[1]:
        in_each = f"{things} in each half" if things else ""
        return f"{halves[0]}{in_each} instead of {before[0]}"
    return f"{halves[0]}{things} left and {halves[1]} right instead of {before[0]} and {before[1]}"


def _counted(alteration: Alteration) -> str:
    return " rows" if direction_of(alteration.point) == "along" else " stitches"


def _more(alteration: Alteration, step: int, word: str) -> str:
    return f"{counted_words(direction_of(alteration.point), abs(step))} {word}"


def _uncounted(alteration: Alteration, tape: Tape, name_points: bool) -> str:
    """ "2.4 cm wider", with the share that it is where that is known: nobody counted the stitches."""
    direction = direction_of(alteration.point)
    share = f" ({percent_more(alteration, tape)})" if alteration.percent is not None else ""
    at = f" at the {point_name(alteration.point)}" if name_points else ""
    return f"{tape.amount(alteration.mm)} {side_word(direction, alteration.mm, comparative=True)}{share}{at}"


def percent_more(alteration: Alteration, tape: Tape) -> str:
    """ "12 % fewer stitches": a change where no count is known."""
    share = 0.0 if alteration.percent is None else alteration.percent
    things = "rows" if direction_of(alteration.point) == "along" else "stitches"
    return f"{tape.percent(abs(share))} {'more' if share > 0 else 'fewer'} {things}"


def _mark(report: Report, altered: Sequence[Alteration], tape: Tape) -> str:
    """ "Move the armhole mark 3.0 cm up, on the back": a shallower armhole, or a longer part below.

    Never at a knitted one; one to come that was planned with it elsewhere moves by rows of its own.
    """
    armhole = next((alteration for alteration in altered if alteration.point == "armhole_depth"), None)
    mm = -armhole.mm if armhole is not None else altered[0].mm
    where, other = piece_name(report.head), other_body(report.head)
    if other in report.head.to_knit:
        its = _step_of(report, other, "armhole_depth")
        if its is None or (armhole is not None and its == armhole.stitches):
            where = "every body piece"
        elif its:
            way = f"{count_words(abs(its), 'row')} {'up' if its < 0 else 'down'}"
            where = f"{where}, and {way} on {other_piece(report.head)}"
    return f"Move the armhole mark {tape.amount(mm)} {'up' if mm > 0 else 'down'}, on {where}"


def _step_of(report: Report, kind: str, key: str) -> int | None:
    """How many stitches or rows a piece to come has more at a point than before; None where nobody knows them."""
    counts = (
        count for piece in (report.rest.pieces if report.rest else ()) if piece.kind == kind for count in piece.counts
    )
    return next((count.step for count in counts if count.key == key and count.before is not None), None)


def _rows_of_the_front(report: Report, alteration: Alteration, tape: Tape, saved: float) -> ChangedPart:
    rows = f"{count_words(abs(alteration.stitches), 'row')} " if alteration.stitches else ""
    amount = f"{rows}({tape.amount(alteration.mm)})" if rows else tape.amount(alteration.mm)
    deeper = "deeper" if alteration.mm > 0 else "shallower"
    other = other_piece(report.head)
    begin = f"Knit the armholes of {other} {amount} {deeper}, and draw the sleeve cap anew to match"
    return ChangedPart(OF_THE_FRONT, saved, begin, piece=other, way=f"{amount} {deeper}")


def _lower_end(
    report: Report,
    action: ActionReport,
    by: str,
    altered: Sequence[Alteration],
    tape: Tape,
    saved: float,
    *,
    short: bool,
) -> ChangedPart:
    def weight(alteration: Alteration) -> float:
        known = point_of(report, alteration.point)
        return known.weight if known else 0.0

    furthest = max(altered, key=weight)
    end = "hem" if by == "hem" else "cuff"
    amount = step = tape.amount(furthest.mm)
    if furthest.stitches:
        step = count_words(abs(furthest.stitches), "row")
        amount = f"{step} ({amount})"
    knitted = "" if action.alone else _knitted_beside(report, by)
    if knitted:
        end = f"{end} of {knitted}"
    if short:
        begin, joint = f"Take {amount} off the {end}" if furthest.mm < 0 else f"Add {amount} at the {end}", ","
    else:
        act, band = ("take off", "shallower") if furthest.mm < 0 else ("add", "deeper")
        begin, joint = f"At the {end} {act} {amount}: from a waste-yarn start, or with a {band} band", ";"
    way = f"{step} {'shorter' if furthest.mm < 0 else 'longer'}"
    alike_step = _rows_alike(report, action, furthest)
    verb, piece = _alike(report, by)
    panels = _step_of(report, "side_panel", "panel_length") if report.head.piece_kind in BODY else None
    if panels and panels == alike_step:
        piece = f"{piece} and the side panels"
    elif panels and not alike_step:
        # Only the panels were planned with other rows than this piece then has.
        alike_step, verb, piece = panels, "knit", "the side panels"
    if (action.alone and not alike_step) or alike_step == 0 or (knitted and not both_twins(report) and not panels):
        # The pieces that are knitted stay as they are, and one that was planned with the rows that it then has.
        return ChangedPart(by, saved, begin)
    if alike_step is not None:
        way = f"{count_words(abs(alike_step), 'row')} {'shorter' if alike_step < 0 else 'longer'}"
    return ChangedPart(by, saved, begin, joint, f"{verb} {piece}", piece, way)


def _rows_alike(report: Report, action: ActionReport, altered: Alteration) -> int | None:
    """How many rows the piece that is still to come has more at that end than planned; None where that is not known."""
    advice = report.recommendation
    if report.rest is None or not isinstance(advice, Advice) or advice.then != action.code:
        return None
    for piece in report.rest.pieces:
        steps = {count.key: count.step for count in piece.counts if count.before is not None and count.by != MARK}
        other = piece.other or piece.kind != report.head.piece_kind
        if piece.how == "planned" and other and altered.point in steps:
            # Rows that it gets above the underarm are named there.
            return steps[altered.point] - sum(steps.get(part, 0) for part in above(altered.point))
    return None


def _knitted_beside(report: Report, by: str) -> str:
    """The pieces that end there and are knitted, where none but half a front is still to come that does; else "".

    "the front and of the back"
    """
    head = report.head
    half, twin = head.piece_kind in HALF_FRONTS, both_twins(report)
    ends_there = {*BODY, "side_panel"} - ({"front"} if half else set())
    if by != "hem" or head.piece_kind not in BODY or ends_there.intersection(head.to_knit):
        return ""
    return f"{'both fronts' if half and not twin else piece_name(head)} and of {other_piece(head)}"


def _alike(report: Report, by: str) -> tuple[str, str]:
    """Every piece that ends at an altered end is altered alike, or no seam meets: what is done, and to which."""
    kind = report.head.piece_kind
    if by == "hem" and kind == "back" and "front" in report.head.to_knit:
        return "knit", "the front"
    if by == "hem" and both_twins(report):
        return "knit", _piece(report, "twin")
    if by == "cuff_band" and kind in SLEEVES:
        return "knit", "the other sleeve"
    if kind == "side_panel" and kind in report.head.to_knit:
        return "knit", "the other side panel"
    return "make", "every other piece that ends there"


def _at_making_up(report: Report, by: str, alteration: Alteration, tape: Tape, saved: float) -> ChangedPart:
    larger = alteration.mm > 0
    if by == "armhole_seam":
        way, half = "shallower" if larger else "deeper", tape.steps(alteration.mm / 2)
        if half and 2 * half == tape.steps(alteration.mm):
            return ChangedPart(by, saved, f"Sew the armhole seams {tape.amount(alteration.mm / 2)} {way} at each side")
        # Two rounded halves would make another sum than what is said to change in all.
        whole = f"Sew the armhole seams {tape.amount(alteration.mm)} {way} in all"
        both = f"{whole}, half of it at each side"
        return ChangedPart(by, saved, both, in_short=whole, left="each armhole seam takes half of it")
    if by == "neck_band":
        # A band lies at both sides of the opening.
        depth = abs(alteration.mm) / 2
        begin = f"Make the neck band {band_depth(depth, depth, tape)} {'shallower' if larger else 'deeper'}"
        then = neck_band_then(report.rest.bands if report.rest else (), alteration.mm, tape)
        return (
            ChangedPart(by, saved, f"{begin}: {then}", in_short=begin, left=f"the neck band is then {then}")
            if then
            else ChangedPart(by, saved, begin)
        )
    way = "larger" if larger else "smaller"
    return ChangedPart(
        by, saved, f"Make the {point_name(alteration.point)} {tape.amount(alteration.mm)} {way}: {spaced(by)}"
    )


def new_counts(report: Report, action: ActionReport, tape: Tape, most: int = 3) -> str:
    """ "102 stitches at the shoulder width instead of 98", the points that are furthest off first."""
    each = each_new_count(report, action, tape, most)
    return listed(each) if each else ""


def each_new_count(report: Report, action: ActionReport, tape: Tape, most: int = 3) -> list[str]:
    """New counts of the piece itself, each by itself; of what nobody counted the share."""
    order = {point.key: place for place, point in enumerate(worst_first(report.points))}
    new = [
        alteration
        for alteration in action.alterations
        if alteration.by == "this_piece" and alteration.stitches and alteration.count is not None
    ]
    new.sort(key=lambda alteration: order.get(alteration.point, len(order)))
    each = [
        f"{_count_there(alteration)} instead of {(alteration.count or 0) - (alteration.stitches or 0)}"
        for alteration in new[:most]
    ]
    uncounted = [
        alteration
        for alteration in action.alterations
        if alteration.by == "this_piece" and alteration.count is None and alteration.percent is not None
    ]
    uncounted.sort(key=lambda alteration: order.get(alteration.point, len(order)))
    each += [
        f"{percent_more(alteration, tape)} at the {point_name(alteration.point)}"
        for alteration in uncounted[: most - len(each)]
    ]
    return each
