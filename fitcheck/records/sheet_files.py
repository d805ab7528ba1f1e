"""A file of a knitting sheet: read whole, or refused with every fault at once."""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import ValidationError

from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.files import Source, faults_in, read_json
from fitcheck.records.places import WHOLE
from fitcheck.records.refusals import refusals
from fitcheck.records.written_sheets import WrittenSheet


def open_sheet(source: Source) -> WrittenSheet:
    """Open a sheet.

    source  path of a file, its bytes, or a mapping as JSON would give it

    Raises RecordsError with every fault at once, each with its place, what was read and what is accepted.
    """
    text, document, doubtful = read_json(source, Accepts("sheet"))
    if isinstance(document, dict) and "fitcheck" in document and "lines" not in document:
        raise RecordsError((Fault(WHOLE, "a household file", Accepts("sheet_of_a_household")),))
    try:
        written = WrittenSheet.model_validate_json(text)
    except ValidationError as error:
        found = list(refusals(error.errors(include_url=False, include_input=False), document, WrittenSheet))
    else:
        found = []
        if not doubtful:
            return written
    raise RecordsError(faults_in(found, document, text, with_lines=not isinstance(source, Mapping)))
