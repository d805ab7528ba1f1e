"""A household file: opened in one go, or refused with every fault at once."""

from __future__ import annotations

import codecs
import json
import os
import re
import stat
from collections.abc import Mapping
from datetime import date
from json import JSONDecodeError
from pathlib import Path as FilePath
from typing import Any, NoReturn

from pydantic import ValidationError

from fitcheck.records.bounds import beyond_a_file
from fitcheck.records.cross_checks import KINDS, Shelf, cross_checks
from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.formats import EARLIEST, newest, written_as
from fitcheck.records.households import FORMAT, Household, TapePool
from fitcheck.records.json_places import nearest_above, survey, value_at
from fitcheck.records.places import WHOLE, Path, write_path
from fitcheck.records.refusals import LONGEST_READ, MOST_TOLD, Refusal, first_told, refusals, shown

LARGEST_BYTES = 20_000_000
"""Size of the largest file that is opened [bytes]: far beyond any household."""

DEEPEST = 100
"""Objects and lists inside one another: a household needs 12."""

UNITS = ("mm", "cm", "m", "in")

Source = str | os.PathLike[str] | bytes | Mapping[str, Any]


def open_household(source: Source) -> Household:
    """Open a household.

    source  path of a file, its bytes, or a mapping as JSON would give it

    Raises RecordsError with every fault at once, each with its place, what was read and what is accepted, and
    with its line where the source has lines.
    """
    text, document, doubtful = read_json(source, Accepts("household", format=FORMAT))
    lines = not isinstance(source, Mapping)
    other = _other_format(document)
    if other is not None:
        # Nothing else is looked at: the records of another format may look different.
        raise RecordsError(faults_in([other], document, text, with_lines=lines))
    if (beyond := beyond_a_file(document, tuple(KINDS))) is not None:
        raise RecordsError(faults_in([Refusal(*beyond)], document, text, with_lines=lines))
    unit = _unit(document)
    now, read = _newest(document, text)
    try:
        household = Household.model_validate_json(read, context={"unit": unit})
    except ValidationError as error:
        found = _refused(error, now, unit)
        if len(found) <= MOST_TOLD:
            found += first_told(_around(now, found, unit))
    else:
        found = first_told(cross_checks(Shelf.of(household)))
        if not found and not doubtful:
            return household
    if now is not document:
        found = [refusal._replace(path=written_as(refusal.path)) for refusal in found]
    raise RecordsError(faults_in(found, document, text, with_lines=lines))


def read_json(source: Source, least: Accepts) -> tuple[str, Any, bool]:
    """Read a JSON document: its text, what it holds, and whether names stand twice in it or numbers are none.

    source  path of a file, its bytes, or a mapping as JSON would give it
    least   what is accepted in place of an empty file

    Raises RecordsError for what is no JSON.
    """
    if isinstance(source, Mapping):
        raw = _written(source)
    elif isinstance(source, bytes | bytearray):
        raw = bytes(source)
    else:
        raw = _read(source)
    if len(raw) > LARGEST_BYTES:
        most = f"{LARGEST_BYTES / 1e6:.0f} MB"
        _refuse(f"more than {most}", Accepts("size_of_a_file", most=most))
    text = _text(raw, least)
    return text, *_document(text)


def _refuse(read: str, accepts: Accepts, line: int | None = None, place: str = WHOLE) -> NoReturn:
    raise RecordsError((Fault(place, read, accepts, line),))


def _read(source: str | os.PathLike[str]) -> bytes:
    """Read a file; one byte more than allowed shows that it is too large."""
    name = os.fspath(source)
    try:
        mode = FilePath(name).stat().st_mode
        if stat.S_ISREG(mode):
            with FilePath(name).open("rb") as file:
                return file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        accepts = Accepts("file_that_exists")
    except PermissionError:
        accepts = Accepts("readable_file")
    except OSError as error:
        accepts = Accepts("file_that_can_be_read", system_says=error.strerror or "no reason")
    except ValueError:
        accepts = Accepts("name_of_a_file")
    else:
        accepts = Accepts("file_and_no_folder") if stat.S_ISDIR(mode) else Accepts("file_and_no_device")
    _refuse(shown(name if len(name) < LONGEST_READ else "…" + name[-LONGEST_READ + 4 :]), accepts)


def _written(source: Mapping[str, Any]) -> bytes:
    """Write a mapping as JSON, so that there is one way in."""
    try:
        return json.dumps(dict(source), ensure_ascii=True, default=_plain).encode("ascii")
    except _NotPlainError as error:
        _refuse(error.read, Accepts("plain_values"))
    except TypeError:
        _refuse("a name that is no text", Accepts("names_that_are_texts"))
    except RecursionError:
        _refuse("a mapping nested too deeply", Accepts("levels", most=DEEPEST))
    except ValueError:
        _refuse("a mapping that holds itself", Accepts("mapping_without_circles"))


class _NotPlainError(Exception):
    """A value that JSON has no way to write."""

    def __init__(self, read: str) -> None:
        super().__init__(read)
        self.read = read


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return dict(value)
    raise _NotPlainError(f"a value of the kind {type(value).__name__}")


_OTHER_ENCODINGS = (
    (codecs.BOM_UTF32_LE, "UTF-32"),
    (codecs.BOM_UTF32_BE, "UTF-32"),
    (codecs.BOM_UTF16_LE, "UTF-16"),
    (codecs.BOM_UTF16_BE, "UTF-16"),
    (b"{\x00\x00\x00", "UTF-32"),
    (b"\x00\x00\x00{", "UTF-32"),
    (b"{\x00", "UTF-16"),
    (b"\x00{", "UTF-16"),
)


def _text(raw: bytes, least: Accepts) -> str:
    for start, name in _OTHER_ENCODINGS:
        if raw.startswith(start):
            _refuse(f"{name} text", Accepts("utf_8_text"), line=1)
    raw = raw.removeprefix(codecs.BOM_UTF8)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8").split("\n")[-1].strip()
        accepts = Accepts("utf_8_letters", after=before[-20:])
        _refuse("a file that is not saved as UTF-8", accepts, line=raw.count(b"\n", 0, error.start) + 1)
    if not text.strip():
        _refuse("an empty file", least)
    return text


def _document(text: str) -> tuple[Any, bool]:
    """Return the document, and whether it has doubled names or numbers that JSON does not have."""
    doubtful = False

    def members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        nonlocal doubtful
        by_name = dict(pairs)
        doubtful = doubtful or len(by_name) != len(pairs)
        return by_name

    def not_a_number(word: str) -> float:
        nonlocal doubtful
        doubtful = True
        return float(word)

    try:
        document = json.loads(text, object_pairs_hook=members, parse_constant=not_a_number)
    except JSONDecodeError as error:
        _refuse_json(text, error)
    except RecursionError:
        _refuse("objects and lists nested too deeply", Accepts("levels", most=DEEPEST))
    except ValueError:
        _refuse("a number of thousands of figures", Accepts("number_of_a_few_figures"))
    return document, doubtful


_NO_COMMA = Accepts("no_comma_before_a_closing_bracket")
_EXPECTED: tuple[tuple[str, Accepts], ...] = (
    ("Expecting property name", Accepts("name_in_double_quotes")),
    ("Illegal trailing comma", _NO_COMMA),
    ("Expecting ':'", Accepts("colon_after_a_name")),
    ("Expecting ','", Accepts("comma_between_entries")),
    ("Unterminated string", Accepts("closing_quotes")),
    ("Invalid control character", Accepts("text_on_one_line")),
    ("Invalid \\", Accepts("backslash_written_twice")),
    ("Extra data", Accepts("nothing_after_the_closing_bracket")),
    ("Expecting value", Accepts("text_or_number")),
)


def _refuse_json(text: str, error: JSONDecodeError) -> NoReturn:
    """Say what stands where the text stops being JSON, and what would be accepted there."""
    at = error.pos
    unfinished = error.msg.startswith("Unterminated string") and "\n" not in text[at:].rstrip()
    if not text[at:].strip() or unfinished:
        _refuse(
            "a file that stops in the middle",
            Accepts("rest_of_the_file"),
            line=text.rstrip().count("\n") + 1,
            place="its last line",
        )
    here = text[at : at + 30].split("\n")[0].strip()
    read = _raw(here) if here else "the end of a line"
    accepts = next((expected for start, expected in _EXPECTED if error.msg.startswith(start)), Accepts("json"))
    before = text[max(0, at - 20) : at].rstrip()
    if here[:1] in ("}", "]") and before.endswith(","):
        accepts = _NO_COMMA
    elif here[:1].isdigit() and before[-1:] == "," and before[-2:-1].isdigit():
        accepts = Accepts("decimal_point")
    elif here[:1].isalpha():
        word, number = re.match(r"[\w.-]*", here), re.search(r"\d[\d./]*$", before)
        meant = " ".join(part[0] for part in (number, word) if part)
        accepts = Accepts("quotes_around_a_text", meant=meant) if meant else accepts
    _refuse(read, accepts, line=error.lineno, place=f"column {error.colno}")


def _raw(here: str) -> str:
    """Write a piece of a file as it stands there."""
    return here.encode("utf-8", "backslashreplace").decode("utf-8")


def _other_format(document: Any) -> Refusal | None:
    if not isinstance(document, dict) or "fitcheck" not in document:
        return None
    number = document["fitcheck"]
    if type(number) is int and EARLIEST <= number <= FORMAT:  # true and 1.0 equal 1, and were never written
        return None
    newer = type(number) is int and number > FORMAT
    accepts = Accepts("format_no_newer", number=FORMAT) if newer else Accepts("format", number=FORMAT)
    return Refusal(("fitcheck",), shown(number), accepts)


def _newest(document: Any, text: str) -> tuple[Any, str]:
    """The document as the newest format writes it, and its text; both as they are where nothing is older."""
    if not isinstance(document, dict) or document.get("fitcheck", FORMAT) == FORMAT:
        return document, text
    document = newest(document)
    try:
        return document, json.dumps(document)
    except RecursionError:
        _refuse("objects and lists nested too deeply", Accepts("levels", most=DEEPEST))


def _unit(document: Any) -> str:
    """Return the unit of bare numbers; any will do where it is refused itself."""
    unit = document.get("unit") if isinstance(document, dict) else None
    return unit if isinstance(unit, str) and unit in UNITS else "cm"


def _refused(error: ValidationError, document: Any, unit: str) -> list[Refusal]:
    details = error.errors(include_url=False, include_input=False)
    if all(detail["type"] != "json_invalid" for detail in details):
        return list(refusals(details, document))
    # The models read JSON more strictly: no half characters, and nothing nested more than 200 deep.
    found: list[Refusal] = []
    mended = _mended(document, (), found)
    try:
        Household.model_validate_json(json.dumps(mended), context={"unit": unit})
    except ValidationError as more:
        found += refusals(more.errors(include_url=False, include_input=False), mended)
    return found


def _mended(value: Any, path: Path, found: list[Refusal]) -> Any:
    """Return a copy that the models can read, and note what was mended in it."""
    if len(path) > DEEPEST:
        found.append(Refusal(path[:6], "objects and lists nested too deeply", Accepts("levels", most=DEEPEST)))
        return None
    if isinstance(value, dict):
        whole = {}
        for name, inside in value.items():
            if not _whole_characters(name):
                found.append(_half((*path, name), name))
            else:
                whole[name] = _mended(inside, (*path, name), found)
        return whole
    if isinstance(value, list):
        return [_mended(inside, (*path, number), found) for number, inside in enumerate(value)]
    if isinstance(value, str) and not _whole_characters(value):
        found.append(_half(path, value))
        return "?"
    return value


def _whole_characters(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= character <= "\udfff" for character in text)


def _half(path: Path, text: str) -> Refusal:
    return Refusal(path, shown(text), Accepts("whole_characters"))


def _around(document: Any, found: list[Refusal], unit: str) -> list[Refusal]:
    """Check everything around what was refused, so that every fault is told at once."""
    from fitcheck.records.partly_read import PartReader

    if not isinstance(document, dict):
        return []
    refused = {_standing(refusal, document) for refusal in found}
    reader = PartReader(refused, unit)
    records: dict[str, dict[int, Any]] = {}
    named: dict[str, frozenset[str]] = {}
    more: list[Refusal] = []
    for kind, model in KINDS.items():
        listed = document.get(kind)
        entries = listed if isinstance(listed, list) else []
        records[kind] = {number: reader.record(model, entry, (kind, number)) for number, entry in enumerate(entries)}
        for number, record in records[kind].items():
            for path, accepts in reader.hidden(record, (kind, number)):
                more.append(Refusal(path, shown(value_at(document, path)), accepts))
        ids = [entry.get("id") for entry in entries if isinstance(entry, dict)]
        # An id that no reference may be written like is no name, and is kept out of what a fault lists.
        named[kind] = frozenset(key for key in ids if isinstance(key, str) and key.isascii() and len(key) < 65)
    pool = reader.record(TapePool, document.get("tape", {}), ("tape",))
    return more + cross_checks(Shelf(pool, records, named, reader.around))


def _standing(refusal: Refusal, document: Any) -> Path:
    """Where something is refused, or the nearest place above it that stands in the document."""
    return refusal.path if refusal.absent else nearest_above(document, refusal.path)


OF_THE_REST = ("known_names", "places_told_then")
"""What is accepted of faults that are only counted: they stand behind those that are told."""


def faults_in(found: list[Refusal], document: Any, text: str, *, with_lines: bool) -> tuple[Fault, ...]:
    """Write refusals down as faults in the order of the file, one per place."""
    settled = [refusal._replace(path=_standing(refusal, document)) for refusal in found]
    walked = survey(text, [refusal.path for refusal in settled])
    instead = {path for path, _, _ in walked.not_numbers}
    # A name and what stands under it share a place, and both may be wrong.
    by_place = {
        (refusal.path, refusal.read): (walked.spots[refusal.path], refusal)
        for refusal in settled
        if refusal.path not in instead
    }
    every = list(by_place.values())
    for path, spot, word in walked.not_numbers:
        every.append((spot, Refusal(path, word, Accepts("number_that_is_known"))))
    for path, spot, first in walked.twice:
        accepts = Accepts("each_name_once", line=first if with_lines else None)
        every.append((spot, Refusal(path, f"{shown(path[-1])} twice", accepts)))
    return tuple(
        Fault(write_path(refusal.path), refusal.read, refusal.accepts, spot.line if with_lines else None)
        for spot, refusal in sorted(every, key=lambda pair: (pair[1].accepts.code in OF_THE_REST, pair[0]))
    )
