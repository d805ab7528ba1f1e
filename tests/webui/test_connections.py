"""Connections that ask nothing stop nobody: for one too many the oldest idle one is closed."""

from __future__ import annotations

import resource
import socket
import threading
import time
from contextlib import ExitStack, contextmanager

import pytest

from tests.webui import lent
from tests.webui.test_server import get, running
from webui import server

HELLO = b"GET /api/v1/garments HTTP/1.1\r\nHost: localhost:%d\r\n"


@contextmanager
def served(store):
    """A server in a thread of its own, and its port."""
    with server.listen("127.0.0.1", 0) as sock:
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


def test_the_oldest_idle_connection_is_closed_for_a_new_one(store, monkeypatch):
    monkeypatch.setattr(server, "CONNECTIONS", 5)
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
