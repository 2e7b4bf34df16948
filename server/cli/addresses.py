"""Under which addresses people on the local network reach this machine."""

import ipaddress
import socket

import click

VIRTUAL = ("docker", "br-", "veth", "virbr", "vmnet", "vbox", "tun", "tap", "wg", "zt", "utun")
ANY = ("0.0.0.0", "::")
WAITING = 256  # connections that may queue while the server gets ready


def open_socket(host: str, port: int) -> socket.socket:
    """Take the port before anything else happens; a busy one is one clear line."""
    listener = None
    try:
        family, kind, _, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        listener = socket.socket(family, kind)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(address)
        listener.listen(WAITING)  # from here on the port is this process's alone
    except OSError as error:
        if listener is not None:
            listener.close()
        message = f"cannot listen on {host}, port {port}: {error.strerror}"
        raise click.ClickException(f"{message}; --port takes another one") from None
    return listener


def find_addresses(host: str, port: int) -> list[str]:
    """Return the addresses to open in a browser, the likeliest first."""
    if host not in ANY:
        return [_write(host, port)]
    return [_write(one, port) for one in find_network_hosts()] or [_write("127.0.0.1", port)]


def find_network_hosts() -> list[str]:
    """Return this machine's IPv4 addresses on its networks; those of virtual ones last."""
    import psutil

    stats = psutil.net_if_stats()
    found: list[tuple[bool, str]] = []
    for name, addresses in psutil.net_if_addrs().items():
        if name in stats and not stats[name].isup:
            continue
        for one in addresses:
            if one.family != socket.AF_INET or ipaddress.ip_address(one.address).is_loopback:
                continue
            link_local = ipaddress.ip_address(one.address).is_link_local
            found.append((link_local or name.startswith(VIRTUAL), one.address))
    return [address for _, address in sorted(found, key=lambda one: one[0])]


def _write(host: str, port: int) -> str:
    shown = f"[{host}]" if ":" in host else host
    return f"http://{shown}" if port == 80 else f"http://{shown}:{port}"
