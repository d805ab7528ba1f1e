"""Photographs beside a swatch, a garment or a stage of a piece: shown, added and taken away.

A script makes them smaller on the device; without one a JPEG is taken as it is, if it is small enough. They are served
under the digest of their bytes, so what stands at an address never changes.
"""

from __future__ import annotations

from collections.abc import Sequence

from flask import Blueprint, Response, abort, request
from werkzeug.exceptions import RequestEntityTooLarge

from fitcheck import words
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.photographs import LARGEST_BYTES, LONGEST_SIDE, MOST
from fitcheck.store.faults import NotFound, StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from fitcheck.words import photographs as say
from webui.forms.fields import Document
from webui.forms.typed import whole_number
from webui.pages import ground, notices, views

pages = Blueprint("photographs", __name__, url_prefix="/photographs")

FOR_GOOD = "private, max-age=31536000, immutable"
"""A year, on this device alone: another photograph has another address."""
KINDS = ("swatches", "garments", "makes")


@frozen
class Shown:
    """One photograph: its SHA-256, what it is called for who cannot see it, whether its bytes are here."""

    digest: str
    told: str
    here: bool


@frozen
class Beside:
    """The photographs beside a record, or beside a stage of a piece of it.

    to      where another one is sent
    fields  what a form says of where it stands
    room    whether there is room for another one
    """

    to: str
    fields: dict[str, str]
    shown: tuple[Shown, ...]
    room: bool
    most_bytes: int = LARGEST_BYTES
    most_pixels: int = LONGEST_SIDE


def beside(kind: str, key: str, photographs: Sequence[str], *, piece: str = "", stage: int = 0) -> Beside:
    """What a page shows of the photographs beside one of its records.

    piece, stage  of a make: key of the piece, number of its stage
    """
    here = views.store().photographs_here()
    shown = tuple(
        Shown(digest, say.which(number, len(photographs)), digest in here)
        for number, digest in enumerate(photographs, start=1)
    )
    fields = {"piece": piece, "stage": str(stage)} if piece else {}
    return Beside(f"/photographs/{kind}/{key}", fields, shown, len(photographs) < MOST)


@pages.get("/<digest>.jpg")
def photograph(digest: str) -> Response:
    """One photograph."""
    if request.if_none_match.contains(digest):
        response = Response(status=304)
    else:
        try:
            response = Response(views.store().photograph(digest), mimetype="image/jpeg")
        except NotFound as error:
            abort(404, str(error))
    response.set_etag(digest)
    response.headers["Cache-Control"] = FOR_GOOD
    return response


@pages.post("/<kind>/<key>")
def add(kind: str, key: str) -> Response:
    """Keep a photograph and name it beside a record."""
    try:
        sent = next((file for file in request.files.getlist("photograph") if file.filename), None)
    except RequestEntityTooLarge:
        abort(413, say.TOO_LARGE)
    if sent is None:
        return notices.go(_back(kind, key), say.NOTHING_CHOSEN)
    stored = _stored(kind, key)
    document = stored.doc
    photographs = _photographs_in(document, kind)
    try:
        digest = views.store().keep_photograph(sent.read())
        if digest in photographs:
            return notices.go(_back(kind, key), say.THERE_ALREADY)
        photographs.append(digest)
        if len(photographs) > MOST:
            return notices.go(_back(kind, key), say.FULL)
        kept = views.store().put(kind, key, document, stored.revision)
    except RecordsError as error:
        return notices.go(_back(kind, key), words.fault_sentence(error.faults[0]))
    except StaleWrite:
        return notices.go(_back(kind, key), deeds.CHANGED_ELSEWHERE)
    return notices.go(_back(kind, key), say.KEPT, kept)


@pages.post("/<kind>/<key>/away")
def take_away(kind: str, key: str) -> Response:
    """Name a photograph no more beside a record; its earlier revisions still do."""
    stored = _stored(kind, key)
    document = stored.doc
    photographs = _photographs_in(document, kind)
    digest = request.form.get("photograph", "")
    if digest not in photographs:
        return notices.go(_back(kind, key), deeds.ANSWERED_ALREADY)
    photographs.remove(digest)
    try:
        kept = views.store().put(kind, key, document, stored.revision)
    except StaleWrite:
        return notices.go(_back(kind, key), deeds.CHANGED_ELSEWHERE)
    return notices.go(_back(kind, key), say.TAKEN_AWAY, kept)


def _stored(kind: str, key: str) -> Stored:
    """The record that a photograph lies beside, or a page that says it is not there."""
    if kind not in KINDS:
        abort(404, deeds.NO_SUCH_PIECE)
    try:
        return views.store().get(kind, key)
    except NotFound as error:
        abort(404, str(error))


def _photographs_in(document: Document, kind: str) -> list[str]:
    """The photographs of a document as they stand in it, or of the stage of a piece that the form names."""
    if kind != "makes":
        return document.setdefault("photographs", [])  # type: ignore[no-any-return]
    asked = request.form.get("piece")
    piece = next((piece for piece in document.get("pieces", []) if piece["id"] == asked), None)
    stages = piece.get("stages", []) if piece else []
    number = whole_number(request.form.get("stage", ""), 0, len(stages) - 1)
    if number is None:
        abort(404, deeds.NO_SUCH_PIECE)
    return stages[number].setdefault("photographs", [])  # type: ignore[no-any-return]


def _back(kind: str, key: str) -> str:
    """The page that the form stood on."""
    return f"{notices.local(request.form.get('back') or ground.page_of(kind, key))}#photographs"
