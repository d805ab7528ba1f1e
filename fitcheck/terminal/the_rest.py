"""The rest of the sweater for a terminal: counts, seams, yarn. Only layout stands here."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.reports.on_the_needles import BandBegun, OnTheNeedles
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.terminal.page import Page, joined
from fitcheck.terminal.paper import WIDTH, heading
from fitcheck.words import Mark, Tape, Unit
from fitcheck.words.lifting import RefusedSaid
from fitcheck.words.on_the_needles import band_said, needles_said
from fitcheck.words.phrases import capital
from fitcheck.words.picked_up import PickSaid
from fitcheck.words.seams import seams_said
from fitcheck.words.the_rest import PieceSaid, rest_said
from fitcheck.words.yarn_left import yarn_said

_GAP = "  "


def printed_rest(
    answer: RestAnswer,
    unit: Unit = "cm",
    *,
    in_hand: OnTheNeedles | None = None,
    bands: Sequence[BandBegun] = (),
    width: int = WIDTH,
    mark: Mark = ".",
) -> str:
    """What to cast on next or to go on with, a table of counts for each piece, and the heads of seams and yarn.

    unit     cm, in or mm;  width: columns, 60 or more;  mark: decimal mark
    in_hand  the piece on the needles that is told of first; None where none is
    bands    those whose sheets are begun
    """
    page = Page(Tape(unit, mark), width)
    asks = in_hand is not None and in_hand.asks
    said = rest_said(answer, page.tape, {in_hand.kind: in_hand.begun.counts} if in_hand and asks else None)
    needles = needles_said(in_hand) if in_hand is not None else None
    first = needles if needles is not None else said
    blocks = [[*page.wrap(first.head), *page.wrap(first.because)]]
    if needles is not None:
        sides = [side for side in (needles.keep, needles.knit) if side is not None]
        blocks.append(page.told([f"{side.head}. {side.told}" for side in sides]))
    if said.refused is not None:
        blocks.append(_ways_out(page, said.refused))
        blocks.append(page.listed("Why they cannot", [told for _, told in said.refused.links]))
    for piece in said.pieces:
        blocks += [_piece(page, piece), *([_ways_out(page, piece.ways)] if piece.ways is not None else ())]
    blocks.append(page.listed("Bands on the machine", [f"{band.name}. {band.told}" for band in map(band_said, bands)]))
    if said.binds:
        kept = [f"{bind.name}. {bind.told} {bind.cost}".rstrip() for bind in said.binds]
        blocks.append(page.listed("What binds", [said.bind, *kept]))
    if answer.why is None:
        seams, yarn = seams_said(answer, page.tape), yarn_said(answer, page.tape)
        blocks.append(page.listed("Seams", [f"{seams.head} {seams.because}"]))
        blocks.append(page.listed("Yarn", [f"{yarn.head} {yarn.because}"]))
    return joined(blocks, apart=1)


def printed_seams(answer: RestAnswer, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".") -> str:
    """Every seam in the order of making up: both its sides, and whether they fit; arguments as `printed_rest`."""
    page = Page(Tape(unit, mark), width)
    said = seams_said(answer, page.tape)
    blocks = [[*page.wrap(said.head), *page.wrap(said.because), *page.told(said.mind)]]
    for number, seam in enumerate(said.seams, start=1):
        lines = [f"{number}  {seam.title}: {seam.verdict}"]
        widest = max((len(edge.name) for edge in seam.edges), default=0)
        for edge in seam.edges:
            lines += page.wrap(edge.measure, f"   {edge.name:<{widest}}{_GAP}", " " * (3 + widest + len(_GAP)))
        blocks.append([*lines, *page.wrap(seam.told, "   ")])
    ways = [f"{way.head}. {way.told} {way.cost}" for way in said.ways]
    blocks.append(page.listed("What to change", ways))
    blocks += [_picked(page, pick) for pick in said.picks if pick.runs]
    blocks.append(page.listed("Armholes", [ask.told for ask in said.asks]))
    return joined(blocks, apart=1)


def _picked(page: Page, pick: PickSaid) -> list[str]:
    """Which loops and rows a band takes, in the order in which it is picked up."""
    lines = heading(pick.head)
    for run in pick.runs:
        lines += page.wrap(f"{run.letter}  {run.head} {run.told}", "  ", "     ")
    return [*lines, *page.told([" ".join(pick.acts), pick.note])]


def printed_yarn(
    answer: RestAnswer,
    unit: Unit = "cm",
    *,
    width: int = WIDTH,
    mark: Mark = ".",
    on_the_needles: Sequence[OnTheNeedles] = (),
) -> str:
    """Whether the yarn lasts, and what each piece takes; on_the_needles: what is begun. The rest as `printed_rest`."""
    page = Page(Tape(unit, mark), width)
    said = yarn_said(answer, page.tape, on_the_needles)
    facts = [line for label, figure in said.facts for line in page.wrap(f"{label}: {figure}", "  ", "    ")]
    blocks = [[*page.wrap(said.head), *page.wrap(said.because)], facts]
    if said.rows:
        cells = [("piece", "stitches", "grams", "likely", "lot")]
        cells += [(row.piece, row.loops, row.grams, row.likely, row.lot) for row in said.rows]
        wide = _table(cells, left=(0, 4))
        blocks.append([*heading("Per piece"), *(wide if _fits(page, wide) else _table(cells, left=(0, 4), gap=" "))])
    blocks.append(page.listed(said.ways_head, [f"{way.head}, {way.chance}. {way.told}" for way in said.ways]))
    blocks.append(page.listed("Decide before each piece", [f"{when} {what}" for when, what in said.decide]))
    blocks.append(page.told(said.notes))
    return joined(blocks, apart=1)


def _ways_out(page: Page, refused: RefusedSaid) -> list[str]:
    return page.listed("Ways out", [f"{way.head}. {way.told} {way.cost}".rstrip() for way in refused.ways])


def _piece(page: Page, piece: PieceSaid) -> list[str]:
    lines = [*heading(piece.title), *(_counts(page, piece) if piece.rows else ())]
    asked = [f"{piece.asks}?"] if piece.asks else []
    return [*lines, *page.told([*asked, *piece.why, *piece.notes])]


def _counts(page: Page, piece: PieceSaid) -> list[str]:
    """The table of counts; on a narrow page without the change, which planned and knit say too."""
    gives = f"gives, {page.in_unit}"
    full = [("", "planned", "knit", "", gives, "fits")]
    full += [
        (capital(row.point), row.planned, row.knit, row.change, page.full(row.gives), row.fits) for row in piece.rows
    ]
    if _fits(page, lines := _table(full, left=(0, 3, 5))):
        return lines
    narrow = [("", "plan", "knit", page.in_unit, "fits"), *((*row[:3], *row[4:]) for row in full[1:])]
    lines = _table(narrow, left=(0, 4))
    return lines if _fits(page, lines) else _table(narrow, left=(0, 4), gap=" ")


def _fits(page: Page, lines: Sequence[str]) -> bool:
    """Whether no line is wider than the page."""
    return max(map(len, lines)) <= page.width


def _table(cells: Sequence[Sequence[str]], *, left: Sequence[int], gap: str = _GAP) -> list[str]:
    """Rows of cells in columns; those of `left` begin at their left edge, figures end at the right."""
    wide = [max(len(row[at]) for row in cells) for at in range(len(cells[0]))]
    return [
        "  "
        + gap.join(
            cell.ljust(wide[at]) if at in left else cell.rjust(wide[at]) for at, cell in enumerate(row) if wide[at]
        ).rstrip()
        for row in cells
    ]
