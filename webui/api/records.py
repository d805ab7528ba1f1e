"""Records over the API: listed, read, written, deleted, brought back, undone, checked."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict

from flask import Response

from fitcheck.records.questions.question import Question
from fitcheck.store.households import LONGEST_PAGE
from fitcheck.store.stored import Stored
from fitcheck.words.faults import written_fault
from fitcheck.words.questions import written_question
from webui.api.calls import Call, data, of_record, refuse
from webui.checks import check, questions_of
from webui.service import service

LONGEST_SEARCH = 200


def listed(kind: str, call: Call) -> Response:
    """List records of a kind by name."""
    page = service().store.list(
        kind,
        wearer=call.key("wearer"),
        text=call.text("text", LONGEST_SEARCH),
        after=call.key("after"),
        limit=call.number("limit", 1, LONGEST_PAGE, 24),
        deleted=call.one_of("deleted", ("true", "false"), "false") == "true",
    )
    return data({"records": [asdict(listed_record) for listed_record in page.records], "after": page.after})


def read(kind: str, call: Call) -> Response:
    """Read a record as it is now."""
    stored = service().store.get(kind, key_of(kind, call))
    return of_record(stored_json(stored), stored.revision)


def written(kind: str, call: Call) -> Response:
    """Write a record."""
    revision = call.revision()
    stored = service().store.put(kind, key_of(kind, call), call.object(), revision)
    return changed(stored, 201 if revision == 0 else 200)


def deleted(kind: str, call: Call) -> Response:
    """Delete a record; it can be brought back."""
    return changed(service().store.delete(kind, key_of(kind, call), call.revision()))


def undone(kind: str, call: Call) -> Response:
    """Undo the latest change of a record."""
    return changed(service().store.undo(kind, key_of(kind, call), call.revision()))


def brought_back(kind: str, call: Call) -> Response:
    """Bring back what was deleted, or an earlier revision."""
    expected = call.revision()
    asked = call.object(("revision",)).get("revision")
    if asked is not None and (isinstance(asked, bool) or not isinstance(asked, int) or asked < 1):
        refuse("revision", json.dumps(asked)[:40], "The number of a revision, from 1; or nothing.")
    key = key_of(kind, call)
    return changed(service().store.bring_back(kind, key, asked, expected_revision=expected))


def history(kind: str, call: Call) -> Response:
    """List what happened to a record, the latest first."""
    entries = service().store.history(kind, key_of(kind, call))
    return data({"revisions": [asdict(entry) for entry in entries]})


def past(kind: str, call: Call) -> Response:
    """Read one revision of a record."""
    said = call.path["revision"]
    if not (said.isascii() and said.isdigit() and len(said) < 19 and int(said)):
        refuse("revision", json.dumps(said)[:40], "The number of a revision, from 1.")
    return data_of(service().store.get(kind, key_of(kind, call), int(said)))


def checked(kind: str, call: Call) -> Response:
    """Check a document as if it were written, and write nothing."""
    checking = check(service().store, kind, key_of(kind, call), call.object())
    return data(
        {
            "faults": [written_fault(fault) for fault in checking.faults],
            "questions": _written(checking.questions),
        }
    )


def questions(kind: str, call: Call) -> Response:
    """List what is unlikely in a record and was not confirmed."""
    asked = questions_of(service().store, kind, key_of(kind, call))
    return data({"questions": _written(asked)})


def _written(questions: Iterable[Question]) -> list[dict[str, str]]:
    """Questions about a record, each with its place inside it."""
    return [asdict(written_question(question, question.place.inside)) for question in questions]


def key_of(kind: str, call: Call) -> str:
    """Return the key in the path; the household's settings have none."""
    return call.path.get("key", kind)


def changed(stored: Stored, status: int = 200) -> Response:
    """Answer a change with the record as it is now."""
    response = data_of(stored, status)
    response.headers["ETag"] = f'"{stored.revision}"'
    return response


def data_of(stored: Stored, status: int = 200) -> Response:
    """Answer with a revision of a record."""
    return Response(stored_json(stored), status, mimetype="application/json")


def stored_json(stored: Stored) -> bytes:
    """Write a revision as JSON; the document as the store has it, letter by letter."""
    deleted = "true" if stored.deleted else "false"
    head = f'{{"kind":"{stored.kind}","key":"{stored.key}","revision":{stored.revision},"deleted":{deleted}'
    return f'{head},"at":"{stored.at}","record":{stored.text}}}'.encode()
