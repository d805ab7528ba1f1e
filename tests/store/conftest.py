"""Every test has its own database; the household in it is invented."""

from __future__ import annotations

import json

import pytest

from fitcheck.store import Store
from tests.records.sample import sample


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "data" / "fitcheck.db") as opened:
        yield opened


@pytest.fixture
def full(store):
    """A store with the sample household in it."""
    store.import_bundle(json.dumps(sample()).encode())
    return store


def garment(name="a grey pullover", **more):
    return {"name": name, "occasions": [{"id": "first", "readings": {"chest": ["51.6 cm"]}}], **more}
