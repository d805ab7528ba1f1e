"""What a report tells, by the names that the worked makes use: the one place that knows the report's codes."""

from __future__ import annotations

import json
from functools import cached_property
from typing import Any, cast

from fitcheck.records.files import open_household
from fitcheck.records.points import POINTS
from fitcheck.reports.shaped import worked_out
from fitcheck.terminal.report import printed
from fitcheck.words import headline
from tests.worked.truth import Raw

ASKED = {
    "wild_reading": "answer",
    "miscount": "count",
    "worth_measuring": "read",
    "two_layings": "read",
    "wash_and_block": "wash",
    "as_read": "reference",
    "another_dial": "dial",
    "out_of_shape": "shape",
    "needles": "needles",
}
"""What is asked for first, by the reason that the report gives."""
BEFORE_FIRST = {
    "knit": "knit_first",
    "not_this": "other_size",
    "labels_changed": "answer",
    "which_fabric": "strands",
    "as_read": "reference",
    "uneven": "count",
}
"""What comes first while no piece is there, by the code that the report gives."""


class Told:
    """One report, and what stands in it first.

    answer   the rest of the sweater, with the plans behind it
    first    the deed: carry_on, other_counts, alter_hem, block_again, rip_back, knit_again; or what is asked before
             it: answer (a question), count, dial, needles, shape (wet it, pat it to size), wash, read, swatch, say
             (what is missing); before the first piece knit_first, other_size (not this one), bed (it has too few)
    then     the deed once that is answered
    about    the point that it is about
    """

    def __init__(self, household: Raw, piece: str | None = None, make: str | None = None) -> None:
        rest, report = worked_out(open_household(json.dumps(household).encode()), make, piece)
        self.answer, self.rest, self.report = rest.answer, rest.told.rest, cast("Any", report)
        self.advice: Any = self.report.recommendation
        self.says = bool(self.advice)

    @cached_property
    def first(self) -> str:
        if not self.says:
            first = self.report.first
            return BEFORE_FIRST.get(first.code, first.code) if first is not None else f"say {self.advice.code}"
        if self.advice.action == "measure_again":
            return ASKED.get(self.advice.reason, self.advice.reason)
        return str(self.advice.action)

    @property
    def then(self) -> str | None:
        return self.advice.then if self.says else None

    @property
    def about(self) -> str | None:
        return self.advice.about if self.says else None

    def deed(self, code: str) -> Any:
        return next(action for action in self.report.actions if action.code == code)

    @property
    def advised(self) -> Any:
        """The plan as it stands."""
        return self.deed(self.advice.then)

    def point(self, key: str) -> Any:
        return next(point for point in self.report.points if point.key == key)

    @property
    def pieces(self) -> tuple[Any, ...]:
        """The pieces that are still to be knitted or changed, with their counts, whatever rows their plans take."""
        return self.rest.pieces if self.rest else ()

    def count(self, piece: str, key: str) -> int | None:
        """What is to be knitted at a point of a piece; None where it stays or is not known."""
        return next(
            (one.now for made in self.pieces if made.kind == piece for one in made.counts if one.key == key), None
        )

    def planned(self, piece: str, key: str) -> int | None:
        """What was to be knitted there before."""
        return next(
            (one.before for made in self.pieces if made.kind == piece for one in made.counts if one.key == key), None
        )

    @property
    def alterations(self) -> dict[str, str]:
        """Who answers, per point that changes."""
        return {one.point: one.by for one in self.advised.alterations}

    @property
    def asked(self) -> set[str]:
        """What is asked about, by the code of the question."""
        return {question.code for question in self.report.questions}

    @property
    def asked_at(self) -> set[str | None]:
        """The points that questions are about."""
        return {question.place.point for question in self.report.questions}

    @property
    def explained(self) -> dict[str, tuple[str, str | None]]:
        """What explains each direction, and at which point."""
        if not self.report.explanation:
            return {}
        return {told.direction: (told.code, told.point) for told in self.report.explanation.directions}

    @property
    def granted(self) -> tuple[str, ...]:
        """What was taken for granted, what costs most first."""
        return tuple(assumed.code for assumed in self.report.assumed)

    @property
    def helps(self) -> tuple[str, ...]:
        return tuple(helped.code for helped in self.report.helps)

    @property
    def new_counts(self) -> dict[tuple[str, str], int]:
        """Every count that is to be another than it was: piece and point."""
        return {(made.kind, one.key): one.now for made in self.pieces for one in made.counts if one.now and one.step}

    @cached_property
    def head(self) -> str:
        """The answer in one go, as a command says it."""
        return headline(self.report)

    @cached_property
    def text(self) -> str:
        """All that a command prints."""
        return printed(self.report)

    def tells(self, sentence: str) -> bool:
        """Whether the whole answer has a sentence, wherever its lines are broken."""
        return sentence in " ".join(self.text.split())


def across(key: str) -> bool:
    return POINTS[key].direction == "across"
