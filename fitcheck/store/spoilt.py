"""What the faults of the store descend from, and the fault of a document that cannot be read back."""

# ruff: noqa: N818 - these name what is the matter, as the caller catches it
from __future__ import annotations

from fitcheck.records.faults import FitcheckError


class StoreError(FitcheckError):
    """Base class of what the store refuses or cannot do; the data is as it was before."""


class RecordUnreadable(StoreError):
    """What is kept of a record is no such record any more: something else than this program wrote there.

    kind, key  the record
    """

    def __init__(self, kind: str, key: str) -> None:
        super().__init__(
            f"{kind}/{key} cannot be read: what is kept of it is spoilt. Everything else stands. Bring an earlier "
            "version of it back, or restore a backup."
        )
        self.kind, self.key = kind, key
