"""A finished make and the garment that it became, written as one change."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from typing import Any

from fitcheck.store.revisions import put
from fitcheck.store.stored import Stored


def finish(
    connection: sqlite3.Connection,
    key: str,
    document: Mapping[str, Any],
    expected_revision: int,
    garment: Mapping[str, Any] | None,
    form: str | None = None,
) -> Stored:
    """Write a make, and the new garment that it names as what it became; None: it becomes none.

    form  id of the form that was sent, where it was one

    Undoing the make's change takes that garment along (`revisions.undo`). Raises RecordsError, StaleWrite or NotFound;
    then neither is written.
    """
    if garment is not None:
        put(connection, "garments", garment["id"], garment, 0, form)
    return put(connection, "makes", key, document, expected_revision, form)
