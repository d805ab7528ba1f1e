"""Connections that ask nothing stop nobody: for one too many the oldest idle one is closed."""

from __future__ import annotations

import resource
import select
import socket
import threading
import time
from contextlib import ExitStack, closing, contextmanager
from http.client import HTTPConnection

import pytest

from tests.webui import home_served, lent
from tests.webui.test_server import get, running
from webui import channels, server
from webui.listening import listen

HELLO = b"GET /api/v1/garments HTTP/1.1\r\nHost: localhost:%d\r\n"


@contextmanager
def served(store):
    """A server in a thread of its own, and its port."""
    with listen("127.0.0.1", 0) as sock:
        port = sock.getsockname()[1]
        here = server.Server(lent.lend(store, port), sock)
        thread = threading.Thread(target=here.run)
        thread.start()
        try:
            yield port
        finally:
            here.stop()
            thread.join(20)


def opened(stack, port, count):
    """Connections that say nothing."""
    return [stack.enter_context(socket.create_connection(("127.0.0.1", port), 10)) for _ in range(count)]


def closed(connection):
    """Whether the other side closed a connection."""
    connection.settimeout(5)
    return connection.recv(1) == b""


def readable(connection):
    """Whether something came, its end too."""
    return bool(select.select([connection], [], [], 0)[0])


def test_the_oldest_idle_connection_is_closed_for_a_new_one(store, monkeypatch):
    monkeypatch.setattr(channels, "CONNECTIONS", 5)
    with served(store) as port, ExitStack() as stack:
        first, *others = opened(stack, port, 5)
        time.sleep(0.1)
        first.sendall(HELLO % port)  # begun, so that it is not the one that was silent for the longest time
        time.sleep(0.1)
        assert get(port, "/api/v1/garments", Host=f"localhost:{port}")[0] == 200
        assert closed(others[0])
        first.sendall(b"\r\n")
        first.settimeout(5)
        assert first.recv(15) == b"HTTP/1.1 200 OK"


@pytest.mark.full
def test_a_thousand_idle_connections_keep_nobody_waiting_for_a_second(tmp_path):
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard < 2000:
        pytest.skip("this account may not open 1,000 connections")
    with running("serve", "--data", tmp_path / "f.db") as (_, port, _), ExitStack() as stack:
        stack.callback(resource.setrlimit, resource.RLIMIT_NOFILE, (soft, hard))
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, 2000), hard))
        opened(stack, port, 1000)
        began = time.perf_counter()
        assert get(port, "/api/v1/garments")[0] == 200
        took = time.perf_counter() - began
        print(f"1,000 idle connections: an innocent request took {1000 * took:.0f} ms")
        assert took < 1.0


def test_of_one_address_eight_connections_without_a_session_are_there_and_no_more(store):
    with home_served.served(store) as home, ExitStack() as stack:
        at = (home.home.address, home.home.port)
        first, *others = [
            stack.enter_context(socket.create_connection(at, 10, source_address=("127.0.0.9", 0))) for _ in range(9)
        ]
        assert closed(first)
        assert not any(readable(connection) for connection in others)
        assert home.ask("GET", "/api/v1/garments").status == 401  # another address has room of its own


def test_of_one_address_twenty_connections_are_there_and_an_idle_one_goes_for_the_next(store):
    with home_served.served(store) as home, ExitStack() as stack:
        cookie = home.pair("everything")
        connections = []
        for _ in range(21):
            connection = stack.enter_context(closing(HTTPConnection(home.home.address, home.home.port, timeout=10)))
            connection.request("GET", "/api/v1/yarns", headers={"Cookie": cookie})
            assert b"rust" in connection.getresponse().read()
            connections.append(connection.sock)
        (gone,) = select.select(connections, [], [], 10)[0]
        assert closed(gone)
        assert gone is not connections[-1]


def test_a_connection_without_a_session_goes_after_its_seconds_and_one_with_it_stays(store, monkeypatch):
    monkeypatch.setattr(channels, "UNPAIRED_SECONDS", 0.3)
    with home_served.served(store) as home, ExitStack() as stack:
        cookie = home.pair("measure")
        stranger, paired = (
            stack.enter_context(socket.create_connection((home.home.address, home.home.port), 10)) for _ in range(2)
        )
        paired.sendall(f"GET /api/v1/makes HTTP/1.1\r\nHost: {home.home.hosts[0]}\r\nCookie: {cookie}\r\n\r\n".encode())
        stranger.sendall(b"GET /makes HTTP/1.1\r\n")  # begun, and never ended
        assert closed(stranger)
        assert paired.recv(15) == b"HTTP/1.1 200 OK"


@pytest.mark.full
def test_a_thousand_idle_connections_at_home_keep_nobody_waiting_for_a_second(store):
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard < 2500:
        pytest.skip("this account may not open 1,000 connections in the process that serves them")
    with home_served.served(store) as home, ExitStack() as stack:
        stack.callback(resource.setrlimit, resource.RLIMIT_NOFILE, (soft, hard))
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, 2500), hard))
        cookie = home.pair("measure")
        for number in range(1000):
            # Of one address, and of as many as there may be.
            source = ("127.0.0.2" if number % 2 else f"127.0.1.{number // 8}", 0)
            stack.enter_context(
                socket.create_connection((home.home.address, home.home.port), 10, source_address=source)
            )
        opened(stack, home.here, 600)  # the sockets do not keep each other from accepting
        began = time.perf_counter()
        assert home.ask("GET", "/api/v1/makes", Cookie=cookie).status == 200
        took = time.perf_counter() - began
        assert get(home.here, "/api/v1/garments")[0] == 200
        print(f"1,000 idle connections at home: an innocent request took {1000 * took:.0f} ms")
        assert took < 1.0
