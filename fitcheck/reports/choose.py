"""Which make and which piece of it a report is on."""

from __future__ import annotations

from fitcheck.records.faults import FitcheckError
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.reports.given import Given, given_of


class ReportError(FitcheckError, LookupError):
    """The make or piece asked for is not in the records; the message names those that are."""


def chosen_make(household: Household, key: str | None) -> Make:
    """The make asked for; None as key takes the only one. Raises ReportError."""
    keys = [make.id for make in household.makes]
    if key is None and len(keys) == 1:
        return household.makes[0]
    if (make := by_key(household.makes, key)) is not None:
        return make
    if not keys:
        raise ReportError("make: read none in these records; one make to report on is needed")
    listed = ", ".join(keys)
    read = "none named" if key is None else repr(key)
    raise ReportError(f"make: read {read}; these records have {listed}. Name one of them.")


def chosen_piece(make: Make, key: str | None) -> Piece | None:
    """The piece asked for; None as key takes the last one that was read and not replaced. Raises ReportError.

    None for a make without a piece.
    """
    if key is not None:
        if (piece := by_key(make.pieces, key)) is not None:
            return piece
        listed = ", ".join(piece.id for piece in make.pieces) or "no piece"
        raise ReportError(f"piece: read {key!r}; this make has {listed}. Name one of them.")
    read = [piece for piece in make.standing if any(stage.readings or stage.overhangs for stage in piece.stages)]
    chosen = read or make.standing
    return chosen[-1] if chosen else None


def chosen(household: Household, make: str | None = None, piece: str | None = None) -> Given:
    """What the answers on a make and a piece of it are a function of; without keys as above. Raises ReportError."""
    own = chosen_make(household, make)
    return given_of(own, household, chosen_piece(own, piece))
