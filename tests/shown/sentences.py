"""Figures of the sentences that command, API and pages have alike."""

from __future__ import annotations

import re

from tests.shown.figures import (
    CHANCE,
    LIKELY,
    NUMBER,
    PIECES,
    SMALLER,
    STAGES,
    Figures,
    cm,
    point_of,
    signed,
    told_chance,
)


def of_sentences(text: str) -> Figures:
    """Figures of the sentences that a terminal and a page have alike; in text without line breaks."""
    into = Figures()
    rest = rf"(?:{NUMBER} stitches to 10 cm {LIKELY})?(?: and )?(?:{NUMBER} rows to 10 cm {LIKELY})?"
    for said in re.finditer(rf"The next piece(?: at dial ([\d.]+))?, blocked and dry: {rest}", text):
        dial, *figures = said.groups()
        into.add(("next piece", "dial"), dial)
        for thread, three in (("stitches", figures[:3]), ("rows", figures[3:])):
            into.three(("next piece", "blocked", thread), three, 0.05)
    meets = (
        rf"[Dd]ial ([\d.]+) meets the wanted gauge\. There it is {NUMBER} stitches to 10 cm {LIKELY}.*?\. "
        rf"{CHANCE} that the pattern"
    )
    for said in re.finditer(meets, text):
        into.add(("advised dial",), said[1])
        into.three(("dial", said[1], "stitches"), said.groups()[1:4], 0.05)
        into.add(("dial", said[1], "chance"), told_chance(said[5]))
    for said in re.finditer(r"From (rested|off the machine) to blocked (.*?)(?:\.(?: |\Z)|\Z)", text):
        for change in re.finditer(rf"(?:becomes|and) {NUMBER} % (narrower|wider|shorter|longer) {LIKELY}", said[2]):
            value, word, low, high = change.groups()
            at = ("finishing", STAGES[said[1]], "across" if word in ("narrower", "wider") else "along")
            into.shares(at, (value, low, high), smaller=word in ("narrower", "shorter"))
    up = rf"a stitch is {NUMBER} % {LIKELY} wider(?: and a row is {NUMBER} % {LIKELY} higher)?"
    for said in re.finditer(rf"One dial number up, {up}", text):
        for thread, three in (("stitches", said.groups()[:3]), ("rows", said.groups()[3:])):
            into.shares(("a dial number up", thread), three)
    for said in re.finditer(rf"what is likely spans {NUMBER} cm", text):
        into.add(("next swatch", "spans"), cm(said[1]), 0.5)
    for said in re.finditer(rf"comes out within {NUMBER} cm either way, 9 times in 10", text):
        into.add(("next swatch", "spans"), 2 * cm(said[1]), 1.0)
    for said in re.finditer(rf"The (?!next)[a-z ]+, ([a-z, ]+): {NUMBER} (stitches|rows) to 10 cm {LIKELY}", text):
        if said[1] in STAGES:
            into.three(("piece", STAGES[said[1]], said[3]), (said[2], said[4], said[5]), 0.05)
    for said in re.finditer(rf"Ease at the ([a-z ]+): {NUMBER} cm {LIKELY}", text):
        into.three(("ease", point_of(said[1]) or said[1]), said.groups()[1:], 0.5, scale=10)
    explains = rf"One (?:stitch|row) size explains every (?:width|length): {NUMBER} (stitches|rows) to 10 cm {LIKELY}"
    for said in re.finditer(explains, text):
        into.three(("explained", said[2]), (said[1], said[3], said[4]), 0.05)
    for said in re.finditer(rf"it is as if \d+ (stitches|rows) .*?, not \d+\. {CHANCE} that it is a miscount", text):
        into.add(("explained", said[1], "miscount"), told_chance(said[2]))
    _sizes_said(into, text)
    return into


def _sizes_said(into: Figures, text: str) -> None:
    """Take what is said of sizes, and of the fabric against the one that a table was made for."""
    best = rf"(?:Knit size|[Ss]ize) (\S+?),? (?:at dial [\d.]+\.|comes near(?:est|er)[,:]?)(?: {CHANCE})?"
    for said in re.finditer(best, text):
        into.add(("sizes", "best"), said[1])
        into.add(("size", said[1], "chance"), told_chance(said[2]))
    if said := re.search(rf"is knitted in size (\S+?)\. .*? that size comes nearest: {CHANCE}", text):
        into.add(("sizes", "best"), said[1])
        into.add(("size", said[1], "chance"), told_chance(said[2]))
    if said := re.search(r"(?:Knit size \S+ at|At) dial ([\d.]*\d)(?:\. | no | neither )", text):
        into.add(("sizes", "dial"), said[1])
    if said := re.search(rf"Or counts of your own(?:, [^:]*)?: {CHANCE}", text):
        into.add(("free", "chance"), told_chance(said[1]))
    for said in re.finditer(rf"Counts of your own: ([^.]*?) stitches\. {CHANCE} that every width fits", text):
        into.add(("free", "chance"), told_chance(said[2]))
        _free(into, said[1])
    for said in re.finditer(r"Knit ((?:[a-z ]+ \d+, )+[a-z ]+ \d+) stitches at dial ([\d.]*\d)", text):
        _free(into, said[1])
        into.add(("sizes", "dial"), said[2])
    worst = rf"In size (\S+) the ([a-z ]+) fits worst: {NUMBER} cm (narrow|wide) {LIKELY}"
    for said in re.finditer(worst, text):
        size, point, value, word, low, high = said.groups()
        at = ("size", size, point_of(point) or point, "difference")
        into.off(at, (value, low, high), 0.5, smaller=word == "narrow", scale=10)
    for said in re.finditer(rf"Size (\S+) beside size (\S+): {CHANCE} against {CHANCE}", text):
        into.add(("size", said[1], "chance"), told_chance(said[3]))
        into.add(("size", said[2], "chance"), told_chance(said[4]))
    width = rf"the pieces come out {NUMBER} % {LIKELY} (wide|narrow)|(?:call:|it is) {NUMBER} % {LIKELY} in width"
    if said := re.search(width, text):
        three = said.groups()[:3] if said[1] else said.groups()[4:]
        into.shares(("against the table", "stitches"), three, smaller=said[4] == "narrow")
    if said := re.search(rf"A row is {NUMBER} % {LIKELY} (lower|higher) than the pattern’s", text):
        into.shares(("against the table", "rows"), said.groups()[:3], smaller=said[4] == "lower")


def _free(into: Figures, told: str) -> None:
    """Take counts bound to no size: "chest back 126, left front 61, neck width 38"."""
    point = ""
    for part in told.split(", "):
        name, _, count = part.rpartition(" ")
        piece = next((one for one in PIECES if name.endswith(one)), "")
        point = point_of(name.removesuffix(piece)) or (point if piece else name)
        into.add(("free", point, *([piece.replace(" ", "_")] if piece else []), "count"), float(count))


def advice(into: Figures, text: str) -> None:
    """Take the advice in words, its first deed as a heading has it, and the counts for the pieces to come."""
    into.add(("advice", "said"), re.sub(r"^1\. [A-Z][a-z ]*: ([a-z])", lambda first: first[1].upper(), text))
    if re.search(r"[Kk]nit the (?:left |right )?(?:front|sleeve)[^.]*? (?:wider|narrower|longer|shorter)", text):
        counts = re.findall(r"(\d+)(?: stitches)?(?: in each half)?(?: at the [a-z ]+?)? instead of \d+", text)
        if named := re.search(r": ((?:[a-z ]+ \d+(?:, )?)+) stitches", text):
            counts += re.findall(r"\d+", named[1])
        into.add(("advice", "counts"), frozenset(int(count) for count in counts) or None)


def chances(into: Figures, text: str) -> None:
    """What is said of the chance that every point fits."""
    into.add(("advice", "chance said"), text)
    if said := re.search(rf"{CHANCE} that every point", text):
        into.add(("advice", "chance"), told_chance(said[1]))
    if said := re.search(rf"With nothing changed: {CHANCE}", text):
        into.add(("way", "carry_on", "chance"), told_chance(said[1]))


def of_point(into: Figures, key: str, text: str) -> None:
    """Take the figures of the sentence of one point."""
    at = ("point", key)
    if said := re.search(rf"[Ww]anted {NUMBER}(?:, (?:and|less) [\d.]+ that the [a-z ]+)*, measured {NUMBER}", text):
        into.add((*at, "wanted"), cm(said[1]), 1.0)
        into.add((*at, "measured"), cm(said[2]), 1.0)
    word = ""
    if said := re.search(rf"{NUMBER} cm (narrow|wide|short|long)(?:e?r)?\b(?! of it)", text):
        word = said[2]
        into.add((*at, "difference", "value"), 10 * signed(said[1], word.startswith(SMALLER)), 1.0)
    elif "as wanted" in text:
        into.add((*at, "difference", "value"), 0.0, 1.0)
    ends = rf"likely {NUMBER}(?: (narrow|wide|short|long))? to {NUMBER}(?: (narrow|wide|short|long))?"
    if said := re.search(ends, text):
        one, one_word, two, two_word = said.groups()
        signs = [(one_word or two_word or word).startswith(SMALLER), (two_word or word).startswith(SMALLER)]
        low, high = sorted((signed(one, signs[0]), signed(two, signs[1])))
        into.add((*at, "difference", "low"), 10 * low, 1.0)
        into.add((*at, "difference", "high"), 10 * high, 1.0)
    if said := re.search(rf"allowed {NUMBER}\.?(?: |$)|; {NUMBER} allowed", text):
        into.add((*at, "allowed, smaller"), cm(said[1] or said[2]), 0.5)
        into.add((*at, "allowed, larger"), cm(said[1] or said[2]), 0.5)


def of_way(into: Figures, code: str, told: str) -> None:
    """Take what a way would bring, and the counts in it."""
    told = re.sub(r"^[a-z ]*(?=[A-Z])", "", told.strip().rstrip("."))
    into.add(("way", code, "said"), told[:1].lower() + told[1:])
    counts = frozenset(
        int(one) for one in re.findall(r"(\d+)(?: stitches (?:in each half|at the [a-z ]+?))? instead of \d+", told)
    )
    if counts:
        into.add(("way", code, "counts"), counts)
