"""A garment of the wardrobe with its tapes, body and folded sleeve at one scale; and any two over one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitcheck.drawing.laid import PLACES, At, Laid, shifts_of, two_outlines
from fitcheck.drawing.look import SCREEN, WIDTH, Look
from fitcheck.drawing.outline import Outline, folded_sleeve, outline_of
from fitcheck.drawing.overlay import LINE, SAMPLE, Body, body_of
from fitcheck.drawing.svg import drawing, n, path, text
from fitcheck.drawing.tapes import in_order, tape_of
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.records.constructions import USUAL
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import INCH_MM, whole_steps
from fitcheck.records.points import POINTS, SLEEVES
from fitcheck.reports.shapes import PointReport
from fitcheck.words import Mark, Unit

_ALONE = replace(SCREEN, classes={**SCREEN.classes, "o-ref": ' fill="none"'})
"""A garment alone has no dashed outline under it."""
HEADING = LINE + 12.0
"""What the name of the second figure takes [units]."""


def body_measures(measures: Mapping[str, float]) -> dict[str, float]:
    """The measures that the outline of a garment's body, its back, is drawn from."""
    return {key: mm for key, mm in measures.items() if "back" in POINTS[key].pieces}


def sleeve_measures(measures: Mapping[str, float]) -> dict[str, float]:
    """The measures that the outline of its sleeve is drawn from."""
    return {key: mm for key, mm in measures.items() if set(SLEEVES) & set(POINTS[key].pieces)}


def garment_drawing(
    measured: Mapping[str, Quantity],
    unit: Unit,
    label: str,
    *,
    construction: str = USUAL,
    mark: Mark = ".",
) -> tuple[str, dict[str, int]]:
    """A garment with its tapes, and the figure of each point on it.

    measured      points of measure, widths flat [mm]
    label         what it shows, one sentence
    construction  as the garment names it;  mark: decimal mark

    The sleeve stands below the body at the same scale, folded as it lies. Each of the two is left out where too
    little was measured; without both the drawing is an empty text.
    """
    garment = _Garment(_values(measured), construction)
    return _drawing(_figures(garment, garment, measured, "shoulders", measured=True), unit, label, "ga", _ALONE, mark)


def two_over_one_another(
    under: Mapping[str, Quantity],
    over: Mapping[str, Quantity],
    unit: Unit,
    label: str,
    *,
    at: At = "shoulders",
    constructions: tuple[str, str] = (USUAL, USUAL),
    mark: Mark = ".",
) -> tuple[str, dict[str, int]]:
    """One garment (full) over another (dashed); tapes where both were read, with the difference beside them.

    constructions  of the lower and of the upper one;  the rest as for ``garment_drawing``

    What only one was measured at is lent to the other, so that no false difference shows.
    """
    differences = {key: written_less(measure, under[key], unit) for key, measure in over.items() if key in under}
    first, second = (
        _Garment(_values(measures), built) for measures, built in zip((under, over), constructions, strict=True)
    )
    figures = _figures(first, second, differences, at, measured=False)
    return _drawing(figures, unit, label, "ov", SCREEN, mark)


def less(measure: Quantity, other: Quantity) -> Quantity:
    """One measure less another, each read by itself [mm]."""
    u = (measure.u**2 + other.u**2) ** 0.5
    half = (((measure.high - measure.low) / 2) ** 2 + ((other.high - other.low) / 2) ** 2) ** 0.5
    value = measure.value - other.value
    return Quantity(value, value - half, value + half, measure.level, u, None, "mm")


def written_less(measure: Quantity, other: Quantity, unit: Unit, parts: int = 8) -> Quantity:
    """One measure less another, its value the difference of the two figures as they stand beside it [mm].

    parts  of an inch that figures are written to
    """
    exact = less(measure, other)
    step = INCH_MM / parts if unit == "in" else 1.0
    return replace(exact, value=step * (whole_steps(measure.value, step) - whole_steps(other.value, step)))


@frozen
class _Garment:
    """What a garment is drawn from: its measures [mm] and its construction."""

    measures: Mapping[str, float]
    construction: str

    def body(self, lent: Outline | None) -> Outline | CannotSay:
        return outline_of(body_measures(self.measures), construction=self.construction, under=lent)

    def sleeve(self, lent: Outline | None) -> Outline | CannotSay:
        return folded_sleeve(sleeve_measures(self.measures), construction=self.construction, under=lent)


def _values(measured: Mapping[str, Quantity]) -> dict[str, float]:
    return {key: quantity.value for key, quantity in measured.items()}


def _figures(
    lower: _Garment, upper: _Garment, shown: Mapping[str, Quantity], at: At, *, measured: bool
) -> list[tuple[Laid, bool]]:
    """Body and sleeve as far as they can be drawn, each with whether it is the sleeve.

    shown  what stands beside the tapes;  measured: it is a measure, not a difference
    """
    figures: list[tuple[Laid, bool]] = []
    count = 0
    for pair, sleeve in (
        (two_outlines(lower.body, upper.body), False),
        (two_outlines(lower.sleeve, upper.sleeve), True),
    ):
        if isinstance(pair, CannotSay):
            continue
        below, above = pair
        carried = sleeve_measures(upper.measures) if sleeve else body_measures(upper.measures)
        tapes = [tape for key in in_order(carried) if key in shown and (tape := tape_of(above, key)) is not None]
        numbers = {tape.key: place for place, tape in enumerate(tapes, start=count + 1)}
        points = {key: _point(key, shown[key], measured=measured) for key in numbers}
        figures.append((Laid(below, above, at, shifts_of(below, above), numbers, points, tuple(tapes), False), sleeve))
        count += len(tapes)
    return figures


def _drawing(
    figures: Sequence[tuple[Laid, bool]], unit: Unit, label: str, ids: str, look: Look, mark: Mark
) -> tuple[str, dict[str, int]]:
    """The whole drawing and the figures of its points; empty without a figure."""
    if not figures:
        return "", {}
    svg, height = _below_one_another(figures, unit, ids, look, mark)
    if look is SCREEN:
        legend, more = _legend(figures, ids, look, height)
        svg, height = [*svg, legend], height + more
    numbers = {key: number for laid, _ in figures for key, number in laid.figures.items()}
    return drawing("overlay", WIDTH, height, svg, label=label, ids=ids), numbers


def _below_one_another(
    figures: Sequence[tuple[Laid, bool]], unit: Unit, ids: str, look: Look, mark: Mark
) -> tuple[list[str], float]:
    """Every figure at the smallest of their scales, one scale bar under the last."""

    def drawn(place: int, scale: float | None) -> Body:
        last = place == len(figures) - 1
        return body_of(figures[place][0], unit, ids=f"{ids}{place}", look=look, scale=scale, mark=mark, bar=last)

    smallest = min(drawn(place, None).view.scale for place in range(len(figures)))
    # Nothing moves them on a page, so all that is between the two as they lie is hatched.
    figures = [(replace(laid, shifts=dict.fromkeys(PLACES, laid.shift)), sleeve) for laid, sleeve in figures]
    bodies = [drawn(place, smallest) for place in range(len(figures))]
    parts, y = [], 0.0
    for place, (body, (_, sleeve)) in enumerate(zip(bodies, figures, strict=True)):
        if sleeve:
            if place:
                parts.append(path(look, "cell", f"M0 {n(y)}H{n(WIDTH)}"))
            parts.append(text(look, "l-label", 9.0, y + LINE + 2.0, "one sleeve, folded as it lies"))
            y += HEADING
        parts.append(f'<g transform="translate(0 {n(y)})">{body.svg}</g>')
        y += body.height
    return parts, y


def _legend(figures: Sequence[tuple[Laid, bool]], ids: str, look: Look, top: float) -> tuple[str, float]:
    """What lines and dots between the two outlines mean; nothing where nothing is hatched."""
    place = next((place for place, (laid, _) in enumerate(figures) if laid.zones()), None)
    if place is None:
        return "", 0.0
    parts = []
    for row, (kind, said) in enumerate(
        (("s", "the dashed one reaches further"), ("o", "the full one reaches further"))
    ):
        y = top + LINE + row * (LINE + 2.0)
        parts.append(
            f'<rect x="9" y="{n(y - 10.2)}" width="22" height="12" fill="url(#{ids}{place}-{kind})"/>'
            + text(look, "l-text", 9.0 + SAMPLE, y, said)
        )
    return f'<g class="legend">{"".join(parts)}</g>', 2 * LINE + 10.0


def _point(key: str, shown: Quantity, *, measured: bool) -> PointReport:
    """A point as a drawing labels it: what was measured stands beside the tape, else the difference."""
    point = POINTS[key]
    read = shown if measured else None
    return replace(
        _UNREAD,
        key=key,
        name=point.name,
        direction=point.direction,
        flat=point.flat,
        measured=read,
        read=read,
        difference=shown,
    )


_UNREAD = PointReport(
    key="chest",
    name="chest",
    direction="across",
    flat=True,
    wanted=None,
    measured=None,
    read=None,
    difference=Quantity(0.0, 0.0, 0.0, 0.9, 0.0, None, "mm"),
    allowed_smaller_mm=None,
    allowed_larger_mm=None,
    code="not_measured",
    alone="not_measured",
    reason=None,
    side=None,
    readings_needed=None,
    chance_within=0.0,
    count=None,
    readings=0,
    reference_readings=0,
    source="garment",
    garment_mm=None,
    decides=False,
    weight=0.0,
)
"""A point of no verdict: a garment by itself is neither right nor wrong."""
