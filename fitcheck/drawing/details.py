"""Windows of true size round the end of a tape, for the points that differ or are too close to call."""

from __future__ import annotations

from fitcheck.drawing.canvas import View, both, graph
from fitcheck.drawing.laid import At, Laid, gap, lay
from fitcheck.drawing.look import SCREEN, Look
from fitcheck.drawing.svg import Point, drawing, n, path, rect, text
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import INCH_MM
from fitcheck.reports.shapes import Report
from fitcheck.words import Mark, Unit, point_name
from fitcheck.words.figures import Tape

WINDOW_MM = (42.0, 22.0)
"""Width and height of a window [mm], of the piece and on paper alike."""
CSS_PX_PER_MM = 96 / INCH_MM
MOST = 4
ROOM_MM = 3.0
"""What a gap must leave free at the edge of its window [mm]; a larger gap is plain enough in the whole drawing."""
INSIDE_MM = 8.0
"""How far inside the underarm's corner the gap of an armhole's depth is drawn [mm]."""
_SHOWN = ("differs", "too_close", "on_the_line")


@frozen
class Detail:
    """One window of true size.

    letter  that joins it to its place in the whole drawing
    key     its point
    window  left, top, right, bottom [mm of the piece, as laid]
    wanted, piece  where the tape ends on either [mm];  sides: of the piece at which it does
    """

    letter: str
    key: str
    window: tuple[float, float, float, float]
    wanted: Point
    piece: Point
    sides: int = 2

    @property
    def gap_mm(self) -> float:
        """From the wanted end to the measured one [mm]: + where the piece reaches further, per side of a width."""
        return (self.piece[0] - self.wanted[0]) + (self.piece[1] - self.wanted[1])

    @property
    def across(self) -> bool:
        """Whether the gap is across."""
        return self.piece[1] == self.wanted[1]


def details_of(laid: Laid) -> list[Detail]:
    """The windows, at most four, in the order of the keys; points whose gap is larger than a window have none."""
    windows: list[Detail] = []
    sides = 2 if laid.piece.mirrored else 1
    for tape in laid.tapes:
        point = laid.points[tape.key]
        ends = gap(laid, tape)
        if point.code not in _SHOWN or ends is None or point.measured is None or len(windows) == MOST:
            continue
        ends = _by_an_edge(laid, tape.key, ends)
        (x1, y1), (x2, y2) = ends
        wide, high = WINDOW_MM
        if abs(x2 - x1) > wide - 2 * ROOM_MM or abs(y2 - y1) > high - 2 * ROOM_MM:
            continue
        x, y = (x1 + x2) / 2, (y1 + y2) / 2
        window = (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        windows.append(Detail("ABCD"[len(windows)], tape.key, window, *ends, sides))
    return windows


def _by_an_edge(laid: Laid, key: str, ends: tuple[Point, Point]) -> tuple[Point, Point]:
    """An armhole's depth ends level with the underarm and away from every edge: its gap is shown at that corner."""
    corners = [outline.corners["U"][0] for outline in (laid.wanted, laid.piece) if "U" in outline.corners]
    if key != "armhole_depth" or len(corners) < 2:
        return ends
    x = min(corners) - INSIDE_MM
    return (x, ends[0][1]), (x, ends[1][1])


def detail_words(detail: Detail, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The caption of a window, in figures: "A, chest: 0.6 cm missing at each side"."""
    size = Tape(unit, mark).bare(abs(detail.gap_mm))
    name = point_name(detail.key)
    if size == "0":
        return f"{detail.letter}, {name}: as wanted here"
    way = "missing" if detail.gap_mm < 0 else "over"
    each = " at each side" if detail.across and detail.sides == 2 else ""
    return f"{detail.letter}, {name}: {size} {unit} {way}{each}"


def details(
    report: Report,
    unit: Unit = "cm",
    *,
    at: At = "shoulders",
    construction: str | None = None,
    mark: Mark = ".",
    look: Look = SCREEN,
) -> list[tuple[str, str]]:
    """Every window of a report as (SVG, caption); a page shows it, print gives it its true 42 mm."""
    laid = lay(report, at, construction)
    if isinstance(laid, CannotSay):
        return []
    windows = []
    for detail in details_of(laid):
        wide, high = (CSS_PX_PER_MM * mm for mm in WINDOW_MM)
        own = f"de{detail.letter.lower()}"
        window = drawing(
            "detail", wide, high, [window_parts(laid, detail, unit, CSS_PX_PER_MM, own, look=look)], look=look
        )
        windows.append((window, detail_words(detail, unit, mark=mark)))
    return windows


def window_parts(
    laid: Laid,
    detail: Detail,
    unit: Unit,
    scale: float,
    ids: str,
    *,
    look: Look = SCREEN,
    hatched_as: str | None = None,
) -> str:
    """What stands inside a window; scale: units per millimetre; hatched_as: of the drawing that it stands in."""
    left, top, right, bottom = detail.window
    wide, high = scale * (right - left), scale * (bottom - top)
    # A right front stands mirrored: its window's left edge is the larger x.
    view = View(scale, scale * right if laid.flip else -scale * left, -scale * top, laid.flip)
    x1, y1 = view.at(detail.wanted)
    x2, y2 = view.at(detail.piece)
    stop = "v8M{} {}v8" if detail.across else "h8M{} {}h8"
    a, b = ((0.0, -4.0), (0.0, -4.0)) if detail.across else ((-4.0, 0.0), (-4.0, 0.0))
    first = f"M{n(x1 + a[0])} {n(y1 + a[1])}"
    stops = first + stop.format(n(x2 + b[0]), n(y2 + b[1]))
    inside = [
        f'<clipPath id="{ids}-c"><rect width="{n(wide)}" height="{n(high)}"/></clipPath>',
        f'<g clip-path="url(#{ids}-c)">',
        graph(look, ids, view, unit, wide, high),
        both(look, ids, laid, view, wide, high, hatched_as=hatched_as),
        path(look, "d-gap", f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}{stops}"),
        "</g>",
        rect(look, "cell", 0.5, 0.5, wide - 1.0, high - 1.0),
        text(look, "d-let", 7.0, 17.0, detail.letter),
    ]
    return "".join(inside)
