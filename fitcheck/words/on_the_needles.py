"""A piece on the needles in words: go on with it; where its counts became others, keep it or knit the newer ones."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from fitcheck.records.sheet_kinds import BandKind
from fitcheck.reports.on_the_needles import BandBegun, NewerCounts, OnTheNeedles
from fitcheck.words.figures import chance_words
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, spaced

KEPT = "Kept: the sheet on the needles goes on as it is."
TAKEN = "Taken: the sheet by the newer counts is begun."
"""Said once after one of the two was chosen."""


@frozen
class SideSaid:
    """One of the two: its heading, the chance and what it is of (both empty where it is not known), what it means."""

    head: str
    chance: str
    of: str
    told: str
    button: str


@frozen
class BandSaid:
    """A band that is begun: its name, how far it is, and the words on the button that ends its sheet.

    off  every act is done;  machine, sheet: what the links that lead there are called aloud
    """

    kind: BandKind
    name: str
    told: str
    button: str
    off: bool
    machine: str
    sheet: str


def band_said(band: BandBegun) -> BandSaid:
    """How far a begun band is."""
    name = spaced(band.kind)
    told = "Begun." if band.row is None else f"At row {band.row}."
    if band.off:
        told = "Every act of its sheet is done."
    end, machine, sheet = f"The {name} is on: end its sheet", f"{capital(name)} at the machine", f"Sheet of the {name}"
    return BandSaid(band.kind, capital(name), told, end, band.off, machine, sheet)


@frozen
class NeedlesSaid:
    """The heading, the sentence under it, and both sides; no sides where there is nothing to choose.

    digest  of the newer lines
    off     the piece is off the machine: it is weighed next
    """

    head: str
    because: str
    keep: SideSaid | None = None
    knit: SideSaid | None = None
    digest: str = ""
    off: bool = False


def needles_said(piece: OnTheNeedles) -> NeedlesSaid:
    """A piece on the needles."""
    name, newer = spaced(piece.kind), piece.newer
    if piece.off:
        told = (
            f"Every act of its sheet is done. Its weight makes the {name} a knitted piece; then the next stands here."
        )
        return NeedlesSaid(f"Weigh the {name}, then go on.", told, off=True)
    go_on = f"Go on with the {name}: row {piece.row}." if piece.row is not None else f"Go on with the {name}."
    if newer is None or (newer.kept and not newer.then):
        return NeedlesSaid(go_on, "Its sheet is begun, by these counts.")
    key = _chief(newer)
    if newer.kept:
        kept, now, where = newer.then[key], newer.now[key], point_name(key)
        told = f"You keep {kept} at the {where}; by what was read since it would be {now}."
        return NeedlesSaid(go_on, told)
    at = f" The {name} is at row {piece.row}." if piece.row is not None else f" The {name} is begun."
    calm = "Nothing changes on the needles until you say so."
    keeps = "The sheet on the needles goes on as it is."
    if not key:
        return NeedlesSaid(
            f"Keep its sheet, or take the newer lines?{at}",
            f"The counts are the same, but it is now knitted otherwise. {calm}",
            SideSaid("Keep the sheet", "", "", keeps, "Keep the sheet"),
            SideSaid("Take the newer lines", "", "", _ripped(newer), "Take the newer lines"),
            newer.digest,
        )
    before, now = newer.then[key], newer.now[key]
    return NeedlesSaid(
        f"Keep {before}, or knit {now}?{at}",
        f"Was {before} at the {point_name(key)}, now {now}: the answer changed since its sheet was begun. {calm}",
        _side(f"Keep {before}", key, newer.fits_then, keeps),
        _side(f"Knit {now}", key, newer.fits_now, _ripped(newer)),
        newer.digest,
    )


def _chief(newer: NewerCounts) -> str:
    """The width that changed most, else the length; empty where no count did."""
    across = [key for key in newer.then if POINTS[key].direction == "across"]
    return max(across or newer.then, key=lambda key: abs(newer.now[key] - newer.then[key]), default="")


def _side(head: str, key: str, fits: Mapping[str, float], told: str) -> SideSaid:
    chance = fits.get(key)
    if chance is None:
        return SideSaid(head, "", "", told, head)
    return SideSaid(head, chance_words(chance), f"that the {point_name(key)} fits", told, head)


def _ripped(newer: NewerCounts) -> str:
    """What taking the newer counts costs of what is knitted."""
    if newer.alike_to is None:
        return "Cast on anew: the two sheets differ from the first row on."
    if newer.reached:
        return f"Rip back to row {newer.alike_to}: up to there both sheets are the same."
    return f"Both sheets are the same up to row {newer.alike_to}. Nothing is ripped."
