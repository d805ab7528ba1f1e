"""Files that a page hands out to be kept."""

from __future__ import annotations

from functools import partial
from tempfile import TemporaryFile

from flask import Response

from fitcheck.store import Store

CHUNK = 64 * 1024
"""How much of a large file is sent at once [bytes]."""


def attached(raw: bytes, kind: str, name: str) -> Response:
    """A file, under the name that it is to be kept by."""
    response = Response(raw)
    response.headers["Content-Type"] = kind
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def album(store: Store, name: str, make: str | None = None) -> Response:
    """The household, or one make, with its photographs: written to the disk, handed out piece by piece, then gone.

    Raises NotFound, BundleTooLarge.
    """
    file = TemporaryFile()  # noqa: SIM115 - it is closed when all of it is sent
    try:
        store.export_album(file, make)
    except BaseException:
        file.close()
        raise
    size = file.tell()
    file.seek(0)
    response = attached(b"", "application/zip", name)
    response.response = iter(partial(file.read, CHUNK), b"")
    response.content_length = size
    response.call_on_close(file.close)
    return response
