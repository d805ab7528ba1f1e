"""The service at home: its one address, its pairing, and the sessions that proved good."""

from __future__ import annotations

import hashlib
import re
from dataclasses import field

from fitcheck.records.frozen import frozen
from webui.pairing.codes import Code, Pairing

AT_HOME = "fitcheck.at_home"
"""Where the environment of a request has the `Home` whose socket accepted it; nothing that is sent can put it there."""
COOKIE = "device"
"""Carries the session of a paired device: 256 bits of chance."""
PAIR = "/pair"
"""Where a device is paired; its QR has the code behind a #, which no request carries."""
_SESSION = re.compile(rf"(?:^|;)\s*{COOKIE}=([A-Za-z0-9_-]{{43}})\s*(?:;|$)")


@frozen(eq=False)
class Home:
    """Where paired devices find the service.

    address, port  of the socket at home
    name           a name that stands for it in the house; empty without one
    known          SHA-256 of sessions that proved good: whose requests may be large; each is looked up all the same
    """

    address: str
    port: int
    name: str = ""
    pairing: Pairing = field(default_factory=Pairing)
    known: set[str] = field(default_factory=set)

    @property
    def hosts(self) -> tuple[str, ...]:
        """What a request may have in its Host line."""
        return tuple(host_line(host.lower(), self.port) for host in (self.address, self.name) if host)

    @property
    def url(self) -> str:
        """The address as one types it."""
        return f"http://{self.hosts[0]}/"

    @property
    def name_url(self) -> str:
        """The same by its name; empty without one."""
        return f"http://{host_line(self.name, self.port)}/" if self.name else ""

    def invitation(self, code: Code) -> str:
        """What the QR of a code holds."""
        return f"http://{self.hosts[0]}{PAIR}#{code}"


def host_line(address: str, port: int) -> str:
    """Return what a browser writes into its Host line for an address and a port."""
    host = f"[{address}]" if ":" in address else address
    return host if port == 80 else f"{host}:{port}"


def session_of(cookies: str) -> str | None:
    """Return the SHA-256 of the session in a Cookie line; None where there is none."""
    found = _SESSION.search(cookies)
    return None if found is None else digest_of(found[1])


def digest_of(session: str) -> str:
    """Return what is kept of a session."""
    return hashlib.sha256(session.encode()).hexdigest()
