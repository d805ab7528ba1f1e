"""Figures of a page in cm, as a reader of its text and its tables sees them."""

from __future__ import annotations

import html
import re
from html.parser import HTMLParser
from itertools import pairwise

from tests.shown.figures import (
    CHANCE,
    MINUS,
    NUMBER,
    SPAN,
    STAGE_HEADINGS,
    STAGES,
    Figures,
    Key,
    cm,
    point_of,
    told_chance,
)
from tests.shown.sentences import advice, of_point, of_sentences, of_way

BLOCKS = {
    *("p", "li", "dt", "dd", "div", "section", "tr", "table", "ul", "ol", "summary", "details", "header", "main"),
    *("form", "label", "h1", "h2", "h3", "h4"),
}
VOID = {"br", "input", "meta", "link", "img", "hr", "path", "circle", "line", "rect", "use", "source", "wbr"}
UNSEEN = {"script", "style", "svg"}
HEADINGS = ("h1", "h2", "h3", "h4")


class _Reader(HTMLParser):
    """What a page shows: its text in blocks, its tables, and what has an id or is a heading."""

    def __init__(self) -> None:
        super().__init__()
        self.blocks: list[str] = [""]
        self.tables: list[tuple[str, list[list[list[str]]]]] = []
        self.title = ""
        self.by_id: dict[str, list[str]] = {}
        self._open: list[tuple[str, str]] = []
        self._hidden = 0
        self._heading = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = {name: value or "" for name, value in attrs}
        if tag in VOID:
            return
        self._open.append((tag, attributes.get("id", "")))
        self._hidden += tag in UNSEEN
        if tag in BLOCKS:
            self.blocks.append("")
        if tag == "table":
            self.tables.append((attributes.get("aria-label") or self._heading, []))
        if tag == "tr" and self.tables:
            self.tables[-1][1].append([])
        if tag in ("td", "th") and self.tables and self.tables[-1][1]:
            self.tables[-1][1][-1].append(["*"] if "best" in attributes.get("class", "").split() else [])
        if tag == "a" and self._within("td", "th"):
            self.tables[-1][1][-1][-1].append(f"href={attributes.get('href', '')}")
        if tag in HEADINGS:
            self._heading = ""

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID or tag not in [name for name, _ in self._open]:
            return
        while self._open:
            name, _ = self._open.pop()
            self._hidden -= name in UNSEEN
            if name == tag:
                break
        if tag in BLOCKS:
            self.blocks.append("")

    def handle_data(self, data: str) -> None:
        if self._hidden or not data.strip():
            return
        text = re.sub(r"\s+", " ", data.translate(MINUS))
        self.blocks[-1] += text
        for _, one in self._open:
            if one:
                self.by_id.setdefault(one, []).append(text)
        if self._within("td", "th"):
            self.tables[-1][1][-1][-1].append(text.strip())
        if self._within("h1"):
            self.title += text
        if self._within(*HEADINGS):
            self._heading += text

    def _within(self, *tags: str) -> bool:
        return any(name in tags for name, _ in self._open)


def page_of(text: str) -> _Reader:
    """Read a page."""
    reader = _Reader()
    reader.feed(text)
    return reader


def of_page(text: str) -> Figures:
    """Figures of any page of a make, in cm."""
    page = page_of(text)
    shown = " ".join(block.strip() for block in page.blocks if block.strip())
    into = of_sentences(shown)
    for name, parts in page.by_id.items():
        if name.startswith("p-"):
            _page_point(into, name.removeprefix("p-"), " ".join(parts))
    blocks = [block.strip() for block in page.blocks if block.strip()]
    for label, said in pairwise(blocks):
        if re.fullmatch("Chance that all(?: that could be judged)? fits", label):
            into.add(("advice", "chance"), told_chance(said))
            advice(into, page.title)
        if said := re.search(rf"with nothing changed {CHANCE}$", label):
            into.add(("way", "carry_on", "chance"), told_chance(said[1]))
    for name, parts in page.by_id.items():
        if name.startswith("way-"):
            _page_way(into, name.removeprefix("way-"), re.sub(r" (?=;)", "", " ".join(" ".join(parts).split())))
    for heading, rows in page.tables:
        _page_table(into, heading, rows)
    if ("advice", "counts") in into:
        # What the head says of the pieces to come stands among the counts for the rest, on the same page.
        rest = [figure.value for key, figure in into.items() if key[0] == "rest" and key[-1] == "counts"]
        if rest:
            # Of an open front the head says both halves in one.
            halves = [
                figure.value + into[("rest", "right front", key[2])].value
                for key, figure in into.items()
                if key[:2] == ("rest", "left front") and len(key) == 3 and ("rest", "right front", key[2]) in into
                if key[2] != "counts"
            ]
            into.add(("advice", "counts"), frozenset(halves).union(*rest))
    return into


def _page_point(into: Figures, key: str, text: str) -> None:
    text = re.sub(r"\s+", " ", text)
    of_point(into, key, text)
    if said := re.search(r"\b(matches|differs|too close to call)\b", text):
        into.add(("point", key, "code"), said[1])


def _page_way(into: Figures, code: str, text: str) -> None:
    """A way to go on in its line: name, chance, work; what it would bring."""
    before, _, brings = text.partition("; ")
    if said := re.search(rf"{CHANCE} (?:no work|about|as much|\d)", before):
        into.add(("way", code, "chance"), told_chance(said[1]))
    of_way(into, code, brings)


def _plain(cell: list[str]) -> str:
    return " ".join(part for part in cell if part != "*" and not part.startswith("href="))


def _page_table(into: Figures, heading: str, rows: list[list[list[str]]]) -> None:
    if not rows:
        return
    head = [_plain(cell) for cell in rows[0]]
    if head[:1] == ["at"] and head[-2:] == ["knit", "gives"]:
        piece, counts = heading.removeprefix("The ").split(":")[0], list[int]()
        for name, *_, knit, gives in rows[1:]:
            at = ("rest", piece, point_of(_plain(name)) or _plain(name))
            # A length with a rib is a sum of two: "34.0 + 6.0 cm".
            if parts := re.findall(r"\d+\.\d", _plain(gives)):
                into.add((*at, "gives"), sum(map(cm, parts)), 0.5)
            if said := re.match(r"(\d+) (?:st|rows)\b(?! (?:more|fewer))", _plain(knit)):
                into.add(at, float(said[1]))
                counts.append(int(said[1]))
        into.add(("rest", piece, "counts"), frozenset(counts))
    elif head[:2] == ["dial", "stitches to 10 cm"]:
        for row in rows[1:]:
            dial = _plain(row[0])
            for thread, cell in zip(("stitches", "rows"), row[1:3], strict=False):
                _three(into, ("dial", dial, thread), cell)
            if len(row) > 3:
                into.add(("dial", dial, "chance"), told_chance(_plain(row[3])))
    elif "to 10 cm" in head and "mm each" in head:
        if said := re.search(r"at dial ([\d.]+)", heading):
            into.add(("next piece", "dial"), said[1])
        for row in rows[1:]:
            thread, _, stage = _plain(row[0]).partition(", ")
            if stage in STAGES:
                _three(into, ("next piece", STAGES[stage], thread), row[1])
                if len(row) > 3:
                    into.add(("next piece", STAGES[stage], thread, "mm each"), float(_plain(row[3])), 0.005)
    elif head[:2] == ["swatch", "dial"]:
        _page_specimens(into, head, rows[1:])
    elif len(rows) > 1 and rows[1][0] and rows[1][0][0].startswith("stitches to 10 cm") and not rows[0][0]:
        _page_clicks(into, rows)
    elif head[0] == "" and any("wanted" in part for row in rows[1:] for part in row[0]):
        _page_sizes(into, rows)


def _three(into: Figures, at: Key, cell: list[str]) -> None:
    if said := re.match(rf"{NUMBER}(?: {SPAN})?", _plain(cell)):
        into.three(at, said.groups(), 0.05)


def _page_specimens(into: Figures, head: list[str], rows: list[list[list[str]]]) -> None:
    for row in rows:
        link = next((part for part in row[0] if part.startswith("href=/swatches/")), "")
        name = link.removeprefix("href=/swatches/") or _plain(row[0]).replace(" ", "_")
        stage = next((STAGES[part] for part in row[0] if part in STAGES), "blocked")
        for title, cell in zip(head[2:], row[2:], strict=False):
            thread, _, said = title.partition(", ")
            stage = STAGES.get(said, stage) if said else stage
            if thread.split()[0] in ("stitches", "rows"):
                _three(into, ("by itself", name, stage, thread.split()[0]), cell)


def _page_clicks(into: Figures, rows: list[list[list[str]]]) -> None:
    """A strip of clicks: stitches at each, and rows where it has them."""
    for thread, *cells in rows[1:3]:
        if said := re.match("(stitches|rows) to 10 cm", thread[0]):
            for dial, cell in zip(rows[0][1:], cells, strict=True):
                into.add(("dial", _plain(dial), said[1], "value"), float(cell[0]), 0.05)


def _page_sizes(into: Figures, rows: list[list[list[str]]]) -> None:
    names = [next(part for part in cell if part != "*") for cell in rows[0][1:]]
    for name, cell in zip(names, rows[0][1:], strict=True):
        if "*" in cell:
            into.add(("sizes", "best"), name)
    for row in rows[1:]:
        if _plain(row[0]) == "Every width fits":
            for size, cell in zip(names, row[1:], strict=False):
                into.add(("size", size, "chance"), told_chance(_plain(cell)))
            continue
        named, wanted = row[0][0], row[0][1].removeprefix("wanted ") if len(row[0]) > 1 else ""
        point = point_of(named)
        for size, cell in zip(names, row[1:], strict=False):
            parts = [part for part in cell if part != "*"]
            at = ("size", size, point or named)
            if wanted:
                into.add((*at, "wanted"), cm(wanted), 0.5)
            if parts and re.fullmatch(NUMBER, parts[0]):
                into.add((*at, "finished"), cm(parts[0]), 1.0)
            for part in parts[1:]:
                if said := re.fullmatch(r"(\d+) st", part):
                    into.add((*at, "count"), float(said[1]))
                elif said := re.fullmatch(r"(\d+) rows", part):
                    into.add((*at, "rows"), float(said[1]), 0.5)
                elif re.fullmatch(NUMBER, part):
                    into.add((*at, "difference", "value"), cm(part), 1.0)


def of_listed(text: str) -> dict[tuple[str, str | None], Figures]:
    """What the table or the list of makes says of each make, and of which piece of it: its advice in a line."""
    found: dict[tuple[str, str | None], Figures] = {}
    line = r'<a href="/makes/([a-z0-9_]+)(?:\?piece=([a-z0-9_]+))?">[^<]*</a>.*?<p class="now">(.*?)</p>'
    for key, piece, said in re.findall(line, text, re.S):
        figures = found.setdefault((key, piece or None), Figures())
        if said.startswith("Finished on "):  # a date, and no advice
            continue
        figures.add(("advice", "said"), html.unescape(re.sub(r"<[^>]+>", "", said)).translate(MINUS).strip())
    return found


def of_book(text: str) -> dict[str, Figures]:
    """What the swatch book says of each fabric, by the address of its own page."""
    sections = re.findall(r'<h2>\s*<a href="(/swatches/fabrics[^"]*)">(.*?)</section>', text, re.S)
    return {html.unescape(address): of_page(section) for address, section in sections}


def of_garment(text: str) -> Figures:
    """Figures of the page of a garment: its points in the latest measuring."""
    into, page = Figures(), page_of(text)
    for name, parts in page.by_id.items():
        if name.startswith("at-") and (said := re.search(rf"{NUMBER} cm likely", re.sub(r"\s+", " ", " ".join(parts)))):
            into.add(("garment", name.removeprefix("at-")), cm(said[1]), 0.5)
    return into


def of_swatch(key: str, text: str) -> Figures:
    """Figures of the page of a swatch: its gauge by itself, stage by stage."""
    into, stage, thread = Figures(), "", ""
    for block in page_of(text).blocks:
        words = block.strip().lower()
        begun = next((code for said, code in STAGE_HEADINGS.items() if words.startswith(said)), "")
        if begun:
            stage = begun if stage != begun and not into.has("by itself", key, begun) else f"{begun} again"
        elif said := re.match(r"\d+ (stitches|rows)$", words):
            thread = said[1]
        elif stage and (said := re.match(rf"{NUMBER} to 10 cm likely {SPAN}", words)):
            into.three(("by itself", key, stage, thread), said.groups(), 0.05)
    return into


def of_walk(text: str) -> Figures:
    """What the end of the measuring walk says where everything is read: the advice."""
    into, page = Figures(), page_of(text)
    if "".join(page.by_id.get("end-name", ())).startswith("Nothing has to be read again"):
        into.add(("advice", "said"), " ".join("".join(page.by_id.get("end-said", ())).split()))
    return into
