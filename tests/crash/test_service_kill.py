"""A service that is killed while it is written to loses no acknowledged write and leaves none half done.

The service is the real one: its server, application and tending on a socket, in a process of its own. Clients in
another process send every kind of write until the connection breaks. Of four kills one comes while the service starts
and one while it copies itself into a backup. All figures are invented.
"""

from __future__ import annotations

import json
import logging
import os
import random
import select
import signal
import sqlite3
import threading
import time
from collections import Counter
from contextlib import closing, contextmanager

import pytest

from fitcheck.store import Store
from fitcheck.store.backup_files import BACKUPS
from fitcheck.store.backups import restore
from fitcheck.store.examining import examine
from tests.crash.all_writes import WRITES, begin_round, check_whole, prepared, write_until_it_breaks
from tests.records.sample import sample
from webui.app import create_app
from webui.config import Config
from webui.listening import listen
from webui.server import serve

KILLS = 200
CLIENTS = 3
STARTING, BACKING_UP, ANSWERING = "starting", "backing up", "answering"
WHEN = (ANSWERING, STARTING, ANSWERING, BACKING_UP)


def answer_until_killed(path, sock, when):
    """The service; as often as it can, it makes its file whole and copies itself where that is looked for."""
    logging.disable()
    with Store.open(path) as store:

        def copies():
            while True:
                store.tend(0)
                store.back_up()

        if when == BACKING_UP:
            threading.Thread(target=copies, daemon=True).start()
        serve(lambda port: create_app(store, config=Config(port=port)), sock, store.tend)


def in_a_process(work, *values):
    child = os.fork()
    if child:
        return child
    try:
        work(*values)
    finally:
        os._exit(0)


def clients(sock, number, said):
    port = sock.getsockname()[1]
    sock.close()  # or it would go on listening after the service is gone
    threads = [
        threading.Thread(target=write_until_it_breaks, args=(port, f"{number}-{client}", said))
        for client in range(CLIENTS)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def killed(child):
    os.kill(child, signal.SIGKILL)
    assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL


def killed_while_written_to(path, number, when, seconds):
    """Kill a service some time after clients began to write to it; return what they said, by (name, kind)."""
    sock = listen("127.0.0.1", 0)
    service = in_a_process(answer_until_killed, path, sock, when)
    read, write = os.pipe()
    writing = in_a_process(clients, sock, number, write)
    os.close(write)
    sock.close()
    heard = b""
    while when != STARTING and b"kept" not in heard and select.select([read], [], [], 10)[0]:
        heard += os.read(read, 1000)
    time.sleep(seconds)
    killed(service)
    assert os.waitstatus_to_exitcode(os.waitpid(writing, 0)[1]) == 0
    with os.fdopen(read, "rb") as pipe:
        lines = [line.split(" ", 2) for line in (heard + pipe.read()).decode().splitlines()]
    said = {what: {(name, kind) for head, name, kind in lines if head == what} for what in ("begun", "kept", "refused")}
    assert not said["refused"]
    return said


@contextmanager
def looked_at(path):
    assert examine(path) > 0
    with Store.open(path) as store, store.database.reading() as connection:
        yield connection


def whole_backups(path):
    """Look at the backups and take them away; return how many were whole, and how many were under way."""
    files = list((path.parent / BACKUPS).iterdir()) if (path.parent / BACKUPS).is_dir() else []
    backups = [file for file in files if file.suffix == ".db"]
    assert all(examine(backup) > 0 for backup in backups)
    under_way = len([file for file in files if file.suffix == ".part"])
    for file in files:
        file.unlink()
    return len(backups), under_way


if hasattr(os, "fork"):

    @pytest.mark.simulation
    def test_every_acknowledged_write_survives_a_killed_service_and_none_is_half_there(tmp_path, draws):
        path = tmp_path / "data" / "f.db"
        with Store.open(path) as store:
            store.import_bundle(json.dumps(sample()).encode())
            prepared(store)
            create_app(store)  # loads everything once, so that each service starts fast
        rng = random.Random(20250311)
        kept, unsaid, kills, backups = Counter(), 0, Counter(), Counter()
        every, since, begun_at = set(), 0, time.perf_counter()
        for number in range(draws.of(KILLS)):
            when = WHEN[number % len(WHEN)]
            with Store.open(path) as store:
                begin_round(store, number)
            said = killed_while_written_to(path, number, when, (0.03 if when == STARTING else 0.3) * rng.random())
            done, under_way = whole_backups(path)
            backups += Counter(whole=done, under_way=under_way)
            kills[when] += 1
            with looked_at(path) as connection:
                since = check_whole(connection, since)
                lost = [(name, kind) for name, kind in said["kept"] if not WRITES[kind].stands(connection, name)]
                assert not lost
                begun = said["begun"] - said["kept"]
                assert len(begun) <= CLIENTS
                unsaid += sum(WRITES[kind].stands(connection, name) for name, kind in begun)
            every |= said["kept"]
            kept.update(kind for _, kind in said["kept"])
        with looked_at(path) as connection:
            assert all(WRITES[kind].stands(connection, name) for name, kind in every)
        print(
            f"\n{dict(kills)} kills in {time.perf_counter() - begun_at:.0f} s; {sum(kept.values())} writes "
            f"acknowledged, none lost, none half there, {unsaid} whole whose answer was lost; of backups "
            f"{backups['whole']} were whole and {backups['under_way']} under way when it was killed\n{dict(kept)}"
        )
        assert set(kept) == set(WRITES)
        assert backups["under_way"] > 0

    @pytest.mark.simulation
    def test_a_restore_that_is_killed_leaves_what_was_there_or_what_was_brought_back(tmp_path, draws):
        path, found = tmp_path / "data" / "f.db", Counter()
        backups = {}
        with Store.open(path) as store:
            for revision, name in enumerate(("first", "then")):
                for number in range(300):
                    store.put("yarns", f"y{number}", {"name": name, "notes": "y" * 500}, revision)
                backups[name] = store.back_up()
        begun_at = time.perf_counter()
        os.waitpid(in_a_process(restore, path, backups["then"]), 0)
        seconds, stands = (time.perf_counter() - begun_at) / 2, "then"
        for _ in range(draws.of(KILLS // 4)):
            asked = "first" if stands == "then" else "then"
            child = in_a_process(restore, path, backups[asked])
            time.sleep(seconds)
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            with looked_at(path) as connection:
                check_whole(connection, 0)
                names = {name for (name,) in connection.execute("select name from records where kind = 'yarns'")}
            assert len(names) == 1
            (stands,) = names
            found["brought back" if stands == asked else "as it was"] += 1
            seconds *= 0.8 if stands == asked else 1.5  # so that it is killed about where it ends
        print(f"\nleft by restores that were killed: {dict(found)}")
        assert len(found) == 2


def test_what_is_half_there_is_found(tmp_path):
    """What looks at the store after a kill is no ornament: a row that is missing in any table is told."""
    path = tmp_path / "f.db"
    with Store.open(path) as store:
        store.import_bundle(json.dumps(sample()).encode())
    for spoil in (
        "delete from history where kind = 'makes'",
        "delete from links where kind = 'makes'",
        "update records set doc = json_set(doc, '$.notes', 'x') where kind = 'makes'",
        "insert into photographs values ('0', x'00', '')",
    ):
        with closing(sqlite3.connect(path)) as connection:
            connection.execute(spoil)
            with pytest.raises(AssertionError):
                check_whole(connection, 0)
