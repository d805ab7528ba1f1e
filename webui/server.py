"""The server: waitress around the application, on this machine and on one address at home, until it is told to stop."""

from __future__ import annotations

import gc
import logging
import select
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING, Any

from flask import Flask
from waitress import wasyncore
from waitress.server import create_server

from fitcheck.advice.to_come import standing
from fitcheck.records.faults import FitcheckError
from webui.channels import CONNECTIONS, HOME_HEADER, Channel, HomeChannel
from webui.config import LARGEST_BODY
from webui.pairing.home import AT_HOME, Home
from webui.request_log import log
from webui.service import service_of

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

THREADS = 3
"""Requests that are answered at once: under Python's one lock more of them only make the long ones take longer."""
HOME_THREADS = 2
IDLE_SECONDS = 20
"""How long a connection may say nothing [s]; a browser opens another when it wants one."""
AT_ONCE = 16
"""Connections that are accepted before the others are looked at again."""
_ROOM = 1_000_000
"""Passed on beyond the largest body, so that the application can refuse it with a message [bytes]."""


_POLL = hasattr(select, "poll")  # select itself knows no file beyond the first 1,024


class Server:
    """A server that listens from the start and answers while it runs.

    sock       a socket of this machine that listens already
    home_sock  one that listens at home, for which the application's `Config.home` holds; None without one
    """

    def __init__(self, app: Flask, sock: socket.socket, home_sock: socket.socket | None = None) -> None:
        self._map: dict[int, Any] = {}
        self._stopping = False
        self._home: Any = None
        self._server = self._created(app, sock, THREADS)
        self._server.channel_class = Channel
        if home_sock is not None:
            home = service_of(app).config.home
            assert home is not None, "a socket at home has its rules"
            # With threads of its own, so that nobody at home keeps this machine waiting.
            self._home = self._created(
                _at_home(app, home), home_sock, HOME_THREADS, max_request_header_size=HOME_HEADER
            )
            self._home.channel_class = type("ChannelAtHome", (HomeChannel,), {"home": home})

    def _created(self, app: WSGIApplication, sock: socket.socket, threads: int, **more: int) -> Any:
        server = create_server(
            app,
            map=self._map,
            sockets=[sock],
            threads=threads,
            ident=None,
            connection_limit=2 * CONNECTIONS,  # of both sockets; the channels see to it that it is never reached
            channel_timeout=IDLE_SECONDS,
            cleanup_interval=IDLE_SECONDS // 2,
            max_request_body_size=LARGEST_BODY + _ROOM,
            clear_untrusted_proxy_headers=True,
            **more,
        )
        # One at a time, a thousand that come at once would have all that are there looked at a thousand times.
        accept = server.handle_accept
        server.handle_accept = lambda: [accept() for _ in range(AT_ONCE)]
        return server

    @property
    def _servers(self) -> list[Any]:
        return [self._server] if self._home is None else [self._server, self._home]

    def run(self) -> None:
        """Answer until stopped; requests under way are answered still."""
        at_most, looked = IDLE_SECONDS // 2 if self._home is None else 1, 0.0
        try:
            while not self._stopping:
                wasyncore.loop(timeout=at_most, map=self._map, count=1, use_poll=_POLL)
                # Connections of strangers at home are looked at each second.
                if self._home is not None and time.monotonic() - looked >= 1:
                    looked = time.monotonic()
                    for channel in list(self._home.active_channels.values()):
                        channel.close_late()
        finally:
            for server in self._servers:
                server.task_dispatcher.shutdown()
            wasyncore.loop(timeout=0.1, map=self._map, count=2, use_poll=_POLL)  # what was answered last goes out
            for server in self._servers:
                server.close()
            wasyncore.close_all(self._map)

    def stop(self) -> None:
        """Stop, from another thread or a signal."""
        self._stopping = True
        self._server.pull_trigger()


def _at_home(app: Flask, home: Home) -> WSGIApplication:
    """The application as the socket at home asks it: by that alone a request is known to come from there."""

    def asked(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        environ[AT_HOME] = home
        return app(environ, start_response)

    return asked


def serve(
    make_app: Callable[[int], Flask],
    sock: socket.socket,
    tend: Callable[[], None],
    home_sock: socket.socket | None = None,
) -> None:
    """Answer on a socket, and on one at home, until SIGTERM, SIGINT or Ctrl-C.

    make_app  makes the application for a port
    tend      what is done every second beside the answers
    """
    _log_to_stderr()
    server = Server(make_app(sock.getsockname()[1]), sock, home_sock)
    # What is loaded by now lives as long as the service: no collection, which the command left off, need look there.
    gc.freeze()
    gc.enable()
    with _until_told(server.stop), tended(tend):
        server.run()


@contextmanager
def tended(tend: Callable[[], None], every_seconds: float = 1.0) -> Iterator[None]:
    """Do something again and again in a thread of its own; a fault is logged once, and it is tried again."""
    stopped = threading.Event()

    def tends() -> None:
        told = ""
        while not stopped.wait(every_seconds):
            try:
                tend()
                told = ""
            except FitcheckError as fault:
                if type(fault).__name__ != told:
                    told = type(fault).__name__
                    log.warning("- - tending failed: %s", told)

    thread = threading.Thread(target=tends, name="tending")
    thread.start()
    try:
        yield
    finally:
        stopped.set()
        thread.join()


@contextmanager
def _until_told(stop: Callable[[], None]) -> Iterator[None]:
    """Let the signals to end, Ctrl-C too, stop the server."""

    def told(number: int, frame: FrameType | None) -> None:
        stop()

    before: dict[int, Any] = {number: signal.signal(number, told) for number in (signal.SIGTERM, signal.SIGINT)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _log_to_stderr() -> None:
    when = "%Y-%m-%d %H:%M:%S"
    handler, of_server = logging.StreamHandler(), logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s", when))
    # The server's own messages name paths, and it warns of every request that waits for a moment.
    of_server.setFormatter(_WithoutWords("%(asctime)s %(message)s", when))
    of_server.setLevel(logging.ERROR)
    rest, served = (logging.getLogger(name) for name in (standing.LOG, "waitress"))
    for logger, its_handler in ((log, handler), (rest, handler), (served, of_server)):
        logger.handlers[:] = [its_handler]
        logger.propagate = False
    log.setLevel(logging.INFO)


class _WithoutWords(logging.Formatter):
    """What kind of error it was, and nothing that was asked or typed."""

    def format(self, record: logging.LogRecord) -> str:
        kind = record.exc_info[0].__name__ if record.exc_info and record.exc_info[0] else "error"
        return super().format(logging.makeLogRecord({"msg": f"server failed: {kind}", "created": record.created}))
