"""Photographs over the API: kept by their SHA-256, which a record then names, and handed out again."""

from __future__ import annotations

from flask import Response

from webui.api.calls import JPEG, Call, data
from webui.service import service


def keep(call: Call) -> Response:
    """Keep a photograph, cleaned; the same one twice is kept once."""
    return data({"photograph": service().store.keep_photograph(call.bytes(JPEG))})


def photograph(call: Call) -> Response:
    """One photograph by its SHA-256."""
    return Response(service().store.photograph(call.path["digest"]), mimetype=JPEG)
