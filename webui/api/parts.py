"""Parts of a make written by themselves over the API: a piece's shaping and grams, and how the rest is knitted.

Each is one change of the make, made from the revision that is sent.
"""

from __future__ import annotations

from typing import Any

from flask import Response

from fitcheck.store.faults import NotFound
from webui.api.calls import Call, refuse
from webui.api.records import changed
from webui.service import service


def choose(call: Call) -> Response:
    """Write how the rest is knitted."""
    choices = call.object()
    return _write(call, lambda make: make.__setitem__("choices", choices))


def shape(call: Call) -> Response:
    """Write how the edges of a piece were shaped."""
    shaping = call.object()
    return _write(call, lambda make: _piece(call, make).__setitem__("shaping", shaping))


def unshape(call: Call) -> Response:
    """Take the shaping of a piece away: its edges are assumed again."""
    return _write(call, lambda make: _piece(call, make).pop("shaping", None))


def weigh(call: Call) -> Response:
    """Write what a piece weighs at a stage; nothing takes the weight away."""
    grams = call.object(("grams",), needed=("grams",))["grams"]

    def write(make: dict[str, Any]) -> None:
        stage = _stage(call, _piece(call, make))
        stage.pop("grams", None)
        if grams is not None:
            stage["grams"] = grams

    return _write(call, write)


def _write(call: Call, change: Any) -> Response:
    """Change the make as it is now, from the revision that is sent; raises StaleWrite where that is another."""
    revision = call.revision()
    stored = service().store.get("makes", call.path["key"])
    document = stored.doc
    change(document)
    return changed(service().store.put("makes", stored.key, document, revision))


def _piece(call: Call, make: dict[str, Any]) -> dict[str, Any]:
    piece: dict[str, Any] | None = next(
        (written for written in make.get("pieces", ()) if written["id"] == call.path["id"]), None
    )
    if piece is None:
        raise NotFound("makes", call.path["key"], f"This make has no piece {call.path['id']}.")
    return piece


def _stage(call: Call, piece: dict[str, Any]) -> dict[str, Any]:
    said = call.path["stage"]
    if not (said.isascii() and said.isdigit() and len(said) < 5 and int(said)):
        refuse("stage", f'"{said}"'[:40], "The number of a stage, from 1.")
    stages = piece.get("stages", [])
    if int(said) > len(stages):
        raise NotFound("makes", call.path["key"], f"This piece has no stage {said}.")
    stage: dict[str, Any] = stages[int(said) - 1]
    return stage
