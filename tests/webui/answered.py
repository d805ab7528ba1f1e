"""What the API answers to the example of each operation, kept in webui/api/answered.json.

python -m tests.webui.answered writes it anew, after a change of what is answered.
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

from werkzeug.test import Client, TestResponse

from fitcheck.store import Store
from tests.jpegs import jpeg
from tests.webui import lent
from webui.api import answered
from webui.api.calls import JSON
from webui.api.operations import PREFIX, Operation
from webui.api.table import OPERATIONS

KEPT = Path(answered.__file__).with_name(answered.FILE)
BY_NAME = {operation.name: operation for operation in OPERATIONS}
NO_TEXT = {"keep_photograph"}
"""What is sent is no text: the picture of the test."""
TOO_LONG = {"openapi"}
"""What is answered is this description itself."""
_WRITTEN = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[.\d]*(?:\+00:00|Z)")
AT = "2026-11-30T19:10:00.000+00:00"
"""In the place of every instant of today."""
MOST = 2
"""Entries of a list that are kept: where a list is a pair it has to be two."""
FIGURES = 6
"""Figures of a number that are kept."""


def answers(demo_file: Path, folder: Path) -> Iterator[tuple[Operation, TestResponse]]:
    """Do the example of each operation, each on the invented household as it stands."""
    for operation in OPERATIONS:
        with Store.open(shutil.copy(demo_file, folder / "done.db")) as store:
            yield operation, done(lent.lend(store).test_client(), operation)
            lent.take_back()


def done(client: Client, operation: Operation) -> TestResponse:
    """Do the example of an operation, after those that go before it."""
    example = operation.example
    before = [done(client, BY_NAME[name]) for name in example.after]
    path, body = operation.path, example.body
    for name, part in {**operation.examples, **example.path}.items():
        path = path.replace(f"{{{name}}}", part)
    if operation.name == "get_photograph":
        path = f"/photographs/{before[0].json['photograph']}"
    answer = ask(client, operation, path, jpeg() if operation.name in NO_TEXT else body)
    if answer.status_code == 409 and isinstance(body, dict):
        # No example can know the digest of a report: the problem says it, and what to send instead.
        answer = ask(client, operation, path, {name: answer.json.get(name, body[name]) for name in body})
    return answer


def ask(client: Client, operation: Operation, path: str, body: object) -> TestResponse:
    revision = operation.example.revision
    headers = {} if revision is None else {"If-Match": f'"{revision}"'}
    raw = body if isinstance(body, str | bytes) else json.dumps(body)
    sent = {} if operation.body is None else {"data": raw, "content_type": operation.body_media}
    return client.open(PREFIX + path, method=operation.method, headers=headers, **sent)


def is_kept(operation: Operation) -> bool:
    """Whether the answer of an operation is kept: JSON, but this description itself."""
    return operation.media == JSON and operation.name not in TOO_LONG


def cut(told: Any) -> Any:
    """An answer as it is kept: two entries of each list at most, numbers to six figures, instants of today as one."""
    if isinstance(told, dict):
        return {name: cut(value) for name, value in told.items()}
    if isinstance(told, list):
        return [cut(value) for value in told[:MOST]]
    if isinstance(told, float):
        return float(f"{told:.{FIGURES}g}")
    return _WRITTEN.sub(AT, told) if isinstance(told, str) else told


def write(folder: Path) -> None:
    """Write the file anew."""
    demo_file = folder / "invented.db"
    with Store.open(demo_file) as store:
        store.import_bundle((files("demo_garments") / "household.json").read_bytes())
    kept = {
        operation.name: {"status": answer.status_code, "body": cut(answer.json)}
        for operation, answer in answers(demo_file, folder)
        if is_kept(operation)
    }
    lines = (f"{json.dumps(name)}: {json.dumps(kept[name], ensure_ascii=False)}" for name in kept)
    KEPT.write_text("{\n" + ",\n".join(lines) + "\n}\n")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        write(Path(made))
