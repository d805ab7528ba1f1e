"""What explains the differences: one gauge, a slip in the counts, two gauges, another dial; gauge and ease."""

from __future__ import annotations

from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.reports.shapes import DirectionReport, EaseReport, GaugeReport, Head, Report
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.figures import CM, Tape, chance_words
from fitcheck.words.names import direction_of, piece_name, point_name, stage_name
from fitcheck.words.phrases import capital, counted_words, listed, measure_word, spaced
from fitcheck.words.points import point_of

_EASE = {
    "very_close": "very close",
    "close": "close",
    "standard": "standard",
    "loose": "loose",
    "oversized": "oversized",
}


def explanation_sentences(report: Report, tape: Tape = CM) -> tuple[str, ...]:
    """What explains the differences, a sentence or two per direction; the one asked about, or doubted, first."""
    if isinstance(report.explanation, CannotSay):
        return (cannot_say_sentence(report.explanation),)
    lead = _asked_direction(report) or report.explanation.direction
    directions = sorted(report.explanation.directions, key=lambda direction: direction.direction != lead)
    told = tuple(dict.fromkeys(_explained(report, direction, tape) for direction in directions))
    return told or ("Cannot say what explains it: no counts were given.",)


def _asked_direction(report: Report) -> str | None:
    """The direction in which a count is asked for, where its counts and lengths do not go together."""
    advice = report.recommendation
    if isinstance(advice, CannotSay) or advice.reason != "miscount" or not advice.about:
        return None
    asked = direction_of(advice.about)
    odd = (told.direction for told in _directions(report) if told.code not in ("one_gauge", "cannot_say"))
    return asked if asked in odd else None


def _no_miscount(report: Report) -> str:
    """That nothing was miscounted, where nothing of the piece is doubted: neither widths nor lengths."""
    explanation = report.explanation
    doubted = isinstance(explanation, CannotSay) or any(
        direction.code not in ("one_gauge", "cannot_say") for direction in explanation.directions
    )
    return "" if doubted else " No miscount."


def _explained(report: Report, direction: DirectionReport, tape: Tape) -> str:
    thing = measure_word(direction.direction)
    noun = "row" if direction.direction == "along" else "stitch"
    match direction.code:
        case "one_gauge":
            counted = [point for point in report.points if point.direction == direction.direction and point.count]
            size = _size_words(direction, tape)
            if size is None:
                return f"One {noun} size explains every {thing}.{_no_miscount(report)}"
            if len(counted) < 2:
                return f"The one {thing} with a count makes {size}."
            return f"One {noun} size explains every {thing}: {size}.{_no_miscount(report)}"
        case "miscount":
            point = point_of(report, direction.point)
            name = point_name(direction.point) if direction.point else "one point"
            how_sure = chance_words(direction.weights["miscount"]) if "miscount" in direction.weights else ""
            told = f"The {name} does not go with the other {thing}s"
            if point is not None and point.count and direction.stitches:
                likely = ""
                if direction.stitches_low is not None and direction.stitches_high is not None:
                    low, high = point.count + direction.stitches_low, point.count + direction.stitches_high
                    likely = f" (likely {low} to {high})" if low != high else ""
                told += (
                    f": it is as if {counted_words(direction.direction, point.count + direction.stitches)} were there"
                )
                told += f"{likely}, not {point.count}"
            return f"{told}. {how_sure} that it is a miscount." if how_sure else f"{told}."
        case "zone":
            return _zone(report, direction)
        case "cast_on":
            return _cast_on(report, direction)
        case "two_gauges":
            return " ".join((*two_gauges(direction), *_each_its_own(report)))
        case "another_dial":
            dial = f"what dial {direction.dial} makes"
            return f"The widths and the lengths both are {dial}. {_chance_of(direction)} that it stood there."
        case "out_of_shape":
            return f"{capital(out_of_shape(report, direction.percent))}: {_chance_of(direction)}."
        case _:
            return f"Cannot say what explains the {thing}s: {_lacks(report, direction.direction)}."


def _zone(report: Report, direction: DirectionReport) -> str:
    """ "The hem and the chest go together, but not with the other widths: as if 4 stitches fewer were there." """
    thing = measure_word(direction.direction)
    names = listed([f"the {point_name(key)}" for key in direction.points])
    others = any(
        point.direction == direction.direction and point.key not in direction.points for point in report.points
    )
    apart = f"go together, but not with the other {thing}s" if others else "are off by the same"
    told = f"{capital(names)} {apart}: as if {_more_or_fewer(direction)} were there"
    point = point_of(report, direction.point)
    if point is not None and point.count and direction.stitches:
        told += f", {point.count + direction.stitches} at the {point_name(point.key)}, not {point.count}"
    return f"{told}. {_chance_of(direction)} that it is a slip there."


def _cast_on(report: Report, direction: DirectionReport) -> str:
    """ "Every width is off by the same: as if 6 stitches fewer had been cast on." """
    thing = measure_word(direction.direction)
    rest = {point.key for point in report.points if point.direction == direction.direction} - set(direction.points)
    up_to = listed([f"the {point_name(key)}" for key in direction.points]) if direction.points else ""
    begin = f"{capital(up_to)} are" if rest and len(direction.points) > 1 else f"Every {thing} is"
    as_if = f"as if {_more_or_fewer(direction)} had been cast on" if direction.stitches else "as after a wrong cast-on"
    return f"{begin} off by the same: {as_if}."


def _chance_of(direction: DirectionReport) -> str:
    """How likely the explanation is: "8 in 10"."""
    return chance_words(direction.weights.get(direction.code, 0.0))


def _more_or_fewer(direction: DirectionReport) -> str:
    """ "4 stitches fewer"."""
    many = direction.stitches or 0
    return f"{counted_words(direction.direction, abs(many))} {'more' if many > 0 else 'fewer'}"


def out_of_shape(report: Report, percent: float | None) -> str:
    """ "the back lies 4 % longer, and as much narrower, than this fabric lies by itself"."""
    pulled = percent or 0.0
    way = ("longer", "narrower") if pulled > 0 else ("shorter", "wider")
    by = f"{abs(pulled):.0f} %"
    return f"{piece_name(report.head)} lies {by} {way[0]}, and as much {way[1]}, than this fabric lies by itself"


LEAST_PULL = 0.01
"""Widths and lengths off by less on average say nothing of a pull [1] (assumed)."""
SMALLEST_CHANCE = 0.05
"""A pull that the fabric makes less likely is not asked about [1]."""


def laid_without_pulling(report: Report) -> list[str]:
    """Asks how the piece was laid where its widths and lengths are off in opposite ways; empty where they are not.

    What the fabric tells of its shape answers that where it makes a pull unlikely.
    """
    weights = [direction.weights for direction in _directions(report)]
    if any(told.get("out_of_shape", 1.0) < SMALLEST_CHANCE for told in weights):
        return []
    off = {way: _mean_share(report, way) for way in ("across", "along")}
    if off["across"] * off["along"] >= 0 or min(map(abs, off.values())) < LEAST_PULL:
        return []
    way = ("long", "narrow") if off["along"] > 0 else ("wide", "short")
    piece = piece_name(report.head)
    return [f"Was {piece} laid without pulling? Pulled {way[0]}, it lies {way[1]}: then wet it, and lay it anew first."]


def _directions(report: Report) -> tuple[DirectionReport, ...]:
    return () if isinstance(report.explanation, CannotSay) else report.explanation.directions


def _mean_share(report: Report, direction: str) -> float:
    """How far the points of a direction are off on average, as a share of what is wanted [1]; nil without any."""
    shares = [
        point.difference.value / point.wanted.value
        for point in report.points
        if point.direction == direction and point.wanted is not None and point.wanted.value
    ]
    return sum(shares) / len(shares) if shares else 0.0


def _lacks(report: Report, direction: str) -> str:
    """What is missing before a direction can be explained: two points with a tape reading and a count."""
    thing, piece = measure_word(direction), piece_name(report.head)
    noun = "rows" if direction == "along" else "stitches"
    points = [point for point in report.points if point.direction == direction]
    if report.head.carried:
        return f"{piece} is not washed and blocked yet"
    if not points:
        return f"none was read; read two of them, and count their {noun}"
    if all(point.code == "held_at" for point in points):
        return "pins held them; take the pins out, and read them lying free"
    taped = [point for point in points if point.read is not None]
    counted = f", and count their {noun}" if sum(point.count is not None for point in points) < 2 else ""
    if not taped:
        return f"only overhangs were read; read two {thing}s of {piece} with the tape{counted}"
    if len(taped) < 2:
        return f"only the {point_name(taped[0].key)} was read with the tape; read another {thing} too{counted}"
    return f"count the {noun} at two of them"


def _size_words(direction: DirectionReport, tape: Tape) -> str | None:
    """Stitch or row size with its interval, as a gauge: hundredths of a millimetre are on no tape."""
    if direction.size is None:
        return None
    q, noun = direction.size, "rows" if direction.direction == "along" else "stitches"
    value, low, high = (tape.number(tape.span_mm / mm, 1) for mm in (q.value, q.high, q.low))
    return f"{value} {noun} to {tape.span} (likely {low} to {high})"


def _each_its_own(report: Report) -> list[str]:
    """How a piece of two sizes is reckoned on, where nothing is left to count first."""
    asked = not isinstance(report.recommendation, CannotSay) and report.recommendation.reason == "miscount"
    return [] if asked else ["Each part is reckoned with its own size."]


def two_gauges(direction: DirectionReport) -> tuple[str, str]:
    """Where the stitch or row changes its size, and what to look for there."""
    noun = "row" if direction.direction == "along" else "stitch"
    begin = f"From above the {point_name(direction.point)} on" if direction.point else "From some row on"
    if direction.percent is None:
        size = "has another size"
    else:
        size = f"is {abs(direction.percent):.0f} % {'larger' if direction.percent > 0 else 'smaller'}"
    return f"{begin} the {noun} {size}.", "Was the dial, the lot or the weight changed there?"


def gauge_sentence(gauge: GaugeReport, head: Head, tape: Tape = CM) -> str:
    """Gauge at one stage: "The back, blocked and dry: 23.5 stitches to 10 cm (likely 23.3 to 23.7)."."""
    q: Quantity = gauge.per_4in if tape.unit == "in" else gauge.per_10cm
    noun = "rows" if gauge.direction == "along" else "stitches"
    value, low, high = (tape.number(size, 1) for size in (q.value, q.low, q.high))
    stage = stage_name(gauge.stage)
    of = capital(piece_name(head) if gauge.of == head.piece else spaced(gauge.of)) or "This fabric"
    return f"{of}, {stage}: {value} {noun} to {tape.span} (likely {low} to {high})."


def ease_sentence(ease: EaseReport, tape: Tape = CM) -> str:
    """Ease at a point: "Ease at the chest: 8.0 cm (likely 6.9 to 9.1), standard."."""
    q = ease.ease
    how = f", {_EASE.get(ease.ease_class, spaced(ease.ease_class))}" if ease.ease_class else ""
    value, low, high = tape.bare(q.value), tape.bare(q.low), tape.bare(q.high)
    return f"Ease at the {point_name(ease.key)}: {value} {tape.unit} (likely {low} to {high}){how}."
