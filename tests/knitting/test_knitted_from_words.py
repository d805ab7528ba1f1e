"""A sheet knitted from its words alone: by somebody who knows nothing of the program (``words_knitter``)."""

from __future__ import annotations

import ast
from pathlib import Path
from random import Random

import pytest

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.sheet import Notch, sheet
from fitcheck.words.sheet import sheet_told
from tests.knitting import words_knitter
from tests.knitting.random_pieces import piece
from tests.knitting.random_sheets import planned_sheet
from tests.knitting.sample_front import front
from tests.knitting.words_knitter import knit

MOST_BOXES = 10
"""Boxes side by side on a paper."""


def paper(made: Sheet) -> list[list[str]]:
    """The rows of cells that a printed sheet has."""
    told = sheet_told(made)
    rows = [[told.title], *([name, figure] for name, figure in told.facts)]
    for number, part in enumerate(told.parts, 1):
        rows += [[str(number), part.title, part.counters], ["counter", "carriage", "do", "needles in work", "stitches"]]
        for line in part.lines:
            rows.append(
                [
                    line.counter or "____",
                    line.carriage,
                    line.act,
                    *([line.needles, line.stitches] if line.needles else []),
                ]
            )
            if line.repeat:
                rows.append([line.repeat])
                for first in range(0, len(line.boxes), MOST_BOXES):
                    boxes = line.boxes[first : first + MOST_BOXES]
                    rows += [[counter for counter, _ in boxes], [stitches for _, stitches in boxes]]
            rows += [[note] for note in line.notes]
    return rows + [[word, meaning] for word, meaning in told.words]


def test_the_front_is_knitted_from_its_words_and_ends_with_29_at_each_shoulder() -> None:
    for rib, rows in ((0, 219), (20, 239)):
        made = sheet(front(), rib_rows=rib, notches=[Notch("body", 140, "sleeve", 145)])
        knitted = knit(paper(made))
        assert knitted.troubles == []
        assert knitted.off == [("neck", 12), ("shoulder", 29), ("shoulder", 29)]
        assert (knitted.rows, knitted.acts) == (rows, len(made.unfolded()))


def test_every_piece_made_by_chance_is_knitted_from_its_words_and_ends_as_planned() -> None:
    random = Random(31)
    for _ in range(150):
        plan = piece(random)
        made = sheet(plan)
        knitted = knit(paper(made))
        assert knitted.troubles == []
        assert knitted.acts == len(made.unfolded())
        assert sorted(stitches for _, stitches in knitted.off) == sorted(plan.ends.values())


def test_every_plan_of_counts_made_by_chance_is_knitted_from_its_words_too() -> None:
    random = Random(32)
    for _ in range(60):
        made = planned_sheet(random)
        knitted = knit(paper(made))
        assert knitted.troubles == []
        assert sorted(stitches for _, stitches in knitted.off) == sorted(made.ends.values())
        assert knitted.rows == made.head.rows


def acts_of(rows: list[list[str]]) -> list[int]:
    return [place for place, cells in enumerate(rows) if len(cells) >= 3 and cells[1] in ("left", "right")]


def figures_up(text: str) -> str:
    """The first figure of a text one higher."""
    digits = "".join(letter if letter.isdigit() else " " for letter in text).split()
    return text.replace(digits[0], str(int(digits[0]) + 1), 1) if digits else text


@pytest.mark.parametrize("cell", [0, 1, 2, 3, 4], ids=["counter", "carriage", "act", "needles", "stitches"])
def test_a_wrong_cell_anywhere_on_the_paper_is_noticed(cell: int) -> None:
    rows = paper(sheet(front()))
    tried = 0
    for place in acts_of(rows):
        cells = rows[place]
        idle = cells[2].startswith(("Mark", "Weigh"))
        if cell >= len(cells) or (cell == 2 and (idle or figures_up(cells[2]) == cells[2])):
            continue
        other = {"left": "right", "right": "left"}[cells[1]] if cell == 1 else figures_up(cells[cell])
        wrong = [*rows[:place], [*cells[:cell], other, *cells[cell + 1 :]], *rows[place + 1 :]]
        assert knit(wrong).troubles != [], cells
        tried += 1
    assert tried >= 20


def test_a_wrong_box_is_noticed() -> None:
    rows = paper(sheet(front()))
    boxes = [place for place, cells in enumerate(rows) if len(cells) > 2 and all(cell.isdigit() for cell in cells)]
    assert len(boxes) == 14
    for place in boxes:
        for box in range(len(rows[place])):
            wrong = [
                *rows[:place],
                [*rows[place][:box], figures_up(rows[place][box]), *rows[place][box + 1 :]],
                *rows[place + 1 :],
            ]
            assert knit(wrong).troubles != []


def test_a_line_that_is_left_out_is_noticed() -> None:
    rows = paper(sheet(front()))
    for place in acts_of(rows):
        if not rows[place][2].startswith(("Mark", "Weigh")):
            assert knit(rows[:place] + rows[place + 1 :]).troubles != [], rows[place]


def test_whoever_knits_from_words_knows_nothing_of_the_program() -> None:
    tree = ast.parse(Path(words_knitter.__file__).read_text(encoding="utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert names == {"__future__", "re", "collections.abc", "dataclasses"}
