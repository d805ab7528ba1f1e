"""Above the underarm: what a half of a back or front does at its armhole, its neck and its shoulder, and when."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.knitting.counts import SIDE_PLAIN_MM, BodyCounts, Choices, Shaping
from fitcheck.knitting.curve import STEP_ROWS
from fitcheck.knitting.plan import SIDES, Edge, Segment, Side, other_side
from fitcheck.knitting.refusals import need
from fitcheck.knitting.shoulders import shoulder_groups, shoulder_rows
from fitcheck.knitting.sides import SideRun, side_edge
from fitcheck.knitting.writing import PartWriter, Turns, chain
from fitcheck.records.faults import Accepts, in_words
from fitcheck.records.frozen import frozen
from fitcheck.records.points import HALF_FRONTS, PieceKind
from fitcheck.records.written_sheets import Act


@frozen
class Upper:
    """The counters at which a body piece turns above its underarm, and what it does there.

    first     side of the bed that is shaped first (F); the other (O) does at the carriage one row later what F does
    armhole   shaping of each armhole
    neck      shaping of each half of the neck; None: straight across
    groups    stitches of a shoulder's groups, the outermost first
    underarm  F's first underarm cast-off, or the mark of a drop shoulder
    shaped    O's last underarm cast-off: decreases on both sides count from it
    shoulder  F's first group rests; O's one row later
    last      F's last row
    division  where the neck begins; the last row where it goes straight across
    middle    stitches of the neck that go off together at its foot, or along its straight edge
    parked    whether they go on waste yarn; else they are cast off
    raglan    whether the slanting edges go on to the neck: then no shoulder is left but a tip
    more_left  stitches that the bed's left underarm casts off more than the right one
    """

    first: Side
    armhole: Shaping
    neck: Shaping | None
    groups: tuple[int, ...]
    underarm: int
    shaped: int
    shoulder: int
    last: int
    division: int
    middle: int
    parked: bool = True
    raglan: bool = False
    more_left: int = 0

    @property
    def turns(self) -> Turns:
        """The carriage stands at F at its underarm cast-off, and opposite F when its first group rests."""
        return Turns(self.first, self.underarm if self.shaped > self.underarm else self.shoulder - 1)

    @property
    def tops(self) -> int:
        """Stitches of a shoulder, or of a raglan's tip."""
        return sum(self.groups)

    def top_name(self, side: Side) -> str:
        """Name of the group that is left at one side."""
        return f"{side}_{'tip' if self.raglan else 'shoulder'}"

    @property
    def off(self) -> int:
        """Stitches that an armhole takes."""
        return int(self.armhole.stitches)

    @property
    def decreases(self) -> tuple[int, ...]:
        """Counters of the armhole's decreases, alike on both sides."""
        return tuple([self.shaped + row for row in self.armhole.decreases])

    def at_once(self, side: Side) -> int:
        """Stitches that go off first at one underarm."""
        return int(self.armhole.at_once) + (self.more_left if side == "left" else 0)

    def late(self, side: Side) -> int:
        """How many rows later a side does what is done at the carriage."""
        return 0 if side == self.first else 1

    def end(self, side: Side) -> int:
        """The last row of a side's half, where it is finished by itself.

        Raglan edges take the same rows, so O's half ends later only where its underarm was cast off later.
        """
        alike = self.raglan and self.shaped == self.underarm
        return self.last + (0 if alike else self.late(side))

    def neck_acts(self, side: Side) -> tuple[tuple[int, Act, int], ...]:
        """(counter, act, stitches) at the neck edge of a side's half: cast-offs find the carriage there.

        A middle that is cast off goes with F's half.
        """
        if self.neck is None:
            return ()
        turns, edge, late = self.turns, other_side(self.first), self.late(side)
        acts: list[tuple[int, Act, int]] = []
        foot = self.division
        if self.middle and not self.parked:
            foot = turns.next_at(edge, self.division + 1)
            acts += [(foot, "cast_off", self.middle)] if not late else []
        if self.neck.steps:
            begin = turns.next_at(edge, foot + 1)
            acts += [(begin + late + STEP_ROWS * place, "cast_off", step) for place, step in enumerate(self.neck.steps)]
            foot = begin + STEP_ROWS * (len(self.neck.steps) - 1)
        return (*acts, *[(foot + late + row, "narrow", 1) for row in self.neck.decreases])


def upper_of(
    counts: BodyCounts,
    armhole: Shaping,
    neck: Shaping | None,
    choices: Choices,
    *,
    halves: int = 2,
    raglan: bool = False,
) -> Upper:
    """The counters of a body piece above its underarm.

    counts   of the whole width, both halves together
    halves   2, or 1 for half a front
    raglan   whether the slanting edges go on to the neck

    Errors: ShapingError where armhole rows are even, or what goes off does not go into its rows.
    """
    bound = bool(armhole.at_once or armhole.steps)
    rows = odd_rows(counts.armhole_rows, choices) if bound and counts.groups > 1 else counts.armhole_rows
    tops, odd = divmod(counts.across - counts.neck, 2)
    need(tops >= 1 and not odd, "neck", counts.neck, in_words(f"{counts.across} less two equal shoulders"))
    underarm, shoulder = counts.to_underarm, counts.to_underarm + rows
    last = shoulder + shoulder_rows(counts.groups)
    middle = counts.neck if neck is None else int(halves * neck.at_once)
    upper = Upper(
        choices.first,
        armhole,
        neck,
        shoulder_groups(tops, counts.groups),
        underarm,
        underarm + (STEP_ROWS * len(armhole.steps) + 1 if bound else 0),
        shoulder,
        last,
        last - counts.neck_rows,
        middle,
        parked=choices.neck == "parked",
        raglan=raglan,
        more_left=(counts.chest - counts.across) % 2,
    )
    need(bool(armhole.at_once) or not upper.more_left, "across", counts.across, in_words("a cast-off at the underarm"))
    taken = (upper.decreases or (upper.shaped,))[-1] - underarm
    need(taken <= rows, "armhole_rows", rows, Accepts("rows_at_least", least=taken))
    if neck is not None:
        most = last - upper.shaped - 1
        need(counts.neck_rows <= most, "neck_rows", counts.neck_rows, Accepts("rows_at_most", most=most))
        for side in SIDES:
            acts = upper.neck_acts(side)
            taken = acts[-1][0] - upper.division + 1 if acts else 0
            need(
                taken <= upper.end(side) - upper.division,
                "neck_rows",
                counts.neck_rows,
                Accepts("rows_at_least", least=taken),
            )
    return upper


def most_neck_rows(armhole_rows: int, groups: int, *, bound: bool) -> int:
    """Rows of the deepest neck: it begins a row after both underarms, and ends with the shoulders.

    groups  of each shoulder
    bound   whether the underarms are cast off, the second a row after the first

    >>> most_neck_rows(65, 5, bound=True)
    71
    """
    return armhole_rows + shoulder_rows(groups) - (2 if bound else 1)


def odd_rows(rows: int, choices: Choices) -> int:
    """Armhole rows that are odd, so that the first group rests opposite the carriage.

    Errors: ShapingError armhole_rows_even where they are even and nothing was chosen.
    """
    if rows % 2 or choices.made_odd is not None:
        return rows if rows % 2 else rows + (1 if choices.made_odd == "up" else -1)
    accepts = Accepts("armhole_rows_even", rows=(rows - 1, rows + 1))
    need(False, "armhole_rows", rows, accepts)
    return rows


def write_marks(writer: PartWriter, counts: BodyCounts, upper: Upper) -> None:
    """The rows that a tape or a seam looks for: the waist, the chest, and the underarm of a drop shoulder."""
    if counts.waist is not None:
        writer.act(counts.waist[0], "mark", "both", 0, "waist")
    if upper.underarm > body_plain(counts):
        writer.act(upper.underarm - body_plain(counts), "mark", "both", 0, "chest")
    if upper.shaped == upper.underarm:
        writer.act(upper.underarm, "mark", "both", 0, "to_underarm")


def write_underarm(writer: PartWriter, upper: Upper, side: Side) -> None:
    """The cast-offs of one underarm."""
    start = upper.underarm + upper.late(side)
    for place, stitches in enumerate((upper.at_once(side), *upper.armhole.steps)):
        if stitches:
            writer.act(start + STEP_ROWS * place, "cast_off", side, stitches)


def write_half(writer: PartWriter, upper: Upper, side: Side, *, after: int) -> None:
    """What one half does by itself after a counter: the rest of its armhole, its shoulder, and its whole neck edge.

    side   of its armhole
    after  what is done up to this counter was done before
    """
    for counter in upper.decreases:
        if counter > after:
            writer.act(counter, "narrow", side, 1)
    write_rests(writer, upper, side, after=after)
    for counter, do, stitches in upper.neck_acts(side):
        writer.act(counter, do, other_side(side), stitches)
    end = upper.end(side)
    if len(upper.groups) > 1:
        writer.act(end, "wake", "all", sum(upper.groups[:-1]))
    writer.act(end, "park", "all", upper.tops, upper.top_name(side))


def write_rests(writer: PartWriter, upper: Upper, side: Side, *, after: int = -1, until: int | None = None) -> None:
    """A shoulder's groups but the last, one every second row: those after a counter, up to another."""
    for place, group in enumerate(upper.groups[:-1]):
        counter = upper.shoulder + upper.late(side) + 2 * place
        if after < counter and (until is None or counter <= until):
            writer.act(counter, "rest", side, group)


def armhole_edge(upper: Upper, side: Side) -> Edge:
    """The chain above one underarm cast-off, up to where the shoulder's first group rests."""
    late = upper.late(side) if upper.shaped > upper.underarm else 0
    begun = upper.underarm + late + STEP_ROWS * len(upper.armhole.steps)
    every = [Segment(times, times * every) for times, every in upper.armhole.every]
    if upper.raglan:  # spread evenly, so one straight run
        every = [Segment(sum(run.stitches for run in every), sum(run.rows for run in every))]
    end = upper.end(side) - (upper.last - upper.shoulder)
    return chain(
        [
            *(Segment(step, STEP_ROWS) for step in upper.armhole.steps),
            Segment(0, upper.shaped - begun),
            *every,
            Segment(0, end - upper.shaped - sum(run.rows for run in every)),
        ]
    )


def neck_edge(upper: Upper, side: Side) -> Edge:
    """The chain of one half of a divided neck, from the middle's foot up to the shoulder."""
    assert upper.neck is not None, "a neck straight across has no halves"
    runs, counter = [], upper.division
    for at, do, stitches in upper.neck_acts(side):
        if do == "cast_off":
            runs.append(Segment(0 if stitches == upper.middle and not upper.parked else stitches, at - counter))
            counter = at
    first = min((at for at, do, _ in upper.neck_acts(side) if do == "narrow"), default=None)
    if first is not None:
        begun = first - upper.neck.decreases[0]
        runs.append(Segment(0, begun - counter))
        counter = begun + upper.neck.decreases[-1]
        runs += [Segment(times, times * every) for times, every in upper.neck.every]
    return chain([*runs, Segment(0, upper.end(side) - counter)])


def shoulder_drop(upper: Upper, side: Side) -> int:
    """Rows that the innermost needle of a shoulder has more than its outermost: one less on O where nothing divides."""
    late = upper.late(side) if upper.neck is None and len(upper.groups) > 1 else 0
    return upper.last - upper.shoulder - late


def body_levels(counts: BodyCounts) -> tuple[tuple[int, int], ...]:
    """(counter, stitches) from the cast-on up to the underarm."""
    waist = () if counts.waist is None else (counts.waist,)
    return ((0, counts.cast_on), *waist, (counts.to_underarm, counts.chest))


def body_plain(counts: BodyCounts) -> int:
    """Rows left plain below the underarm, at the most all of them."""
    above = 0 if counts.waist is None else counts.waist[0]
    return min(round(SIDE_PLAIN_MM / counts.fabric.h), counts.to_underarm - above)


def body_edges(upper: Upper, runs: Sequence[SideRun], *, only: Side | None = None) -> dict[str, Edge]:
    """The chains of a body piece, by name.

    runs  of its side
    only  the side with an armhole, of half a front: its other edge is the front's
    """
    edges: dict[str, Edge] = {"neck": (Segment(upper.middle, 0),)} if upper.middle else {}
    for side in SIDES if only is None else (only,):
        edges[f"{side}_side"] = side_edge(runs)
        if upper.armhole.at_once:
            edges[f"{side}_underarm"] = (Segment(upper.at_once(side), 0),)
        edges[f"{side}_raglan" if upper.raglan else f"{side}_armhole"] = armhole_edge(upper, side)
        if not upper.raglan:
            edges[f"{side}_shoulder"] = (Segment(upper.tops, shoulder_drop(upper, side)),)
        if upper.neck is not None:
            edges[f"{side if only is None else other_side(side)}_neck"] = neck_edge(upper, side)
    if only is not None:
        edges[f"{other_side(only)}_front"] = (Segment(0, upper.division),)
    return edges


def body_points(piece: PieceKind, counts: BodyCounts, upper: Upper) -> dict[str, tuple[int, int]]:
    """(counter, stitches in work) of each point of measure that the plan of a piece knows.

    counts  of the piece itself; half a front has no width that spans its opening
    """
    sides = 1 if piece in HALF_FRONTS else 2
    done = sum(counter <= upper.division for counter in upper.decreases)
    at_division = counts.chest - upper.more_left - sides * (upper.off - len(upper.decreases) + done)
    points = {
        "hem": (0, counts.cast_on),
        "chest": (upper.underarm - body_plain(counts), counts.chest),
        "to_underarm": (upper.underarm, counts.chest),
        "body_length": (upper.last, counts.across if upper.neck is None else upper.tops),
    }
    if counts.waist is not None:
        points["waist"] = counts.waist
    if not upper.raglan:
        points["armhole_depth"] = (upper.shoulder, counts.across)
        if sides == 2:
            points |= {"shoulder_width": (upper.shoulder, counts.across), "neck_width": (upper.last, counts.neck)}
        if len(upper.groups) > 1:
            points["shoulder_drop"] = (upper.shoulder, counts.across)
    if piece == "back":
        points["centre_back"] = (upper.division, at_division)
    if upper.neck is not None:
        points["back_neck_drop" if piece == "back" else "neck_depth"] = (upper.division, at_division)
    return points
