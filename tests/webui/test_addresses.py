"""Where the service is had at home: private addresses alone, those of last time first."""

from __future__ import annotations

import socket
from contextlib import closing
from ipaddress import ip_address, ip_network

import pytest

from fitcheck.records.faults import FitcheckError
from tests.webui.home_served import NETWORKS
from webui.at_home import addresses
from webui.at_home.opening import open_at_home
from webui.listening import CannotListen, listening
from webui.pairing.home import host_line


@pytest.mark.parametrize(
    "address",
    ["10.0.0.7", "172.16.3.4", "172.31.255.1", "192.168.178.20", "169.254.9.9", "fd12:3456::1", "fe80::1", "[fd00::2]"],
)
def test_an_address_of_a_home_network_is_one(address):
    assert addresses.home_address(address) == ip_address(address.strip("[]"))


@pytest.mark.parametrize(
    "address",
    [
        *("0.0.0.0", "::", "127.0.0.1", "::1", "8.8.8.8", "172.32.0.1", "100.64.0.1", "192.0.2.1", "224.0.0.1"),
        *(
            "2001:db8::1",
            "::ffff:192.168.1.4",
            "255.255.255.255",
            "localhost",
            "home.example",
            "",
            "192.168.1",
            "0x0a000001",
        ),
    ],
)
def test_any_other_address_is_refused_before_anything_listens(address):
    with pytest.raises(CannotListen):
        addresses.home_address(address)


def test_the_usual_address_is_the_first_private_one_that_this_machine_would_use(monkeypatch):
    ways = {"192.0.2.1": "203.0.113.9", "10.255.255.255": "10.1.2.3", "192.168.255.255": "192.168.1.4"}

    class Probe(socket.socket):
        def connect(self, to):
            self.to = to[0]
            if self.to not in ways:
                raise OSError(101, "Network is unreachable")

        def getsockname(self):
            return ways[self.to], 9

    monkeypatch.setattr(addresses.socket, "socket", Probe)
    assert str(addresses.usual_address()) == "10.1.2.3"
    ways.clear()
    with pytest.raises(CannotListen, match="--address"):
        addresses.usual_address()


def test_the_address_and_port_of_last_time_are_taken_where_they_are_free(store):
    first = open_at_home(store, "127.0.0.2", 0, networks=NETWORKS)
    first.sock.close()
    again = open_at_home(store, None, None, networks=NETWORKS)
    again.sock.close()
    assert (first.before, again.before) == ("", "")
    assert (again.home.address, again.home.port) == (first.home.address, first.home.port)


def test_a_port_that_is_taken_meanwhile_is_another_one_and_that_is_said(store):
    first = open_at_home(store, "127.0.0.2", 0, networks=NETWORKS)
    with closing(first.sock):
        other = open_at_home(store, "127.0.0.2", None, networks=NETWORKS)
    other.sock.close()
    assert other.before == first.home.url
    assert store.last_home() == ("127.0.0.2", other.home.port)
    with closing(listening("127.0.0.2", 0)) as taken, pytest.raises(CannotListen, match="is taken"):
        open_at_home(store, "127.0.0.2", taken.getsockname()[1], networks=NETWORKS)


def test_an_address_that_this_machine_no_longer_has_is_another_one_and_that_is_said(store, monkeypatch):
    store.keep_home("192.168.254.77", 8674)
    monkeypatch.setattr("webui.at_home.opening.usual_address", lambda networks: ip_address("127.0.0.2"))
    networks = (*NETWORKS, ip_network("192.168.0.0/16"))
    opened = open_at_home(store, None, 0, networks=networks)
    opened.sock.close()
    assert (opened.before, opened.home.address) == ("http://192.168.254.77:8674/", "127.0.0.2")


@pytest.mark.parametrize("name", ["localhost", "192.168.1.4", "a b", "x:80", "http://x", "-x", "x..y", "evil/x"])
def test_a_name_that_no_machine_has_is_refused(store, name):
    with pytest.raises(FitcheckError, match=r"knitting\.local"):
        open_at_home(store, "127.0.0.2", 0, name, NETWORKS)


def test_a_host_line_is_written_as_browsers_write_it():
    assert host_line("192.168.1.4", 8674) == "192.168.1.4:8674"
    assert host_line("192.168.1.4", 80) == "192.168.1.4"
    assert host_line("fd00::2", 8674) == "[fd00::2]:8674"
