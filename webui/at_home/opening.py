"""The service is opened at home: at its last address and port where they can be had, else at what there is."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from contextlib import suppress
from datetime import date

from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen
from fitcheck.store import Store
from webui.at_home.addresses import HOME, Networks, home_address, usual_address
from webui.config import PORT
from webui.listening import CannotListen, listening
from webui.pairing.home import Home, host_line

_NAME = re.compile(r"(?!localhost$)[a-z]([a-z0-9-]*[a-z0-9])?(\.[a-z]([a-z0-9-]*[a-z0-9])?)*")


@frozen
class Opened:
    """A socket that listens at home, with its rules.

    before  where it was last time, as one types it, where that could not be had; else empty
    """

    sock: socket.socket
    home: Home
    before: str


def open_at_home(
    store: Store, address: str | None, port: int | None, name: str = "", networks: Networks = HOME
) -> Opened:
    """Listen at home, and keep where, so that phones find it there the next time.

    address, port  None: those of last time, else the usual ones
    name           a name that stands for the address in the house
    networks       which addresses count as of a home

    Raises CannotListen.
    """
    if name and not _NAME.fullmatch(name.lower()):
        raise FitcheckError(f"{name!r} is no name of a machine. One is such as knitting.local.")
    last = store.last_home()
    sock, host = _listening(_places(last, address, port, networks))
    home = Home(host, sock.getsockname()[1], name.lower(), known=set(store.sessions(date.today())))
    now = (host, home.port)
    if last != now and not store.only_read:
        store.keep_home(*now)
    return Opened(sock, home, "" if last is None or last == now else f"http://{host_line(*last)}/")


def _listening(places: Iterator[tuple[str, int]]) -> tuple[socket.socket, str]:
    """Listen at the first place that can be had. Raises CannotListen of the last one."""
    refused = None
    for host, port in places:
        try:
            return listening(host, port), host.partition("%")[0]
        except CannotListen as why:
            refused = why
    assert refused is not None
    raise refused


def _places(
    last: tuple[str, int] | None, address: str | None, port: int | None, networks: Networks
) -> Iterator[tuple[str, int]]:
    """Where to listen, the best place first."""
    ports = [port] if port is not None else [*([last[1]] if last is not None else [PORT]), 0]
    if address is not None:
        yield from ((str(home_address(address, networks)), number) for number in ports)
        return
    if last is not None:
        with suppress(CannotListen):
            yield str(home_address(last[0], networks)), ports[0]
    host = str(usual_address(networks))
    yield from ((host, number) for number in ports)
