"""The addresses people can open, and the port taken for them."""

import socket
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import click
import psutil
import pytest

from server.cli.addresses import find_addresses, find_network_hosts, open_socket


def _speak(*addresses: str) -> list[Any]:
    return [SimpleNamespace(family=socket.AF_INET, address=one) for one in addresses]


@pytest.fixture
def network(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Pretend that the machine has these interfaces; those named in ``down`` are off."""

    def pretend(down: str = "", **interfaces: list[Any]) -> None:
        stats = {name: SimpleNamespace(isup=name != down) for name in interfaces}
        monkeypatch.setattr(psutil, "net_if_addrs", lambda: interfaces)
        monkeypatch.setattr(psutil, "net_if_stats", lambda: stats)

    return pretend


def test_every_address_on_a_network_is_found_virtual_ones_last(
    network: Callable[..., None],
) -> None:
    network(
        lo=_speak("127.0.0.1"),
        docker0=_speak("172.17.0.1"),
        wlan0=_speak("169.254.7.7", "192.168.1.20"),
        eth0=_speak("10.0.0.5"),
    )
    found = find_network_hosts()
    assert found == ["192.168.1.20", "10.0.0.5", "172.17.0.1", "169.254.7.7"]


def test_an_interface_that_is_off_is_left_out(network: Callable[..., None]) -> None:
    network(down="wlan0", wlan0=_speak("192.168.1.20"), eth0=_speak("10.0.0.5"))
    assert find_network_hosts() == ["10.0.0.5"]


def test_addresses_of_other_kinds_are_left_out(network: Callable[..., None]) -> None:
    other = SimpleNamespace(family=socket.AF_INET6, address="fe80::1%eth0")
    network(eth0=[other, *_speak("10.0.0.5")])
    assert find_network_hosts() == ["10.0.0.5"]


def test_a_server_for_everybody_is_reached_under_every_address(
    network: Callable[..., None],
) -> None:
    network(eth0=_speak("10.0.0.5"), wlan0=_speak("192.168.1.20"))
    found = find_addresses("0.0.0.0", 8520)
    assert found == ["http://10.0.0.5:8520", "http://192.168.1.20:8520"]


def test_without_a_network_this_machine_is_left(network: Callable[..., None]) -> None:
    network(lo=_speak("127.0.0.1"))
    assert find_addresses("0.0.0.0", 8520) == ["http://127.0.0.1:8520"]


@pytest.mark.parametrize(
    ("host", "port", "address"),
    [
        ("127.0.0.1", 8520, "http://127.0.0.1:8520"),
        ("bench.lan", 80, "http://bench.lan"),
        ("::1", 8520, "http://[::1]:8520"),
    ],
)
def test_a_server_on_one_address_is_reached_there(host: str, port: int, address: str) -> None:
    assert find_addresses(host, port) == [address]


@pytest.fixture
def busy_port() -> Iterator[int]:
    """A port that something else listens on."""
    with open_socket("127.0.0.1", 0) as other:
        yield other.getsockname()[1]


def test_a_busy_port_is_one_clear_line(busy_port: int) -> None:
    with pytest.raises(click.ClickException, match=f"cannot listen on .* port {busy_port}: "):
        open_socket("127.0.0.1", busy_port)


def test_a_host_that_is_not_there_is_one_clear_line() -> None:
    with pytest.raises(click.ClickException, match=r"cannot listen on 203\.0\.113\.7, port 8520"):
        open_socket("203.0.113.7", 8520)  # RFC 5737: an address nobody has
