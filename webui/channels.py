"""Connections: which are closed so that nobody has to wait for a place, and how much a device may send before it is
paired."""

from __future__ import annotations

import time
from copy import copy
from functools import partial
from typing import Any

from waitress.channel import HTTPChannel
from waitress.task import ErrorTask

from webui.api.problems import BY_NAME, MEDIA, written
from webui.config import UNPAIRED_BODY
from webui.guard import HEADERS
from webui.pairing.home import Home, session_of
from webui.parser import Parser
from webui.request_log import log

CONNECTIONS = 500
"""Connections at once on this machine's own socket; with those at home under the usual 1,024 open files."""
HOME_CONNECTIONS = 200
"""Connections at once on the socket at home."""
OF_ONE_ADDRESS = 20
"""Of these, connections of one address."""
UNPAIRED = 8
"""Of these, connections of one address that showed no session."""
UNPAIRED_SECONDS = 10
"""How long a connection may be there without a session [s]."""
HOME_HEADER = 16_000
"""Largest header of a request at home [bytes]."""
_REFUSED = {413: "too-large", 431: "header-too-large", 500: "failed"}


class RefusedTask(ErrorTask):  # type: ignore[misc]
    """What the server itself refuses, as a problem like every other."""

    def execute(self) -> None:
        """Answer with the problem."""
        kind = BY_NAME[_REFUSED.get(self.request.error.code, "not-understood")]
        body = written(kind.name, "The server could not take this request as it was sent.")
        self.status = f"{kind.status} {kind.title}"
        self.response_headers += [("Content-Type", MEDIA), ("Cache-Control", "no-store"), *HEADERS.items()]
        self.set_close_on_finish()
        self.content_length = len(body)
        self.write(body)
        log.info("- - %d", kind.status)


class Channel(HTTPChannel):  # type: ignore[misc]
    """A connection of this machine: for one too many the oldest idle one is closed."""

    error_task_class = RefusedTask
    parser_class: Any = Parser

    def __init__(self, server: Any, *given: Any, **named: Any) -> None:
        super().__init__(server, *given, **named)
        # Here, in the one thread that reads and writes: nobody else is at work on a connection that asks nothing.
        self.enter(list(self.server.active_channels.values()))

    def enter(self, channels: list[Any]) -> None:
        """Take a place among the connections of its socket."""
        self.make_room(CONNECTIONS, channels)

    def make_room(self, most: int, channels: list[Any]) -> None:
        """Where there are too many connections, close the one that was idle for the longest time, else this one."""
        if len(channels) > most:
            idle = [channel for channel in channels if channel is not self and channel.idle]
            min(idle, key=lambda channel: channel.last_activity, default=self).handle_close()

    @property
    def idle(self) -> bool:
        """Whether it neither asked for something whole nor has an answer on its way."""
        return not self.requests and not self.total_outbufs_len


class HomeChannel(Channel):
    """A connection at home: few of one address, fewer and shorter ones before it showed a session."""

    home: Home
    """Set on a class of its own for each socket."""

    def __init__(self, server: Any, *given: Any, **named: Any) -> None:
        self.paired = False
        self.parser_class = partial(_HomeParser, self)
        super().__init__(server, *given, **named)

    def enter(self, channels: list[Any]) -> None:
        """Take a place; those that showed no session go first."""
        of_address = [channel for channel in channels if channel.addr[0] == self.addr[0]]
        unpaired = [channel for channel in of_address if not channel.paired]
        strangers = [channel for channel in channels if not channel.paired]
        if len(unpaired) > UNPAIRED:
            self.make_room(UNPAIRED, unpaired)
        elif len(of_address) > OF_ONE_ADDRESS:
            self.make_room(OF_ONE_ADDRESS, of_address)
        elif len(channels) > HOME_CONNECTIONS:
            self.make_room(0, strangers)

    def close_late(self) -> None:
        """Close it where it was there for too long without a session, and nothing is being answered on it."""
        if not self.paired and not self.requests and time.time() - self.creation_time > UNPAIRED_SECONDS:
            self.handle_close()


class _HomeParser(Parser):
    """Reads a request at home: large bodies only with a session that proved good before."""

    def __init__(self, channel: HomeChannel, adjustments: Any) -> None:
        super().__init__(adjustments)
        self.adj: Any = adjustments
        self._channel = channel

    def parse_header(self, header_plus: bytes) -> None:
        """Read the header, and tell by it how large the body may be."""
        super().parse_header(header_plus)
        self._channel.paired = session_of(self.headers.get("COOKIE", "")) in self._channel.home.known
        if not self._channel.paired:
            self.adj = copy(self.adj)
            self.adj.max_request_body_size = UNPAIRED_BODY
