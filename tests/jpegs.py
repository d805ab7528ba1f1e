"""Small JPEGs as a camera writes them, put together segment by segment."""

from __future__ import annotations

from base64 import b64decode

WHOLE = b64decode(
    "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAFA3PEY8MlBGQUZaVVBfeMiCeG5uePWvuZHI//////////////////////////////////////////////"
    "//////wAALCAAIAAgBAREA/8QAFAABAAAAAAAAAAAAAAAAAAAAAP/EABQQAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQEAAD8AP//Z"
)
"""Eight by eight grey pixels, as a JPEG library wrote them, with nothing but the picture."""
_JFIF, _FRAME = WHOLE[2:20], WHOLE.index(b"\xff\xc0\x00\x0b")
PLACE = b"46.9480 N 7.4474 E"
"""Where it was taken, as the notes of `jpeg` say."""


def segment(marker: int, held: bytes) -> bytes:
    """One segment."""
    return bytes((0xFF, marker)) + (len(held) + 2).to_bytes(2, "big") + held


NOTES = (
    segment(0xE1, b"Exif\0\0" + PLACE)
    + segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + PLACE)
    + segment(0xE2, b"MPF\0" + PLACE)
    + segment(0xED, b"Photoshop 3.0\0" + PLACE)
    + segment(0xFE, PLACE)
)
"""What cameras and programs note beside a picture."""
COLOURS = segment(0xE2, b"ICC_PROFILE\0\x01\x01colours") + segment(0xEE, b"Adobe\0\x64\0\0\0\0\0")
"""What says how its colours are meant."""


def jpeg(*, notes: bytes = NOTES, width: int = 8, height: int = 8, behind: bytes = PLACE, grey: int = 0) -> bytes:
    """A JPEG with notes beside its picture and something behind its end.

    width, height  what its frame says
    grey           another picture for another number
    """
    frame = WHOLE[_FRAME : _FRAME + 5] + height.to_bytes(2, "big") + width.to_bytes(2, "big")
    tables = WHOLE[20:_FRAME][:-1] + bytes((255 - grey,))
    return WHOLE[:2] + _JFIF + notes + tables + frame + WHOLE[_FRAME + 9 :] + behind
