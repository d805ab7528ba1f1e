"""A client that a general generator writes from the description of the API does the main job."""

from __future__ import annotations

import importlib
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from fitcheck.store import Store
from tests.webui import lent
from webui.api.table import description

pytestmark = pytest.mark.full

PACKAGE = "written_client"
KINDS_OF_ITS_OWN = {
    "post_hooks": [],
    "content_type_overrides": {
        "image/svg+xml": "text/plain",
        "text/csv": "application/octet-stream",
        "image/jpeg": "application/octet-stream",
    },
}
"""The generator forms nothing, and takes a table, a drawing and a picture for what they are: a text and bytes."""
NAMED = (
    ("wearers", "ines"), ("garments", "brown_pullover"), ("yarns", "grey_wool_in_oil"), ("machines", "standard_bed"),
    ("swatches", "grey_at_6"), ("swatches", "grey_at_7"), ("swatches", "grey_at_8"),
    ("size_tables", "round_neck_pullover"), ("makes", "grey_pullover"),
)  # fmt: skip
MODELS = {
    "wearers": "Wearer", "garments": "Garment", "yarns": "Yarn", "machines": "Machine", "swatches": "Swatch",
    "size_tables": "SizeTable", "makes": "Make",
}  # fmt: skip


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The client, importable; without the generator, which extra `dev` brings, skipped, but never in CI."""
    if not os.environ.get("CI"):
        pytest.importorskip("openapi_python_client", reason="openapi-python-client is not here (extra dev)")
    folder = tmp_path_factory.mktemp("client")
    (folder / "openapi.json").write_text(json.dumps(description()), encoding="utf-8")
    (folder / "config.yaml").write_text(json.dumps(KINDS_OF_ITS_OWN), encoding="utf-8")  # JSON is YAML
    command = [sys.executable, "-m", "openapi_python_client", "generate", "--meta", "none", "--fail-on-warning"]
    paths = ["--path", "openapi.json", "--config", "config.yaml", "--output-path", PACKAGE]
    done = subprocess.run([*command, *paths], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    sys.path.insert(0, str(folder))
    yield PACKAGE
    sys.path.remove(str(folder))


@pytest.fixture
def call(written: str, empty: Store) -> Callable[..., Any]:
    """Call an operation of the client on an empty household; returns its answer, or its status and the problem."""
    import httpx

    client = importlib.import_module(written).Client(
        base_url="http://127.0.0.1",
        httpx_args={"transport": httpx.WSGITransport(app=lent.lend(empty))},
    )

    def called(group: str, name: str, *path: Any, **more: Any) -> Any:
        operation = importlib.import_module(f"{written}.api.{group}.{name}")
        answer = operation.sync_detailed(*path, client=client, **more)
        return answer.parsed if answer.status_code < 400 else (int(answer.status_code), answer.parsed)

    return called


def test_a_written_client_records_a_make_and_reads_its_report_and_its_rest(
    call: Callable[..., Any], written: str, store: Store
) -> None:
    models = importlib.import_module(f"{written}.models")
    revision = call("household", "get_household").revision
    settings = models.Settings.from_dict({"unit": "cm"})
    assert call("household", "put_household", body=settings, if_match=f'"{revision}"').record.unit == "cm"
    typed = {(kind, key): store.get(kind, key).doc for kind, key in NAMED}
    back = typed["makes", "grey_pullover"]["pieces"][0]
    readings = back["stages"][-1]["readings"].pop("chest")
    for (kind, key), record in typed.items():
        body = getattr(models, MODELS[kind]).from_dict(record)
        assert body.to_dict() == record
        put = call(kind, f"put_{kind}", key, body=body, if_match='"0"')
        assert getattr(put, "key", put) == key

    place = f"pieces/back/stages/{len(back['stages']) - 1}/readings/chest"
    for number, reading in enumerate(readings, 2):
        body = models.NewReading(place=place, reading=models.Reading.from_dict(reading))
        assert call("makes", "add_reading_makes", "grey_pullover", reading["id"], body=body).revision == number

    report = call("answers", "report", "grey_pullover")
    assert (report.head.make, report.head.piece) == ("grey_pullover", "back")
    chest = next(point for point in report.points if point.key == "chest")
    assert chest.readings == len(readings)
    assert call("answers", "verdict", "grey_pullover").digest == report.digest
    rest = call("the_rest", "rest", "grey_pullover")
    assert {piece.kind for piece in rest.pieces} >= {"front", "sleeve"}
    assert call("the_rest", "sheet", "grey_pullover", "sleeve").make == "grey_pullover"
    assert call("the_rest", "sheet_drawing", "grey_pullover", "sleeve").endswith("</svg>\n")


def test_what_is_refused_comes_as_a_problem_with_its_code(call: Callable[..., Any], written: str) -> None:
    models = importlib.import_module(f"{written}.models")
    status, problem = call("makes", "get_makes", "nobody")
    assert (status, problem.type_) == (404, "/api/v1/browse#not-found")
    wrong = models.Wearer.from_dict({"name": "Nora", "body": {"chest": ["92.4.1 cm"]}})
    status, problem = call("wearers", "put_wearers", "nora", body=wrong, if_match='"0"')
    assert (status, problem.type_, len(problem.faults)) == (422, "/api/v1/browse#invalid", 1)
