"""One make as a household file of its own: the make, and every record that its answer rests on."""

from __future__ import annotations

import sqlite3

from fitcheck.store.bundle import settings_of, written
from fitcheck.store.households import named_by_make
from fitcheck.store.taps import written_taps


def export_make(connection: sqlite3.Connection, key: str, *, left_out: bool = True) -> bytes:
    """Write one make and what it names, directly or through another, as a household file.

    left_out  as of ``export_bundle``

    The household's name and notes stay at home. Of a frozen tape only the sets of records that are in the file come
    along, so in another household its hands may be a little less sure. Raises NotFound.
    """
    rows = named_by_make(connection, key, "records.kind, records.key, records.doc")
    here = {name for _, name, _ in rows}
    settings = settings_of(connection)
    sets = [frozen for frozen in settings.tape.sets if frozen.of in here]
    tape = settings.tape.model_copy(update={"sets": sets})
    settings = settings.model_copy(update={"name": "", "notes": "", "tape": tape})
    makes = sorted(name for kind, name, _ in rows if kind == "makes")
    return written(settings, [(kind, doc) for kind, _, doc in rows], written_taps(connection, makes), left_out=left_out)
