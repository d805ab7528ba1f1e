"""Figures of the rest of the sweater: counts, seams, yarn, sheets and how far one is knitted.

As data (`of_rest`, `of_seams`, `of_yarn`, `of_sheet`, `of_table`, `of_progress`) and as they are read from what a
command prints or a page shows (`of_lines`, `of_acts`, `of_machine`).
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from tests.shown.figures import CHANCE, MINUS, Data, Figures, chance_said, cm, point_of, told_chance
from tests.shown.pages import page_of

SEAMS = (
    ("raglan.* back", "raglan_back"),
    ("raglan.* front", "raglan_front"),
    ("panels? to the back", "panel_back"),
    ("panels? to the front", "panel_front"),
    ("over the panel", "panel_top"),
    ("shoulder", "shoulder"),
    ("armhole", "armhole"),
    ("underarm", "underarm"),
    ("side seam", "side"),
    ("sleeve seam", "sleeve"),
)
"""What a seam is called in its line, the first that is found, and its key."""
WAYS = {
    "Buy now": "buy",
    "Bands in another yarn": "bands_other",
    "A shorter last piece": "leave_out",
    "Both sleeves at once, cuffs last": "sleeves_last",
    "Sleeves in another yarn": "sleeves_other",
}
VERDICT = r"(fits|eases|does not join)(?: ([\d.]+) %)?"
BAND = r"(?i)(?:\d+ ?)?(?:two )?(neck|front|hem|cuff)s?(?: bands?)?: picked up"
GRAMS = r"(\d+(?:\.\d)?)"


# As data


def of_rest(data: Data) -> Figures:
    """Figures of the whole answer."""
    into = Figures()
    if data["why"] is not None:
        return into
    for piece in data["pieces"]:
        name = piece["kind"].replace("_", " ")
        for key, count in piece["counts"].items():
            at = ("rest", name, key)
            into.add(at, count["count"])
            into.add((*at, "gives"), count["mm"])
            into.add((*at, "fits"), chance_said(count["fits"]))
            into.add((*at, "before"), count["before"])
    into.take(of_seams(data["seams"]))
    into.take(of_yarn(data["yarn"]))
    for band in data["bands"]:
        if "stitches" in (band["picked"] or {}):
            into.add(("band", band["edge"], "stitches"), band["picked"]["stitches"])
            into.add(("band", band["edge"], "rows"), band["rows"])
    return into


def of_seams(seams: Any) -> Figures:
    """Figures of the seams."""
    into = Figures()
    for seam in seams if isinstance(seams, list) else ():
        join = seam["join"]
        if "verdict" not in join:
            continue
        at = ("seam", seam["key"])
        into.add((*at, "verdict"), join["verdict"].replace("_", " "))
        if join["verdict"] == "eases":
            into.add((*at, "ease"), 100 * abs(join["ease"]))
        for place, (edge, rib) in enumerate(zip((join["edge"], join["partner"]), seam["ribs"], strict=True)):
            into.add((*at, str(place), "length"), edge["mm"] + (rib or {"mm": 0.0})["mm"])
            if join["by"] != "length":
                into.add((*at, str(place), "count"), round(edge[join["by"]]))
    return into


def of_yarn(yarn: Data) -> Figures:
    """Figures of the yarn."""
    into = Figures()
    if "need" not in yarn:
        return into
    for name in ("need", "low", "high"):
        into.add(("yarn", name), yarn[name])
    if yarn["lasts"] is not None and yarn["lasts"] >= 0.05:  # "Not enough" says by how much instead
        into.add(("yarn", "hand"), yarn["hand"])
    into.add(("yarn", "lasts"), chance_said(yarn["lasts"]))
    into.add(("yarn", "a stitch"), 1000 * yarn["per_stitch"]["grams"])
    named: Counter[str] = Counter()
    for piece in yarn["pieces"]:
        named[piece["kind"]] += 1
        at = ("yarn", f"{piece['kind'].replace('_', ' ')} {named[piece['kind']]}")
        into.add((*at, "loops"), piece["loops"])
        into.add((*at, "grams"), piece["weighed"] or piece["grams"])
        if piece["weighed"] is None:
            into.add((*at, "low"), piece["low"])
            into.add((*at, "high"), piece["high"])
    for way in yarn["ways"]:
        into.add(("yarn", "way", way["code"]), chance_said(way["chance"]))
    return into


def of_sheet(kind: str, sheet: Data) -> Figures:
    """Figures of a sheet as data: each act, and the rows of its head."""
    if "lines" not in sheet:
        return Figures()
    return _acts(kind, ((line.get("counter"), line["after"]) for line in sheet["lines"]))


def of_table(kind: str, text: str) -> Figures:
    """Figures of a sheet as a table of commas."""
    rows = list(csv.DictReader(io.StringIO(text)))
    if not rows or "after" not in rows[0]:
        return Figures()
    return _acts(kind, ((row["counter"] or None, row["after"]) for row in rows))


def of_progress(kind: str, progress: Data, sheet: Data) -> Figures:
    """How far a begun sheet is knitted.

    sheet  its lines
    """
    into = Figures()
    into.add(("progress", kind, "lines"), progress["lines"])
    into.add(("progress", kind, "done"), len(progress["done"]))
    if progress["next"] is not None:
        into.add(("progress", kind, "counter"), sheet["lines"][progress["next"]].get("counter"))
    return into


def _acts(kind: str, acts: Iterable[tuple[Any, Any]]) -> Figures:
    """What the counter shows and how many stitches there are after each act, by its place in the sheet."""
    into = Figures()
    for place, (counter, after) in enumerate(acts):
        at = ("sheet", kind, str(place))
        into.add((*at, "counter"), None if counter is None else int(counter))
        into.add((*at, "stitches"), int(after or 0))
    return into


# As they are read


def of_printed(text: str) -> Figures:
    """Figures of what `fitcheck rest`, `seams` or `yarn` prints in cm."""
    lines, piece = list[list[str]](), ""
    every = text.translate(MINUS).split("\n")
    for line in every:
        if line.startswith(" ") or not line:
            lines.append([piece, *re.split(r"\s{2,}", line.strip())])
        elif said := re.match(r"(?:The ([a-z ]+)|Two ([a-z ]+)s)$", line):
            piece = said[1] or said[2]
        else:
            lines.append(["", *re.split(r"\s{2,}", line)])
    return _read(lines, " ".join(text.translate(MINUS).split()))


def of_rest_page(text: str) -> Figures:
    """Figures of the page of the rest, of its seams or of its yarn, in cm."""
    page = page_of(text)
    lines: list[list[str]] = []
    for block in (block.strip() for block in page.blocks):
        # It stands under the name of its seam; what both edges measure follows it, and is told of each again.
        if lines and (said := re.fullmatch(rf"({VERDICT}|picked up)(?:[^:]* cm)?", block)):
            lines[-1][1] += f": {said[1]}"
        elif block:
            lines.append(["", block])
    for heading, rows in page.tables:
        said = re.match(r"(?:The ([a-z ]+?)|Two ([a-z ]+?)s)(?: Sheet|$)", heading.strip())
        piece = (said[1] or said[2]) if said else ""
        for row in rows:
            cells = [" ".join(cell) for cell in row]
            lines.append([piece, *[re.sub(r"^\d+ (?=[a-z])(?!sleeves|side panels)", "", cells[0]), *cells[1:]]])
    return _read(lines, " ".join(" ".join(page.blocks).split()))


def _read(lines: list[list[str]], shown: str) -> Figures:
    into = Figures()
    seam, band, place = "", "", 0
    named: Counter[str] = Counter()
    for piece, first, *cells in (line for line in lines if len(line) > 1):
        if cells and piece:
            _count(into, piece, first, cells)
        whole = " ".join((first, *cells))
        if said := re.match(rf"(?:\d+ )?(.*?):? {VERDICT}(?::.*)?$", whole):
            seam = next((key for words, key in SEAMS if re.search(words, said[1].lower())), "")
            place = 0
            if seam:
                into.add(("seam", seam, "verdict"), said[2])
                into.add(("seam", seam, "ease"), said[3] and float(said[3]), 0.05)
        elif seam and (said := re.search(r"(?:(\d+) (?:rows|stitch(?:es)?), |^(?:[a-z ]+ )?)([\d.]+) cm$", whole)):
            into.add(("seam", seam, str(place), "count"), said[1] and float(said[1]))
            into.add(("seam", seam, str(place), "length"), cm(said[2]), 0.5)
            place += 1
        elif said := re.match(
            r"(?:\d+ ?)?(?:Two )?(neck|front|hem|cuff)s?(?: bands?)?: picked up", whole, re.IGNORECASE
        ):
            seam, band = "", said[1].lower()
        elif band and (said := re.fullmatch(r"(?:.*band )?(\d+) stitches, (\d+) rows", whole)):
            into.add(("band", band, "stitches"), float(said[1]))
            into.add(("band", band, "rows"), float(said[2]))
        if len(cells) >= 3 and (said := re.fullmatch(r"(?:\d )?([a-z ]+?)(?:s, each)?", first)):
            _yarn_row(into, said[1], cells, named)
    _yarn(into, shown)
    return into


def _count(into: Figures, piece: str, name: str, cells: list[str]) -> None:
    """A row of the table of counts: planned, where it is known, what to knit, what it gives, whether it fits."""
    at = ("rest", piece, point_of(name) or name.lower())
    knit = next((place for place, cell in enumerate(cells) if re.match(r"\d+ (?:st|rows)\b", cell)), None)
    if knit is None:
        return
    into.add(at, float(cells[knit].split()[0]))
    if re.search(r"\d (?:more|fewer)", " ".join(cells[knit : knit + 2])) and knit:
        into.add((*at, "before"), float(cells[knit - 1]))
    for cell in cells[knit + 1 :]:
        if re.fullmatch(r"\d+\.\d", cell):
            into.add((*at, "gives"), cm(cell), 0.5)
        elif said := re.fullmatch(CHANCE, cell):
            into.add((*at, "fits"), told_chance(said[1]))


def _yarn_row(into: Figures, name: str, cells: list[str], named: Counter[str]) -> None:
    """A row of the table of yarn: stitches, grams, and how likely or whether it was weighed."""
    loops, grams, likely = cells[0], cells[1], cells[2]
    if not (said := re.fullmatch(r"(about )?(\d+)", loops)) or not re.fullmatch(GRAMS, grams) or "band" in name:
        return
    named[name] += 1
    at = ("yarn", f"{name} {named[name]}")
    into.add((*at, "loops"), float(said[2]), 50.0 if said[1] else 0.0)
    into.add((*at, "grams"), float(grams), 0.05 if "weighed" in likely else 0.5)
    if said := re.fullmatch(r"(\d+) to (\d+)", likely):
        into.add((*at, "low"), float(said[1]), 0.5)
        into.add((*at, "high"), float(said[2]), 0.5)


def _yarn(into: Figures, shown: str) -> None:
    """What is said of the yarn of all pieces."""
    if said := re.search(r"(\d+) g to knit", shown):
        into.add(("yarn", "need"), float(said[1]), 0.5)
    if said := re.search(r"(\d+) g on hand", shown):
        into.add(("yarn", "hand"), float(said[1]), 0.5)
    if said := re.search(r"still to knit (\d+) (\d+) to (\d+)", shown):
        for name, grams in zip(("need", "low", "high"), said.groups(), strict=True):
            into.add(("yarn", name), float(grams), 0.5)
    if said := re.search(rf"(?:The yarn lasts,|It may not last,) {CHANCE}", shown):
        into.add(("yarn", "lasts"), told_chance(said[1]))
    if said := re.search(r"A stitch:? ([\d.]+) mg", shown):
        into.add(("yarn", "a stitch"), float(said[1]), 0.05)
    for head, code in WAYS.items():
        if said := re.search(rf"{head}[,:]? {CHANCE}", shown):
            into.add(("yarn", "way", code), told_chance(said[1]))


# A sheet


def of_printed_sheet(kind: str, text: str) -> Figures:
    """Figures of a sheet as it is printed by the command."""
    boxes = list(_boxes(text.translate(MINUS)))
    return _acts(kind, boxes)


def _boxes(text: str) -> Iterator[tuple[str | None, str | None]]:
    """Each box of a printed sheet: what the counter shows, and the stitches after it."""
    act: tuple[str | None, str | None] | None = None
    for line in text.split("\n"):
        if said := re.match(r"  \[.\] +(\d*|_+) +(?:left|right) (.*)$", line):
            if act:
                yield act
            after = re.search(r" - (\d+) stitch", said[2])
            act = said[1] if said[1].isdigit() else None, after and after[1]
        elif times := re.findall(r"\[.\] +(\d+) > +(\d+)", line):
            act = None
            yield from times
    if act:
        yield act


def of_sheet_page(kind: str, text: str) -> Figures:
    """Figures of the page of a sheet: each act, and of a begun one how far it is."""
    into = Figures()
    acts: list[list[str | None]] = []
    marks = r'<b class="at">(.*?)</b>|<span class="af">(\d*)|<span class="c">(\d+)</span>|then </span>(\d+)'
    times = False
    for counter, after, time, then in re.findall(marks, text):
        if counter:
            acts.append([counter if counter.isdigit() else None, None])
            times = False
        elif time:
            # The act of a repeat stands above its boxes, and is done once for each of them.
            if times:
                acts.append([time, None])
            times = True
        else:
            acts[-1][1] = after or then
    into.take(_acts(kind, acts))
    if said := re.search(r">(\d+) of (\d+) acts done<", text):
        into.add(("progress", kind, "done"), float(said[1]))
        into.add(("progress", kind, "lines"), float(said[2]))
    if said := re.search(r"Next, at row\s(\d+)", text):
        into.add(("progress", kind, "counter"), float(said[1]))
    return into


def of_machine(kind: str, text: str) -> Figures:
    """What fills the screen at the machine: the row of the act that is next."""
    into = Figures()
    if said := re.search(r'<span class="figure">(\d+)</span>', text):
        into.add(("progress", kind, "counter"), float(said[1]))
    return into
