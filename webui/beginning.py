"""A sheet is begun: its lines as they were shown are kept in the make, once; and ended when it is off the needles."""

from __future__ import annotations

from datetime import UTC, datetime

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import FitcheckError
from fitcheck.records.makes import Make
from fitcheck.records.sheet_kinds import SheetKind
from fitcheck.reports.shown_sheet import ShownSheet, begun_of, newly_begun, sheet_by_counts, shown_sheet
from fitcheck.reports.the_rest import TheRest
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.service import Service


class SheetChanged(FitcheckError):  # noqa: N818 - it names what is the matter
    """The sheet is another than the one that was shown, or there is none any more."""

    def __init__(self) -> None:
        super().__init__("The sheet has changed since this one was shown. Look at the new one.")


def rest_of_make(service: Service, key: str) -> tuple[TheRest, Make]:
    """The rest of a make, and the make as that was worked out from. Raises NotFound."""
    rest = service.answers.rest_of(key)
    return rest, rest.told.given.make


def sheet_shown(service: Service, key: str, kind: SheetKind) -> ShownSheet | CannotSay:
    """The sheet of a piece of a make that is shown now, or why there is none. Raises NotFound."""
    return shown_sheet(*rest_of_make(service, key), kind)


def newer_sheet(service: Service, key: str, kind: SheetKind) -> ShownSheet | CannotSay:
    """The sheet of a piece by the counts as they are now, whichever was begun. Raises NotFound."""
    return sheet_by_counts(*rest_of_make(service, key), kind)


def begin_sheet(service: Service, key: str, kind: SheetKind, digest: str) -> Stored:
    """Begin the sheet by the counts and return the make; the one that was begun before is ended.

    digest  of the lines that were shown; what is begun by the same lines already is not begun again

    Raises SheetChanged where the lines are others now, NotFound.
    """
    store = service.store
    while True:
        stored = store.get("makes", key)
        make = stored.record
        assert isinstance(make, Make)
        begun = begun_of(make, kind)
        if begun is not None and begun.digest == digest:
            return stored
        rest, _ = rest_of_make(service, key)
        anew = sheet_by_counts(rest, make, kind)
        if isinstance(anew, CannotSay) or anew.digest != digest:
            raise SheetChanged
        document = stored.doc
        ended = [{**sheet, "ended": True} if sheet["piece"] == kind else sheet for sheet in document.get("sheets", [])]
        document["sheets"] = [*ended, newly_begun(anew, rest, make, datetime.now(UTC))]
        try:
            return store.put("makes", key, document, stored.revision)
        except StaleWrite:
            continue


def end_sheet(service: Service, key: str, kind: SheetKind, sheet: str) -> Stored:
    """End the begun sheet of a band that is on, and return the make; its ticks stay.

    sheet  id of the sheet that was shown

    Raises SheetChanged where another one is begun now, or none, NotFound.
    """
    store = service.store
    while True:
        stored = store.get("makes", key)
        make, document = stored.record, stored.doc
        assert isinstance(make, Make)
        begun = begun_of(make, kind)
        if begun is None or begun.id != sheet:
            raise SheetChanged
        ended = [{**written, "ended": True} if written["id"] == sheet else written for written in document["sheets"]]
        try:
            return store.put("makes", key, {**document, "sheets": ended}, stored.revision)
        except StaleWrite:
            continue


def keep_sheet(service: Service, key: str, kind: SheetKind, digest: str) -> Stored:
    """Go on from the sheet that was begun, whatever the counts became, and return the make.

    digest  of the newer lines that are not taken: once they are others, it is asked again

    Raises SheetChanged where no sheet of the piece is begun, or the newer lines are others now, NotFound.
    """
    store = service.store
    while True:
        stored = store.get("makes", key)
        make, document = stored.record, stored.doc
        assert isinstance(make, Make)
        begun, anew = begun_of(make, kind), newer_sheet(service, key, kind)
        if begun is None or isinstance(anew, CannotSay) or anew.digest != digest:
            raise SheetChanged
        kept = [{**sheet, "kept_against": digest} if sheet["id"] == begun.id else sheet for sheet in document["sheets"]]
        try:
            return store.put("makes", key, {**document, "sheets": kept}, stored.revision)
        except StaleWrite:
            continue
