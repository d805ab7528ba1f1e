"""What was taken for granted, what would help most, and the usual cautions."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.estimates.numbers import Assumed
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import Head, Help, PointReport, Report
from fitcheck.words.figures import CM, Tape
from fitcheck.words.names import piece_name, point_name, point_of_its_piece, reference_name
from fitcheck.words.phrases import capital, sentence, spaced, times_words
from fitcheck.words.points import MANY_READINGS, of_one_laying

CAUTIONS = {
    "felting": "Wool felts with heat and agitation: wash it cool and keep it still.",
    "steam_acrylic": "Steam ruins acrylic: no iron, no steamer.",
    "steamed_acrylic": "This piece was steamed, and steam ruins acrylic: if it hangs limp or shines, it stays so; "
    "steam no other piece.",
    "care_label": "Follow the care label of the yarn.",
    "wash_alike": "Wash the garment the way the swatches and this piece were washed.",
    "children": "Children's wear: keep the local rules on cords and buttons; the neck must pass the head.",
    "small_sample": "A swatch is a small sample; a whole piece may come out a little differently.",
    "costs_taken_over": "Costs that an older file had set were taken over; costs.before holds what they were.",
    "advice_only": "Advice from a tape, not a promise.",
    "count_at_that_row": "Count the stitches 2.5 cm (1 in) below the underarm, not at the widest row.",
    "neck_for_head": "The neck that is wanted would hardly let the head through, stretched as far as it goes: is its "
    "width from seam to seam, or inside the band?",
    "wish_beside_figure": "A wish beside a plain number does not count: the number is what is wanted.",
}


OF_A_STITCH = ("row_height", "stitch_size_from_piece")
"""Assumptions that are the size of a stitch or row."""


def assumed_sentence(
    assumed: Assumed, tape: Tape = CM, *, head: Head | None = None, points: Sequence[PointReport] = ()
) -> str:
    """Something taken for granted, with its figure and what it costs in certainty.

    head    the report's, for the names of piece, garment and wearer
    points  the report's, to tell a body that was read from a garment
    """
    told = _taken(assumed, tape, head, points)
    # A share of 1 is what the whole doubt comes from; there is nothing to weigh it against.
    if 0.005 <= assumed.share < 0.995:
        told += f" Up to {max(1, round(100 * assumed.share))} % of the doubt at a point comes from this."
    return told


def _of_a_person(about: str, head: Head, points: Sequence[PointReport]) -> bool:
    """Whether readings that are not the piece's were taken on a body: no garment, or ease at every such point."""
    if about == head.piece:
        return False
    read = [point for point in points if point.reference_readings]
    return not head.reference or bool(read and all(point.source == "ease" for point in read))


def _one_laying_words(about: str, at: str, head: Head | None, points: Sequence[PointReport]) -> str:
    if about not in POINTS and head is not None:
        if _of_a_person(about, head, points):
            whose = f" of {head.wearer}" if head.wearer else ""
            return f"The body measures{whose} were read once, in one go: nobody said that the tape was laid anew."
        if about:
            at = f" of {piece_name(head) if about == head.piece else reference_name(head)}"
    return f"The readings{at} are all of one laying: nobody said that it was lifted between them."


def _taken(assumed: Assumed, tape: Tape, head: Head | None, points: Sequence[PointReport]) -> str:
    about = assumed.about
    at = f" at the {point_name(about)}" if about in POINTS else ""
    size = _assumed_figure(assumed, tape)
    share = _share(assumed, tape)
    match assumed.code:
        case "piece_dial_unsaid":
            piece = piece_name(head) if head is not None else "the piece"
            return (
                f"The dial of {piece} was not said: no swatch speaks for its stitch, and what is knitted beside it is "
                "knitted at the same dial."
            )
        case "seam_stitch":
            return f"A seam swallows one stitch at each edge{at}{_as(size)}."
        case "seam_row":
            return f"A seam across the rows swallows one row{_as(size)}."
        case "row_height":
            return f"The height of a row{at}{_as(size) or ' is the usual one'}; no rows were counted."
        case "stitch_size_from_piece":
            return f"A stitch in the seams is as wide as the piece itself tells{_as(size)}."
        case "one_laying":
            return _one_laying_words(about, at, head, points)
        case "one_laying_overhang":
            piece = piece_name(head) if head is not None else "the piece"
            return f"The overhangs{at} are all of one laying: nobody said that {piece} was lifted between them."
        case "tape_hand":
            return (
                f"One reading of the tape is taken to be right to about {size or '3 mm'}; "
                "repeated readings tell how steady your own are."
            )
        case "overhang_hand":
            return (
                f"One overhang is taken to be right to about {size or '2 mm'}; "
                "repeated ones tell how steady your own are."
            )
        case "laid_on_as_wanted":
            return (
                f"{capital(reference_name(head))}, laid under the piece, is taken to be{at} as the numbers say: "
                "nobody measured it."
            )
        case "overhang_folded":
            return f"The overhang{at} was read on the piece folded in half, as it lies on the garment."
        case "piece_to_piece":
            return f"The next piece comes out as this one, give or take {share or '1.5 %'}."
        case "local_spread":
            return f"Inside a piece the stitch varies by {share or 'the usual amount'} from place to place."
        case "state_unsaid" | "reference_state":
            return f"{capital(reference_name(head))} was washed, dried flat and not worn since: nobody said."
        case "growth_along" | "growth_across":
            way = "longer" if assumed.code == "growth_along" else "wider"
            return f"A worn sweater hangs {share + ' ' if share else ''}{way} than a washed one."
        case "springs_back":
            return f"Of a stretch {share or 'a part'} goes again at the next wash."
        case "level":
            return "Where only an overhang was read, the usual size of the point stands in for its length."
        case "other_as_planned":
            return "The other pieces are knitted as planned, with the gauge of this piece."
        case "no_band_to_come":
            return f"No band is added later at the {about or 'edge'}: none was named."
        case "half_size_step":
            return f"No more is allowed{at} than half the step between two sizes{_as(size)}."
        case "wish_nested":
            return f"A wish at another length moves the {point_name(about)} too{_as(size)}: nobody said otherwise."
        case "armhole_curve":
            of = f" for the {point_name(about)}" if about in POINTS else ""
            return f"The armhole has the usual curve{of}."
        case "converted":
            return f"The {point_name(about) or 'figure'} was reckoned from another way of measuring it."
    if assumed.code.startswith("converted_"):
        name = point_name(about or assumed.code.removeprefix("converted_"))
        return f"The {name} was reckoned from another way of measuring it{_as(size)}."
    if not at and about:
        at = f" ({spaced(about)})"
    return f"Taken as usual: {spaced(assumed.code)}{at}{_as(size)}."


def _as(size: str) -> str:
    return f", {size}" if size else ""


def _is_share(assumed: Assumed) -> bool:
    return assumed.unit in ("", "1", "%", "percent")


def _share(assumed: Assumed, tape: Tape) -> str:
    """An assumed share in percent, its uncertainty beside it; empty where there is none."""
    if assumed.value is None or not _is_share(assumed):
        return ""
    scale = 1.0 if assumed.unit in ("%", "percent") else 100.0
    value = f"{tape.short(abs(scale * assumed.value))} %"
    if assumed.value < 0:
        value = f"−{value}"
    return f"{value} (give or take {tape.short(abs(scale * assumed.u))} %)" if assumed.u else value


def _assumed_figure(assumed: Assumed, tape: Tape) -> str:
    if assumed.value is None:
        return ""
    if assumed.unit == "mm":
        written = tape.of_stitch if assumed.code in OF_A_STITCH else tape.small
        value = written(assumed.value)
        if abs(assumed.value) >= 30:
            value = f"{tape.bare(assumed.value)} {tape.unit}"
        return f"{value} (give or take {written(assumed.u)})" if assumed.u else value
    if _is_share(assumed):
        return _share(assumed, tape)
    value = f"{tape.number(assumed.value, 1)} {assumed.unit}"
    return f"{value} (give or take {tape.number(assumed.u, 1)})" if assumed.u else value


def help_sentences(report: Report) -> tuple[str, ...]:
    """What would help most, as imperatives, most useful first."""
    return tuple(
        help_sentence(help_, report.head, lay_anew=help_.code == "read_again" and of_one_laying(report, help_.side))
        for help_ in report.helps
    )


def help_sentence(help_: Help, head: Head | None = None, *, lay_anew: bool = False) -> str:
    """What would help, as an imperative.

    lay_anew  the readings so far are of one laying: say that the next are to be of others
    """
    name = point_name(help_.point) if help_.point else ""
    piece = piece_name(head) if head is not None else "the piece"
    match help_.code:
        case "read_again":
            side = reference_name(head) if help_.side == "reference" else piece
            if help_.side == "both":
                side = f"{piece} and of {reference_name(head)}"
            own = name if help_.side == "reference" else point_of_its_piece(help_.point or "")
            more = "again"
            if help_.readings:
                more = f"{times_words(help_.readings)} more" if help_.readings <= MANY_READINGS else "a few times more"
            anew = "; lift, shake and lay it again in between" if lay_anew else ""
            return f"Read the {own} of {side} {more}{anew}." if name else f"Read {side} {more}{anew}."
        case "read_point":
            own = point_of_its_piece(help_.point or "")
            return f"Read the {own} of {piece} too." if name else "Read one more point."
        case "count_stitches":
            return f"Count the stitches at the {name}." if name else "Count the stitches of the piece."
        case "count_rows":
            return f"Count the rows of the {name}." if name else "Count the rows of the piece."
        case "say_dial":
            return f"Say where the dial stood when {piece} was knitted."
        case "say_as_read":
            return f"Say whether {reference_name(head)} is to be copied as it was read."
        case "say_fibre":
            return "Say the yarn's fibres: they tell whether a piece can be blocked larger."
        case "read_finer":
            return f"Read {piece} to the millimetre, or to 1/8 in: so far it was read coarser than that."
        case "lay_again":
            at = f" at the {name}" if name else ""
            return f"Lift, shake and lay {piece} again between readings{at}, and say which laying each is of."
        case "reference_state":
            return f"Say whether {reference_name(head)} was washed and dried flat, or worn, when it was read."
        case "read_washed":
            return f"Wash {reference_name(head)}, dry it flat and read it again: how much it has grown is only assumed."
        case "swatches":
            return "Measure a swatch of this yarn, washed and blocked like the garment."
        case "wash_and_block":
            return f"Wash and block {piece}, let it dry, and read it again."
        case "say_front_band":
            return "Say how wide the front band is when the fronts are closed: the halves have no counts before."
        case "plan_halves":
            return "Plan the left front and the right front: the front is open, and counts of a whole one are not used."
        case "say_machine":
            return "Say which machine it is knitted on: the stitches must lie on the needles of its bed."
        case "say_fits":
            return "Say what it must fit: a sweater that fits, the body and ease, or numbers."
        case "say_counts":
            return "Type the stitches of the pattern's sizes, or of the piece as you planned it."
        case "read_first":
            return "Wash, block and read the first piece before the next: it tells what the rest needs."
        case "answer_question":
            at = f" about the {name}" if name else ""
            return f"Answer the question{at}: keep what was typed, or type it again."
    at = f" at the {name}" if name else ""
    return sentence(spaced(help_.code) + at)


def caution_sentence(code: str) -> str:
    """A usual caution."""
    return CAUTIONS.get(code) or sentence(f"mind this: {spaced(code)}")
