"""A size table pasted as text: from a spreadsheet, or typed as patterns print it. Codes and texts, no records yet."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.words.phrases import spaced

MOST_SIZES, MOST_ROWS = 24, 80
"""Sizes and rows that a table takes."""

_FIGURE = r"\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+"
_IN_BRACKETS = re.compile(rf"^(?P<label>.*?)(?P<first>{_FIGURE})\s*[(\[](?P<rest>[^)\]]*)[)\]](?P<after>.*)$")
_BEGINS_WITH_FIGURE = re.compile(r"^[-+−]?\d")
_PIECES: tuple[tuple[str, PieceKind], ...] = (
    ("left front", "left_front"),
    ("right front", "right_front"),
    ("left sleeve", "left_sleeve"),
    ("right sleeve", "right_sleeve"),
    ("side panel", "side_panel"),
    ("front", "front"),
    ("sleeves", "sleeve"),
    ("sleeve", "sleeve"),
    ("back", "back"),
)
_COUNTED = re.compile(r"\b(stitches|stitch|sts|st|rows|row|count|counts)\b")
_OF_A_BODY = re.compile(r"\b(bust|busts|to fit|fits|body|bodies|wearer|wearers)\b")
_OF_THE_SWEATER = re.compile(r"\b(finished|garment|garments|actual|knitted|sweater|length|panel)\b")
_NOISE = re.compile(
    r"\b(finished|measure|measures|measurement|width|flat|round|total|cm|mm|in|inch|inches|at|of|the|number)\b"
)


@dataclass(frozen=True, slots=True)
class PastedRow:
    """One row.

    label  what stood before the figures
    key    "back/chest/measure" or "back/chest/count"; empty where the label names no point
    cells  one text per size, empty where nothing stood
    """

    label: str
    key: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pasted:
    """A pasted table: names of the sizes, its rows, and the labels of lines that measure bodies and are left out."""

    sizes: tuple[str, ...]
    rows: tuple[PastedRow, ...]
    left_out: tuple[str, ...] = ()


def read_pasted(text: str) -> Pasted | None:
    """Read a pasted table; None where no row of figures is in it.

    Cells are divided by tabs, semicolons, bars or wide gaps, or written as "46 (50, 54, 58)". A first line
    without a point of measure in front names the sizes. Lines of bodies ("to fit bust") are left out.
    """
    lines = [cells for line in text.splitlines()[: MOST_ROWS + 1] if any(cells := _cells(line))]
    if not lines:
        return None
    head: tuple[str, ...] | None = None
    if _is_head(lines[0], lines[1:]):
        head = tuple(lines[0][1:] if _has_corner(lines[0], lines[1:]) else lines[0])
        lines = lines[1:]
    every = [_row(cells) for cells in lines]
    rows = [row for row in every if not of_a_body(row.label)]
    left_out = tuple(dict.fromkeys(row.label for row in every if of_a_body(row.label) and any(row.cells)))
    if left_out and not any(row.cells for row in rows):
        return Pasted(head or (), (), left_out)
    width = max((len(row.cells) for row in rows), default=0)
    width = min(max(width, len(head or ())), MOST_SIZES)
    if not rows or not any(row.cells for row in rows):
        return None
    names = [*(head or ()), *(str(number + 1) for number in range(len(head or ()), width))][:width]
    full = [PastedRow(row.label, row.key, (*row.cells, *("",) * width)[:width]) for row in rows]
    return Pasted(tuple(names), tuple(full), left_out)


def _cells(line: str) -> list[str]:
    stripped = line.strip("\r\n")
    for mark in ("\t", ";", "|"):
        if mark in stripped:
            cells = stripped.split(mark)
            return [cell.strip() for cell in (cells[1:-1] if mark == "|" and not cells[0].strip() else cells)]
    bracketed = _IN_BRACKETS.match(stripped.strip())
    if bracketed:
        rest = [cell for cell in re.split(r"\s*[:;]\s*|,\s+|\s{2,}", bracketed["rest"].strip()) if cell]
        if len(rest) < 2:
            rest = [cell for cell in re.split(r"[,\s:]+", bracketed["rest"].strip()) if cell]
        label = f"{bracketed['label'].strip().rstrip(':').strip()} {bracketed['after'].strip()}".strip()
        return [label, bracketed["first"], *rest]
    return [cell.strip() for cell in re.split(r"\s{2,}", stripped.strip())]


def _is_head(first: Sequence[str], following: Sequence[Sequence[str]]) -> bool:
    """Whether the first line names the sizes: its label names no point, and others follow."""
    if not following:
        return False
    label = first[0].lower()
    if not label or label in ("size", "sizes", "point", "points"):
        return True
    return not key_of(first[0]) and bool(key_of(following[0][0]))


def _has_corner(first: Sequence[str], following: Sequence[Sequence[str]]) -> bool:
    """Whether the first line has a cell over the labels."""
    return len(first) >= max(len(line) for line in following) or first[0].lower() in ("", "size", "sizes", "point")


def _row(cells: Sequence[str]) -> PastedRow:
    label = "" if _BEGINS_WITH_FIGURE.match(cells[0]) else cells[0]
    figures = cells if not label and cells[0] else cells[1:]
    while figures and not figures[-1]:
        figures = figures[:-1]
    return PastedRow(label, key_of(label), tuple(figures[:MOST_SIZES]))


def of_a_body(label: str) -> bool:
    """Whether a label says that its figures are of the body that the sweater is for.

    Counts never are, nor what is said to be finished; a body length is the sweater's.

    >>> [of_a_body(one) for one in ("To fit bust", "Bust", "Finished bust", "Body length", "Body, stitches at chest")]
    [True, True, False, False, False]
    """
    plain = " ".join(re.findall(r"[a-z]+", label.lower()))
    if not _OF_A_BODY.search(plain) or _COUNTED.search(plain):
        return False
    return "to fit" in plain or not _OF_THE_SWEATER.search(plain)


def key_of(label: str) -> str:
    """Which row of a table a label names: "back/chest/count"; empty where it names none.

    >>> key_of("Back, stitches at chest")
    'back/chest/count'
    >>> key_of("Sleeve length")
    'sleeve/sleeve_length/measure'
    """
    plain = " ".join(re.findall(r"[a-z]+", label.lower()))
    counted = bool(_COUNTED.search(plain))
    (point, name), piece = _point_in(plain), None
    for word, kind in _PIECES:
        if re.search(rf"\b{word}\b", plain):
            piece = kind
            # "sleeve" alone means its length; in "left sleeve cuff" it only says which piece.
            if not point or piece not in POINTS[point].pieces or name in word:
                point = _point_in(" ".join(re.sub(rf"\b{word}\b", " ", plain).split()))[0] or point
            break
    if not point:
        return ""
    carries = POINTS[point].pieces
    if not carries:
        return ""
    if piece not in carries:
        piece = carries[0]
    return f"{piece}/{point}/{'count' if counted else 'measure'}"


def _point_in(plain: str) -> tuple[str, str]:
    """The point that a text names and the name that it stands under, the longest first; both empty without one."""
    for text in (plain, " ".join(_NOISE.sub(" ", plain).split())):
        if not text:
            continue
        for name, key in _NAMES:
            if re.search(rf"\b{name}\b", text):
                return key, name
    return "", ""


def _names() -> tuple[tuple[str, str], ...]:
    names = {spaced(key): key for key in POINTS}
    names |= {" ".join(re.findall(r"[a-z]+", point.name.lower())): key for key, point in POINTS.items()}
    for name, keys in ALSO_CALLED.items():
        names.setdefault(spaced(name), keys[0])
    return tuple(sorted(names.items(), key=lambda pair: -len(pair[0])))


_NAMES = _names()
