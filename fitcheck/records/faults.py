"""Faults: what is wrong with something typed, where, and what to do about it."""

from __future__ import annotations

import traceback
from collections.abc import Mapping, Sequence
from typing import Any

from fitcheck.records.frozen import frozen


class FitcheckError(Exception):
    """Base class of every error that Fitcheck raises on purpose."""


@frozen
class Accepts:
    """What would be accepted where something is refused; ``words.accepted`` makes the sentence of it.

    code    stable name of what is accepted, a noun
    values  what the sentence names: names, limits, examples, and what was probably meant

    Written as text it is the plain form: "one decimal mark: 51.2 or 51,2".
    """

    code: str
    values: Mapping[str, Any]

    def __init__(self, code: str, /, **values: Any) -> None:
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "values", values)

    def __str__(self) -> str:
        said = {name: _plain(value) for name, value in self.values.items() if value not in ("", (), None)}
        if self.code == "in_words":
            return said["text"]
        named = said.values() if len(said) == 1 else (f"{name.replace('_', ' ')} {text}" for name, text in said.items())
        return self.code.replace("_", " ") + (f": {'; '.join(named)}" if said else "")


def in_words(text: str) -> Accepts:
    """What is accepted, in the words of whoever refuses: a public function, a page, the system."""
    return Accepts("in_words", text=text)


def _plain(value: object) -> str:
    if not isinstance(value, tuple) or len(value) == 1:
        return str(value[0] if isinstance(value, tuple) else value)
    return f"{', '.join(map(str, value[:-1]))} or {value[-1]}"


@frozen
class Fault:
    """One thing that is refused; ``words.fault_sentence`` says it.

    place    path inside the file or form, for example ``makes[0].pieces[0].stages[0].readings.chest[2]``
    read     what was read, as typed
    accepts  what would be accepted
    line     line in the file, counted from 1, where it is known

    Written as text it is the plain form: "line 3, unit: read "x", accepted one of: mm, cm, m or in".
    """

    place: str
    read: str
    accepts: Accepts
    line: int | None = None

    def __str__(self) -> str:
        return f"{f'line {self.line}, ' if self.line else ''}{self.place}: read {self.read}, accepted {self.accepts}"


class RecordsError(FitcheckError, ValueError):
    """The records are wrong: every fault at once.

    faults  every fault found, in the order of the file
    """

    def __init__(self, faults: Sequence[Fault] = ()) -> None:
        super().__init__(tuple(faults))
        self.faults = tuple(faults)

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


def wrong_value(place: str, read: str, accepts: str) -> RecordsError:
    """One fault, in the words of the public function that refuses the value."""
    return RecordsError((Fault(place, read, in_words(accepts)),))


def where_of(error: BaseException) -> str:
    """Kind of an error and where it came up, without what it says: that may quote what was typed."""
    frames = traceback.extract_tb(error.__traceback__)[-4:]
    where = " < ".join(
        f"{frame.name} ({frame.filename.rpartition('/')[2]}:{frame.lineno})" for frame in reversed(frames)
    )
    return f"{type(error).__name__} in {where}"
