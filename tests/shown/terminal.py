"""Figures of what a command prints in cm: its sentences and its tables."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.shown.figures import (
    CHANCE,
    MINUS,
    NUMBER,
    SPAN,
    STAGES,
    Figures,
    action_of,
    cm,
    point_of,
    told_chance,
)
from tests.shown.sentences import advice, chances, of_sentences, of_way


def _sections(text: str) -> Iterator[tuple[str, list[str]]]:
    """The parts of a printed answer, each with its heading; the first has none."""
    heading, lines = "", list[str]()
    every = text.translate(MINUS).split("\n")
    for line, following in zip(every, [*every[1:], ""], strict=True):
        if line and following and set(following) == {"-"} and len(following) == len(line):
            yield heading, lines
            heading, lines = line, []
        elif not (line and set(line) == {"-"}):
            lines.append(line)
    yield heading, lines


def of_terminal(text: str) -> Figures:
    """Figures of what a command prints in cm."""
    into = Figures()
    for heading, lines in _sections(text):
        joined = re.sub(r"\s+", " ", " ".join(lines)).strip()
        into.take(of_sentences(joined))
        if not heading:
            _head(into, lines)
        elif heading.startswith("Point by point"):
            _points(into, lines)
        elif heading.startswith("The other ways"):
            _ways(into, lines)
        elif heading.startswith("Counts for the rest"):
            _rest(into, lines)
        elif heading.startswith("The next piece"):
            if said := re.search(r"at dial ([\d.]+)", heading):
                into.add(("next piece", "dial"), said[1])
            _gauges(into, lines)
        elif heading.startswith("Which dial"):
            _dials(into, lines)
        elif heading.startswith("Swatches and pieces by themselves"):
            stage = next((key for said, key in STAGES.items() if f", {said}" in heading), "blocked")
            _specimens(into, lines, stage)
        elif heading.startswith(("Every size", "Lengths")):
            _sizes(into, lines)
    return into


def _head(into: Figures, lines: list[str]) -> None:
    first, *others = "\n".join(lines).strip().split("\n\n")
    if first.startswith("exit"):
        first, *others = others
    for paragraph in re.split(r"\n{2,}", "\n\n".join(others)):
        joined = re.sub(r"\s+", " ", paragraph).strip()
        if joined.startswith("Chance "):
            advice(into, re.sub(r"\s+", " ", first).strip())
            chances(into, joined.removeprefix("Chance "))


def _points(into: Figures, lines: list[str]) -> None:
    key, code = None, ""
    for line in lines:
        if said := re.match(r"^.{7} (\S.*?): (matches|differs|too close to call)", line):
            key, code = point_of(said[1]), said[2]
        elif key and (
            said := re.match(rf"^\s+{NUMBER}\s+{NUMBER}\s+{NUMBER}\s+{NUMBER} to\s+{NUMBER}(?:\s+±{NUMBER})?", line)
        ):
            wanted, measured, difference, low, high, allowed = said.groups()
            at = ("point", key)
            into.add((*at, "code"), code)
            into.add((*at, "wanted"), cm(wanted), 1.0)
            into.add((*at, "measured"), cm(measured), 1.0)
            for name, figure in (("value", difference), ("low", low), ("high", high)):
                into.add((*at, "difference", name), cm(figure), 1.0)
            if allowed:
                into.add((*at, "allowed, smaller"), cm(allowed), 0.5)
                into.add((*at, "allowed, larger"), cm(allowed), 0.5)
            key = None


def _ways(into: Figures, lines: list[str]) -> None:
    code, told = None, list[str]()
    for line in [*lines, "  end"]:
        if line.startswith(" " * 20):  # the cost in its column goes on
            continue
        if line.startswith("      "):
            told.append(line.strip())
            continue
        if code and told:
            of_way(into, code, " ".join(told))
        code, told = None, []
        if said := re.match(rf"^  (\S.*?)\s{{2,}}{CHANCE}\s{{2,}}(.*?)\s{{2,}}{NUMBER}$", line):
            code = action_of(said[1])
            if code:
                into.add(("way", code, "chance"), told_chance(said[2]))
                into.add(("way", code, "with misfits"), float(said[4]), 0.005)


MADE_OF = r"(\d+(?:\.\d+)?(?: \+ \d+(?:\.\d+)?)?)"
"""A length, or two that make it up."""


def _rest(into: Figures, lines: list[str]) -> None:
    piece = ""
    for line in lines:
        if said := re.match(r"^  The ([a-z ]+?)(?:[:,]|$)", line):
            piece = said[1]
        elif said := re.match(rf"^    (\S.*?)\s{{2,}}(?:\d+\s+)?(\d+) (?:st|rows)\b(?:.*?\s{MADE_OF} cm)?\s*$", line):
            at = ("rest", piece, point_of(said[1]) or said[1])
            into.add(at, float(said[2]))
            # A length with a rib is a sum of two.
            into.add((*at, "gives"), said[3] and sum(cm(part) for part in said[3].split(" + ")), 0.5)


def _gauges(into: Figures, lines: list[str]) -> None:
    for line in lines:
        if said := re.match(rf"^\s+(stitches|rows), ([a-z, ]+?)\s+{NUMBER}\s+{SPAN}", line):
            thread, stage, *three = said.groups()
            into.three(("next piece", STAGES[stage], thread), three, 0.05)


def _dials(into: Figures, lines: list[str]) -> None:
    threads = ("stitches", "rows")
    for line in lines:
        said = re.match(
            rf"^  (\d[\d.]*)\s+{NUMBER}\s+{SPAN}(?:\s+{NUMBER}\s+{SPAN})?(?:\s+{CHANCE})?(?:\s+[o*])*\s*$", line
        )
        if said:
            dial, *figures = said.groups()
            for number, thread in enumerate(threads):
                into.three(("dial", dial, thread), figures[3 * number : 3 * number + 3], 0.05)
            into.add(("dial", dial, "chance"), told_chance(figures[6]))


def _specimens(into: Figures, lines: list[str], stage: str) -> None:
    rows_from = next((line.find("  rows") for line in lines if "  rows" in line), -1)
    for line in lines:
        if said := re.match(
            rf"^\s+(\S.*?)\s{{2,}}(?:\d[\d.]*|-)?\s+{NUMBER}\s+{SPAN}(?:\s+{NUMBER}\s+{SPAN})?\s*$", line
        ):
            name, *figures = said.groups()
            if said.start(2) >= rows_from > 0:  # no stitches to 10 cm: the column is empty
                figures = [None, None, None, *figures[:3]]
            for number, thread in enumerate(("stitches", "rows")):
                at = ("by itself", name.replace(" ", "_"), stage, thread)
                into.three(at, figures[3 * number : 3 * number + 3], 0.05)


def _sizes(into: Figures, lines: list[str]) -> None:
    """The columns of sizes: a cell ends where the name of its size ends."""
    columns: dict[int, str] = {}
    point, label = "", ""
    for line in lines:
        cells = {
            columns[cell.end()]: cell[0]
            for cell in re.finditer(r"\S+(?: r\b)?", line)
            if cell.end() in columns and re.fullmatch(rf"{NUMBER}(?: r)?|-", cell[0])
        }
        if re.match(r"  size ", line):
            columns = {name.end(): name[0].rstrip("*") for name in re.finditer(r"\S+", line)}
            del columns[6]
            for name in re.findall(r"(\S+)\*", line):
                into.add(("sizes", "best"), name)
        elif line.startswith("    "):
            if said := re.search(rf"wanted {NUMBER}", line):
                for size in columns.values() if point else ():
                    into.add(("size", size, point, "wanted"), cm(said[1]), 0.5)
            for size, cell in cells.items() if point else ():
                if cell.endswith("r"):
                    into.add(("size", size, point, "rows"), float(cell.split()[0]), 0.5)
                elif cell != "-":
                    into.add(("size", size, point, "difference", "value"), cm(cell), 1.0)
        elif words := re.match(r"  ([a-z ]*[a-z])", line):
            label = f"{label} {words[1]}".strip()
            point = point_of(label) or ""
            if cells or point:
                label = ""
            for size, cell in cells.items() if point else ():
                if cell != "-":
                    into.add(("size", size, point, "finished"), cm(cell), 1.0)
        else:
            point = label = ""
