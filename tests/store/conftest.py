"""Every test has its own database; the household in it is invented."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path

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


def as_nobody(act):
    """Run `act` in a child without the rights of root; return what it says, or the name of the error that it met."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        said = "none"
        try:
            os.close(read)
            if os.getuid() == 0:
                os.setgroups([])
                os.setgid(65534)
                os.setuid(65534)
            try:
                said = act() or said
            except BaseException as error:
                said = type(error).__name__
            os.write(write, said.encode())
        finally:
            os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    said = os.read(read, 1000).decode()
    os.close(read)
    return said


@pytest.fixture
def open_folder():
    """A folder that everybody may enter: the tests' own folders are closed to other users."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)
