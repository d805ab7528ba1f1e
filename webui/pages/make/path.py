"""The path of a make: five ticks in one line, the same on every page of it."""

from __future__ import annotations

from typing import Literal

from fitcheck.advice.rounds import every_piece_read
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Advice, Report
from fitcheck.words import pages as say
from fitcheck.words.phrases import capital, spaced
from webui.pages.make.found import measure_url

WAITING = ("measure_again", "block_again", "rip_back", "knit_again")
"""Advice after which the piece on the table is not done."""
FINISHED_TICK = "Finished"
"""The last tick once every piece is read."""


@frozen
class Tick:
    """One tick of the path: its name, where it leads, how far it is, and that in words for who cannot see it."""

    name: str
    to: str
    state: Literal["done", "next", "later"]
    here: bool = False

    @property
    def told(self) -> str:
        """ "Fabric, done" """
        return say.tick(self.name, self.state)


def path_of(record: Make, report: Report, here: str = "") -> tuple[Tick, ...]:
    """The order of the work. Ticks are never locked; once every piece is read the last one is *Finished*.

    here  the name of the tick whose page this is; empty on the page of the make
    """
    fits, at = record.fits, f"/makes/{record.id}"
    read = report.head.readings > 0
    waits = isinstance(report.recommendation, Advice) and report.recommendation.action in WAITING
    all_read = every_piece_read(record)
    steps = [
        ("What to fit", f"{at}/fits", bool(fits.is_said or read)),
        ("Fabric", f"{at}/fabric", bool(record.swatches)),
        ("Size", f"{at}/sizes", bool(record.size or record.size_table)),
        (test_piece(report), measure_url(record), read and report.head.stage == "blocked" and not waits),
    ]
    if record.finished is not None or here == FINISHED_TICK or (all_read and not waits):
        steps.append((FINISHED_TICK, f"{at}/finish", record.finished is not None))
    else:
        steps.append(("The rest", f"{at}/rest" if report.rest else measure_url(record), all_read))
    if record.finished is not None:
        # What was never done for a sweater that is finished comes no more.
        steps = [(name, to, True) for name, to, _ in steps]
    # Once a piece lies on the table, what comes before it is not waited for.
    begin = 3 if read else 0
    open_at = next((place for place in range(begin, len(steps)) if not steps[place][2]), len(steps))
    return tuple(
        Tick(name, to, "done" if done else "next" if place == open_at else "later", name == here)
        for place, (name, to, done) in enumerate(steps)
    )


def test_piece(report: Report) -> str:
    """What the fourth tick is called: the piece that was read, before that the back."""
    return capital(spaced(report.head.piece_kind or "back"))
