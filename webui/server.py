"""The server: waitress around the application, on this machine only, until it is told to stop."""

from __future__ import annotations

import errno
import gc
import logging
import select
import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from ipaddress import ip_address
from types import FrameType
from typing import Any

from flask import Flask
from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import create_server
from waitress.task import ErrorTask

from fitcheck.records.faults import FitcheckError
from webui.api.problems import BY_NAME, MEDIA, written
from webui.config import ADDRESS, LARGEST_BODY
from webui.guard import HEADERS
from webui.request_log import log

THREADS = 8
CONNECTIONS = 500
"""Connections at once, under the usual 1,024 open files of a process; for one more the oldest idle one is closed."""
IDLE_SECONDS = 20
"""How long a connection may say nothing [s]; a browser opens another when it wants one."""
_ROOM = 1_000_000
"""Passed on beyond the largest body, so that the application can refuse it with a message [bytes]."""


_POLL = hasattr(select, "poll")  # select itself knows no file beyond the first 1,024
_REFUSED = {413: "too-large", 431: "header-too-large", 500: "failed"}


class CannotListen(FitcheckError):  # noqa: N818 - it names what is the matter
    """The address or port cannot be had; the message says what to do."""


class _RefusedTask(ErrorTask):  # type: ignore[misc]
    """What the server itself refuses, as a problem like every other."""

    def execute(self) -> None:
        kind = BY_NAME[_REFUSED.get(self.request.error.code, "not-understood")]
        body = written(kind.name, "The server could not take this request as it was sent.")
        self.status = f"{kind.status} {kind.title}"
        self.response_headers += [("Content-Type", MEDIA), ("Cache-Control", "no-store"), *HEADERS.items()]
        self.set_close_on_finish()
        self.content_length = len(body)
        self.write(body)
        log.info("- - %d", kind.status)


class _Channel(HTTPChannel):  # type: ignore[misc]
    error_task_class = _RefusedTask

    def __init__(self, server: Any, *given: Any, **named: Any) -> None:
        super().__init__(server, *given, **named)
        channels = server.active_channels.values()
        if len(channels) > CONNECTIONS:
            idle = [channel for channel in channels if channel is not self and channel.idle]
            # Here, in the one thread that reads and writes: nobody else is at work on a connection that asks nothing.
            min(idle, key=lambda channel: channel.last_activity, default=self).handle_close()

    @property
    def idle(self) -> bool:
        """Whether it neither asked for something whole nor has an answer on its way."""
        return not self.requests and not self.total_outbufs_len


class Server:
    """A server that listens from the start and answers while it runs.

    sock  a socket that listens already
    """

    def __init__(self, app: Flask, sock: socket.socket) -> None:
        self._map: dict[int, Any] = {}
        self._stopping = False
        self._server = create_server(
            app,
            map=self._map,
            sockets=[sock],
            threads=THREADS,
            ident=None,
            connection_limit=2 * CONNECTIONS,
            channel_timeout=IDLE_SECONDS,
            cleanup_interval=IDLE_SECONDS // 2,
            max_request_body_size=LARGEST_BODY + _ROOM,
            clear_untrusted_proxy_headers=True,
        )
        self._server.channel_class = _Channel

    def run(self) -> None:
        """Answer until stopped; requests under way are answered still."""
        try:
            while not self._stopping:
                wasyncore.loop(timeout=IDLE_SECONDS // 2, map=self._map, count=1, use_poll=_POLL)
        finally:
            self._server.task_dispatcher.shutdown()
            wasyncore.loop(timeout=0.1, map=self._map, count=2)  # what was answered last goes out
            self._server.close()
            wasyncore.close_all(self._map)

    def stop(self) -> None:
        """Stop, from another thread or a signal."""
        self._stopping = True
        self._server.pull_trigger()


def listen(address: str, port: int) -> socket.socket:
    """Return a socket that listens on an address of this machine. Raises CannotListen."""
    try:
        asked = ip_address(ADDRESS if address.lower() == "localhost" else address.strip("[]"))
    except ValueError:
        raise CannotListen(f"{address!r} is no address. Use 127.0.0.1, or leave it out.") from None
    if not asked.is_loopback:
        raise CannotListen(f"{address} can be reached from other machines. Fitcheck listens on 127.0.0.1 or ::1 only.")
    sock = socket.socket(socket.AF_INET6 if asked.version == 6 else socket.AF_INET)
    try:
        if sys.platform != "win32":
            # On Windows the option would let two servers share one port.
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind((str(asked), port))
        sock.listen(128)
    except OSError as error:
        sock.close()
        raise CannotListen(_why(error, address, port)) from error
    return sock


def _why(error: OSError, address: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"Port {port} is taken, perhaps by Fitcheck itself. Stop that one, or choose another: --port {port + 1}"
    if error.errno == errno.EACCES:
        return f"Port {port} needs rights that this account does not have. Choose one above 1023: --port 8674"
    return f"Cannot listen on {address}, port {port}: {error.strerror or error}. Choose another: --port, --address"


def url_of(sock: socket.socket) -> str:
    """Return where a socket's service is, as one types it."""
    host, port = sock.getsockname()[:2]
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"


def serve(make_app: Callable[[int], Flask], sock: socket.socket, tend: Callable[[], None]) -> None:
    """Answer on a socket until SIGTERM, SIGINT or Ctrl-C.

    make_app  makes the application for a port
    tend      what is done every second beside the answers
    """
    _log_to_stderr()
    server = Server(make_app(sock.getsockname()[1]), sock)
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
    for logger, its_handler in ((log, handler), (logging.getLogger("waitress"), of_server)):
        logger.handlers[:] = [its_handler]
        logger.propagate = False
    log.setLevel(logging.INFO)


class _WithoutWords(logging.Formatter):
    """What kind of error it was, and nothing that was asked or typed."""

    def format(self, record: logging.LogRecord) -> str:
        kind = record.exc_info[0].__name__ if record.exc_info and record.exc_info[0] else "error"
        return super().format(logging.makeLogRecord({"msg": f"server failed: {kind}", "created": record.created}))
