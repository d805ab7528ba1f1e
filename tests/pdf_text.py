"""The text of a PDF as it lies on the page: rows from top to bottom, cells from left to right.

For files as Chromium prints them: compressed streams, fonts with a table of what their glyphs mean. Whatever else a PDF
may hold is not read.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from typing import NamedTuple

SAME_ROW = 3.0
"""Letters whose feet are no further apart lie in one row [pt]."""
SAME_CELL = 0.4
"""Letters with no more room between them belong to one cell; the space between words is a letter [letter heights]."""

_OBJECT = re.compile(rb"(\d+) 0 obj\b(.*?)\bendobj", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_TOKEN = re.compile(rb"<[0-9A-Fa-f\s]*>|\((?:\\.|[^\\()])*\)|\[|\]|/[^\s/<>\[\]()]+|-?\d*\.?\d+|[A-Za-z'\"*]+")


class Letter(NamedTuple):
    """A letter: its page, where it begins and ends, how deep its foot lies and how high it is [pt], and what it is."""

    page: int
    x: float
    end: float
    y: float
    height: float
    text: str


class Font(NamedTuple):
    """What each glyph means, how wide it is [letter heights], and how many figures its number has in a text."""

    meanings: dict[int, str]
    widths: dict[int, float]
    figures: int = 4


class Pdf:
    """A PDF's objects and pages."""

    def __init__(self, data: bytes) -> None:
        self.objects = {int(number): body for number, body in _OBJECT.findall(data)}
        self.pages = [body for body in self.objects.values() if re.search(rb"/Type\s*/Page\b", body)]
        self.fonts = {number: self._font(body) for number, body in self.objects.items() if b"/ToUnicode" in body}

    def letters(self) -> list[Letter]:
        """Every letter, page by page."""
        return [letter for number, page in enumerate(self.pages) for letter in self._of(number, page)]

    def rows(self) -> list[list[str]]:
        """The cells of each row, from left to right; rows from the top down."""
        return [cells for page in self.rows_of_pages() for cells in page]

    def rows_of_pages(self) -> list[list[list[str]]]:
        """The same page by page."""
        rows: list[list[Letter]] = []
        for letter in sorted(self.letters(), key=lambda letter: (letter.page, letter.y, letter.x)):
            if rows and rows[-1][0].page == letter.page and letter.y - rows[-1][0].y <= SAME_ROW:
                rows[-1].append(letter)
            else:
                rows.append([letter])
        pages: list[list[list[str]]] = [[] for _ in self.pages]
        for row in rows:
            pages[row[0].page].append(_cells(sorted(row, key=lambda letter: letter.x)))
        return pages

    def _stream(self, number: int) -> bytes:
        body = self.objects[number]
        stream = _STREAM.search(body)
        assert stream is not None, f"object {number} has no stream"
        return zlib.decompress(stream[1]) if b"/FlateDecode" in body else stream[1]

    def _font(self, font: bytes) -> Font:
        """A drawn font, as a variable one is printed, has its widths beside it; of any other a font inside has them."""
        inside = re.search(rb"/DescendantFonts \[(\d+) 0 R\]", font)
        if inside:
            return Font(self._meaning(font), _widths(self.objects[int(inside[1])]))
        first = int(re.search(rb"/FirstChar (\d+)", font)[1])  # type: ignore[index]
        widths = re.search(rb"/Widths \[([^\]]*)\]", font)[1].split()  # type: ignore[index]
        return Font(self._meaning(font), {first + place: float(width) / 1000 for place, width in enumerate(widths)}, 2)

    def _meaning(self, font: bytes) -> dict[int, str]:
        """What each glyph of a font means."""
        told = self._stream(int(re.search(rb"/ToUnicode (\d+) 0 R", font)[1]))  # type: ignore[index]
        found: dict[int, str] = {}
        for block in re.findall(rb"beginbfchar(.*?)endbfchar", told, re.DOTALL):
            for glyph, text in re.findall(rb"<(\w+)>\s*<(\w+)>", block):
                found[int(glyph, 16)] = _text(text)
        for block in re.findall(rb"beginbfrange(.*?)endbfrange", told, re.DOTALL):
            for low, high, text in re.findall(rb"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
                first = int(text, 16)
                for glyph in range(int(low, 16), int(high, 16) + 1):
                    found[glyph] = chr(first + glyph - int(low, 16))
        return found

    def _of(self, number: int, page: bytes) -> Iterator[Letter]:
        fonts = {name: int(font) for name, font in re.findall(rb"/(F\d+) (\d+) 0 R", self._resources(page))}
        contents = re.search(rb"/Contents \[?((?:\s*\d+ 0 R)+)", page)
        assert contents is not None, "a page without contents"
        drawn = b"\n".join(self._stream(int(one)) for one in re.findall(rb"(\d+) 0 R", contents[1]))
        yield from _drawn(number, drawn, {name: self.fonts[font] for name, font in fonts.items() if font in self.fonts})

    def _resources(self, page: bytes) -> bytes:
        elsewhere = re.search(rb"/Resources (\d+) 0 R", page)
        return self.objects[int(elsewhere[1])] if elsewhere else page


def _cells(row: list[Letter]) -> list[str]:
    cells, before = [row[0].text], row[0]
    for letter in row[1:]:
        if letter.x - before.end > SAME_CELL * before.height:
            cells.append("")
        cells[-1] += letter.text
        before = letter
    return [" ".join(cell.split()) for cell in cells if cell.strip()]


def _text(hexadecimal: bytes) -> str:
    return bytes.fromhex(hexadecimal.decode()).decode("utf-16-be")


def _widths(font: bytes) -> dict[int, float]:
    """How wide each glyph is: written as a first glyph with the widths from there on."""
    listed = re.search(rb"/W \[(.*)\]", font, re.DOTALL)
    found: dict[int, float] = {}
    for first, widths in re.findall(rb"(\d+)\s*\[([\d.\s]*)\]", listed[1] if listed else b""):
        for place, width in enumerate(widths.split()):
            found[int(first) + place] = float(width) / 1000
    return found


Matrix = tuple[float, float, float, float, float, float]


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m


def _drawn(page: int, drawn: bytes, fonts: dict[bytes, Font]) -> Iterator[Letter]:
    """Each text that is shown, where the matrices of page and text put it."""
    here: Matrix = (1, 0, 0, 1, 0, 0)
    waiting: list[Matrix] = []
    line: Matrix = here
    font, size = Font({}, {}), 0.0
    held: list[bytes] = []
    for token in _TOKEN.findall(drawn):
        if not token[:1].isalpha() and token not in (b"'", b'"'):
            held.append(token)
            continue
        match token:
            case b"q":
                waiting.append(here)
            case b"Q":
                here = waiting.pop()
            case b"cm":
                here = _times(_matrix(held), here)
            case b"BT":
                line = (1, 0, 0, 1, 0, 0)
            case b"Tm":
                line = _matrix(held)
            case b"Td" | b"TD":
                line = _times((1, 0, 0, 1, float(held[-2]), float(held[-1])), line)
            case b"Tf":
                font, size = fonts.get(held[-2][1:], Font({}, {})), float(held[-1])
            case b"Tj" | b"TJ":
                place = _times(line, here)
                written = b"".join(token[1:-1] for token in held if token[:1] == b"<").replace(b" ", b"")
                glyphs = [int(written[at : at + font.figures], 16) for at in range(0, len(written), font.figures)]
                height, x = size * abs(place[0]), place[4]
                for glyph in glyphs:
                    end = x + font.widths.get(glyph, 0.5) * height
                    yield Letter(page, x, end, -place[5], height, font.meanings.get(glyph, "?"))
                    x = end
        held = []


def _matrix(held: list[bytes]) -> Matrix:
    a, b, c, d, e, f = (float(token) for token in held[-6:])
    return a, b, c, d, e, f
