"""The service as a process: it starts, says where, answers, and stops cleanly; what is in its way is said plainly.

All figures are invented.
"""

from __future__ import annotations

import http.client
import io
import json
import logging
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing, contextmanager

import pytest
from flask import Flask

from fitcheck.cli import main
from fitcheck.cli.service import _add_listening
from fitcheck.store import Store
from fitcheck.store.faults import DiskFull
from webui.config import ADDRESS, LARGEST_BODY, PORT
from webui.listening import CannotListen, listen
from webui.server import Server, _WithoutWords, tended


@pytest.fixture
def run(capsysbinary, monkeypatch):
    """The command in this process, for what needs none of its own; an error that it does not catch fails the test."""

    def ran(*words, given=b""):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
        code = main([str(word) for word in words])
        out, err = capsysbinary.readouterr()
        return subprocess.CompletedProcess(words, code, out, err)

    return ran


@contextmanager
def running(*words):
    """A service in a process of its own, and the port that it says."""
    command = [sys.executable, "-m", "fitcheck.cli", *map(str, words), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        try:
            said = ""
            for line in process.stdout:
                said += line
                if line.startswith("Stop"):
                    break
            found = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
            assert found, said + process.stderr.read()
            yield process, int(found[1]), said
        finally:
            process.kill()


def get(port, path, **headers):
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=30)) as connection:
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse()
        return answer.status, answer.read(), dict(answer.getheaders())


@pytest.mark.full
def test_a_service_looks_for_garbage_though_its_command_does_not(tmp_path):
    here = "import gc, sys; from fitcheck.cli import main; from webui.server import Server\n"
    here += "Server.run = lambda server: print(gc.isenabled(), gc.get_freeze_count() > 0)\n"
    here += f"sys.argv = ['fitcheck', 'serve', '--port', '0', '--data', {str(tmp_path / 'a.db')!r}]\nmain()"
    done = subprocess.run([sys.executable, "-c", here], capture_output=True, check=True, text=True)
    assert done.stdout.splitlines()[-1] == "True True"


@pytest.mark.parametrize("number", [signal.SIGTERM, pytest.param(signal.SIGINT, marks=pytest.mark.full)])
def test_it_makes_its_database_says_where_answers_and_stops_cleanly(tmp_path, number):
    data = tmp_path / "new folder" / "mine.db"
    with running("serve", "--data", data) as (process, port, said):
        assert f"Data: {data}" in said
        status, raw, headers = get(port, "/api/v1/garments?text=secret")
        assert (status, json.loads(raw)) == (200, {"records": [], "after": None})
        assert "Server" not in headers
        assert get(port, "/api/v1/garments", Host="evil.example")[0] == 403
        process.send_signal(number)
        assert process.wait(20) == 0
        log = process.stderr.read().splitlines()
    assert [re.sub(r"^\S+ \S+ | \S+ ms$", "", line) for line in log] == [
        "GET /api/v1/garments 200",
        "GET /api/v1/garments 403",
    ]
    with Store.open(data) as store:
        assert store.get("household", "household").revision == 1
    assert not data.with_name("mine.db-wal").exists()


def test_what_is_tended_beside_the_answers_goes_on_after_a_fault_and_logs_it_once(tmp_path, caplog):
    turns, enough = [], threading.Event()

    def tends():
        turns.append(1)
        if len(turns) > 5:
            enough.set()
        raise DiskFull(tmp_path)

    caplog.set_level(logging.WARNING, "webui.requests")
    with tended(tends, every_seconds=0.001):
        assert enough.wait(20)
    assert [record.getMessage() for record in caplog.records] == ["- - tending failed: DiskFull"]


def test_serving_tends_the_database_that_is_served(run, tmp_path, monkeypatch):
    data = tmp_path / "f.db"

    def at_rest(make_app, sock, tend, home_sock):
        monkeypatch.setattr("fitcheck.store.store.STILL_SECONDS", 0)
        assert data.with_name("f.db-wal").stat().st_size > 0
        tend()
        assert data.with_name("f.db-wal").stat().st_size == 0

    monkeypatch.setattr("webui.server.serve", at_rest)
    monkeypatch.setattr(Store, "sweep_photographs", lambda store: store.put("yarns", "moss", {"name": "moss"}, 0))
    assert run("serve", "--data", data, "--port", 0).returncode == 0


def test_where_a_database_was_only_new_begins_anew(run, tmp_path, monkeypatch):
    data = tmp_path / "f.db"
    with Store.open(data) as store:
        backup = store.back_up()
    data.unlink()
    monkeypatch.setattr("webui.server.serve", lambda make_app, sock, tend, home_sock: None)
    refused = run("serve", "--data", data, "--port", 0)
    assert (refused.returncode, data.exists()) == (1, False)
    assert f"fitcheck restore --data {data} {backup}".encode() in refused.stderr
    assert run("serve", "--data", data, "--port", 0, "--new").returncode == 0
    assert data.exists()


def test_the_demo_prints_its_verdict_and_serves_it_and_leaves_nothing(tmp_path):
    with running("demo") as (process, port, said):
        assert "Carry on" in said or "again" in said
        data = re.search(r"Data: (\S+)", said)[1]
        assert os.path.exists(data)
        verdict = json.loads(get(port, "/api/v1/makes/grey_pullover/verdict")[1])
        assert " ".join(verdict["headline"].split())[:40] in " ".join(said.split())
        process.send_signal(signal.SIGTERM)
        assert process.wait(20) == 0
    assert not os.path.exists(os.path.dirname(data))


def test_the_demo_for_scripts_does_not_serve(run):
    done = run("demo", "--no-serve")
    assert done.returncode == 0
    assert b"http" not in done.stdout


def test_a_port_that_is_taken_is_said_plainly(run, tmp_path):
    with closing(listen("127.0.0.1", 0)) as taken:
        done = run("serve", "--data", tmp_path / "f.db", "--port", taken.getsockname()[1])
    assert done.returncode == 1
    assert b"is taken" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_database_that_is_held_is_said_plainly(run, tmp_path, monkeypatch):
    Store.open(tmp_path / "f.db").close()
    monkeypatch.setitem(Store.open.__func__.__kwdefaults__, "busy_seconds", 0.1)  # five seconds of waiting show no more
    with closing(sqlite3.connect(tmp_path / "f.db", isolation_level=None)) as other:
        other.execute("begin exclusive")
        done = run("serve", "--data", tmp_path / "f.db", "--port", 0)
    assert done.returncode == 1
    assert b"held by another program" in b" ".join(done.stderr.split())
    assert b"Traceback" not in done.stderr


def test_a_folder_that_cannot_be_made_is_said_plainly(run, tmp_path):
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    done = run("serve", "--data", tmp_path / "file" / "f.db", "--port", 0)
    assert done.returncode == 1
    assert b"cannot be written" in b" ".join(done.stderr.split())
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("address", ["0.0.0.0", "192.168.1.4", "::", "example.org", "::ffff:127.0.0.1"])
def test_an_address_that_others_reach_is_refused(address):
    with pytest.raises(CannotListen):
        listen(address, 0)


def test_a_port_that_is_none_is_a_wrong_command_line(run):
    for port in ("x", "65536", "-1"):
        assert run("serve", "--port", port).returncode == 2


def test_everything_goes_out_and_comes_in_by_command(run, tmp_path):
    first, second = tmp_path / "first.db", tmp_path / "second.db"
    bundle, table, backup = tmp_path / "all.json", tmp_path / "readings.csv", tmp_path / "backup.db"
    assert run("export", "--data", first).returncode == 1  # a slip in the name makes no new database
    assert not first.exists()
    with Store.open(first) as store:
        store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "o", "readings": {"chest": ["51 cm"]}}]}, 0)
    assert run("export", bundle, "--data", first).returncode == 0
    assert run("export", bundle, "--data", first).returncode == 1  # it is there, and stays
    assert run("import", bundle, "--data", second).returncode == 0
    assert run("export", "--data", second).stdout == bundle.read_bytes()
    assert run("readings-out", table, "--data", second).returncode == 0
    assert b"0 added, 1 here" in run("readings-in", table, "--data", second).stdout
    assert run("backup", backup, "--data", second).returncode == 0
    with Store.open(second) as store:
        store.delete("garments", "grey", 1)
    assert run("import", "-", "--data", second, given=b"{").returncode == 1
    assert run("restore", backup, "--data", second).returncode == 0
    assert run("export", "--data", second).stdout == bundle.read_bytes()


def test_a_file_that_is_wrong_is_refused_with_its_lines_and_nothing_is_taken(run, tmp_path):
    wrong = tmp_path / "wrong.json"
    wrong.write_text('{"fitcheck": 1, "unit": "cm",\n "yarns": [{"id": "a", "name": 5}]}', encoding="utf-8")
    done = run("import", wrong, "--data", tmp_path / "f.db")
    assert done.returncode == 1
    assert b"Line 2" in done.stderr
    assert run("import", tmp_path / "nothing.json", "--data", tmp_path / "f.db").returncode == 1


def test_what_the_server_itself_refuses_is_a_problem_too(app, store):
    with serving(app) as port:
        huge = f"POST /api/v1/bundle HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: {9 * LARGEST_BODY}\r\n\r\n"
        for sent, status in (
            (huge.encode(), 413),
            (b"nonsense\r\n\r\n", 400),
            (b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"y" * 300_000 + b"\r\n\r\n", 431),
        ):
            with closing(socket.create_connection(("127.0.0.1", port), timeout=20)) as connection:
                raw = b""
                try:
                    connection.sendall(sent)
                    while part := connection.recv(65536):
                        raw += part
                except OSError:
                    pass  # it stopped reading what it had refused
            head, _, body = raw.partition(b"\r\n\r\n")
            assert int(head.split()[1]) == status
            assert b"application/problem+json" in head
            assert json.loads(body)["status"] == status


@contextmanager
def serving(app):
    """The server in a thread of this process."""
    sock = listen("127.0.0.1", 0)
    server = Server(app, sock)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        yield sock.getsockname()[1]
    finally:
        server.stop()
        thread.join(20)
        assert not thread.is_alive()


def test_an_application_without_a_household_is_served_too():
    """What the benchmarks hold the service against."""
    bare = Flask("hello")
    bare.add_url_rule("/hello", "hello", lambda: "hello")
    with serving(bare) as port, closing(http.client.HTTPConnection("127.0.0.1", port, timeout=20)) as connection:
        connection.request("GET", "/hello")
        assert connection.getresponse().read() == b"hello"


def test_messages_of_the_server_itself_name_nothing_that_was_asked():
    try:
        raise KeyError("secret-name")
    except KeyError:
        values = {"levelno": 40, "msg": "failed at %s", "args": ("/secret",), "exc_info": sys.exc_info()}
        said = _WithoutWords("%(message)s").format(logging.makeLogRecord(values))
    assert said == "server failed: KeyError"


def test_help_and_settings_say_the_same():
    import argparse

    parser = argparse.ArgumentParser()
    _add_listening(parser)
    assert vars(parser.parse_args([])) == {"address": None, "port": None, "home": False}
    for usual in (ADDRESS, str(PORT)):
        assert f"{usual} otherwise" in parser.format_help()


def test_the_commands_load_nothing_before_they_run():
    text = "import sys, fitcheck.cli.service\nprint(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True)
    assert not set(done.stdout.split()) & {"flask", "waitress", "sqlite3", "pydantic", "numpy", "webui.app"}
