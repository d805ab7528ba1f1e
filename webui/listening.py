"""Sockets that listen, and why one cannot be had."""

from __future__ import annotations

import errno
import socket
import sys
from ipaddress import ip_address

from fitcheck.records.faults import FitcheckError
from webui.config import ADDRESS
from webui.pairing.home import host_line


class CannotListen(FitcheckError):  # noqa: N818 - it names what is the matter
    """The address or port cannot be had; the message says what to do."""


def listen(address: str, port: int) -> socket.socket:
    """Return a socket that listens on an address of this machine. Raises CannotListen."""
    try:
        asked = ip_address(ADDRESS if address.lower() == "localhost" else address.strip("[]"))
    except ValueError:
        raise CannotListen(f"{address!r} is no address. Use 127.0.0.1, or leave it out.") from None
    if not asked.is_loopback:
        raise CannotListen(
            f"{address} can be reached from other machines. Fitcheck listens on 127.0.0.1 or ::1 only; with --home "
            "it listens on an address of your wifi too, for devices that you pair."
        )
    return listening(str(asked), port)


def listening(address: str, port: int) -> socket.socket:
    """Return a socket that listens on an address, whichever it is. Raises CannotListen."""
    try:
        family, _, _, _, at = socket.getaddrinfo(
            address, port, type=socket.SOCK_STREAM, flags=socket.AI_NUMERICHOST | socket.AI_NUMERICSERV
        )[0]
        sock = socket.socket(family)
    except OSError as error:
        raise CannotListen(_why(error, address, port)) from error
    try:
        if sys.platform != "win32":
            # On Windows the option would let two servers share one port.
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind(at)
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
    return f"http://{host_line(host, port)}/"
