"""What went wrong, as problem details (RFC 9457): a type that can be looked up, a title, a status, a plain detail."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from flask import Response, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from fitcheck.records.faults import FitcheckError, RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.store import faults
from fitcheck.store.spoilt import RecordUnreadable
from fitcheck.store.stored import Stored
from fitcheck.words.faults import fault_lines, written_fault
from webui import request_log
from webui.config import LARGEST_BODY

MEDIA = "application/problem+json"
HELP = "/api/v1/browse#"
"""Where the type of a problem leads: its paragraph on the page of the API."""


@frozen
class Kind:
    """One kind of problem.

    name   its stable code, with which the type ends
    about  what it means
    then   what to do next
    """

    name: str
    status: int
    title: str
    about: str
    then: str

    @property
    def whole(self) -> str:
        """What it means, and what to do next."""
        return f"{self.about} {self.then}"


KINDS = (
    Kind(
        "not-understood",
        400,
        "The request is not understood",
        "No JSON, or a header written wrongly.",
        "Put right what the detail says, and send it again.",
    ),
    Kind(
        "not-paired",
        401,
        "Not paired",
        "At home only paired devices are answered.",
        "Open /pair there, and type the code that the machine shows.",
    ),
    Kind(
        "refused",
        403,
        "Refused",
        "Asked from elsewhere than this machine, or changed from another site's page.",
        "Ask from this machine, without a page between.",
    ),
    Kind(
        "not-for-this-device",
        403,
        "Not for this device",
        "It was paired to measure, and this operation is for devices that may do everything (x-right).",
        "Do it at the machine, or pair the device anew for everything.",
    ),
    Kind(
        "not-found",
        404,
        "Not found",
        "No such address, record, piece or reading.",
        "Look for a slip in the key; with `deleted`, bring it back.",
    ),
    Kind(
        "wrong-method",
        405,
        "Not done with this address",
        "The address is there, and does not do this.",
        "The header Allow lists what it can do.",
    ),
    Kind(
        "changed-meanwhile",
        409,
        "Changed meanwhile",
        "Somebody else changed the record: `mine` is what was sent, `theirs` what is kept now, `base` what it was "
        "made from.",
        "Merge, and send it again with the new revision.",
    ),
    Kind(
        "answer-changed",
        409,
        "The answer changed meanwhile",
        "The counts were shown by another report: `report` is the digest of the new one, `counts` what it has to take, "
        "`verdict` its sentences.",
        "Look at the new one, and send what it has with its digest.",
    ),
    Kind(
        "id-taken",
        409,
        "Id taken",
        "Another reading has this id: `there` is what it says.",
        "Send it under another id.",
    ),
    Kind(
        "sheet-ended",
        409,
        "The sheet was ended",
        "Nothing is tapped on it any more: `sheet` is what was begun.",
        "Open the sheet of its piece as it is now.",
    ),
    Kind(
        "unreadable",
        409,
        "The record cannot be read",
        "What is kept of it is spoilt: `kind` and `key` name it.",
        "Bring an earlier revision back, or restore a backup.",
    ),
    Kind(
        "still-named",
        409,
        "Still named",
        "Other records name this one: `names` lists them.",
        "Take its name out of them first.",
    ),
    Kind(
        "import-conflicts",
        409,
        "Records differ",
        "The bundle has other versions of records: `records` lists them.",
        "Say with `how` which of them are to stay.",
    ),
    Kind(
        "too-large",
        413,
        "Too large",
        f"A body has {LARGEST_BODY / 1e6:.0f} MB at most.",
        "A larger bundle goes in with the command fitcheck import.",
    ),
    Kind(
        "wrong-media",
        415,
        "Another kind of body",
        "The body is said to be of a kind that this operation does not take.",
        "JSON is sent as application/json, a table as text/csv, a photograph as image/jpeg.",
    ),
    Kind(
        "invalid",
        422,
        "The data is wrong",
        "`faults` names every place, what was read, and what is accepted.",
        "Put all of them right, and send it again.",
    ),
    Kind(
        "revision-missing",
        428,
        "Which revision?",
        "A change says which revision it was made from.",
        'Send If-Match: "3", or "0" for a new record.',
    ),
    Kind(
        "header-too-large",
        431,
        "Header too large",
        "The request's headers are longer than any of ours.",
        "Leave out what is not needed, such as cookies of others.",
    ),
    Kind(
        "failed",
        500,
        "Something failed here",
        "A fault of the program or of the disk; nothing was changed.",
        "Try again, or start Fitcheck again.",
    ),
    Kind(
        "busy",
        503,
        "The database is busy",
        "Another change or another program holds it; nothing was changed.",
        "Try again after the seconds that Retry-After says.",
    ),
    Kind(
        "only-read",
        503,
        "The database is only read",
        "It was taken away or replaced while the service ran, or nothing can be written where it stands; the detail "
        "says which.",
        "It can be read and exported still; put it back, and start Fitcheck again.",
    ),
    Kind(
        "disk-full",
        507,
        "The disk is full",
        "Nothing was changed.",
        "Make room, then try again.",
    ),
)
BY_NAME = {kind.name: kind for kind in KINDS}
_BY_STATUS = {kind.status: kind for kind in reversed(KINDS)}


class Refused(FitcheckError):  # noqa: N818 - it names what is the matter
    """A request that an operation refuses: the name of a problem and its detail."""

    def __init__(self, name: str, detail: str) -> None:
        super().__init__(detail)
        self.name, self.detail = name, detail


def problem_of(error: Exception) -> Response:
    """Answer with the problem that an error is."""
    if isinstance(error, HTTPException):
        return _of_http(error)
    if isinstance(error, Refused):
        return problem(error.name, error.detail)
    if isinstance(error, RecordsError):
        return problem("invalid", fault_lines(error.faults), faults=[written_fault(fault) for fault in error.faults])
    if isinstance(error, faults.StoreError):
        return _of_store(error)
    if isinstance(error, FitcheckError) and isinstance(error, LookupError):
        return problem("not-found", str(error))
    request_log.unexpected(error)
    return problem("failed", "Something in the program failed. Nothing was changed. Try again, or restart it.")


def problem(name: str, detail: str, **more: Any) -> Response:
    """Answer with a problem; `more` are members of its own."""
    raw, status = written(name, detail, **more), BY_NAME[name].status
    return Response(raw, status, mimetype=MEDIA)


def written(name: str, detail: str, **more: Any) -> bytes:
    """Write a problem as JSON."""
    kind = BY_NAME[name]
    data = {"type": HELP + name, "title": kind.title, "status": kind.status, "detail": detail, **more}
    # Escaped: what was sent may hold half a character, which no other writing has.
    return json.dumps(data, ensure_ascii=True, allow_nan=False).encode()


def _of_http(error: HTTPException) -> Response:
    status = error.code or 500
    if status < 400:
        return Response(error.get_response(request.environ).data, status, error.get_headers(request.environ))
    kind = _BY_STATUS.get(status, BY_NAME["not-understood"] if status < 500 else BY_NAME["failed"])
    detail = error.description if status == 403 and error.description else kind.whole
    response = problem(kind.name, detail)
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        response.headers["Allow"] = ", ".join(sorted(error.valid_methods))
    return response


def _of_store(error: faults.StoreError) -> Response:
    said = str(error)
    match error:
        case faults.NotFound():
            return problem("not-found", said, **({"deleted": True} if error.deleted else {}))
        case faults.StaleWrite():
            return problem(
                "changed-meanwhile", said, mine=error.mine, theirs=_version(error.theirs), base=_version(error.base)
            )
        case RecordUnreadable():
            return problem("unreadable", said, kind=error.kind, key=error.key)
        case faults.IdTaken():
            return problem("id-taken", said, there=error.there)
        case faults.SheetNotFound():
            return problem("not-found", said)
        case faults.SheetEnded():
            return problem("sheet-ended", said, sheet=error.sheet.model_dump(mode="json", exclude_defaults=True))
        case faults.StillNamed():
            return problem("still-named", said, names=named(error.names))
        case faults.ImportConflicts():
            return problem("import-conflicts", said, records=named(error.records))
        case faults.BundleTooLarge():
            return problem("too-large", said)
        case faults.DatabaseLocked():
            response = problem("busy", said)
            response.headers["Retry-After"] = "1"
            return response
        case faults.OnlyRead():
            return problem("only-read", said)
        case faults.DiskFull():
            return problem("disk-full", said)
    request_log.unexpected(error)
    return problem("failed", said)


def named(records: Any) -> list[dict[str, str]]:
    """Write (kind, key) pairs as data."""
    return [{"kind": kind, "key": key} for kind, key in records]


def _version(stored: Stored | None) -> Mapping[str, Any] | None:
    return None if stored is None else version(stored)


def version(stored: Stored) -> dict[str, Any]:
    """One revision of a record as data."""
    return {
        "kind": stored.kind,
        "key": stored.key,
        "revision": stored.revision,
        "deleted": stored.deleted,
        "at": stored.at,
        "record": stored.doc,
    }
