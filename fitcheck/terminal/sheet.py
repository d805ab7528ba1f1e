"""A knitting sheet for a terminal: a line an act, a box for each time. Only layout stands here."""

from __future__ import annotations

from fitcheck.knitting.lines import Sheet
from fitcheck.terminal.page import Page, joined
from fitcheck.terminal.paper import UNBROKEN, WIDTH, heading
from fitcheck.words import CM
from fitcheck.words.sheet import LineTold, sheet_told

_COUNTER, _CARRIAGE = 7, 6
"""Columns of the counter and of the carriage."""


def printed_sheet(sheet: Sheet, *, title: str = "", width: int = WIDTH) -> str:
    """The sheet: what stands above the lines, the lines part by part, and what its words mean.

    title  what is knitted from it, "Two sleeves"; its piece otherwise;  width: columns, 60 or more
    """
    page = Page(CM, width)
    told = sheet_told(sheet)
    facts = [line for name, figure in told.facts for line in page.wrap(f"{name}: {figure}", "  ", "    ")]
    blocks = [[title or told.title, *facts]]
    for part in told.parts:
        title = f"{part.title}: {part.counters}" if part.counters else part.title
        blocks.append([*heading(title), *(line for act in part.lines for line in _line(page, act))])
    words = [line for name, meaning in told.words for line in page.wrap(f"{name}: {meaning}", "  ", "    ")]
    blocks.append([*heading("The words"), *words])
    return joined(blocks, apart=1)


def _line(page: Page, line: LineTold) -> list[str]:
    indent = " " * (_COUNTER + _CARRIAGE + 8)
    first = f"  [ ] {line.counter or '____':>{_COUNTER - 2}}  {line.carriage:<{_CARRIAGE}} "
    after = f" - {line.stitches} stitches" if line.stitches else ""
    needles = f", {line.needles}" if line.needles else ""
    act = f"{line.act}{after}{needles}"
    if not line.repeat:
        lines = page.wrap(act, first, indent)
    else:
        lines = page.wrap(f"{act}: {line.repeat}", first, indent)
        boxes = "  ".join(f"[ ] {counter} > {stitches}".replace(" ", UNBROKEN) for counter, stitches in line.boxes)
        lines += page.wrap(boxes, indent)
    return [*lines, *(text for note in line.notes for text in page.wrap(note, indent))]
