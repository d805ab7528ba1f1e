"""A photograph as a record names it, and as it is kept: a JPEG whose segments were walked, and nothing decoded.

What a camera writes beside the picture (place, time, device, a small picture of what was cut off) stands in segments of
its own, which are left out. A picture that is decoded may take hundreds of times its size in memory, so nothing here
decodes one.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from typing import Annotated, NamedTuple

from pydantic import Field

from fitcheck.records.faults import Accepts, Fault, RecordsError

LARGEST_BYTES = 1_800_000
"""Largest photograph [bytes]; with its form it stays below the largest body of a request (assumed)."""
LONGEST_SIDE = 3200
"""Longest side of a photograph [pixels]: more than any screen shows of it (assumed)."""
MOST = 8
"""Photographs beside one swatch, garment or stage (assumed)."""

Photograph = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
"""A photograph as a record names it: the SHA-256 of its bytes."""
Photographs = Annotated[list[Photograph], Field(max_length=MOST)]

# Markers of ITU-T T.81 (JPEG), table B.1, without the FF before each.
_START, _END, _SCAN = 0xD8, 0xD9, 0xDA
_TABLES = frozenset((0xC4, 0xDB, 0xDD))  # Huffman and quantization tables, restart interval
_FRAMES = frozenset((0xC0, 0xC1, 0xC2))  # baseline, extended, progressive: what browsers show
_NOTES = frozenset((*range(0xE0, 0xF0), 0xFE))  # application segments and comments
_JFIF, _COLOUR_PROFILE, _ADOBE = 0xE0, 0xE2, 0xEE
_AFTER_SCAN = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
"""A marker that ends the data of a scan: neither a stuffed FF nor a restart (T.81, B.1.1.5)."""
_JFIF_LENGTH, _ADOBE_LENGTH = 12, 12
"""How much of each says how the picture is meant [bytes]; behind it stands a small picture, or nothing."""


class _Segment(NamedTuple):
    """One segment: its marker, what it holds, and the data of a scan behind it."""

    marker: int
    held: bytes
    scan: bytes = b""


def digest_of(photograph: bytes) -> str:
    """How a record names a photograph."""
    return hashlib.sha256(photograph).hexdigest()


def cleaned(raw: bytes) -> bytes:
    """Return a JPEG with what shows the picture and nothing else; cleaned once more it stays the same.

    Kept: the frame, its tables and scans, the density of its pixels (JFIF), its colours (ICC, Adobe). Left out: every
    other application segment, comments, and all that stands behind the end.

    Raises RecordsError for what is no JPEG, for one that is cut off or of more than one frame, and for one of more
    than LONGEST_SIDE pixels or LARGEST_BYTES.
    """
    kept = [b"\xff\xd8"]
    frames = scans = 0
    for marker, held, scan in _segments(raw):
        if marker in _NOTES:
            held = _of_notes(marker, held)
            if not held:
                continue
        elif marker in _FRAMES:
            frames += 1
            _look_at_frame(held)
        elif marker == _SCAN:
            scans += 1
            if not frames:
                raise _refused("a scan without a frame")
        kept.append(bytes((0xFF, marker)) + (len(held) + 2).to_bytes(2, "big") + held + scan)
    if frames != 1 or not scans:
        raise _refused("more than one picture" if frames > 1 else "no picture")
    photograph = b"".join((*kept, b"\xff\xd9"))
    if len(photograph) > LARGEST_BYTES:
        raise _fault(f"{len(photograph) / 1e6:.1f} MB", Accepts("photograph_of_bytes", most_mb=LARGEST_BYTES / 1e6))
    return photograph


def _segments(raw: bytes) -> Iterator[_Segment]:
    """Every segment from the first to the end mark. Raises RecordsError where a walk cannot go on."""
    if raw[:2] != bytes((0xFF, _START)):
        raise _refused("another kind of file" if raw else "nothing")
    at = 2
    while True:
        at, marker = _marker(raw, at)
        if marker == _END:
            return
        if marker not in _TABLES | _FRAMES | _NOTES | {_SCAN}:
            raise _refused(f"a segment {marker:02X}")
        length = int.from_bytes(raw[at : at + 2], "big")
        held = raw[at + 2 : at + length]
        if len(held) != length - 2:
            raise _refused("a segment that is cut off")
        at += length
        scan = b""
        if marker == _SCAN:
            behind = _AFTER_SCAN.search(raw, at)
            if behind is None:
                raise _refused("a scan without an end")
            scan, at = raw[at : behind.start()], behind.start()
        yield _Segment(marker, held, scan)


def _marker(raw: bytes, at: int) -> tuple[int, int]:
    """The marker that stands next, and where it ends; any number of FF may stand before it (T.81, B.1.1.2)."""
    start = at
    while raw[at : at + 1] == b"\xff":
        at += 1
    if at == start or at >= len(raw):
        raise _refused("a file that is cut off" if at >= len(raw) else "something between two segments")
    return at + 1, raw[at]


def _of_notes(marker: int, held: bytes) -> bytes:
    """What is kept of an application segment or comment; mostly nothing."""
    if marker == _JFIF and held.startswith(b"JFIF\0") and len(held) >= _JFIF_LENGTH:
        return held[:_JFIF_LENGTH] + b"\0\0"  # no small picture: 0 by 0 pixels of it
    if marker == _ADOBE and held.startswith(b"Adobe") and len(held) >= _ADOBE_LENGTH:
        return held[:_ADOBE_LENGTH]
    return held if marker == _COLOUR_PROFILE and held.startswith(b"ICC_PROFILE\0") else b""


def _look_at_frame(held: bytes) -> None:
    """Refuse a frame that is none, or too large (T.81, B.2.2: precision, lines, samples a line, components)."""
    height, width = int.from_bytes(held[1:3], "big"), int.from_bytes(held[3:5], "big")
    if len(held) < 6 or held[0] != 8 or held[5] not in (1, 3, 4) or len(held) != 6 + 3 * held[5] or not height * width:
        raise _refused("a frame that is none")
    if max(height, width) > LONGEST_SIDE:
        raise _fault(f"{width} by {height} pixels", Accepts("photograph_of_pixels", most=LONGEST_SIDE))


def _refused(read: str) -> RecordsError:
    return _fault(read, Accepts("photograph_as_jpeg"))


def _fault(read: str, accepts: Accepts) -> RecordsError:
    return RecordsError((Fault("photograph", read, accepts),))
