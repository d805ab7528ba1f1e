"""The one order of the steps from what is given to what to do; everything that answers takes its figures from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, fields, replace
from functools import partial
from typing import TYPE_CHECKING, Any

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.bed import sure_of_the_bed
from fitcheck.advice.decide.decision import recommend
from fitcheck.advice.decide.others import Knitted, beside
from fitcheck.advice.decide.sewn_alike import counts_as_this_piece
from fitcheck.advice.decide.situation import decision_state
from fitcheck.advice.decide.sleeves import beside_new_shoulders, sleeve_counts
from fitcheck.advice.decide.state import PIECE_TO_PIECE, ActionCode, DecisionState
from fitcheck.advice.decide.work import work_of
from fitcheck.advice.judge.doubts import Doubt, doubt_of, felted_doubt, uneven_doubt
from fitcheck.advice.judge.points import PiecePoint
from fitcheck.advice.judge.verdict import PieceVerdict
from fitcheck.advice.left import kinds_left
from fitcheck.advice.rest.bands import NOT_SWATCHED, BandStitch
from fitcheck.advice.rest.planned import planned_counts, repeat_of, size_table_of
from fitcheck.advice.rest.sizes_ahead import SizeAhead, Sizes, Stretched
from fitcheck.advice.rest.still_to_knit import Rest, still_to_knit
from fitcheck.advice.stretch import lengthened, stretched
from fitcheck.advice.target.to_come import ToCome
from fitcheck.advice.target.wanted import Targets, stage_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import REPEATED
from fitcheck.reports.asked import Answer, answered, counts_asked, points_asked, uneven_counts
from fitcheck.reports.decided import (
    PINNED,
    Decided,
    NextPiece,
    dial_again,
    next_piece,
    sizes_promised,
    sizes_to_come,
    swallowed_mm,
)
from fitcheck.reports.given import Doubts, Given, Hands, hands_of
from fitcheck.reports.judged import as_answered, explained, judged_of, knitted_beside, looks_of, pulled_doubt, smaller
from fitcheck.reports.reads import Read, read_of, seam_sizes, seam_sizes_promised, targets_of

if TYPE_CHECKING:
    from fitcheck.advice.fabric.of_make import FabricOf
    from fitcheck.advice.to_come.to_knit import Counting, PieceToKnit

Repeats = Mapping[str, tuple[int, int]]
"""Stitches of the pattern repeat, and those over, at the points that hold whole ones [1]."""
UNDOES: tuple[ActionCode, ...] = ("rip_back", "knit_again")
"""Deeds before which a count in doubt is counted in any case: afterwards nobody can (fit rule 23)."""
NO_PIECE = CannotSay("no_piece")


@frozen
class Steps:
    """The steps of one answer, in their order; each is filled once and reads only those before it.

    given    what the make names
    hands    who read it
    doubts   what is asked about, and so feeds none of the following
    coming   what a piece that is still to come must measure
    fabric   swatches and pieces together; None where this piece is all there is
    others   the same without this piece, by which it is judged once it is blocked
    targets  what the piece must measure; None without a piece
    read     its points that can be judged, or why none can
    judged   the verdict on them; None where there is none to judge
    knitted  the other pieces that are blocked and read, as their own answers have them, by their ids
    decided  what to do, or why it cannot be said
    counted  the steps as if what is doubted first were as the tape has it; None where nothing is, or that is not known
    hangs    where a reading of the piece is asked about: whether the plan is another with it than without it
    ahead    the fabric at the dial of what is knitted next: where a piece is knitted again at another, at that one
    sizes    stitch width and row height of what is knitted next; nothing before there is a verdict
    advised  what is still to knit by the advice, each count by itself; None where nothing is left
    counting  what those counts are worked out from; None where nothing is left
    to_knit  the pieces still to knit with every count that a sheet needs, as they hold together, or why none is said
    rest     what is still to knit, with the counts that it is knitted with; None where nothing is left
    """

    given: Given
    hands: Hands
    doubts: Doubts
    coming: ToCome
    fabric: FabricOf | None = None
    others: FabricOf | None = None
    targets: Targets | None = None
    read: tuple[Read, ...] | CannotSay = NO_PIECE
    judged: PieceVerdict | None = None
    knitted: Mapping[str, Knitted] = field(default_factory=dict)
    decided: Decided | CannotSay = NO_PIECE
    counted: Steps | None = None
    hangs: bool | None = None
    ahead: FabricOf | None = None
    sizes: Sizes = field(default_factory=dict)
    advised: Rest | None = None
    counting: Counting | None = None
    to_knit: tuple[PieceToKnit, ...] | CannotSay = ()
    rest: Rest | None = None

    @property
    def points(self) -> tuple[Read, ...]:
        """The points that can be judged; none where it cannot be said."""
        return () if isinstance(self.read, CannotSay) else self.read

    @property
    def measured(self) -> Mapping[str, Targets]:
        """What the piece on the table measures, by its id; nothing without one."""
        return {} if self.given.piece is None or self.targets is None else {self.given.piece.id: self.targets}

    @property
    def doubt(self) -> Doubt | None:
        """What is counted or answered before anything is decided."""
        return self.doubts.first

    @property
    def carried(self) -> bool:
        """Whether the piece is not washed and blocked yet: its lengths are carried there by the fabric."""
        return self.targets is not None and self.targets.state not in (None, "blocked")


def steps(given: Given) -> Steps:
    """Work the steps out, and what would be if a question that is open were answered.

    A count that the piece itself puts in doubt feeds neither fabric nor decision where the deed hangs on it; what was
    wanted, read and judged stays, for a piece with counts that can be judged is blocked, and is judged by the others.
    """
    swatches = tuple(question for question in given.questions if question.place.kind == "swatches")
    doubts = Doubts(counts_asked(given.make, given.questions), swatches=swatches)
    hands = hands_of(given)
    coming = _coming(given, hands, doubts)
    told = _onward(Steps(given, hands, doubts, coming), "fabric", "decided")
    if given.piece is not None and (judged := told.judged) is not None and isinstance(told.decided, Decided):
        told = _asked_before_copied(told, given.piece, judged)
        told = _doubted(told, given.piece, judged)
        told = _if_answered(told, given.piece)
    return _onward(told, "ahead", "rest")


# The steps, each from those before it


def _fabric(told: Steps) -> FabricOf | None:
    given = told.given
    beside = any(piece is not given.piece and piece.stages for piece in given.make.pieces)
    if not given.swatches and not beside:
        return None
    from fitcheck.advice.fabric.of_make import fabric_of  # only where there is a fabric: it starts faster without

    doubts = told.doubts
    return fabric_of(given.make, given.household, told.hands.tape, doubts=doubts.counts, asked=doubts.swatches)


def _others(told: Steps) -> FabricOf | None:
    piece = told.given.piece
    if told.fabric is None or piece is None or all(stage.kind != "blocked" for stage in piece.stages):
        return None
    return told.fabric.without(piece.id)


def _coming(given: Given, hands: Hands, doubts: Doubts) -> ToCome:
    piece = given.piece
    own = seam_sizes(given.make, piece, hands, doubts.asked_of(piece)) if piece is not None else (None, None)
    return ToCome(given.make, given.household, hands.tape, *own)


def _targets(told: Steps) -> Targets | None:
    piece, coming = told.given.piece, told.coming
    if piece is None:
        return None
    place = stage_of(piece)
    unwashed = place is not None and piece.stages[place].kind != "blocked"
    # The pieces to come have the sizes of this one once it is washed.
    seam = seam_sizes_promised(told.fabric) if unwashed else (coming.stitch, coming.row)
    return targets_of(told.given, piece, told.hands, told.doubts, seam)


def _read(told: Steps) -> tuple[Read, ...] | CannotSay:
    piece = told.given.piece
    return read_of(piece, told.targets, told.fabric) if piece is not None and told.targets is not None else NO_PIECE


def _judged(told: Steps) -> PieceVerdict | None:
    piece = told.given.piece
    if piece is None or not told.points:
        return None
    return judged_of(piece, told.points, told.others, carried=told.carried)


def _knitted(told: Steps) -> dict[str, Knitted]:
    return knitted_beside(told.given, told.hands, told.doubts) if told.judged is not None else {}


def _decided(told: Steps) -> Decided | CannotSay:
    if isinstance(told.read, CannotSay):
        return told.read
    if all(read.point.pinned for read in told.read):
        return PINNED
    state = _state(told)
    return Decided(state, recommend(state, told.given.make.costs))


def _state(told: Steps) -> DecisionState:
    """What the decision looks at: the verdict, what is still to be knitted, doubts that come first."""
    given, piece, points = told.given, told.given.piece, told.points
    assert piece is not None
    make, household = given.make, given.household
    doubted = told.doubt.about if told.doubt else ""
    doubt = told.doubt.code if told.doubt else None
    left = kinds_left(make, piece)
    following = next_piece(piece, told.fabric, left)
    machine = by_key(household.machines, make.machine)
    needles = machine.needles if machine is not None else None
    repeats = dict.fromkeys(REPEATED, repeat_of(make, size_table_of(make, household)))
    state = _points_decided_on(told, piece, repeats, doubted)
    to_come, sleeves_anew = _counts_to_come(told, piece, following, repeats, needles)
    return replace(
        state,
        kind=piece.piece,
        to_come=to_come,
        sleeves_anew=sleeves_anew,
        looks=max(looks_of(read.target) for read in points),
        piece_sd=following.spread,
        next_sd=following.unsure,
        spreads=following.spreads,
        next_follows=following.follows,
        shift=following.moved,
        holds=False if piece.felted else given.yarn.holds_a_stretch if given.yarn else None,
        given=stretched(piece),
        more=bool(left),
        work=work_of(make, household, piece, state.points),
        needles=needles,
        sure_of_bed=sure_of_the_bed(make),
        printed=make.size is not None and make.size_table is not None,
        outliers=points_asked(
            [read.key for read in points], make, piece, (given.garment, given.occasion), given.questions
        ),
        as_read=told.doubts.copied,
        miscount=doubted or None,
        felted=doubt == "felted",
        another_dial=doubt == "another_dial",
        out_of_shape=doubt == "out_of_shape",
    )


def _points_decided_on(told: Steps, piece: Piece, repeats: Repeats, doubted: str) -> DecisionState:
    """The points with their verdict, and the pieces beside this one.

    doubted  the point whose count is in doubt, or ""
    """
    make, household, verdict = told.given.make, told.given.household, told.judged
    assert verdict is not None
    assert told.targets is not None
    in_doubt = frozenset({key for _, key in told.doubts.asked} | {doubted})
    around = beside(
        make, household, piece, told.targets.points, knitted=told.knitted, coming=told.coming, without=in_doubt
    )
    return decision_state(
        [_counted(read, doubted) for read in told.points],
        verdict,
        targets={read.key: read.target for read in told.points},
        around=around,
        construction=CONSTRUCTIONS[make.construction],
        swallowed_mm={read.key: swallowed_mm(read.target) for read in told.points},
        repeats=repeats,
        # What is not counted first is taken to be as it was written down.
        own_sizes={} if told.doubt else verdict.explanation.own_sizes,
        carried=told.carried,
    )


def _counts_to_come(
    told: Steps, piece: Piece, following: NextPiece, repeats: Repeats, needles: int | None
) -> tuple[tuple[Alteration, ...], tuple[Alteration, ...]]:
    """Counts of the pieces to come that follow from this one, and sleeves' rows where its shoulders are knitted anew.

    needles  of the bed [1]
    """
    assert told.judged is not None
    assert told.targets is not None
    make, household, coming = told.given.make, told.given.household, told.coming
    sizes = sizes_to_come(told.judged, following)
    alike = counts_as_this_piece(
        make, household, piece, told.targets.points, {} if told.doubt else sizes, coming=coming
    )
    sleeves = sleeve_counts(make, household, piece, sizes, coming=coming, whole=repeats, needles=needles)
    return (*alike, *sleeves), beside_new_shoulders(make, household, sleeves, sizes, coming)


def _counted(read: Read, doubted: str) -> PiecePoint:
    """A point as the decision takes it: a carried one with its count, one whose count is in doubt without any."""
    count = None if read.key == doubted else read.point.count or read.count
    return read.point if count == read.point.count else replace(read.point, count=count)


def _ahead(told: Steps) -> FabricOf | None:
    known, again = told.fabric, _again(told)
    if known is None or again is None:
        return known
    return replace(known, dial=again.position(known.marks), written=again.written())


def _again(told: Steps) -> Dial | None:
    """The dial at which the advice has the piece knitted again with the planned counts."""
    if isinstance(told.decided, CannotSay) or told.decided.advice.action.code != "knit_again":
        return None
    return None if told.given.make.finished else dial_again(told.given, told.points, told.fabric)


def _sizes(told: Steps) -> Sizes:
    """Stitch width and row height of what is knitted next, and how unsure they are.

    The piece's own, moved as far as the next is expected off it, unless in doubt, or not of the washed piece, or of
    another dial than the rest's; else what the fabric promises.
    """
    if told.judged is None or told.given.piece is None:
        return {}
    following = sizes_to_come(told.judged, next_piece(told.given.piece, told.fabric))
    unsure = {way: sd for way, (_, sd) in following.items()}
    both = {**sizes_promised(told.ahead), **_expected_sizes(told)}
    return {way: SizeAhead(mm, unsure.get(way, PIECE_TO_PIECE)) for way, mm in both.items()}


def _expected_sizes(told: Steps) -> dict[CountedDirection, float]:
    """The sizes that the piece on the table tells of what is knitted next and blocked like it [mm]."""
    piece = told.given.piece
    if told.judged is None or piece is None or told.carried or told.doubt is not None or _again(told) is not None:
        return {}
    moved = next_piece(piece, told.fabric, (piece.piece,)).moved
    return {way: size.value * moved.get(way, 1.0) for way, size in told.judged.explanation.sizes.items()}


def _stretch(told: Steps) -> Stretched | None:
    """What the sizes of what is knitted next hold of a stretch of the piece on the table; None without one."""
    piece = told.given.piece
    given = lengthened(piece) if piece is not None else {}
    longer = {way: given[way] for way in _expected_sizes(told) if given.get(way, 1.0) != 1.0}
    return Stretched(piece.piece, longer) if piece is not None and longer else None


def _advised(told: Steps) -> Rest | None:
    given, piece, again = told.given, told.given.piece, _again(told)
    if isinstance(told.decided, CannotSay) or piece is None or told.judged is None:
        return None
    advice = told.decided.advice
    # What the bed is asked about stands beside the question.
    action = advice.then if advice.reason == "needles" else advice.action
    rest = still_to_knit(
        given.make,
        given.household,
        piece,
        action,
        dial=again.written() if again else None,
        sizes={way: size.mm for way, size in told.sizes.items()},
        kinds=kinds_left(given.make, piece),
        rib=_rib(given),
        stretch=_stretch(told),
    )
    return rest if rest.any else None


def _counting(told: Steps) -> Counting | None:
    given, decided = told.given, told.decided
    if told.advised is None or given.piece is None or isinstance(decided, CannotSay):
        return None
    from fitcheck.advice.to_come.to_knit import Counting  # only where something is left: it starts faster without

    coming, read = told.coming, told.measured
    blocked = given.piece.piece if decided.advice.action.code == "block_again" else None
    return Counting.of(
        given.make,
        given.household,
        told.advised,
        told.sizes,
        coming=coming,
        read=read,
        blocked=blocked,
        stretch=_stretch(told),
    )


def _to_knit(told: Steps) -> tuple[PieceToKnit, ...] | CannotSay:
    if told.advised is None or told.counting is None:
        return ()
    from fitcheck.advice.to_come.standing import or_why
    from fitcheck.advice.to_come.to_knit import pieces_to_knit

    return or_why(partial(pieces_to_knit, told.counting, told.advised), "counts for the rest")


def _rest(told: Steps) -> Rest | None:
    if told.advised is None or not told.to_knit or isinstance(told.to_knit, CannotSay):
        return told.advised
    from fitcheck.advice.to_come.counted_rest import counted_rest

    return counted_rest(told.given.make, told.given.household, told.advised, told.to_knit)


def _rib(given: Given) -> BandStitch | CannotSay:
    """The stitch of the bands that are still to come, or why nothing is known of it."""
    if not given.swatches:
        return NOT_SWATCHED
    from fitcheck.advice.fabric.rib import band_stitch  # only where something was swatched: it starts faster without

    return band_stitch(given.swatches, given.household)


ORDER: dict[str, Callable[[Steps], Any]] = {
    "fabric": _fabric,
    "others": _others,
    "targets": _targets,
    "read": _read,
    "judged": _judged,
    "knitted": _knitted,
    "decided": _decided,
    "ahead": _ahead,
    "sizes": _sizes,
    "advised": _advised,
    "counting": _counting,
    "to_knit": _to_knit,
    "rest": _rest,
}
"""The steps that are worked out, in their order."""


def _onward(told: Steps, first: str, last: str) -> Steps:
    """Work out a step and those that come after it, up to the last; those before it hold."""
    names = list(ORDER)
    known = {step.name: getattr(told, step.name) for step in fields(told)}
    for name in names[names.index(first) : names.index(last) + 1]:
        known[name] = ORDER[name](Steps(**known))
    return Steps(**known)


# What would be if a question were answered: the hands hold, and so does what is known of the fabric without the piece


def _asked_before_copied(told: Steps, piece: Piece, judged: PieceVerdict) -> Steps:
    """Whether a rib, or what is worn stretched or was read worn, is to be copied: only where the deed hangs on it.

    Nothing is asked where the piece is kept as it is, where it matches at those points, or where the plan without them
    is the same (fit rule 37).
    """
    if isinstance(told.decided, CannotSay) or told.decided.state.outliers or told.given.make.finished is not None:
        return told
    labels = {label.key: label.verdict for label in judged.points}
    off = [
        read.key
        for read in told.points
        if read.target.as_read is not None and not read.point.pinned and labels[read.key].code != "matches"
    ]
    if not off or told.decided.advice.action.code == "carry_on" or _plan(_not_copied(told, piece)) == _plan(told):
        return told

    def past(key: str) -> float:
        difference, (small, large) = labels[key].difference, labels[key].tolerance_mm
        return abs(difference) / (small if difference < 0 else large)

    asked = tuple(sorted(off, key=past, reverse=True))
    return _onward(replace(told, doubts=replace(told.doubts, copied=asked)), "decided", "decided")


def of_make(told: Steps, make: Make) -> Steps:
    """The steps with the make written down otherwise, of which nothing is worked out anew yet."""
    coming = replace(told.coming, make=make, _by_kind={})
    return replace(told, given=replace(told.given, make=make), coming=coming)


def _not_copied(told: Steps, piece: Piece) -> Steps:
    """The steps if the garment were not to be copied as it was read."""
    make = told.given.make
    make = make.model_copy(update={"fits": make.fits.model_copy(update={"as_read": False})})
    return _as_if(of_make(told, make), piece, piece)


def _doubted(told: Steps, piece: Piece, judged: PieceVerdict) -> Steps:
    """What is to be counted or answered before anything is decided: only where the deed hangs on it.

    The deed is worked out as everything was written down, and as if what is doubted were as the tape has it. A count
    in doubt feeds nothing; a plan that rests on it is no plan, and one that knows no count there forgets that those of
    the other pieces are known.
    """
    explanation = explained(piece, told.points, judged, carried=told.carried)
    uneven = uneven_counts(told.given.make, piece, told.given.questions)
    if isinstance(told.decided, CannotSay) or piece.felted:
        return told
    doubt = pulled_doubt(piece, doubt_of(explanation)) or uneven_doubt(uneven, [read.point for read in told.points])
    if told.decided.advice.then.code in UNDOES:
        doubt = _felted_doubt(told, piece, doubt)
    if doubt is None:
        return told
    counted = None
    if not told.decided.state.outliers:
        counted = _as_if_answered(told, piece, doubt)
        if counted is not None and _plan(counted) == _plan(told) and told.decided.advice.then.code not in UNDOES:
            return told
    judged_off = frozenset((piece.id, key) for key in doubt.suspects)
    told = replace(told, counted=counted, doubts=replace(told.doubts, judged=judged_off, first=doubt))
    return _onward(replace(told, fabric=_fabric(told)), "decided", "decided")


def _felted_doubt(told: Steps, piece: Piece, doubt: Doubt | None) -> Doubt | None:
    """The doubt whether the piece felted, where nobody answered that and it can be; else the other one."""
    given = told.given
    if piece.felted is not None or piece.dial is None or told.carried or (given.yarn and not given.yarn.may_felt):
        return doubt
    less = smaller(piece, told.points, told.others, planned_counts(given.make, given.household, piece.piece))
    return felted_doubt(less.by, doubt, swatched=less.swatched)


def _as_if_answered(told: Steps, piece: Piece, doubt: Doubt) -> Steps | None:
    """The steps as if what is doubted, and what is asked after it, were as the tape has it; None where none settles it.

    What was answered is asked no more, so this ends: each round answers one point, or the dial.
    """
    for _ in range(len(told.points) + 1):
        read = next((read for read in told.points if read.key == doubt.about), None)
        marked = as_answered(piece, doubt, read)
        if marked is None:
            return None
        told, piece = _as_if(told, piece, marked), marked
        if isinstance(told.decided, CannotSay) or told.judged is None:
            return None
        if piece.felted:
            return told
        still = doubt_of(explained(piece, told.points, told.judged, carried=told.carried))
        if still is None:
            return told
        doubt = still
    return None


def _if_answered(told: Steps, piece: Piece) -> Steps:
    """Whether the plan hangs on a reading that is asked about first; nothing where none is."""
    if isinstance(told.decided, CannotSay) or told.given.make.finished is not None:
        return told
    return replace(told, hangs=_hangs(told, piece)) if told.decided.advice.reason == "wild_reading" else told


def _hangs(told: Steps, piece: Piece) -> bool:
    """Whether the plan is another with what is asked about on this piece than without it."""
    plans = []
    answers: tuple[Answer, ...] = ("confirmed", "set_aside")
    for answer in answers:
        marked = answered(told.given.make, piece, told.given.questions, answer)
        plan = _plan(_as_if(told, piece, marked, _first_moved(told, piece, marked))) if marked is not None else None
        if plan is None:
            return True
        plans.append(plan)
    return plans[0] != plans[1]


def _first_moved(told: Steps, piece: Piece, marked: Piece) -> str:
    """The first step behind the fabric that other marks on the piece's readings move.

    What a blocked piece measures is read at one stage: those of another move its fabric, and what is decided by that.
    """
    wanted = told.targets
    if wanted is None or wanted.stage is None or wanted.state != "blocked":
        return "targets"
    return "decided" if marked.stages[wanted.stage] is piece.stages[wanted.stage] else "targets"


def _plan(told: Steps) -> tuple[object, ...] | None:
    """The deed and its counts, as far as two of them are told apart; None where nothing can be decided."""
    if isinstance(told.decided, CannotSay):
        return None
    advice, then = told.decided.advice, told.decided.advice.then
    # Beside a piece that is knitted again the others wait for what is read of it: that is no part of the plan yet.
    waits = then.code == "knit_again"
    counts = (
        (change.point, change.by, change.stitches)
        for change in then.alterations
        if not waits or change.by == "this_piece"
    )
    return (advice.action.code, then.code, *counts)


def _as_if(told: Steps, piece: Piece, marked: Piece, first: str = "targets") -> Steps:
    """The steps if the piece had been written down otherwise and everything about it were answered.

    first  the first step behind the fabric that this moves
    """
    given = told.given
    pieces = [marked if other is piece else other for other in given.make.pieces]
    make = given.make.model_copy(update={"pieces": pieces})
    given = replace(given, make=make, piece=marked, questions=())
    doubts = replace(told.doubts, judged=frozenset(), first=None)
    coming = _coming(given, told.hands, doubts) if first == "targets" else told.coming
    told = replace(told, given=given, doubts=doubts, coming=coming)
    return _onward(replace(told, fabric=_fabric(told)), first, "decided")
