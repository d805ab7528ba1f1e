"""What a row of a size table is of, by its label as a pattern or a spreadsheet has it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

from fitcheck.records.lengths import UNIT_NAMES
from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS, PieceKind

Other = Literal["body", "ease", "yarn", "unknown"]
"""What a row is of that is of no point: the body that the sweater is for, its ease, the yarn of a size, or unknown."""

SHORTEST_MISSPELT = 4
"""Letters in the shortest word that is read past a slip (assumed): shorter ones are one slip from too many others."""

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
COUNTED = ("stitches", "stitch", "sts", "st", "rows", "row", "count", "counts")
"""Words of a label that say that its figures are stitches or rows; the grid of a page is handed them as data."""
_COUNTED = re.compile(rf"\b({'|'.join(COUNTED)})\b")
_OF_A_BODY = re.compile(r"\b(bust|busts|to fit|fits|body|bodies|wearer|wearers)\b")
_OF_THE_SWEATER = re.compile(r"\b(finished|garment|garments|actual|knitted|sweater|length|panel)\b")
_OF_EASE = re.compile(r"^(?!.*\b(?:with|incl|including|includes|included|plus)\b).*\bease\b")
_OF_YARN = re.compile(
    r"\b(yarns?|balls?|skeins?|hanks?|cones?|grams?|kg|oz|met(?:re|er)s?|yards?|yds?|yardage|weight|colou?rs?|shades?"
    r"|mc|cc|buttons?|zips?)\b"
)
_NOISE = re.compile(
    r"\b(finished|measure|measures|measurement|width|flat|round|total|cm|mm|in|inch|inches|at|of|the|number)\b"
)
_UNIT = re.compile(
    r"(?:\bin\s+|[(\[,:/]\s*|\s)(cm|centimet(?:re|er)s|mm|millimet(?:re|er)s|ins?|inch|inches)\.?\s*[)\]:]?\s*$"
)
_UNIT_SAID = re.compile(r"\b(cm|centimet(?:re|er)s|mm|millimet(?:re|er)s|inch|inches)\b")


def _plain(label: str) -> str:
    return " ".join(re.findall(r"[a-z]+", label.lower()))


def of_a_body(label: str) -> bool:
    """Whether a label says that its figures are of the body that the sweater is for.

    Counts never are, nor what is said to be finished; a body length is the sweater's.

    >>> labels = ("To fit bust", "Bust", "Finished bust", "Body length", "Body, stitches at chest")
    >>> [of_a_body(label) for label in labels]
    [True, True, False, False, False]
    """
    plain = _plain(label)
    if not _OF_A_BODY.search(plain) or _COUNTED.search(plain):
        return False
    return "to fit" in plain or not _OF_THE_SWEATER.search(plain)


def other_than_point(label: str) -> Other:
    """What a row is of whose label names no point of the sweater.

    >>> [other_than_point(label) for label in ("To fit bust", "Hip ease", "Yarn, 50 g balls", "Elbow patch")]
    ['body', 'ease', 'yarn', 'unknown']
    """
    if of_a_body(label):
        return "body"
    if _OF_EASE.search(_plain(label)):
        return "ease"
    return "yarn" if _OF_YARN.search(_plain(label)) else "unknown"


def unit_of(label: str, *, anywhere: bool = False) -> str:
    """The unit that a label says its bare figures are in: "cm", "mm" or "in"; empty where it says none.

    anywhere  a whole sentence may say it, not its end alone: "All measurements in inches, flat"

    >>> [unit_of(label) for label in ("Chest (cm)", "Chest, in", "Length in inches", "Chest in all")]
    ['cm', 'in', 'in', '']
    """
    lower = label.lower().strip()
    if lower in UNIT_NAMES:
        return UNIT_NAMES[lower]
    said = _UNIT.search(lower)
    if said is None and anywhere:
        every = {UNIT_NAMES[name] for name in _UNIT_SAID.findall(lower)}
        return every.pop() if len(every) == 1 else ""
    return UNIT_NAMES[said[1]] if said else ""


def counts_of(label: str) -> bool:
    """Whether a label says that its figures are stitches or rows."""
    return bool(_COUNTED.search(_plain(label)))


def piece_of(label: str) -> PieceKind | None:
    """The piece that a label names and nothing else: "BACK", "Sleeves (make 2)"; None where it names another thing."""
    plain = re.sub(r"\b(piece|panel|both|make|knit|two)\b", " ", _plain(label)).strip()
    if plain in ("front and back", "back and front", "body"):
        return "back"
    return next((kind for word, kind in _PIECES if plain in (word, f"{word}s")), None)


def key_of(label: str, within: PieceKind | None = None) -> str:
    """Which row of a table a label names: "back/chest/count"; empty where it names none.

    within  the piece under whose heading it stands; one that the label names wins

    >>> key_of("Back, stitches at chest")
    'back/chest/count'
    >>> key_of("Sleeve length")
    'sleeve/sleeve_length/measure'
    >>> key_of("Hem", within="front")
    'front/hem/measure'
    >>> key_of("Hip ease"), key_of("Chest, with ease")
    ('', 'back/chest/measure')
    """
    plain = _plain(label)
    if _OF_EASE.search(plain):
        return ""
    (point, name), piece = _point_in(plain), within
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
    return f"{piece}/{point}/{'count' if counts_of(label) else 'measure'}"


def key_past_a_slip(label: str, within: PieceKind | None = None) -> str:
    """The same of a label with a word that is one slip from a known one: a letter wrong, missing, doubled or swapped.

    >>> key_past_a_slip("Cehst, stitches"), key_past_a_slip("Sholder"), key_past_a_slip("Elbow patch")
    ('back/chest/count', 'back/shoulder_width/measure', '')
    """
    words = _plain(label).split()
    mended = [word if word in _WORDS else _meant(word) for word in words]
    return key_of(" ".join(mended), within) if mended != words else ""


def _meant(word: str) -> str:
    """The one known word that is a slip from another; the word itself where there is none, or more than one."""
    if len(word) < SHORTEST_MISSPELT:
        return word
    near = {known for known in _WORDS if len(known) >= SHORTEST_MISSPELT and known in set(_slips(word, known))}
    return near.pop() if len(near) == 1 else word


def _slips(word: str, known: str) -> Iterator[str]:
    """What a word becomes by undoing one slip, as far as it may be the known one."""
    if abs(len(word) - len(known)) > 1:
        return
    for at in range(len(word) + 1):
        before, after = word[:at], word[at:]
        if len(word) > len(known):
            yield before + after[1:]
        elif len(word) < len(known):
            yield before + known[at : at + 1] + after
        elif after:
            yield before + known[at] + after[1:]
            yield before + after[1:2] + after[:1] + after[2:]


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
    names = {key.replace("_", " "): key for key in POINTS}
    names |= {_plain(point.name): key for key, point in POINTS.items()}
    for name, keys in ALSO_CALLED.items():
        names.setdefault(name.replace("_", " "), keys[0])
    return tuple(sorted(names.items(), key=lambda pair: -len(pair[0])))


_NAMES = _names()
_WORDS = {word for name, _ in _NAMES for word in name.split()} | {"stitches", "rows", "finished"}
