"""The shapes of the answer: frozen dataclasses of codes and numbers; ``fitcheck.words`` has the sentences."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.rest.right_sweater import RightSweater
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.rest.taking import CountToTake, TakenCount
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.constructions import USUAL, ConstructionKey
from fitcheck.records.frozen import frozen
from fitcheck.records.points import PieceKind
from fitcheck.records.questions.question import Question

if TYPE_CHECKING:
    from fitcheck.advice.fabric.shapes import ChangeReport, DialReport, FabricAnswer
    from fitcheck.advice.rest.programme import Demand
    from fitcheck.advice.sizes.answers import FirstPiece, SizesAnswer
    from fitcheck.advice.to_come.seams import Seam
    from fitcheck.advice.to_come.to_knit import PieceToKnit
    from fitcheck.advice.to_come.yarn_left import YarnLeft

SCHEMA = "fitcheck-report/5"
"""Name and version of the report's shape."""
NO_ANSWER = CannotSay("no_counts", of="answer")
"""Nothing can be said of the rest before there is an answer about a piece."""


@frozen
class Head:
    """What the report is about: make, piece, stage, and how much was read.

    reference  name of the garment that it must fit, or None
    readings  readings of the piece that count;  looks  rounds of them that were judged
    read_on   latest date or time of a reading or stage, as ISO text, or None
    carried   the piece is not washed and blocked yet: its lengths are carried there by the fabric
    to_knit   kinds of pieces that are still to be knitted
    finished  day on which the make was finished, as ISO text, or None
    construction  of the make
    felted    the piece felted or shrank in the wash: it tells nothing of the fabric
    """

    make: str
    make_name: str
    wearer: str | None
    reference: str | None
    piece: str | None
    piece_kind: str | None
    stage: str | None
    readings: int
    looks: int
    read_on: str | None
    invented: bool
    carried: bool = False
    to_knit: tuple[str, ...] = ()
    finished: str | None = None
    construction: ConstructionKey = USUAL
    felted: bool = False


@frozen
class ActionReport:
    """One way to go on.

    cost, expected_loss  [works of a back]
    chance               that every point that was read fits, in the finished garment [1]
    chances              the same per point
    grams                yarn that it unravels; else what is still to be knitted takes more (+) or less (-) than
                         planned [g]; None where no piece was weighed
    impossible           why it is not on offer
    dial                 knitted again at this setting with the planned counts; None = as this piece was knitted
    rip, row             how far it is ripped out (armhole, neck, sleeve_underarm), and the row counter there if known
    left_mm              what the sewn garment is expected to keep of each misfit, per point [mm]
    alone                what comes off or goes on at its lower end does so at this piece alone, beside knitted ones
    """

    code: str
    cost: float
    expected_loss: float | None
    chance: float | None
    chances: dict[str, float]
    alterations: tuple[Alteration, ...]
    stretch_direction: str | None
    stretch_percent: float | None
    grams: float | None
    impossible: CannotSay | None
    dial: str | None = None
    rip: str | None = None
    row: int | None = None
    alone: bool = False
    left_mm: dict[str, float] = field(default_factory=dict)


@frozen
class OutcomeReport:
    """What a round leads to where it finds the point that it is about between two differences [mm]; None = no end."""

    low_mm: float | None
    high_mm: float | None
    action: str


@frozen
class Unshaped:
    """A body piece to come that cannot be knitted as it is counted, and why.

    why       what of its shaping does not go; None where its widths do not hold together
    conflict  what cannot hold together then
    """

    kind: PieceKind
    why: CannotShape | None
    conflict: tuple[Demand, ...] = ()


@frozen
class Advice:
    """The recommendation.

    then           what the plan is if nothing more is measured
    about          point that the reason is about
    side           which side to read again: piece or reference
    readings       how many further readings
    value_of_measuring  what perfect tape would save [works of a back]
    deciding       points whose possible truths lead to different advice
    hangs          where something typed is questioned: whether the plan is another with it than without it
    instead        where a count is doubted: the count that the tape stands for, which goes with the plan
    dial           where the dial is doubted: the setting that the tape stands for, which goes with the plan
    as_read        where it is asked whether the garment is copied as it was read: why, rib, stretched or worn
    pulled_percent  where the piece lies out of shape: how much longer, and as much narrower, than at rest [%]
    smaller_percent  where it may have felted: by how much it is smaller both across and along [%]
    round          points that a whole round reads, where it is asked for or is worth its while
    outcomes       what each outcome at the point that the round is about leads to, from the smallest difference on
    on_bed         where it is asked how many needles the bed has: the most stitches that must lie on it
    sweater        work of knitting the whole sweater [works of a back]
    """

    action: str
    then: str
    reason: str
    about: str | None
    side: str | None
    readings: int | None
    value_of_measuring: float
    deciding: tuple[str, ...]
    hangs: bool | None = None
    instead: int | None = None
    dial: str | None = None
    as_read: str | None = None
    pulled_percent: float | None = None
    smaller_percent: float | None = None
    round: tuple[str, ...] = ()
    outcomes: tuple[OutcomeReport, ...] = ()
    on_bed: int | None = None
    sweater: float | None = None


@frozen
class PointReport:
    """One point of measure of the piece. Lengths [mm] on the piece, seam stitches included, bands to come not.

    wanted, measured  None where only an overhang was read; measured is what the readings and the counts of the
                      whole piece say together
    read              what the tape alone says, mean of the readings
    difference        piece minus wanted; its interval is the one that the label used
    code              matches | differs | too_close | on_the_line | held_at
    alone             the label from this point's own readings only
    reason, side, readings_needed
                      why it is too close, which side to read again, how many further readings settle it
    source            where the wanted figure comes from: garment, numbers, ease, overhang
    garment_mm        the garment's own flat figure that it was made from [mm]
    decides           whether its possible truths lead to different advice
    overhang          piece minus garment as it was read, the piece laid on the garment [mm], + = the piece is larger
    swallowed_mm      what the seams at its ends swallow, stitches or rows [mm]
    carried           its length is reckoned from a piece that is not washed and blocked yet
    beside            pieces that share the measure and are knitted: what each lacks there and this one would make up,
                      - = it has over [mm]
    """

    key: str
    name: str
    direction: str
    flat: bool
    wanted: Quantity | None
    measured: Quantity | None
    read: Quantity | None
    difference: Quantity
    allowed_smaller_mm: float | None
    allowed_larger_mm: float | None
    code: str
    alone: str
    reason: str | None
    side: str | None
    readings_needed: int | None
    chance_within: float
    count: int | None
    readings: int
    reference_readings: int
    source: str
    garment_mm: float | None
    decides: bool
    weight: float
    overhang: Quantity | None = None
    swallowed_mm: float = 0.0
    carried: bool = False
    beside: dict[str, float] = field(default_factory=dict)


@frozen
class DirectionReport:
    """What explains one direction: code, the doubted point, and how many stitches or rows it may be off.

    points   the points that the explanation moves: those of a zone, all after a wrong cast-on, those after a step
    percent  step of the second gauge, or how far it is pulled longer [%]
    dial     where the dial would have stood
    """

    direction: str
    code: str
    point: str | None
    stitches: int | None
    stitches_low: int | None
    stitches_high: int | None
    percent: float | None
    size: Quantity | None
    weights: dict[str, float]
    points: tuple[str, ...] = ()
    dial: str | None = None


@frozen
class ExplanationReport:
    """What explains the differences: the leading code and each direction."""

    code: str
    direction: str | None
    point: str | None
    directions: tuple[DirectionReport, ...]


@frozen
class GaugeReport:
    """Gauge at one stage: size of a stitch or row [mm], and stitches or rows per 10 cm and per 4 in."""

    of: str
    stage: str
    direction: str
    size: Quantity
    per_10cm: Quantity
    per_4in: Quantity


@frozen
class EaseReport:
    """Ease at a point: garment minus body, round where the body is round [mm], and its class at the chest."""

    key: str
    ease: Quantity
    ease_class: str | None


@frozen
class Help:
    """What would help most. point and side where it is about readings; readings: how many."""

    code: str
    point: str | None = None
    side: str | None = None
    readings: int | None = None


@frozen
class NewerMeasuring:
    """A measuring of the garment after the one that the make is pinned to.

    garment, occasion  their keys
    on, pinned_on      days of the newer and of the pinned one, as ISO text, or None
    unread             points of the pinned one that were not read at the newer one
    """

    garment: str
    occasion: str
    on: str | None
    pinned_on: str | None
    unread: tuple[str, ...] = ()


@frozen
class Report:
    """The whole answer about one make.

    schema          name and version of this shape
    digest          SHA-256 of the records that it is a function of
    recommendation  the advice, or why none can be given
    actions         every way to go on, in a fixed order
    points          the points that were read, in the catalogue's order
    refused         points that could not be compared, with the reason
    explanation     what explains the differences
    gauge           per stage and direction
    assumed         what was taken for granted
    helps           what would help most, most useful first
    questions       values that are unlikely and were not confirmed
    cautions        codes of the usual cautions that apply
    fabric          gauge at every stage, change in finishing, dial and next swatch; None without a swatch
    sizes           which size's numbers; None without a size table
    first           what to knit first; None once a piece is there
    rest            what is still to knit by the advice, with its counts; None where nothing is
    to_knit         the same pieces with every count that a sheet needs
    unshaped        body pieces to come that cannot be knitted as they are counted
    joins           the edges that are sewn together, in the order of making up
    yarn            whether the yarn lasts for the rest, or why that cannot be said
    to_take         counts of the rest that the advice changes and that are not the planned ones yet
    taken           counts that the advice gave and that are the planned ones now
    newer           the garment was measured again since the make was pinned; None where it was not
    right_sweater   the piece is far from the garment at every point: is it the right one?; None where it is not asked
    """

    schema: str
    digest: str
    head: Head
    recommendation: Advice | CannotSay
    actions: tuple[ActionReport, ...]
    points: tuple[PointReport, ...]
    refused: dict[str, CannotSay]
    explanation: ExplanationReport | CannotSay
    gauge: tuple[GaugeReport, ...]
    ease: tuple[EaseReport, ...]
    assumed: tuple[Assumed, ...]
    helps: tuple[Help, ...]
    questions: tuple[Question, ...]
    cautions: tuple[str, ...]
    fabric: FabricAnswer | None = None
    sizes: SizesAnswer | None = None
    first: FirstPiece | None = None
    rest: Rest | None = None
    to_take: tuple[CountToTake, ...] = ()
    taken: tuple[TakenCount, ...] = ()
    newer: NewerMeasuring | None = None
    right_sweater: RightSweater | None = None
    to_knit: tuple[PieceToKnit, ...] = ()
    unshaped: tuple[Unshaped, ...] = ()
    joins: tuple[Seam, ...] = ()
    yarn: YarnLeft | CannotSay = NO_ANSWER

    @property
    def change(self) -> tuple[ChangeReport, ...]:
        """Change in finishing from each stage, of the next piece; empty without swatches."""
        return self.fabric.change if self.fabric else ()

    @property
    def dial(self) -> DialReport | CannotSay:
        """Which dial; cannot be said without swatches."""
        return self.fabric.dials if self.fabric else CannotSay("no_swatch")
