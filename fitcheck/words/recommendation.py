"""The recommendation in one go: imperative first, then the reason with figures."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.decide.ways import SPRINGS_BACK
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, ROUND_THE_BODY, SLEEVES
from fitcheck.reports.shapes import ActionReport, PointReport, Report
from fitcheck.words.bands import depth_asked
from fitcheck.words.bed import fills_the_bed
from fitcheck.words.cannot_say import cannot_say_first
from fitcheck.words.changes import LOWER_ENDS, ChangePlan, both_twins, deeds_of, new_counts, plan, sewn_counts
from fitcheck.words.dates import day_words
from fitcheck.words.explanation import laid_without_pulling
from fitcheck.words.figures import CM, Tape, chance_words, is_nil
from fitcheck.words.granted import caution_sentence, minded
from fitcheck.words.knit_again import knitted_again
from fitcheck.words.measure_again import look_at_swatch, measure_again, offered_round, swatch_asked
from fitcheck.words.names import (
    action_name,
    action_of,
    down_to,
    other_body,
    other_piece,
    piece_name,
    point_name,
    rip_words,
)
from fitcheck.words.phrases import capital, few, listed, sentence, side_word, spaced
from fitcheck.words.points import because_it_is, pinned_at, point_of, worst_first
from fitcheck.words.rest import rest_piece_name
from fitcheck.words.said import MOST_HEAD, Deed, Said, heading, reason, said
from fitcheck.words.why_not import what_would_help

BEFORE_RIPPING = (
    "Before you rip: put a thread through the row below, weigh the piece, and count the stitches and rows above it.",
    "Afterwards nobody can.",
)
"""What is done before any row is unravelled (fit rule 23)."""


def headline(report: Report, tape: Tape = CM) -> str:
    """The recommendation in one go."""
    return advised(report, tape).whole


def advised(report: Report, tape: Tape = CM) -> Said:
    """The recommendation: imperative first, then the reason with figures; of a finished make how it fits."""
    return said(_sentences(report, tape), [*_unshaped(report), *map(caution_sentence, minded(report))])


def _unshaped(report: Report) -> list[str]:
    if not report.unshaped:
        return []
    from fitcheck.words.unshaped import pieces_unshaped  # only where something is refused: it starts faster without

    return pieces_unshaped(report)


def _sentences(report: Report, tape: Tape) -> Sequence[str | Deed]:
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        if report.first is None:
            return cannot_say_first(advice)
        if (asked := swatch_asked(report)) is not None:
            return look_at_swatch(asked)
        from fitcheck.words.first_piece import knit_first  # with the sizes, which an answer about a piece may lack

        return knit_first(report.first, tape)
    if report.head.finished:
        return _finished(report, tape)
    if advice.action == "measure_again":
        return measure_again(report, advice, tape)
    action = action_of(report, advice.action)
    if action is None:
        return [sentence(action_name(advice.action))]
    told = [
        *_not_judged(report, action.code),
        *_front_band_asked(report),
        *_deed(report, action, tape),
        *depth_asked(report.rest.bands if report.rest else ()),
        *_off_the_bed(report, action),
        *_seams_asked(report),
    ]
    return [*told, *offered_round(report, advice, tape)]


MOST_OF_IT = 0.5
"""An assumption that brings this share of a difference's doubt is asked about [1]."""


def _seams_asked(report: Report) -> list[str]:
    """How it is seamed, where a piece was laid on the garment and most of the doubt lies in the seams (fit rule 33)."""
    laid = any(point.overhang is not None for point in report.points)
    doubt = any(
        assumed.code in ("seam_stitch", "seam_row") and assumed.share >= MOST_OF_IT for assumed in report.assumed
    )
    return ["Say how the garment is seamed: most of what is not known lies in the seams."] if laid and doubt else []


def _front_band_asked(report: Report) -> list[str]:
    """How wide the band of an open front is, where nobody said it: without it the halves answer nothing."""
    asked = any(help_.code == "say_front_band" for help_ in report.helps)
    told = "Say first how wide the front band is when the fronts are closed."
    return [told, "Without it nothing is known of what the halves can make up."] if asked else []


def _off_the_bed(report: Report, action: ActionReport) -> list[str]:
    """Where the bed keeps a count from what is wanted: one that is changed, else one that stays as planned."""
    wall = next((alteration for alteration in action.alterations if alteration.bed is not None), None)
    walled = [
        (count.off_bed.needed - count.off_bed.needles, key, piece.kind, count.off_bed.needles)
        for piece in report.to_knit
        for key, count in piece.counts.items()
        if count.off_bed is not None and (wall is None or wall.point == key)
    ]
    if walled:
        more, key, kind, needles = max(walled, key=lambda most: most[0])
        # Panels carry what lacks round the body.
        carried = more if key in ROUND_THE_BODY else 0
        return fills_the_bed(needles, f"{point_name(key)} of the {spaced(kind)}", report.head.construction, carried)
    if wall is not None and wall.bed is not None:
        return fills_the_bed(wall.bed, point_name(wall.point), report.head.construction)
    return []


def _deed(report: Report, action: ActionReport, tape: Tape) -> Sequence[str | Deed]:
    """What is done, and why; a sentence each."""
    match action.code:
        case "carry_on" if not sewn_counts(report, action):
            return _carry_on(report, tape)
        case "alter_hem":
            return [*_carry_on_with_changes(report, action, tape), *laid_without_pulling(report)]
        case "carry_on" | "other_counts":
            return _carry_on_with_changes(report, action, tape)
        case "block_again":
            off = any(alteration.by in LOWER_ENDS and alteration.mm < 0 for alteration in action.alterations)
            return [*_block_again(report, action, tape), *(laid_without_pulling(report) if off else [])]
        case "rip_back":
            return _rip_back(report, action, tape)
        case "knit_again":
            return knitted_again(report, action, tape)
        case _:
            return [sentence(action_name(action.code))]


def _judged(report: Report) -> list[PointReport]:
    return [point for point in report.points if point.code != "held_at"]


def _nothing_to_change(report: Report) -> str:
    """ "Nothing to change before the front."; empty where it cannot be knitted as it is counted."""
    following = other_piece(report.head) if report.head.piece_kind == "back" else "the next piece"
    return "" if report.unshaped else f"Nothing to change before {following}."


def _finished(report: Report, tape: Tape) -> list[str]:
    """ "Finished on 27 July 2025. The front matches at every point that was read; nothing is left to do." """
    begin = f"Finished on {day_words(report.head.finished or '')}."
    judged = _judged(report)
    off = [point for point in judged if point.code == "differs"]
    if off:
        end = ": something for the next one to learn from"
        return [begin, because_it_is(report, worst_first(off)[:3], tape, end)]
    unsettled = [point for point in judged if point.code != "matches"]
    piece = capital(piece_name(report.head))
    fits = f"{piece} matches at every point that was read"
    if unsettled:
        which = f"which {'is' if len(unsettled) == 1 else 'are'} too close to call"
        fits = reason(*(f"{fits} but {names}, {which}." for names in _names(unsettled)))
    else:
        fits += "."
    return [begin, fits, "Nothing is left to do."]


def _names(points: Sequence[PointReport]) -> tuple[str, str]:
    """Points by name, and how many they are where there is no room for their names."""
    names = listed([f"the {point_name(point.key)}" for point in points])
    return names, f"{few(len(points))} points" if len(points) > 1 else names


def finished_words(report: Report) -> Said:
    """Of a finished make in short, without figures: since when, and where the piece that was read fits."""
    head = f"Finished on {day_words(report.head.finished or '')}."
    if not report.points:
        return Said(head)
    piece = capital(piece_name(report.head))
    if all(point.code == "matches" for point in report.points):
        return Said(head, f"{piece} matches at every point that was read.")
    names: dict[str, list[str]] = {"matches": [], "differs": [], "is too close to call": []}
    for point in report.points:
        verb = point.code if point.code in names else "is too close to call"
        names[verb].append(point_name(point.key))
    return Said(head, f"{piece} {listed([f'{verb} at {listed(keys)}' for verb, keys in names.items() if keys])}.")


def _carry_on(report: Report, tape: Tape) -> list[str]:
    piece = piece_name(report.head)
    judged = _judged(report)
    differs = [point for point in judged if point.code == "differs"]
    unsettled = [point for point in judged if point.code in ("too_close", "on_the_line")]
    begin, chance = "Carry on as planned.", _chance(report, "carry_on")
    if chance is not None and chance < LIKELY:
        off = worst_first(differs or unsettled or judged)[:3]
        fit = f"{both} fit" if (both := both_twins(report)) else "it fits"
        return [
            f"Leave {piece} as it is: {chance_words(chance)} that {fit} so.",
            because_it_is(report, off, tape, f", and {_nothing_else(report)}"),
        ]
    if not judged:
        return [begin, "Nothing that was read speaks against it."]
    if not differs and not unsettled:
        return [
            begin,
            f"{capital(piece)} matches at {_everywhere(report, judged)}.",
            _nothing_to_change(report),
        ]
    if differs:
        end = f", and {_with_another(report, differs, tape) or _nothing_else(report)}"
        return [begin, because_it_is(report, worst_first(differs)[:3], tape, end)]
    deciding = [point for point in judged if point.decides]
    open_still = [f"{names} {'is' if len(unsettled) == 1 else 'are'} too close to call" for names in _names(unsettled)]
    same = "and the advice is the same either way"
    if deciding and all(point.code == "matches" for point in deciding):
        return [
            begin,
            f"{capital(piece)} matches at every point that decides.",
            reason(*(f"{capital(told)}, {same}." for told in open_still)),
            _nothing_to_change(report),
        ]
    if any(point.decides for point in unsettled):
        same = "and carrying on is the best plan as it stands"
    return [begin, reason(*(f"{capital(told)}, {same}." for told in open_still))]


def _everywhere(report: Report, judged: Sequence[PointReport]) -> str:
    """Where a piece matches: every point that was read, or those of them that could be judged."""
    if report.refused:
        return "every point that could be judged"
    return "every point that was read" + (" without pins" if len(judged) < len(report.points) else "")


UNWANTED = ("no_wanted_figure", "construction_differs")
"""Why nothing is wanted at a point: nobody typed it, or the garment that it is held against is built otherwise."""


def _not_judged(report: Report, code: str) -> list[str]:
    """What could not be judged and what is missing for it, before anything else is said (fit rule 31).

    code  of the deed; beside another than carrying on, points of which nobody wants anything are left out
    """
    unwanted = [key for key, why in report.refused.items() if why.code in UNWANTED]
    asked: dict[str, list[str]] = {}
    for key, why in report.refused.items():
        help_ = what_would_help(why)
        # A cap is as high as its armhole asks for: nobody measures that before.
        if not help_ or why.code == "not_in_construction" or key == "cap_height":
            continue
        if key in unwanted:
            if code != "carry_on":
                continue
            help_ = help_ if len(unwanted) == 1 else "say what they must measure"
        asked.setdefault(help_, []).append(point_name(key))
    told = []
    for help_, names in list(asked.items())[:2]:
        number = f"{few(len(names))} points" if len(names) > 1 else f"the {names[0]}"
        told.append(
            heading(f"Not judged yet: {listed([f'the {name}' for name in names])}.", f"Not judged yet: {number}.")
        )
        told.append(sentence(help_))
    return told


def _chance(report: Report, code: str) -> float | None:
    """Chance of a way that every point fits; None where it has none."""
    action = action_of(report, code)
    return action.chance if action is not None else None


MADE_UP, HARDLY = 0.45, 0.9
"""Up to the first share of a misfit it is made up; half of it is left where the other piece is just as wanted [1]."""


def _with_another(report: Report, differs: Sequence[PointReport], tape: Tape) -> str:
    """That another piece, planned or knitted so, makes up all that differs (fit rule 28), or what is left of it.

    Empty where it does neither, or leaves more than is allowed.
    """
    plain = action_of(report, "carry_on")
    left = [plain.left_mm.get(point.key) for point in differs] if plain is not None else [None]
    kept = [(point, mm) for point, mm in zip(differs, left, strict=False) if mm is not None and _is_within(point, mm)]
    shares = [abs(mm) / abs(point.difference.value) for point, mm in kept]
    if len(kept) < len(differs) or max(shares) > HARDLY:
        return ""
    # Half a front has a quarter of the sweater: that much is left of it beside pieces that are just as wanted.
    if max(shares) > MADE_UP / (2 if report.head.piece_kind in HALF_FRONTS else 1):
        point, mm = max(kept, key=lambda most: abs(most[1]))
        off = f"{tape.length(mm)} {side_word(POINTS[point.key].direction, mm)}"
        return f"with {other_piece(report.head)} the sweater is {off}, within what is allowed"
    wider = differs[0].difference.value < 0
    if report.head.piece_kind == "back":
        return f"the {'wider' if wider else 'narrower'} front makes that up"
    return f"that makes up what {other_piece(report.head)} {'has too much' if wider else 'lacks'}"


def _is_within(point: PointReport, mm: float) -> bool:
    allowed = point.allowed_smaller_mm if mm < 0 else point.allowed_larger_mm
    return allowed is None or abs(mm) <= allowed


CLEARLY_WORSE, LITTLE_MORE = 0.05, 0.10
"""Another way pays nothing where it loses more than this beyond the advised one, and fits hardly more often."""


def _nothing_else(report: Report) -> str:
    """That no other way would pay; or the one that nearly does, with its chance, and why not."""
    advised = action_of(report, "carry_on")
    least, chance = (advised.expected_loss or 0.0, advised.chance or 0.0) if advised is not None else (0.0, 0.0)
    near = [
        action
        for action in report.actions
        if action.impossible is None
        and action.expected_loss is not None
        and action.chance is not None
        and action.code not in ("carry_on", "other_counts", "measure_again")
        and (action.expected_loss <= least + CLEARLY_WORSE or action.chance >= chance + LITTLE_MORE)
    ]
    if not near:
        return "nothing else that can be done would pay for its work"
    best = min(near, key=lambda action: action.expected_loss or 0.0)
    name = action_name(best.code, best)
    return f"to {name} ({chance_words(best.chance or 0.0)}) would cost more work than it saves"


def _carry_on_with_changes(report: Report, action: ActionReport, tape: Tape) -> list[str | Deed]:
    changed = plan(report, action, tape)
    begin = _beginning(action, at_end=changed.at_end, many=len(changed.deeds))
    told: list[str | Deed] = _one_change(begin, changed)
    if changed.deeds:
        # The deed stands before its reason, also where all of it is done at once.
        told = [*begin, *(Deed(place, when, what) for place, (when, what) in enumerate(changed.deeds, 1))]
    how: list[str | Deed] = [*told[1:], sentence(changed.how), *_odd(report, action), *_held(report, action)]
    off = _answered(report, action, tape)
    told = [*told[:1], *_reasons(report, action, off, tape), *_open_there(off), *how]
    if any(alteration.by == "sleeve" for alteration in action.alterations):
        told.append(f"The sleeves’ counts are those for the stitch that {piece_name(report.head)} shows.")
    return told


def _one_change(begin: Sequence[str], changed: ChangePlan) -> list[str | Deed]:
    """What is done where it is one thing: in a heading with its counts, or the counts in a sentence of their own."""
    if not changed.parts:
        return list(begin)
    whole, *others = [sentence(part) for part in changed.parts]
    begun = " ".join([*begin, whole])
    if len(begun) <= MOST_HEAD or not changed.in_short:
        return [begun, *others]
    left = Deed(1, f"for {changed.piece}", changed.left) if changed.piece else sentence(changed.left)
    return [" ".join([*begin, sentence(changed.in_short)]), *others, left]


def _answered(report: Report, action: ActionReport, tape: Tape) -> list[PointReport]:
    """Points of the piece that a change answers: a narrow one is no reason to knit the front narrower."""
    return [
        point
        for point in report.points
        if not is_nil(point.difference.value, tape)
        and any(
            alteration.point == point.key
            and alteration.mm * point.difference.value < 0
            and alteration.of_plan <= MOSTLY
            for alteration in action.alterations
        )
    ]


MOSTLY = 0.5
"""Above this share of what a change takes away the plan is its reason, not the piece on the table [1]."""


def _reasons(report: Report, action: ActionReport, off: Sequence[PointReport], tape: Tape) -> list[str]:
    """Why something is knitted otherwise: this piece, the plan of the other body piece, or both, the further off first.

    off  points of this piece that a change answers
    """
    because: list[tuple[float, str]] = []
    if off:
        makes_up = f", and {_makes_up(report, action, tape)}"
        furthest = max(abs(point.difference.value) for point in off)
        because.append((furthest, because_it_is(report, worst_first(off)[:3], tape, makes_up)))
    planned = [
        (alteration.plan_mm, alteration)
        for alteration in action.alterations
        if alteration.plan_mm is not None and alteration.of_plan > MOSTLY
    ]
    if planned:
        mm, alteration = max(planned, key=lambda plan: abs(plan[0]))
        side = side_word(POINTS[alteration.point].direction, mm)
        too = f"{tape.length(abs(mm))} too {side} at the {point_name(alteration.point)}"
        because.append((abs(mm), f"As planned {other_piece(report.head)} would come out {too}."))
    return [told for _, told in sorted(because, reverse=True)]


LIKELY = 0.5
"""With less of a chance than this nobody is told to carry on before anything else is said [1]."""


def _beginning(action: ActionReport, *, at_end: bool, many: int) -> list[str]:
    """ "Carry on." - where it is likelier than not that the sweater then fits, and nothing of this piece is altered.

    many  how many deeds follow in a list
    """
    if action.chance is not None and action.chance < LIKELY:
        fits = chance_words(action.chance)
        return [f"The best that is left: {fits} that all of it then fits."] if many else []
    if at_end:
        return []
    return [f"Carry on, with {few(many)} changes."] if many > 1 else ["Carry on."]


def numbered(deeds: Sequence[tuple[str, str]]) -> list[str | Deed]:
    """ "1. Now: take 14 rows off the hem. 2. For the front: knit it 14 rows shorter." One alone needs no number."""
    if len(deeds) == 1:
        return [sentence(f"{when}: {what}") for when, what in deeds]
    return [Deed(place, when, what) for place, (when, what) in enumerate(deeds, 1)]


def _and_the_rest(report: Report, action: ActionReport, tape: Tape, own: Sequence[tuple[str, str]]) -> list[str | Deed]:
    """What is done with the piece, each with when, and in the same list what changes on the rest of the sweater."""
    changed = deeds_of(report, action, tape)
    if not changed:
        return [sentence(what) for _, what in own]
    rest = [("then" if when == "now" else when, what) for when, what in changed]
    return [*numbered([*own, *rest]), sentence(plan(report, action, tape).how)]


def _odd(report: Report, action: ActionReport) -> list[str]:
    """A count that comes nearer and puts the middle one stitch off, as an offer."""
    odd = next((alteration for alteration in action.alterations if alteration.odd is not None), None)
    if odd is None:
        return []
    piece = capital(other_piece(report.head)) if odd.by == "other_body_piece" else "It"
    return [
        f"{piece} would come nearer still with {odd.odd} at the {point_name(odd.point)}, one stitch off the middle."
    ]


def _held(report: Report, action: ActionReport) -> list[str]:
    """A count that would come nearer by itself, and what leaves it another."""
    held = next((alteration for alteration in action.alterations if alteration.by_itself is not None), None)
    if held is None:
        return []
    demands = (demand for piece in report.to_knit if piece.together for demand in piece.together.demands)
    shoulders = next((demand.at for demand in demands if demand.code == "shoulders"), None)
    why = "its counts must hold together"
    if shoulders is not None:
        why = f"the shoulders are sewn to those of {piece_name(report.head)}, {shoulders // 2} stitches each"
    return [f"At the {point_name(held.point)} {held.by_itself} would come nearer by itself, but {why}."]


def _open_there(points: Sequence[PointReport]) -> list[str]:
    """Where it is too close to call whether a point is off by more than is allowed: that, in a sentence."""
    still = [point for point in points if point.code in ("too_close", "on_the_line") and not point.decides]
    if not still:
        return []
    names = listed([f"the {point_name(point.key)}" for point in still])
    verb = "is" if len(still) == 1 else "are"
    return [f"{capital(names)} {verb} too close to call; the advice is the same either way."]


def _makes_up(report: Report, action: ActionReport, tape: Tape) -> str:
    answering = [alteration for alteration in action.alterations if alteration.by != "like_this_piece"]
    makers = {alteration.by for alteration in answering}
    larger = sum(alteration.mm for alteration in answering) > 0
    if makers == {"other_body_piece"}:
        other = f"a {'wider' if larger else 'narrower'} {other_body(report.head)}"
        return _leaves(report, action, tape, other) or f"{other} makes that up"
    if makers == {"hem"}:
        return "the hem is where that can still be mended"
    if makers == {"cuff_band"}:
        return "the cuff is where that can still be mended"
    return _leaves(report, action, tape, "this") or "this makes that up"


LEFT_UNSAID = 0.5
"""What the sweater keeps of a misfit is said from this share of what is allowed on."""


def _leaves(report: Report, action: ActionReport, tape: Tape, what: str) -> str:
    """What an action leaves where it does not make up all of a misfit, the furthest point; empty where it does."""
    kept: list[tuple[float, PointReport, float]] = []
    for alteration in action.alterations:
        point = point_of(report, alteration.point)
        if point is None or alteration.left_mm is None:
            continue
        allowed = point.allowed_smaller_mm if alteration.left_mm < 0 else point.allowed_larger_mm
        if allowed:
            kept.append((abs(alteration.left_mm) / allowed, point, alteration.left_mm))
    share, point, left = max(kept, key=lambda most: most[0], default=(0.0, None, 0.0))
    if point is None or share < LEFT_UNSAID or is_nil(left, tape):
        return ""
    at = point_name(point.key) if len(action.alterations) > 1 else "sweater"
    off = f"{tape.length(left)} {side_word(point.direction, left)}"
    if share > 1.0:
        made = abs(point.difference.value) - abs(left)
        return f"{what} makes up {tape.length(made)} of it: the {at} stays {off}"
    return f"{what} makes up enough: the {at} comes out {off}, within what is allowed"


def _block_again(report: Report, action: ActionReport, tape: Tape) -> list[str | Deed]:
    piece = piece_name(report.head)
    direction = action.stretch_direction or "across"
    share = action.stretch_percent or 0.0
    amount = tape.percent(share)
    small = worst_first(
        point
        for point in report.points
        if point.direction == direction and point.difference.value < 0 and not is_nil(point.difference.value, tape)
    )
    # What matches is no reason to stretch a piece, unless nothing else is too small.
    small = [point for point in small if point.code != "matches"] or small
    larger = side_word(direction, 1, comparative=True)
    own = f"block {piece} again, {amount} {larger}"
    pinned = pinned_at(report, small, direction)
    if pinned is not None:
        target = tape.length(pinned.value * (1 + share / 100))
        own = heading(f"block {piece} again, to {target} at the {point_name(pinned.key)}: {amount} {larger}", own)
    told = _and_the_rest(report, action, tape, [("now", own)])
    if small:
        told.insert(1, because_it_is(report, small[:2], tape, f", and {amount} is a stretch that can hold"))
    pays = "length" if direction == "across" else "width"
    off = tape.percent(share / 2)
    told.append(f"It takes about {off} off the {pays}.")
    if pinned is not None:
        stays = tape.length(pinned.value * (1 + share / 100 * (1 - SPRINGS_BACK)))
        told.append(f"About a third of the stretch goes again at the next wash, which is counted in: {stays} stays.")
    else:
        told.append("About a third of the stretch goes again at the next wash, which is counted in.")
    told += _open_there(small[:2])
    told += [*_blocked_alike(report), *_read_before_the_rest(report)]
    told += [f"Blocked so, {too_wide}." for too_wide in _too_wide_then(report, action, tape)]
    return told


def _blocked_alike(report: Report) -> list[str]:
    """What is still to come is reckoned as stretched alike, so that is said (fit rule 5)."""
    kind = report.head.piece_kind
    other = other_body(report.head)
    if kind in BODY and other in report.head.to_knit:
        return [f"Block the {other} alike."]
    return ["Block the other sleeve alike."] if kind in SLEEVES and "sleeve" in report.head.to_knit else []


def _too_wide_then(report: Report, action: ActionReport, tape: Tape) -> list[str]:
    """Points that a stretch makes larger than wanted and that the rest then makes smaller."""
    share = (action.stretch_percent or 0.0) / 100 * (1 - SPRINGS_BACK)
    told = []
    for alteration in action.alterations:
        point = point_of(report, alteration.point)
        if point is None or point.measured is None or alteration.mm >= 0 or point.direction != action.stretch_direction:
            continue
        after = point.difference.value + share * point.measured.value
        if after > 0 and not is_nil(after, tape):
            word = side_word(point.direction, after)
            told.append(f"{tape.length(after)} {word} at the {point_name(alteration.point)}")
    return [f"{piece_name(report.head)} is {listed(told)}"] if told else []


def _rip_back(report: Report, action: ActionReport, tape: Tape) -> list[str | Deed]:
    to = down_to(action)
    counts = new_counts(report, action, tape)
    upward = f"knit upward from there{f' with {counts}' if counts else ''}"
    told = _and_the_rest(report, action, tape, [("now", rip_words(report.head, action)), ("then", upward)])
    anew = {alteration.point for alteration in action.alterations if alteration.by == "this_piece"}
    off = worst_first(point for point in report.points if point.key in anew and point.code != "matches")
    because = [because_it_is(report, off[:2], tape, f", and below {to} it can stay as it is")] if off else []
    told = [told[0], *because, *laid_without_pulling(report), *told[1:], *BEFORE_RIPPING]
    coming = [rest_piece for rest_piece in report.rest.pieces if rest_piece.how == "planned"] if report.rest else []
    alike = [
        rest_piece_name(rest_piece)
        for rest_piece in coming
        if any(count.by == "this_piece" and count.step for count in rest_piece.counts)
    ]
    if alike:
        told.append(f"Knit {listed(alike)} with the same counts there.")
    return [*told, *_read_before_the_rest(report)]


def _read_before_the_rest(report: Report) -> list[str]:
    """That a piece which is ripped or blocked is read again before others are knitted, which answer to how it is."""
    pieces = report.rest.pieces if report.rest else ()
    coming = [
        rest_piece_name(piece)
        for piece in pieces
        if piece.how == "planned" and any(count.changed for count in piece.counts)
    ]
    return [f"Read {piece_name(report.head)} again before you knit {listed(coming)}."] if coming else []
