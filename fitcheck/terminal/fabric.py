"""A fabric as text for a terminal: gauge, change in finishing, the dial and the next swatch, 80 columns.

Only layout stands here; the sentences come from ``fitcheck.words.fabric``.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck import words
from fitcheck.advice.fabric.shapes import ClickReport, FabricAnswer, FabricGauge
from fitcheck.estimates.numbers import CannotSay
from fitcheck.terminal.page import Page, joined
from fitcheck.terminal.paper import WIDTH, heading
from fitcheck.words import CM, Mark, Tape, Unit
from fitcheck.words import fabric as words_fabric
from fitcheck.words.names import NO_NAMES, Names, size_name

_NEAR = 1.0
"""Clicks up to this many numbers beyond what was knitted are printed; the JSON answer has all of them."""
_SPANS = ("10 cm", "4 in")
_FIGURES = 52
"""Columns that dial, stitches and rows of a swatch take beside its name."""


def printed_fabric(
    answer: FabricAnswer, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".", names: Names = NO_NAMES
) -> str:
    """Lay out a fabric's answer by itself.

    unit   cm, in or mm;  width  columns, 60 or more;  mark  decimal mark
    names  what the records are called; a swatch without one is called by its key
    Ends with one line break; no line ends with a space.
    """
    page = _FabricText(answer, Tape(unit, mark), width, names)
    return joined([page.answer(), *page.blocks()])


def fabric_blocks(
    answer: FabricAnswer, tape: Tape = CM, *, width: int = WIDTH, names: Names = NO_NAMES
) -> list[list[str]]:
    """The parts of a fabric's answer as blocks of lines, for a page that holds more than the fabric."""
    return _FabricText(answer, tape, width, names).blocks()


class _FabricText(Page):
    """One fabric on its way to paper."""

    def __init__(self, answer: FabricAnswer, tape: Tape, width: int, names: Names) -> None:
        super().__init__(tape, width)
        self.fabric, self.names = answer, names

    def blocks(self) -> list[list[str]]:
        groups = words_fabric.groups_sentences(self.fabric, self.names)
        left_out = [words_fabric.left_out_sentence(left_out, self.names) for left_out in self.fabric.left_out]
        parts = [
            self.gauge(),
            self.change(),
            self.dials(),
            self.next_swatch(),
            self.specimens(),
            self.listed("Fabrics among the swatches", groups),
            self.listed("Not pooled", left_out),
            self.listed("Taken for granted about the fabric", self.assumed()),
        ]
        return [block for block in parts if block]

    def answer(self) -> list[str]:
        answer, tape = self.fabric, self.tape
        asked = words_fabric.group_asked_sentence(answer)
        lines = [*self.wrap(asked), ""] if asked else []
        lines += self.wrap(words_fabric.gauge_headline(answer, tape))
        lines += self.wrap(words_fabric.dial_headline(answer.dials, tape))
        return [*lines, "", *self.wrap(words_fabric.fabric_stamp(answer))]

    def gauge(self) -> list[str]:
        """The next piece at every stage: stitches and rows to 10 cm and to 4 in."""
        answer = self.fabric
        if isinstance(answer.gauge, CannotSay):
            return []
        at = f" at dial {answer.dial}" if answer.dial else ""
        rows: list[tuple[str, ...]] = [("", "to 10 cm", "likely", "to 4 in", "likely")]
        for direction, noun in (("across", "stitches"), ("along", "rows")):
            rows.append(())
            for gauge in answer.gauge:
                if gauge.direction == direction:
                    stage = words.stage_name(gauge.stage)
                    rows.append((f"{noun}, {stage}", *self._spans(gauge)))
        return [*heading(f"The next piece{at}"), *_table(rows)]

    def _spans(self, gauge: FabricGauge) -> tuple[str, ...]:
        if gauge.size.basis == "assumed":
            return ("assumed",)
        return tuple(cell for span in _SPANS for cell in words_fabric.gauge_figure(gauge, span, self.tape))

    def change(self) -> list[str]:
        told = [words_fabric.change_sentence(effect, self.tape) for effect in self.fabric.change]
        told.append(words_fabric.learned_sentence(self.fabric, self.names))
        return self.listed("What washing and blocking will do", told)

    def dials(self) -> list[str]:
        dials, tape = self.fabric.dials, self.tape
        told = [
            words_fabric.dial_headline(dials, tape),
            words_fabric.known_dial_sentence(dials, tape),
            words_fabric.swatched_dial_sentence(dials),
            words_fabric.keeps_sentence(self.fabric),
        ]
        if not isinstance(dials.wanted, CannotSay):
            told.append(words_fabric.wanted_sentence(dials.wanted, tape))
        told.append(words_fabric.slope_sentence(dials.slopes, tape))
        if self._knitted():
            told.append(words_fabric.line_sentence(dials.line, tape))
        lines = self.listed("Which dial", told)
        near = self._near()
        if near:
            lines += ["", *self._clicks(near)]
        return lines

    def _knitted(self) -> list[float]:
        """Places of the dials that were knitted."""
        return [click.position for click in self.fabric.dials.clicks if not click.outside]

    def _near(self) -> list[ClickReport]:
        inside = self._knitted()
        if not inside:
            return []
        low, high = min(inside) - _NEAR - 1e-6, max(inside) + _NEAR + 1e-6
        best = self.fabric.dials.best
        return [click for click in self.fabric.dials.clicks if low <= click.position <= high or click == best]

    def _clicks(self, clicks: Sequence[ClickReport]) -> list[str]:
        wanted = clicks[0].chance is not None
        chance = ("chance",) if wanted else ()
        rows: list[tuple[str, ...]] = [("dial", "stitches", "likely", "rows", "likely", *chance)]
        for click in clicks:
            if click.chance is not None:
                chance = (words.chance_words(click.chance, below="under"),)
            across, along = self._figures(click.across), self._figures(click.along)
            rows.append((click.dial, *across, *along, *chance, words_fabric.click_sign(click)))
        told = [f"Stitches and rows of the next piece to {self.tape.span}."]
        if wanted:
            told.append("Chance: that the pattern’s counts give the pattern’s widths; o: they do so alone.")
        told.append("*: outside the dials that were knitted.")
        return [*_table(rows), "", *self.wrap(" ".join(told), "  ")]

    def _figures(self, gauge: FabricGauge | None) -> tuple[str, str]:
        """A gauge and what is likely; empty where nothing was measured in its direction."""
        if gauge is None:
            return "", ""
        return words_fabric.gauge_figure(gauge, self.tape.span, self.tape)

    def next_swatch(self) -> list[str]:
        told = words_fabric.next_swatch_sentence(self.fabric.next_swatch, self.tape)
        return self.listed("Where to swatch next", [told])

    def specimens(self) -> list[str]:
        """Every swatch and piece by itself, washed and blocked."""
        if not self.fabric.specimens:
            return []
        rows: list[tuple[str, ...]] = [("", "dial", "stitches", "likely", "rows", "likely")]
        notes: list[str] = []
        for specimen in self.fabric.specimens:
            if specimen.cannot is not None:
                notes += self.told([words_fabric.not_known_sentence(specimen, self.names)])
                continue
            name = size_name(words_fabric.specimen_name(specimen, self.names), self.width - _FIGURES)
            cells = [name, specimen.dial or "?"]
            blocked = {gauge.direction: gauge for gauge in specimen.gauges if gauge.stage == "blocked"}
            cells += [*self._figures(blocked.get("across")), *self._figures(blocked.get("along"))]
            rows.append(tuple(cells))
        lines = _table(rows) if len(rows) > 1 else []
        lines += ["", *notes] if notes and lines else notes
        return [*heading(f"Swatches and pieces by themselves, blocked and dry, to {self.tape.span}"), *lines]

    def assumed(self) -> list[str]:
        return [words_fabric.assumed_fabric_sentence(assumption, self.tape) for assumption in self.fabric.assumed]


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows under one another: the first column to the left, figures to the right; an empty row is a gap."""
    columns = max(len(row) for row in rows)
    wide = [max((len(row[k]) for row in rows if len(row) > k), default=0) for k in range(columns)]
    lines = []
    for row in rows:
        cells = [
            cell.ljust(width) if place == 0 else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(row, wide, strict=False))
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines
