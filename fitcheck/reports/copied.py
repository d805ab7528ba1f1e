"""Whether the garment is to be copied as it was read, asked before the first piece (fit rules 6 and 37, model 8b)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from fitcheck.advice.target.as_read import AsRead, as_read_of
from fitcheck.records.makes import Fits, Make
from fitcheck.records.points import POINTS
from fitcheck.reports.given import Given
from fitcheck.reports.newer import newer_measuring

if TYPE_CHECKING:
    from fitcheck.advice.sizes.answers import FirstPiece


def copied_first(given: Given, first: FirstPiece, would_be: Callable[[Make], FirstPiece | None]) -> FirstPiece:
    """What to knit first, with the question that comes before it where its size or counts hang on the answer.

    would_be  what is knitted first of the make with another thing to fit

    It is asked once: whoever said that the garment is copied as it was read, or is not, has answered.
    """
    if given.garment is None or given.make.fits.as_read is not None:
        return first
    from fitcheck.advice.sizes.answers import CopyAsked  # only with sizes: a report on a piece starts faster without

    for why, fits in _otherwise(given):
        other = would_be(given.make.model_copy(update={"fits": fits}))
        if other is not None and _deed(other) != _deed(first):
            return replace(first, code="as_read", as_read=CopyAsked(why, given.garment.name))
    return first


def copies_unasked(given: Given) -> bool:
    """Whether a point comes from a garment that is asked about before it is copied, and nobody said (fit rule 37)."""
    return given.make.fits.as_read is None and _why(given) is not None


def _otherwise(given: Given) -> Iterator[tuple[AsRead | Literal["newer"], Fits]]:
    """Why it is asked, and what the make would have to fit were the answer no: not copied, or the newer measuring."""
    fits, why = given.make.fits, _why(given)
    if why is not None:
        yield why, fits.model_copy(update={"as_read": False})
    newer = newer_measuring(given)
    if newer is not None:
        yield "newer", fits.model_copy(update={"occasion": newer.occasion})


def _why(given: Given) -> AsRead | None:
    """Why the garment's figures are asked about, at the first point that comes from it; None where none is."""
    if given.occasion is None:
        return None
    fits = given.make.fits
    asked = (
        as_read_of(POINTS[key], given.garment, given.occasion)
        for key in given.occasion.readings
        if key not in fits.numbers and key not in fits.ease
    )
    return next((why for why in asked if why is not None), None)


def _deed(first: FirstPiece) -> tuple[object, ...]:
    """What is knitted first by an answer: the size, its counts, and whether they are to be knitted at all."""
    return first.counts, first.size, first.not_this is not None
