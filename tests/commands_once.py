"""What commands on one file have in common, worked out once: the file that they open, a make's steps and its rest."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import pytest

import fitcheck.reports.shaped  # noqa: F401 - the service works out by what this took before anything is patched
from fitcheck.reports.given import Given


def _of(given: Given) -> Hashable:
    return given.make.id, given.piece.id if given.piece is not None else None, given.household.unit


KEPT: tuple[tuple[str, str, Callable[[Any], Hashable]], ...] = (
    ("fitcheck.records.files", "open_household", str),
    ("fitcheck.reports.steps", "steps", _of),
    ("fitcheck.reports.the_rest", "rest_told", lambda told: _of(told.given)),
)
"""Room and name of each, functions of the file alone, and by what two of their answers are told apart.

Commands import them when they run; the service had them before, and works its answers out by itself.
"""


@contextmanager
def worked_out_once() -> Iterator[None]:
    """Within it commands may be run on one file, and on no other."""

    def once(work_out: Callable[..., Any], told_by: Callable[[Any], Hashable]) -> Callable[..., Any]:
        kept: dict[Hashable, Any] = {}

        def worked_out(asked: Any) -> Any:
            key = told_by(asked)
            if key not in kept:
                kept[key] = work_out(asked)
            return kept[key]

        return worked_out

    with pytest.MonkeyPatch.context() as patched:
        for room, name, told_by in KEPT:
            module = import_module(room)
            patched.setattr(module, name, once(getattr(module, name), told_by))
        yield
