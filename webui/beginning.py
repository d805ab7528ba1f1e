"""A sheet is begun: its lines as they were shown are kept in the make, once; and ended when it is off the needles."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from typing import Any

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.makes import BAND_KIND, Make
from fitcheck.records.sheet_kinds import SheetKind
from fitcheck.reports.shown_sheet import ShownSheet, begun_of, newly_begun, sheet_by_counts, shown_sheet
from fitcheck.reports.the_rest import TheRest
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.store.together import Together
from fitcheck.words import deeds
from webui.service import Service
from webui.weighing import band_taken_off


class SheetChanged(FitcheckError):  # noqa: N818 - it names what is the matter
    """The sheet is another than the one that was shown, or there is none any more."""

    def __init__(self) -> None:
        super().__init__(deeds.SHEET_CHANGED)


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


@frozen
class SheetOff:
    """A make whose sheet was ended.

    stored    the make, as that left it
    together  the make with its yarn, where a band took some off a lot: one change
    left      of that lot [g];  lot: its name
    """

    stored: Stored
    together: Together | None = None
    left: float | None = None
    lot: str = ""


def end_sheet(service: Service, key: str, sheet: str) -> SheetOff:
    """End a begun sheet, such as that of a band that is on; its ticks stay, and what a band took is off its lot.

    sheet  id of the sheet

    Raises SheetChanged where it is ended already, or there is none, NotFound.
    """
    store = service.store
    while True:
        stored = store.get("makes", key)
        make, document = stored.record, stored.doc
        assert isinstance(make, Make)
        begun = by_key(make.sheets, sheet)
        if begun is None or begun.ended:
            raise SheetChanged
        ended = [{**written, "ended": True} if written["id"] == sheet else written for written in document["sheets"]]
        document["sheets"] = ended
        try:
            return _put_with_its_yarn(service, stored, document, begun.piece)
        except StaleWrite:
            continue


def _put_with_its_yarn(service: Service, stored: Stored, document: dict[str, Any], kind: SheetKind) -> SheetOff:
    """Write a make whose sheet was ended; of a band with what is left of the yarn. Raises StaleWrite."""
    store, make = service.store, stored.record
    assert isinstance(make, Make)
    edge = next((edge for edge, band in BAND_KIND.items() if band == kind), None)
    yarn = store.get("yarns", make.yarn) if edge is not None and make.yarn else None
    off = band_taken_off(rest_of_make(service, make.id)[0].answer, yarn.record, edge) if yarn and edge else None
    if yarn is None or off is None:
        return SheetOff(store.put("makes", make.id, document, stored.revision))
    (at, left), cone, form = off, yarn.doc, secrets.token_urlsafe(12)
    cone["lots"][at]["grams"] = left
    other = ("yarns", yarn.key, cone, yarn.revision)
    done = store.put_with("makes", make.id, document, stored.revision, form, other=other)
    return SheetOff(done, store.together(form, done.at), left, yarn.record.lots[at].lot)


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
