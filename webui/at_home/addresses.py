"""The private address at which devices at home find the service: which one counts, and which this machine has."""

from __future__ import annotations

import socket
from collections.abc import Sequence
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network

from webui.listening import CannotListen

Address = IPv4Address | IPv6Address
Networks = Sequence[IPv4Network | IPv6Network]

HOME: Networks = (
    ip_network("10.0.0.0/8"),  # RFC 1918
    ip_network("172.16.0.0/12"),
    ip_network("192.168.0.0/16"),
    ip_network("169.254.0.0/16"),  # RFC 3927, link-local
    ip_network("fc00::/7"),  # RFC 4193, unique local
    ip_network("fe80::/10"),  # RFC 4291, 2.5.6, link-local
)
"""Addresses that nobody outside the house can ask."""
_PROBES = (
    (socket.AF_INET, "192.0.2.1"),  # RFC 5737: no machine's, so that only the way there is looked up
    (socket.AF_INET, "10.255.255.255"),
    (socket.AF_INET, "192.168.255.255"),
    (socket.AF_INET6, "2001:db8::1"),  # RFC 3849
)


def home_address(said: str, networks: Networks = HOME) -> Address:
    """Read an address of a home network. Raises CannotListen for one that others can ask, and for none at all."""
    try:
        address = ip_address(said.strip("[]"))
    except ValueError:
        raise CannotListen(f"{said!r} is no address. Name this machine's own at home, such as 192.168.1.20.") from None
    if not _is_home(address, networks):
        raise CannotListen(
            f"{said} is no address of a home network. Fitcheck listens at home on one that begins with 192.168., 10., "
            "172.16. to 172.31., 169.254., fc, fd or fe80 only."
        )
    return address


def usual_address(networks: Networks = HOME) -> Address:
    """Return the private address that this machine would use to reach another. Raises CannotListen where it has none.

    A datagram socket is only told where it would send to; nothing is sent.
    """
    for family, there in _PROBES:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((there, 9))
                address = ip_address(probe.getsockname()[0])
        except OSError:
            continue
        if _is_home(address, networks):
            return address
    raise CannotListen(
        "This machine has no address of a home network just now. Join the wifi that the phone is in, or name the "
        "address: --address 192.168.1.20"
    )


def _is_home(address: Address, networks: Networks) -> bool:
    return any(address in network for network in networks if network.version == address.version)
