"""The service under the network's rules, on 127.0.0.2: what counts as an address of a home is handed to it."""

from __future__ import annotations

import http.client
import json
import re
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from ipaddress import ip_network
from typing import Any

from fitcheck.store import Store
from tests.webui import lent
from webui.at_home.opening import open_at_home
from webui.config import Config
from webui.listening import listen
from webui.pairing.home import Home
from webui.server import Server

ADDRESS = "127.0.0.2"
NETWORKS = (ip_network("127.0.0.0/8"),)
HTML = {"Accept": "text/html,application/xhtml+xml"}


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    text: str

    @property
    def kind(self) -> str:
        """The kind of a problem."""
        return str(json.loads(self.text)["type"]).rpartition("#")[2]


@dataclass(frozen=True)
class Served:
    """A service that runs: its rules at home, and the port of this machine's own socket."""

    home: Home
    here: int

    def ask(self, method: str, path: str, body: str = "", source: str = ADDRESS, **headers: str) -> Answer:
        """Ask the socket at home; names of headers with _ for -. Origin is the right one where nothing is said."""
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        if method not in ("GET", "HEAD", "OPTIONS"):
            sent = {"Origin": self.home.url.rstrip("/"), **sent}
        connection = http.client.HTTPConnection(
            self.home.address, self.home.port, timeout=30, source_address=(source, 0)
        )
        with closing(connection):
            connection.request(method, path, body or None, {name: value for name, value in sent.items() if value})
            answer = connection.getresponse()
            return Answer(answer.status, dict(answer.getheaders()), answer.read().decode("utf-8", "replace"))

    def pair(self, right: Any = "measure", name: str = "phone") -> str:
        """Pair a device, and return its Cookie line."""
        answer = self.ask("POST", "/pair", f"code={self.home.pairing.invite(right)}&name={name}", **FORM)
        assert answer.status == 303, answer.text
        found = re.match(r"device=[\w-]{43}", answer.headers["Set-Cookie"])
        assert found, answer.headers
        return found[0]


FORM = {"Content_Type": "application/x-www-form-urlencoded"}


@contextmanager
def served(store: Store, name: str = "") -> Iterator[Served]:
    """A server in a thread of its own, on a loopback socket and on one at home."""
    opened, app = open_at_home(store, ADDRESS, 0, name, NETWORKS), lent.lend(store)
    with opened.sock, listen("127.0.0.1", 0) as sock:
        here = sock.getsockname()[1]
        lent.put_on(app, store, Config(here, home=opened.home))
        server = Server(app, sock, opened.sock)
        thread = threading.Thread(target=server.run)
        thread.start()
        try:
            yield Served(opened.home, here)
        finally:
            server.stop()
            thread.join(20)
