"""What was taken for granted, what would help most, and the usual cautions."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.estimates.numbers import Assumed, CannotSay
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import Head, Help, PointReport, Report
from fitcheck.words.figures import CM, Tape
from fitcheck.words.names import piece_name, point_name, point_of_its_piece, reference_name
from fitcheck.words.phrases import capital, sentence, spaced, times_words
from fitcheck.words.points import MANY_READINGS, of_one_laying

CAUTIONS = {
    "felting": "Wool felts: wash it cool and still, by its care label.",
    "steam_acrylic": "Steam ruins acrylic for good: no iron, no steamer.",
    "steamed_acrylic": "This piece was steamed, and steam ruins acrylic: if it hangs limp or shines, it stays so; "
    "steam no other piece.",
    "steamed_swatch": "A swatch was steamed, and steam ruins acrylic: it tells nothing of a piece that is not steamed; "
    "steam none.",
    "care_label": "Follow the care label of the yarn.",
    "wash_alike": "Wash the garment the way the swatches and this piece were washed.",
    "children": "Children’s wear: keep the local rules on cords and buttons; the neck must pass the head.",
    "small_sample": "A swatch is a small sample; a whole piece may come out a little differently.",
    "costs_taken_over": "Costs that an older file had set were taken over; costs.before holds what they were.",
    "advice_only": "Advice from a tape, not a promise.",
    "count_at_that_row": "Count the stitches 2.5 cm (1 in) below the underarm, not at the widest row.",
    "neck_for_head": "The neck that is wanted would hardly let the head through, stretched as far as it goes: is its "
    "width from seam to seam, or inside the band?",
    "wish_beside_figure": "A wish beside a plain number does not count: the number is what is wanted.",
}

TAKEN = {
    "piece_dial_unsaid": "The dial of {piece} was not said: no swatch speaks for its stitch, and what is knitted "
    "beside it is knitted at the same dial.",
    "seam_stitch": "A seam swallows one stitch at each edge{so_much}.",
    "seam_row": "A seam across the rows swallows one row{so_much}.",
    "one_laying_overhang": "The overhangs{at} are all of one laying: nobody said that {piece} was lifted between them.",
    "tape_hand": "One reading of the tape is taken to be right to about {figure}; "
    "repeated readings tell how steady your own are.",
    "overhang_hand": "One overhang is taken to be right to about {figure}; repeated ones tell how steady your own are.",
    "laid_on_as_wanted": "{Garment}, laid under the piece, is taken to be{at} as the numbers say: nobody measured it.",
    "overhang_folded": "The overhang{at} was read on the piece folded in half, as it lies on the garment.",
    "piece_to_piece": "The next piece comes out as this one, give or take {figure}.",
    "reference_state": "{Garment} was washed, dried flat and not worn since: nobody said.",
    "growth_along": "A worn sweater hangs {figure} longer than a washed one.",
    "growth_across": "A worn sweater hangs {figure} wider than a washed one.",
    "springs_back": "Of a stretch {figure} goes again at the next wash.",
    "level": "Where only an overhang was read, the usual size of the point stands in for its length.",
    "no_band_to_come": "No band is added later at the {edge}: none was named.",
    "half_size_step": "No more is allowed{at} than half the step between two sizes{so_much}.",
    "wish_nested": "A wish at another length moves the {point} too{so_much}: nobody said otherwise.",
    "armhole_curve": "The armhole has the usual curve for the {point}.",
    "converted": "The {point} was reckoned from another way of measuring it.",
}
"""What is taken for granted, by its code. at: at which point; figure: how much; so_much: the same behind a comma."""


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
    if assumed.code == "one_laying":
        return _one_laying_words(about, at, head, points)
    figure = _assumed_figure(assumed, tape)
    so_much = f", {figure}" if figure else ""
    if assumed.code not in TAKEN:
        of = f" ({spaced(about)})" if about else ""
        return f"Taken as usual: {spaced(assumed.code)}{at or of}{so_much}."
    return TAKEN[assumed.code].format(
        at=at,
        point=point_name(about) or "point",
        edge=about or "edge",
        piece=_piece(head),
        Garment=capital(reference_name(head)),
        figure=figure or "as much as is usual",
        so_much=so_much,
    )


def _piece(head: Head | None) -> str:
    return piece_name(head) if head is not None else "the piece"


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
        value = tape.small(assumed.value)
        if abs(assumed.value) >= 30:
            value = f"{tape.bare(assumed.value)} {tape.unit}"
        return f"{value} (give or take {tape.small(assumed.u)})" if assumed.u else value
    if _is_share(assumed):
        return _share(assumed, tape)
    value = f"{tape.number(assumed.value, 1)} {assumed.unit}"
    return f"{value} (give or take {tape.number(assumed.u, 1)})" if assumed.u else value


HELPS = {
    "read_point": "Read the {of_its_piece} of {piece} too.",
    "count_stitches": "Count the stitches{at}.",
    "count_rows": "Count the rows of the {point}.",
    "say_dial": "Say where the dial stood when {piece} was knitted.",
    "say_as_read": "Say whether {garment} is to be copied as it was read.",
    "say_felted": "Say how {piece} was washed: whether it felted.",
    "say_fibre": "Say the yarn’s fibres: they tell whether a piece can be blocked larger.",
    "read_finer": "Read {piece} to the millimetre, or to 1/8 in: so far it was read coarser than that.",
    "lay_again": "Lift, shake and lay {piece} again between readings{at}, and say which laying each is of.",
    "reference_state": "Say whether {garment} was washed and dried flat, or worn, when it was read.",
    "read_washed": "Wash {garment}, dry it flat and read it again: how much it has grown is only assumed.",
    "swatches": "Measure a swatch of this yarn, washed and blocked like the garment.",
    "wash_and_block": "Wash and block {piece}, let it dry, and read it again.",
    "say_front_band": "Say how wide the front band is when the fronts are closed: the halves have no counts before.",
    "plan_halves": "Plan the left front and the right front: the front is open, and counts of a whole one are not "
    "used.",
    "say_machine": "Say which machine it is knitted on: the stitches must lie on the needles of its bed.",
    "say_fits": "Say what it must fit: a sweater that fits, the body and ease, or numbers.",
    "say_counts": "Type the stitches of the pattern’s sizes, or of the piece as you planned it.",
    "read_first": "Wash, block and read the first piece before the next: it tells what the rest needs.",
    "answer_question": "Answer the question{about}: keep what was typed, or type it again.",
}
"""What would help, by its code. at, about: at or about which point, empty where it is of none."""


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
    if help_.code == "read_again":
        return _read_again(help_, head, lay_anew=lay_anew)
    point = help_.point or ""
    at = f" at the {point_name(point)}" if point else ""
    if help_.code not in HELPS:
        return sentence(spaced(help_.code) + at)
    return HELPS[help_.code].format(
        at=at,
        about=f" about the {point_name(point)}" if point else "",
        point=point_name(point) or "piece",
        of_its_piece=point_of_its_piece(point) or "point",
        piece=_piece(head),
        garment=reference_name(head),
    )


def _read_again(help_: Help, head: Head | None, *, lay_anew: bool) -> str:
    """Read one point, or all of them, of the piece, the garment or both."""
    piece, garment, point = _piece(head), reference_name(head), help_.point or ""
    side = {"reference": garment, "both": f"{piece} and of {garment}"}.get(help_.side or "", piece)
    name = point_name(point) if help_.side == "reference" else point_of_its_piece(point)
    more = "again"
    if help_.readings:
        more = f"{times_words(help_.readings)} more" if help_.readings <= MANY_READINGS else "a few times more"
    anew = "; lift, shake and lay it again in between" if lay_anew else ""
    return f"Read {f'the {name} of ' if point else ''}{side} {more}{anew}."


MINDED = ("steamed_acrylic", "steamed_swatch", "neck_for_head", "children")
"""Cautions that are about what was done to this piece, or about who wears it: they stand open beside any deed."""
WETTED = ("felting", "steam_acrylic")
"""Cautions about what ruins a piece that is washed or blocked: they stand open where that is the deed."""
WETS = {"block_again", "wash_and_block", "out_of_shape", "cannot_carry", "swatch"}
"""Deeds, and what is asked for first, that wet a piece or a swatch."""


def minded(report: Report) -> tuple[str, ...]:
    """Codes of the cautions that stand open beside what is advised; the others can be read behind it."""
    advice, first = report.recommendation, report.first
    if report.head.finished:
        return ()
    codes = {advice.code} if isinstance(advice, CannotSay) else {advice.action, advice.reason}
    # Where a swatch is there and only asked about, none is washed.
    if first is not None and all(question.place.kind != "swatches" for question in report.questions):
        codes.add(first.code)
    said = (*WETTED, *MINDED) if codes & WETS else MINDED
    return tuple(code for code in said if code in report.cautions)


def caution_sentence(code: str) -> str:
    """A usual caution."""
    return CAUTIONS.get(code) or sentence(f"mind this: {spaced(code)}")
