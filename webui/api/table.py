"""The table of operations: what the API does, under which address, with what sent and what answered.

The routes, the OpenAPI document, the page of the API and the tests are all made from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from flask import Response

from fitcheck.records.cross_checks import KINDS
from fitcheck.store.households import LONGEST_PAGE
from fitcheck.store.places import PATTERNS
from fitcheck.store.stored import HOUSEHOLD
from webui.api import browse, computed, household, openapi, readings, records
from webui.api.calls import CSV, REVISION_TAG, Call
from webui.api.operations import Operation, Parameter
from webui.api.schemas import KEY, Schema, name_of, ref

IF_MATCH = Parameter(
    "If-Match",
    "header",
    {"type": "string", "pattern": REVISION_TAG},
    'the revision that the change was made from; "0" for a new record',
    required=True,
)
IF_NONE_MATCH = Parameter(
    "If-None-Match", "header", {"type": "string"}, "a tag that was answered before: 304 where nothing has changed"
)
PIECE = Parameter("piece", "query", KEY, "which piece; the last one that was read otherwise")
UNIT = Parameter("unit", "query", {"enum": list(computed.UNITS)}, "unit of the sentences")
CHANGE = (400, 404, 409, 428)
OF_WEARER = ("garments", "makes")
_EXAMPLE = {
    "wearers": "ines",
    "garments": "brown_pullover",
    "yarns": "grey_wool_in_oil",
    "machines": "standard_bed",
    "swatches": "grey_at_7",
    "size_tables": "round_neck_pullover",
    "makes": "grey_pullover",
}
"""A key of the invented household per kind."""


def _list(kind: str) -> Operation:
    whose = (Parameter("wearer", "query", KEY, "only what is of this wearer"),) if kind in OF_WEARER else ()
    search: Schema = {"type": "string", "maxLength": records.LONGEST_SEARCH}
    return Operation(
        f"list_{kind}",
        kind,
        "GET",
        f"/{kind}",
        "One page of the list by name; `after` of a page is where the next one begins, null on the last.",
        records.listed(kind),
        ref("Page"),
        parameters=(
            *whose,
            Parameter("text", "query", search, "looked for in key, name, fabric and notes"),
            Parameter("after", "query", KEY, "key of the record after which the page begins"),
            Parameter(
                "limit", "query", {"type": "integer", "minimum": 1, "maximum": LONGEST_PAGE, "default": 24}, "how many"
            ),
            Parameter("deleted", "query", {"type": "boolean", "default": False}, "list what was deleted instead"),
        ),
        problems=(404,),
    )


def _of_kind(kind: str) -> Iterable[Operation]:
    """The operations of one kind of record; the household's settings are one record that cannot be deleted."""
    own = kind == HOUSEHOLD
    path = "/household" if own else f"/{kind}/{{key}}"
    one, revision = name_of(kind), ref(f"{name_of(kind)}Revision")
    examples = {} if own else {"key": _EXAMPLE[kind]}

    def operation(name: str, method: str, path: str, about: str, run: records.Run, **more: Any) -> Operation:
        return Operation(f"{name}_{kind}", kind, method, path, about, run, **({"examples": examples} | more))

    if not own:
        yield _list(kind)
    yield operation(
        "get",
        "GET",
        path,
        "The record as it is now. Its ETag is its revision.",
        records.read(kind),
        answers=revision,
        status=(200, 304),
        parameters=(IF_NONE_MATCH,),
        problems=(404,),
    )
    yield operation(
        "put",
        "PUT",
        path,
        "Write the record; a new one gets the key of the address. Writing what is there already changes nothing.",
        records.written(kind),
        answers=revision,
        status=(200, 201),
        parameters=(IF_MATCH,),
        body=ref(one),
        problems=CHANGE,
    )
    if not own:
        yield operation(
            "delete",
            "DELETE",
            path,
            "Delete the record. It is kept and can be brought back; one that others name stays.",
            records.deleted(kind),
            answers=revision,
            parameters=(IF_MATCH,),
            problems=CHANGE,
        )
    yield operation(
        "undo",
        "POST",
        f"{path}/undo",
        "Undo the latest change. An undo can be undone.",
        records.undone(kind),
        answers=revision,
        parameters=(IF_MATCH,),
        problems=CHANGE,
    )
    yield operation(
        "bring_back",
        "POST",
        f"{path}/bring-back",
        "Bring back what was deleted, or an earlier revision.",
        records.brought_back(kind),
        answers=revision,
        parameters=(IF_MATCH,),
        body=ref("WhichRevision"),
        problems=CHANGE,
    )
    yield operation(
        "history",
        "GET",
        f"{path}/history",
        "What happened to the record, the latest first.",
        records.history(kind),
        answers=ref("History"),
        problems=(404,),
    )
    yield operation(
        "revision",
        "GET",
        f"{path}/history/{{revision}}",
        "One revision of the record.",
        records.past(kind),
        answers=revision,
        problems=(404,),
        examples={**examples, "revision": "1"},
    )
    yield operation(
        "check",
        "POST",
        f"{path}/check",
        "Check a document as if it were written: everything that is wrong, or everything that is unlikely.",
        records.checked(kind),
        answers=ref("Checked"),
        body=ref("Any"),
    )
    yield operation(
        "questions",
        "GET",
        f"{path}/questions",
        "What is unlikely in the record and was not confirmed.",
        records.questions(kind),
        answers=ref("Questions"),
        problems=(404,),
    )
    if kind in PATTERNS:
        yield from _readings(kind, path, revision, examples)


def _readings(kind: str, path: str, revision: Schema, examples: Mapping[str, str]) -> Iterable[Operation]:
    at = f"{path}/readings/{{id}}"
    examples = {**examples, "id": "r1"}
    places = " or ".join(PATTERNS[kind])
    yield Operation(
        f"add_reading_{kind}",
        kind,
        "PUT",
        at,
        f"Add a reading, to the record as it is now, under an id that you make. Sent twice it is one reading. Places: "
        f"{places}.",
        readings.added(kind),
        revision,
        body=ref("NewReading"),
        problems=(404, 409),
        examples=examples,
    )
    yield Operation(
        f"set_aside_{kind}",
        kind,
        "POST",
        f"{at}/set-aside",
        "Set a reading aside with a reason: it stays, and does not count any more.",
        readings.set_aside(kind),
        revision,
        body=ref("Reason"),
        problems=(404,),
        examples=examples,
    )
    yield Operation(
        f"confirm_{kind}",
        kind,
        "POST",
        f"{at}/confirm",
        "Confirm a reading that was questioned: it is not asked about again.",
        readings.confirmed(kind),
        revision,
        problems=(404,),
        examples=examples,
    )


def _computed() -> Iterable[Operation]:
    about = {
        "report": ("Report", "The whole answer for a make.", computed.report, (PIECE, IF_NONE_MATCH)),
        "verdict": ("Verdict", "The answer in sentences.", computed.verdict, (PIECE, UNIT, IF_NONE_MATCH)),
        "fabric": (
            "Fabric",
            "Gauge, change in finishing, dial, next swatch.",
            computed.fabric,
            (PIECE, IF_NONE_MATCH),
        ),
        "sizes": ("Sizes", "Which size's numbers to knit, in this fabric.", computed.sizes, (PIECE, IF_NONE_MATCH)),
    }
    for name, (schema, said, run, parameters) in about.items():
        yield Operation(
            name,
            "answers",
            "GET",
            f"/makes/{{key}}/{name}",
            said,
            run,
            ref(schema),
            status=(200, 304),
            parameters=parameters,
            problems=(404,),
            examples={"key": _EXAMPLE["makes"]},
        )
    yield Operation(
        "what_if",
        "answers",
        "POST",
        "/makes/{key}/what-if",
        "The answer as it would be with other counts, another dial for the pieces to come, or another size. Nothing is "
        "kept.",
        computed.if_changed,
        ref("Report"),
        body=ref("WhatIf"),
        problems=(404,),
        examples={"key": _EXAMPLE["makes"]},
    )


def _household() -> Iterable[Operation]:
    how = Parameter(
        "how", "query", {"enum": ["merge", "replace"], "default": "merge"}, "add what is new, or make all equal to it"
    )
    yield Operation(
        "export_bundle", "everything", "GET", "/bundle", "Everything that is kept now, as a household file.",
        household.bundle, ref("Bundle"), problems=(413,),
    )  # fmt: skip
    yield Operation(
        "import_bundle", "everything", "POST", "/bundle", "Take a household file in, all or nothing.",
        household.taken_in, ref("Imported"), parameters=(how,), body=ref("Bundle"), problems=(409,),
    )  # fmt: skip
    yield Operation(
        "export_readings", "everything", "GET", "/readings.csv", "Every reading as a table, one a line.",
        household.readings, media=CSV,
    )  # fmt: skip
    yield Operation(
        "import_readings", "everything", "POST", "/readings.csv", "Add the readings of a table, all or none.",
        household.readings_in, ref("Added"), body={"type": "string"}, body_media=CSV, problems=(404, 409),
    )  # fmt: skip
    yield Operation(
        "openapi", "the API", "GET", "/openapi.json", "This description, in OpenAPI 3.1.",
        _description, {"type": "object"},
    )  # fmt: skip
    yield Operation(
        "browse", "the API", "GET", "/browse", "This description, as a page.", _page, media="text/html",
    )  # fmt: skip


@cache
def description() -> dict[str, Any]:
    """The OpenAPI document of every operation; made once."""
    return openapi.document(OPERATIONS)


def _description(call: Call) -> Response:
    return browse.document(description())


def _page(call: Call) -> Response:
    return browse.page(OPERATIONS, description())


OPERATIONS: tuple[Operation, ...] = (
    *_computed(),
    *(operation for kind in (*KINDS, HOUSEHOLD) for operation in _of_kind(kind)),
    *_household(),
)
"""Every operation."""
