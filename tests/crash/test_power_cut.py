"""After a power cut everything acknowledged is there and nothing is half there, whatever of the rest the disk had."""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
from pathlib import Path

import pytest

from fitcheck.store import Store
from fitcheck.store.examining import examine
from tests.crash.all_writes import check_whole
from tests.crash.power_cut import Disk, noted

CUTS = 1000
needs_a_compiler = pytest.mark.skipif(
    sys.platform != "linux" or shutil.which("cc") is None, reason="what is noted needs Linux and a compiler, cc"
)


def test_a_connection_waits_for_the_disk_at_every_commit(tmp_path):
    """With less, SQLite loses what was committed last (https://sqlite.org/pragma.html#pragma_synchronous)."""
    with Store.open(tmp_path / "f.db") as store, store.database.reading() as connection:
        asked = [connection.execute(f"pragma {name}").fetchone()[0] for name in ("journal_mode", "synchronous")]
    assert asked == ["wal", 2]  # 2: FULL


def left_after(disk: Disk, folder: Path, rng: random.Random | None) -> None:
    """Cut the power, open what is left and look for everything that was acknowledged."""
    with tempfile.TemporaryDirectory() as name:
        to = Path(name)
        disk.cut(folder, to, rng)
        assert examine(to / "f.db") > 0
        with Store.open(to / "f.db") as store, store.database.reading() as connection:
            check_whole(connection, 0)
            for what, *values in disk.acknowledged:
                if what.startswith("select"):
                    assert connection.execute(what, values).fetchone(), ("lost", what, values)
                else:
                    assert examine(to / what) > 0, ("lost", what)


@needs_a_compiler
@pytest.mark.simulation
def test_after_a_power_cut_all_that_was_acknowledged_is_there(tmp_path, draws):
    folder, rng = tmp_path / "data", random.Random(20260501)
    notes = noted(folder, 8)
    disk, acknowledged, cuts = Disk(), 0, 0
    moments = set(rng.sample(range(len(notes)), min(draws.of(CUTS), len(notes))))
    for number, note in enumerate(notes):
        disk.play(note)
        if number in moments and disk.acknowledged:
            left_after(disk, folder, None if number % 3 == 0 else rng)
            cuts, acknowledged = cuts + 1, acknowledged + len(disk.acknowledged)
    print(f"\n{cuts} power cuts among {len(notes)} writes and flushes; {acknowledged} times looked, none lost")
    assert cuts > 10
