"""Sweaters made from a truth that is written down first: the true stitch, the counts, the slips; readings come last.

    piece: width = stitches x w,  length = rows x h  [mm], as it lies, washed and blocked, seams included
    garment: the same less what the seams swallow: a stitch an edge, a row at a shoulder

Nothing here imports the program: what a knitter writes into a household file is all that it is given. The plain
sweater has stitches of 4.6 mm and rows of 3.3 mm. Everybody and every figure is invented.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

Raw = dict[str, Any]
Lengths = dict[str, float]

STITCH, ROW = 4.6, 3.3
"""The plain sweater's stitch width and row height [mm]."""
EIGHTH = 25.4 / 8
"""What a tape in inches is read to [mm]."""

BODY = {
    "hem": 108,
    "to_underarm": 118,
    "chest": 112,
    "armhole_depth": 64,
    "shoulder_width": 88,
    "neck_width": 34,
    "body_length": 190,
}
"""Counts that give the plain sweater: stitches of widths, rows of lengths."""
FRONT = {**BODY, "neck_depth": 24}
SLEEVE = {"cuff": 48, "sleeve_to_underarm": 128, "upper_arm": 78, "cap_height": 42, "sleeve_length": 170}
HALF = {"hem": 52, "to_underarm": 118, "chest": 54, "armhole_depth": 64, "body_length": 190}
"""Half a front beside a band of 2.8 cm: (flat - band) / 2, a stitch in the side seam and one in the band's."""
BAND = "2.76 cm"
PANEL = {"panel_width": 18, "panel_length": 118}

ALONG = frozenset(
    {
        "to_underarm",
        "armhole_depth",
        "body_length",
        "neck_depth",
        "sleeve_to_underarm",
        "cap_height",
        "sleeve_length",
        "panel_length",
    }
)
SWALLOWED = {
    "hem": 2, "chest": 2, "shoulder_width": 2, "neck_width": -2, "armhole_depth": 1, "body_length": 1,
    "upper_arm": 2, "cuff": 2, "cap_height": 1, "sleeve_length": 1, "panel_width": 2,
}  # fmt: skip
"""Stitches or rows of a piece that its seams swallow; a neck opening grows by them."""
ROUND = ("upper_arm", "cuff")
"""Points that a piece has all round, of which a garment's flat figure is half."""
LACKS = {
    "drop_shoulder": ("shoulder_width", "cap_height"),
    "raglan": ("shoulder_width", "cap_height"),
}


def lengths(
    counts: Mapping[str, int], *, w: float = STITCH, h: float = ROW, zones: Mapping[str, float] | None = None
) -> Lengths:
    """What a piece measures [mm].

    zones  how much larger than the rest of the piece the stitch or row is at a point, as a factor
    """
    zones = zones or {}
    return {key: count * (h if key in ALONG else w) * zones.get(key, 1.0) for key, count in counts.items()}


def garment_of(counts: Mapping[str, int], *, w: float = STITCH, h: float = ROW) -> Lengths:
    """Flat figures of the garment that pieces with these counts make up [mm]."""
    worn = {key: (count - SWALLOWED.get(key, 0)) * (h if key in ALONG else w) for key, count in counts.items()}
    return {key: length / 2 if key in ROUND else length for key, length in worn.items()}


PLAIN = {**garment_of(SLEEVE), **garment_of(FRONT)}
"""The plain sweater, flat [mm]."""


def typed(mm: float, unit: str = "cm", *, step: float = 0.0, signed: bool = False) -> str:
    """A length as somebody types it: to the millimetre, or to an eighth of an inch; ``step`` is a coarser one [mm]."""
    mark = "+" if signed and mm > 0 else ""
    if unit == "in":
        eighths = round(mm / (step or EIGHTH)) * round((step or EIGHTH) / EIGHTH)
        whole, part = divmod(abs(eighths), 8)
        sign = "-" if eighths < 0 else mark
        return f"{sign}{whole} {part}/8 in" if part else f"{sign}{whole} in"
    step = step or 1.0
    return f"{mark}{step * round(mm / step) / 10:.1f}" if step < 10 else f"{mark}{step * round(mm / step) / 10:.0f}"


def read(
    mm: float, *, times: int = 3, layings: bool = True, unit: str = "cm", step: float = 0.0, look: int = 0
) -> list[Raw]:
    """Readings of a true length [mm]: a millimetre to either side of it in turn, each of a laying of its own."""
    away = [0.0] if times == 1 else [(0.0, 1.0, -1.0)[number % 3] for number in range(times)]
    fine = [typed(mm + off, unit, step=step) for off in away]
    return [
        {"text": text, **({"laying": number + 1} if layings else {}), **({"look": look} if look else {})}
        for number, text in enumerate(fine)
    ]


def readings(of: Lengths, **how: Any) -> Raw:
    """Readings of every point."""
    return {key: read(mm, **how) for key, mm in of.items()}


def over(by: Lengths, *, times: int = 3, layings: bool = True, unit: str = "cm") -> Raw:
    """Overhangs of a piece laid on the garment, each of a laying of its own [mm]."""
    laid = {key: [typed(mm, unit, signed=True)] * times for key, mm in by.items()}
    return {
        key: [{"text": text, **({"laying": number + 1} if layings else {})} for number, text in enumerate(texts)]
        for key, texts in laid.items()
    }


def counted(counts: Mapping[str, int], *, at: Iterable[str] | None = None) -> Raw:
    """Counts of a piece: planned and knitted alike, and counted on the piece itself, everywhere or at some points."""
    at = counts if at is None else at
    return {
        key: {"planned": count, "knitted": count, **({"counted": count} if key in at else {})}
        for key, count in counts.items()
    }


def piece(
    kind: str,
    counts: Raw | None,
    of: Lengths | None,
    *,
    key: str = "",
    dial: str | None = "7",
    stage: Raw | None = None,
    before: Iterable[Raw] = (),
    how: Raw | None = None,
    **more: Any,
) -> Raw:
    """A piece that was knitted, washed, patted to size, and read at every point of ``of``.

    stage   what its last stage says besides; ``before`` are its stages before that
    how     how it was read, for ``read``
    """
    last = {"kind": "blocked", "blocking": "patted", **(stage or {})}
    if of is not None:
        last["readings"] = readings(of, **(how or {}))
    made: Raw = {"id": key or kind, "piece": kind, "stages": [*before, last], **more}
    return made | ({"counts": counts} if counts else {}) | ({"dial": dial} if dial else {})


def swatch(
    dial: str = "7",
    *,
    key: str = "",
    w: float = STITCH,
    h: float = ROW,
    stitches: int = 40,
    rows: int = 60,
    stages: Mapping[str, tuple[float, float]] | None = None,
    unit: str = "cm",
    **more: Any,
) -> Raw:
    """A swatch: 40 stitches and 60 rows between its marks, washed and blocked.

    stages  per stage how much larger than blocked it was across and along, as factors
    """
    made = [
        {
            "kind": kind,
            **({"blocking": "patted"} if kind == "blocked" else {}),
            "across": read(stitches * w * across, unit=unit),
            "along": read(rows * h * along, unit=unit),
        }
        for kind, (across, along) in {**(stages or {}), "blocked": (1.0, 1.0)}.items()
    ]
    return {
        "id": key or f"swatch_{dial.replace('.', '_')}",
        "yarn": "wool",
        "dial": dial,
        "stitches": {"count": stitches},
        "rows": {"count": rows},
        "stages": made,
        **more,
    }


def at_dial(dial: float, size: float, *, known: float = 7.0) -> float:
    """A stitch or row at another dial [mm]: seven per cent a number, as swatches of this yarn have it."""
    return size * math.exp(0.07 * (dial - known))


def dial_swatches(*dials: int, **more: Any) -> list[Raw]:
    """Swatches of one fabric at several dials."""
    return [swatch(str(dial), w=at_dial(dial, STITCH), h=at_dial(dial, ROW), **more) for dial in dials]


def household(
    pieces: Iterable[Raw] = (),
    *,
    fits: Lengths | None = None,
    numbers: Lengths | None = None,
    planned: Raw | None = None,
    swatches: Iterable[Raw] = (),
    fibre: str = "wool",
    needles: int = 200,
    unit: str = "cm",
    garment: Raw | None = None,
    garment_how: Raw | None = None,
    tables: Iterable[Raw] = (),
    **make: Any,
) -> Raw:
    """A household file with one make.

    fits     flat figures of the garment that it must fit, read there [mm]; ``garment`` says more of it
    numbers  flat figures that it must fit instead [mm]
    """
    how = {"unit": unit, **(garment_how or {})}
    swatches, tables = list(swatches), list(tables)
    made: Raw = {
        "id": "pullover",
        "name": "Pullover",
        "yarn": "wool",
        "machine": "bed",
        "swatches": [swatch["id"] for swatch in swatches],
        "pieces": list(pieces),
        **({"planned": planned} if planned else {}),
        **({"size_table": tables[0]["id"]} if tables else {}),
        **make,
    }
    home: Raw = {
        "fitcheck": 4,
        "unit": unit,
        "yarns": [{"id": "wool", "name": "Wool", "fibres": [{"fibre": fibre, "percent": 100}]}],
        "machines": [{"id": "bed", "name": "Bed", "needles": needles}],
        "swatches": swatches,
        "size_tables": tables,
        "makes": [made],
    }
    for one in made["pieces"]:
        one.setdefault("yarn", "wool")
    if fits is not None:
        occasion = {"id": "may", "on": "2026-05-10", "state": "washed_flat", "readings": readings(fits, **how)}
        home["garments"] = [{"id": "green", "name": "green pullover", "occasions": [occasion], **(garment or {})}]
        made.setdefault("fits", {"garment": "green", "occasion": "may"})
    if numbers is not None:
        made["fits"] = {
            **made.get("fits", {}),
            "numbers": {key: typed(mm, unit) for key, mm in numbers.items()},
        }
    return home


def only(of: Mapping[str, Any], *keys: str) -> dict[str, Any]:
    """Some points of it."""
    return {key: of[key] for key in keys}


def body(of: Mapping[str, float] = PLAIN) -> Lengths:
    """The points of a back."""
    return {key: of[key] for key in BODY if key in of}


def sleeve(of: Mapping[str, float] = PLAIN) -> Lengths:
    """The points of a sleeve."""
    return {key: of[key] for key in SLEEVE if key in of}
