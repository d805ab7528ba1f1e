"""The recommendation in one go: imperative first, then the reason with figures."""

from __future__ import annotations

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import POINTS
from fitcheck.report import ActionReport, PointReport, Report
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.changes import changes, new_counts
from fitcheck.words.figures import Mark, Tape, Unit, chance_words, is_nil
from fitcheck.words.measure_again import measure_again
from fitcheck.words.names import action_name, action_of, other_piece, piece_name, point_name
from fitcheck.words.phrases import capital, count_words, listed, sentence, side_word
from fitcheck.words.points import it_is, point_of, worst_first


def headline(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The recommendation: imperative first, then the reason with figures."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return cannot_say_sentence(advice)
    tape = Tape(unit, mark)
    if advice.action == "measure_again":
        return measure_again(report, advice, tape)
    action = action_of(report, advice.action)
    if action is None:
        return sentence(action_name(advice.action))
    match action.code:
        case "carry_on":
            return _carry_on(report, tape)
        case "other_counts" | "alter_hem":
            return _carry_on_with_changes(report, action, tape)
        case "block_again":
            return _block_again(report, action, tape)
        case "rip_back":
            return _rip_back(report, action, tape)
        case "knit_again":
            return _knit_again(report, action, tape)
        case _:
            return sentence(action_name(action.code))


def waits_words(report: Report) -> str:
    """What a make waits for, in a few words: "waits for 2 readings"; empty where it does not wait for the tape."""
    advice = report.recommendation
    if isinstance(advice, CannotSay) or advice.action != "measure_again" or not advice.readings:
        return ""
    return f"waits for {count_words(advice.readings, 'reading')}"


def _judged(report: Report) -> list[PointReport]:
    return [one for one in report.points if one.code != "held_at"]


def _before(report: Report) -> str:
    """What comes after this piece."""
    kind = report.head.piece_kind
    return other_piece(report.head) if kind == "back" else "the next piece"


def _carry_on(report: Report, tape: Tape) -> str:
    piece = piece_name(report.head)
    begin = "Carry on as planned."
    judged = _judged(report)
    differs = [one for one in judged if one.code == "differs"]
    unsettled = [one for one in judged if one.code in ("too_close", "on_the_line")]
    if not judged:
        return f"{begin} Nothing that was read speaks against it."
    if not differs and not unsettled:
        held = len(judged) < len(report.points)
        where = "every point that was read without pins" if held else "every point that was read"
        return f"{begin} {capital(piece)} matches at {where}. Nothing to change before {_before(report)}."
    if differs:
        return (
            f"{begin} {it_is(report, worst_first(differs)[:3], tape)}, "
            "and nothing else that can be done would pay for its work."
        )
    deciding = [one for one in judged if one.decides]
    if deciding and all(one.code == "matches" for one in deciding):
        return (
            f"{begin} {capital(piece)} matches at every point that decides. Nothing to change before {_before(report)}."
        )
    names = listed([f"the {point_name(one.key)}" for one in unsettled])
    verb = "is" if len(unsettled) == 1 else "are"
    if any(one.decides for one in unsettled):
        best = "carrying on is the best plan as it stands"
        return f"{begin} {capital(names)} {verb} too close to call, and {best}."
    return f"{begin} {capital(names)} {verb} too close to call, and the advice is the same either way."


def _carry_on_with_changes(report: Report, action: ActionReport, tape: Tape) -> str:
    done = [sentence(change) for change in changes(report, action, tape)]
    told = ["Carry on.", *done]
    keys = [one.point for one in action.alterations]
    off = [one for one in report.points if one.key in keys and not is_nil(one.difference.value, tape)]
    if off:
        told.append(f"{it_is(report, worst_first(off)[:3], tape)}, and {_makes_up(report, action)}.")
    return " ".join(told)


def _makes_up(report: Report, action: ActionReport) -> str:
    makers = {one.by for one in action.alterations}
    larger = sum(one.mm for one in action.alterations) > 0
    if makers == {"other_body_piece"}:
        other = other_piece(report.head).removeprefix("the ")
        return f"a {'wider' if larger else 'narrower'} {other} makes that up"
    if makers == {"hem"}:
        return "the hem is where that can still be mended"
    if makers == {"cuff_band"}:
        return "the cuff is where that can still be mended"
    return "this makes that up"


def _block_again(report: Report, action: ActionReport, tape: Tape) -> str:
    piece = piece_name(report.head)
    direction = action.stretch_direction or "across"
    share = action.stretch_percent or 0.0
    amount = tape.percent(share)
    told: list[str] = []
    small = worst_first(
        one
        for one in report.points
        if one.direction == direction and one.difference.value < 0 and not is_nil(one.difference.value, tape)
    )
    larger = side_word(direction, 1, comparative=True)
    if small and small[0].measured is not None:
        target = tape.length(small[0].measured.value * (1 + share / 100))
        told.append(f"Block {piece} again, to {target} at the {point_name(small[0].key)}: {amount} {larger}.")
    else:
        told.append(f"Block {piece} again, {amount} {larger}.")
    if small:
        told.append(f"{it_is(report, small[:2], tape)}, and {amount} is a stretch that can hold.")
    pays = "length" if direction == "across" else "width"
    off = tape.percent(share / 2)
    told.append(f"It takes about {off} off the {pays}, and a part goes again at the next wash.")
    if "steam_acrylic" in report.cautions:
        told.append("Do not steam acrylic.")
    told += [sentence(change) for change in changes(report, action, tape)]
    return " ".join(told)


def _rip_back(report: Report, action: ActionReport, tape: Tape) -> str:
    piece = piece_name(report.head)
    underarm = point_of(report, "to_underarm")
    row = f" (row {underarm.count})" if underarm is not None and underarm.count else ""
    counts = new_counts(report, action)
    begin = f"Rip {piece} out down to the underarm{row} and knit upward from there"
    told = [f"{begin} with {counts}." if counts else f"{begin}."]
    anew = {one.point for one in action.alterations if one.by == "this_piece"}
    off = worst_first(one for one in report.points if one.key in anew and one.code != "matches")
    if off:
        told.append(f"{it_is(report, off[:2], tape)}, and below the underarm it can stay as it is.")
    told += [sentence(change) for change in changes(report, action, tape)]
    return " ".join(told)


def _knit_again(report: Report, action: ActionReport, tape: Tape) -> str:
    piece = piece_name(report.head)
    counts = new_counts(report, action)
    if action.dial:
        told = [f"Knit {piece} again at dial {action.dial}, with the planned counts."]
    else:
        told = [f"Knit {piece} again, with {counts}." if counts else f"Knit {piece} again."]
    off = worst_first(one for one in report.points if one.code != "matches" and one.code != "held_at")
    if off:
        told.append(f"{it_is(report, off[:1], tape)}, {_no_other_way(off[0])}.")
    if action.grams and action.grams > 0:
        told.append(f"{action.grams:.0f} g can be unravelled.")
    if action.chance is not None:
        sure = chance_words(action.chance)
        told.append(f"What {piece} taught goes into the next one: {sure} that all of it fits.")
    return " ".join(told)


def _no_other_way(point: PointReport) -> str:
    known = POINTS.get(point.key)
    make_up = known.make_up if known else None
    if make_up is None:
        return "and no other piece can give it back"
    d = point.difference.value
    limit = make_up.too_small_mm if d < 0 else make_up.too_large_mm
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    if point.measured is not None and make_up.share:
        limit = min(limit, make_up.share * abs(point.measured.value))
    if allowed is not None and abs(d) > limit + allowed:
        return "more than the rest of the sweater can make up"
    return "and mending it elsewhere would cost more in the end"
