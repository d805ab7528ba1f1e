"""The commands of the phone at the table: what they print, and that one removes a device. All names are invented."""

from __future__ import annotations

import sys
from datetime import date

import pytest

from fitcheck.cli import main
from fitcheck.store import Store
from fitcheck.words import home as say
from tests.webui.home_served import NETWORKS
from webui.at_home.opening import open_at_home


@pytest.fixture
def run(capsys):
    def ran(*words):
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, " ".join(out.split()), " ".join(err.split())

    return ran


@pytest.fixture
def at_home(monkeypatch):
    """`serve --home` listens on 127.0.0.2 and answers nobody; returns what it was handed."""
    handed = []

    def opened(store, arguments):
        return open_at_home(store, "127.0.0.2", 0, arguments.name or "", NETWORKS)

    def served(make_app, sock, tend, home_sock):
        handed.append((make_app(sock.getsockname()[1]).extensions["fitcheck"].config, sock, home_sock.getsockname()))

    monkeypatch.setattr("fitcheck.cli.home.opened_at_home", opened)
    monkeypatch.setattr("webui.server.serve", served)
    return handed


def test_serving_at_home_says_where_how_to_pair_and_what_plain_http_means(run, at_home, tmp_path):
    code, out, _ = run("serve", "--home", "--port", 0, "--data", tmp_path / "f.db", "--name", "knitting.home.arpa")
    ((config, _, home_sock),) = at_home
    assert code == 0
    assert home_sock == (config.home.address, config.home.port)
    assert f"http://127.0.0.2:{config.home.port}/" in out
    assert f"http://knitting.home.arpa:{config.home.port}/" in out
    assert str(config.home.pairing.code) in out
    assert say.PLAIN in out
    assert say.code_lasts("measure", 10) in out
    assert "▄" not in out  # no square into a file
    with Store.open(tmp_path / "f.db") as store:
        assert store.last_home() == home_sock


def test_a_terminal_gets_the_square_too(run, at_home, tmp_path, monkeypatch):
    monkeypatch.setattr(type(sys.stdout), "isatty", lambda _: True)
    _, out, _ = run("serve", "--home", "--port", 0, "--data", tmp_path / "f.db")
    assert "▄▄▄▄▄" in out


def test_where_it_was_last_time_is_said_where_that_cannot_be_had(run, at_home, tmp_path):
    with Store.open(tmp_path / "f.db") as store:
        store.keep_home("192.168.254.77", 8674)
    _, out, _ = run("serve", "--home", "--port", 0, "--data", tmp_path / "f.db")
    assert "Last time it was at http://192.168.254.77:8674/, which is not to be had now." in out


def test_without_home_no_other_device_is_told_of(run, monkeypatch, tmp_path):
    handed = []
    monkeypatch.setattr("webui.server.serve", lambda make_app, sock, tend, home_sock: handed.append(home_sock))
    _, out, _ = run("serve", "--port", 0, "--data", tmp_path / "f.db")
    assert handed == [None]
    assert "At home" not in out


@pytest.mark.parametrize("address", ["0.0.0.0", "8.8.8.8", "127.0.0.1", "::", "home.example"])
def test_an_address_that_is_none_of_a_home_is_refused(run, tmp_path, address):
    code, out, err = run("serve", "--home", "--address", address, "--port", 0, "--data", tmp_path / "f.db")
    assert (code, "home" in err, "http" in out) == (1, True, False)


def test_devices_are_listed_and_one_is_removed_by_its_name(run, tmp_path):
    with Store.open(tmp_path / "f.db") as store:
        store.add_device("a" * 64, "Juna's phone", "measure", date.today())
        store.add_device("b" * 64, "tablet", "everything", date.today())
    data = ("--data", tmp_path / "f.db")
    code, out, _ = run("devices", *data)
    assert code == 0
    assert "Juna's phone, may measure, paired" in out
    assert "tablet, may do everything, paired" in out
    assert run("devices", "--remove", "tablet", *data)[:2] == (0, say.removed("tablet"))
    code, _, err = run("devices", "--remove", "tablet", *data)
    assert (code, err) == (1, say.no_such_device("tablet"))
    assert run("devices", "--remove", "Juna's phone", *data)[0] == 0
    assert run("devices", *data)[1] == say.NO_DEVICES


def test_there_are_no_devices_of_a_database_that_is_not_there(run, tmp_path):
    for words in (("devices",), ("devices", "--remove", "tablet")):
        assert run(*words, "--data", tmp_path / "f.db")[0] == 1
    assert not (tmp_path / "f.db").exists()
