"""The table of operations: what the API does, under which address, with what sent and what answered.

The routes, the OpenAPI document, the page of the API and the tests are all made from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache, partial
from typing import Any

from flask import Response

from fitcheck.records.cross_checks import KINDS
from fitcheck.store.bundle import HOWS
from fitcheck.store.households import LONGEST_PAGE
from fitcheck.store.places import PATTERNS
from fitcheck.store.stored import HOUSEHOLD
from webui.api import (
    browse,
    computed,
    finished,
    household,
    openapi,
    parts,
    photographs,
    readings,
    records,
    rest,
    taken,
    tapped,
    ticked,
)
from webui.api.calls import CSV, JPEG, REVISION_TAG, SVG, Call
from webui.api.operations import Needs, Operation, Parameter
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
UNIT = Parameter("unit", "query", {"enum": list(computed.UNITS)}, "unit of the sentences, or of the drawing")
CHANGE = (400, 404, 409, 428)
OF_WEARER = ("garments", "makes")
MEASURED = ("makes", "garments")
"""Whose readings a device that may measure adds and sets aside: of the piece on the table, and the sweater there."""
OfKind = Callable[[str, Call], Response]
"""What answers a request about records of one kind."""
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


def _right(name: str, *measuring: str) -> Needs:
    """What is needed for one of several: to measure is enough for those that are named."""
    return "measure" if name in measuring else "everything"


def _list(kind: str) -> Operation:
    whose = (Parameter("wearer", "query", KEY, "only what is of this wearer"),) if kind in OF_WEARER else ()
    search: Schema = {"type": "string", "maxLength": records.LONGEST_SEARCH}
    return Operation(
        f"list_{kind}",
        kind,
        "GET",
        f"/{kind}",
        "One page of the list by name; `after` of a page is where the next one begins, null on the last.",
        partial(records.listed, kind),
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
        right=_right(kind, "makes"),
    )


def _of_kind(kind: str) -> Iterable[Operation]:
    """The operations of one kind of record; the household's settings are one record that cannot be deleted."""
    own = kind == HOUSEHOLD
    path = "/household" if own else f"/{kind}/{{key}}"
    model, revision = name_of(kind), ref(f"{name_of(kind)}Revision")
    examples = {} if own else {"key": _EXAMPLE[kind]}

    def operation(name: str, method: str, path: str, about: str, run: OfKind, **more: Any) -> Operation:
        return Operation(
            f"{name}_{kind}", kind, method, path, about, partial(run, kind), **({"examples": examples} | more)
        )

    def change(name: str, method: str, path: str, about: str, run: OfKind, **more: Any) -> Operation:
        changes = {"answers": revision, "parameters": (IF_MATCH,), "problems": CHANGE}
        return operation(name, method, path, about, run, **changes, **more)

    def look(name: str, path: str, about: str, run: OfKind, answers: Schema, **more: Any) -> Operation:
        return operation(name, "GET", path, about, run, answers=answers, problems=(404,), **more)

    if not own:
        yield _list(kind)
    about = "The record as it is now. Its ETag is its revision."
    yield look(
        "get",
        path,
        about,
        records.read,
        revision,
        status=(200, 304),
        parameters=(IF_NONE_MATCH,),
        right=_right(kind, "makes"),
    )
    about = "Write the record; a new one gets the key of the address. Writing what is there already changes nothing."
    yield change("put", "PUT", path, about, records.written, status=(200, 201), body=ref(model))
    if not own:
        about = "Delete the record. It is kept and can be brought back; one that others name stays."
        yield change("delete", "DELETE", path, about, records.deleted)
    yield change("undo", "POST", f"{path}/undo", "Undo the latest change. An undo can be undone.", records.undone)
    about, which = "Bring back what was deleted, or an earlier revision.", ref("WhichRevision")
    yield change("bring_back", "POST", f"{path}/bring-back", about, records.brought_back, body=which)
    past, about = f"{path}/history", "What happened to the record, the latest first."
    yield look("history", past, about, records.history, ref("History"))
    number = {**examples, "revision": "1"}
    about = "One revision of the record."
    yield look("revision", f"{past}/{{revision}}", about, records.past, revision, examples=number)
    about = "Check a document as if it were written: everything that is wrong, or everything that is unlikely."
    run, checked = records.checked, ref("Checked")
    yield operation("check", "POST", f"{path}/check", about, run, answers=checked, body=ref("Any"))
    about = "What is unlikely in the record and was not confirmed."
    yield look("questions", f"{path}/questions", about, records.questions, ref("Questions"))
    if kind in PATTERNS:
        yield from _readings(kind, path, revision, examples)


def _readings(kind: str, path: str, revision: Schema, examples: Mapping[str, str]) -> Iterable[Operation]:
    at = f"{path}/readings/{{id}}"

    def operation(name: str, method: str, path: str, about: str, run: OfKind, **more: Any) -> Operation:
        own = {**examples, "id": "r1"}
        return Operation(
            f"{name}_{kind}", kind, method, path, about, partial(run, kind), revision, examples=own, **more
        )

    right = _right(kind, *MEASURED)
    about = (
        "Add a reading, to the record as it is now, under an id that you make. Sent twice it is one reading. Places: "
        f"{' or '.join(PATTERNS[kind])}."
    )
    body = ref("NewReading")
    yield operation("add_reading", "PUT", at, about, readings.added, body=body, problems=(404, 409), right=right)
    about, run = "Set a reading aside with a reason: it stays, and does not count any more.", readings.set_aside
    body = ref("Reason")
    yield operation("set_aside", "POST", f"{at}/set-aside", about, run, body=body, problems=(404,), right=right)
    about = "Confirm a reading that was questioned: it is not asked about again."
    yield operation("confirm", "POST", f"{at}/confirm", about, readings.confirmed, problems=(404,))


def _rest() -> Iterable[Operation]:
    make = {"key": _EXAMPLE["makes"]}
    for name, path, about, run, answers in (
        ("rest", "rest", "What to cast on next, every count, the seams and the yarn.", rest.rest, "TheRest"),
        ("seams", "seams", "Which edges are sewn together, and whether they fit.", rest.seams, "Seams"),
        ("yarn", "yarn", "Whether the yarn lasts, and what each piece takes.", rest.yarn, "YarnOfRest"),
        (
            "sheet",
            "sheets/{piece}",
            "The knitting sheet of a piece still to knit, by the row counter.",
            rest.sheet,
            "SheetOf",
        ),
    ):
        yield Operation(
            name,
            "the rest",
            "GET",
            f"/makes/{{key}}/{path}",
            about,
            run,
            ref(answers),
            status=(200, 304),
            parameters=(IF_NONE_MATCH,),
            problems=(404,),
            right="measure",
            examples={**make, "piece": "front"} if "{piece}" in path else make,
        )
    yield Operation(
        "sheet_table",
        "the rest",
        "GET",
        "/makes/{key}/sheets/{piece}/table.csv",
        "The sheet as a table, a line for each time that something is done; where there is none, the reason alone.",
        rest.sheet_table,
        media=CSV,
        problems=(404,),
        right="measure",
        examples={**make, "piece": "front"},
    )
    for name, path, about, run in (
        (
            "rest_drawing",
            "rest/drawing.svg",
            "All pieces drawn to one scale, with their counts.",
            rest.drawing,
        ),
        (
            "sheet_drawing",
            "sheets/{piece}/drawing.svg",
            "A piece still to knit with the rows and stitches of its points; of a band its edge laid out flat.",
            rest.sheet_drawing,
        ),
    ):
        yield Operation(
            name,
            "the rest",
            "GET",
            f"/makes/{{key}}/{path}",
            about,
            run,
            media=SVG,
            parameters=(UNIT,),
            problems=(404,),
            right="measure",
            examples={**make, "piece": "front"} if "{piece}" in path else make,
        )
    piece = {**make, "id": "back", "stage": "1"}
    for name, method, path, about, change, body in (
        (
            "choose",
            "PUT",
            "choices",
            "Write how the rest is knitted; what is not said is the usual way.",
            parts.choose,
            "Choices",
        ),
        ("shape", "PUT", "pieces/{id}/shaping", "Write how the edges of a piece were shaped.", parts.shape, "Shaping"),
        (
            "unshape",
            "DELETE",
            "pieces/{id}/shaping",
            "Take the shaping away: the edges are assumed again.",
            parts.unshape,
            None,
        ),
        (
            "weigh",
            "PUT",
            "pieces/{id}/stages/{stage}/grams",
            "Write what a piece weighs at a stage; null takes it away.",
            parts.weigh,
            "Weighed",
        ),
    ):
        yield Operation(
            name,
            "the rest",
            method,
            f"/makes/{{key}}/{path}",
            about,
            change,
            ref("MakeRevision"),
            parameters=(IF_MATCH,),
            body=None if body is None else ref(body),
            problems=CHANGE,
            right=_right(name, "weigh"),
            examples={part: example for part, example in piece.items() if f"{{{part}}}" in f"{{key}}/{path}"},
        )


def _computed() -> Iterable[Operation]:
    for name, about, run, queries in (
        ("report", "The whole answer for a make.", computed.report, (PIECE,)),
        ("verdict", "The answer in sentences.", computed.verdict, (PIECE, UNIT)),
        ("fabric", "Gauge, change in finishing, dial, next swatch.", computed.fabric, (PIECE,)),
        ("sizes", "Which size's numbers to knit, in this fabric.", computed.sizes, (PIECE,)),
    ):
        yield Operation(
            name,
            "answers",
            "GET",
            f"/makes/{{key}}/{name}",
            about,
            run,
            ref(name.capitalize()),
            status=(200, 304),
            parameters=(*queries, IF_NONE_MATCH),
            problems=(404,),
            right=_right(name, "report", "verdict"),
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
    yield Operation(
        "take_counts",
        "answers",
        "POST",
        "/makes/{key}/take-counts",
        "Make the advised counts, `to_take` of a report, the planned ones by one change. Sent twice it is done once. "
        "Where the answer is another by now, nothing is changed, and the problem has the new one.",
        taken.take,
        ref("MakeRevision"),
        parameters=(PIECE,),
        body=ref("TakeCounts"),
        problems=(404, 409),
        examples={"key": _EXAMPLE["makes"]},
    )
    yield Operation(
        "keep_done",
        "answers",
        "PUT",
        "/makes/{key}/done",
        "Keep which deeds of the advised plan are done: all of them by their numbers, so the others are not. No answer "
        "changes by it. Where the answer is another by now, nothing is kept, and the problem has the new one.",
        ticked.keep,
        ref("MakeRevision"),
        parameters=(PIECE,),
        body=ref("KeepDone"),
        problems=(404, 409),
        examples={"key": _EXAMPLE["makes"]},
    )
    yield Operation(
        "finished",
        "answers",
        "GET",
        "/makes/{key}/finished",
        "How a make came out: every point of the sewn garment against what was wanted and what its pieces came to, and "
        "how far it came out from them.",
        finished.look,
        ref("FinishedSweater"),
        status=(200, 304),
        parameters=(IF_NONE_MATCH,),
        problems=(404,),
        examples={"key": _EXAMPLE["makes"]},
    )
    yield Operation(
        "finish",
        "answers",
        "POST",
        "/makes/{key}/finish",
        "Finish a make, and hang it in the wardrobe as a garment with the points of its pieces, less what the seams "
        "take, and with its counts, dial, fabric and fit, by one change: undoing it takes the garment along. Sent "
        "twice it is done once. `on` is the day that it has, else today; `wardrobe` is true where nothing is said.",
        finished.keep,
        ref("MakeRevision"),
        body=ref("Finish"),
        problems=(404,),
        examples={"key": _EXAMPLE["makes"]},
    )


def _sheets() -> Iterable[Operation]:
    at, examples = "/makes/{key}/sheets/{sheet}", {"key": _EXAMPLE["makes"], "sheet": "front-1"}
    yield Operation(
        "begin_sheet",
        "sheets",
        "POST",
        "/makes/{key}/sheets/{piece}/begin",
        "Begin the sheet of a piece or a band: its lines stay as they are, whatever its counts become, and taps are "
        "taken. `report` is the digest beside the sheet; one that was begun before is ended. Sent twice it is begun "
        "once. Where the answer is another by now, nothing is begun, and the problem has the digest of the new one.",
        tapped.begin,
        ref("Progress"),
        body=ref("BeginSheet"),
        problems=(404, 409),
        right="measure",
        examples={"key": _EXAMPLE["makes"], "piece": "front"},
    )
    yield Operation(
        "add_tap",
        "sheets",
        "PUT",
        f"{at}/taps/{{id}}",
        "Add a tap at the machine, on a sheet that was begun, under an id that you make. Sent twice it is one tap; a "
        "late one is taken like every other, and the latest of a line stands. Where the sheet was ended, nothing is "
        "kept, and the problem has the sheet.",
        tapped.add,
        ref("Progress"),
        body=ref("NewTap"),
        problems=(404, 409),
        right="measure",
        examples={**examples, "id": "phone-00000001"},
    )
    yield Operation(
        "progress",
        "sheets",
        "GET",
        f"{at}/progress",
        "How far a begun sheet is knitted: lines that are done, and the next one, counted from 0.",
        tapped.progress,
        ref("Progress"),
        problems=(404,),
        right="measure",
        examples=examples,
    )
    yield Operation(
        "end_sheet",
        "sheets",
        "POST",
        f"{at}/end",
        "End a begun sheet, such as that of a band that is on: its ticks stay, no tap is taken any more, and what the "
        "band took is off its lot by the same change. Sent twice it is ended once.",
        tapped.end,
        ref("Progress"),
        problems=(404,),
        examples=examples,
    )


def _household() -> Iterable[Operation]:
    how = Parameter(
        "how",
        "query",
        {"enum": list(HOWS), "default": "merge"},
        "add what is new, take the file's of a record that differs too, or make all equal to the file",
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
    about = "Keep a photograph, cleaned of all but its picture; a record names it by what is answered."
    yield Operation(
        "keep_photograph", "everything", "POST", "/photographs", about,
        photographs.keep, ref("KeptPhotograph"), body={"type": "string", "format": "binary"}, body_media=JPEG,
    )  # fmt: skip
    yield Operation(
        "get_photograph", "everything", "GET", "/photographs/{digest}", "A photograph by its SHA-256.",
        photographs.photograph, media=JPEG, problems=(404,), examples={"digest": "0" * 64},
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
    *_rest(),
    *(operation for kind in (*KINDS, HOUSEHOLD) for operation in _of_kind(kind)),
    *_sheets(),
    *_household(),
)
"""Every operation."""
