"""``oddcup serve``: one process, one port, and what to type into a browser."""

import logging
import socket
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import click

from server.cli.addresses import ANY, find_addresses, open_socket
from server.cli.opening import data_dir_option, find_settings, open_bench
from server.settings import DEFAULT_PORT

if TYPE_CHECKING:
    from server.settings import Settings
    from server.tastings.bench import Bench

SECONDS_TO_FINISH = 5  # that requests in flight get when the server is stopped
Command = Callable[..., Any]


@dataclass(frozen=True)
class Doors:
    """Where the server listens, and the addresses people open."""

    listener: socket.socket
    addresses: list[str]
    base_url: str
    show_code: bool


def serving_options(command: Command) -> Command:
    """Add the options that every server start takes."""
    options = (
        click.option(
            "--host",
            default="127.0.0.1",
            show_default=True,
            help="Address to listen on; 0.0.0.0 lets phones on the local network in.",
        ),
        click.option(
            "--port",
            type=click.IntRange(0, 65535),
            default=DEFAULT_PORT,
            show_default=True,
            help="Port to listen on; 0 takes a free one.",
        ),
        data_dir_option,
        click.option(
            "--base-url", metavar="URL", help="Address that links and QR codes carry instead."
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


@click.command("serve")
@serving_options
@click.option("--new-link", is_flag=True, help="Print a one-time sign-in link for the leader.")
def serve(host: str, port: int, data_dir: str | None, base_url: str | None, new_link: bool) -> None:
    """Start the server."""
    from server.tastings.accounts import has_password, issue_link

    settings = find_settings(data_dir, base_url)
    doors = open_doors(host, port, settings.base_url)
    with doors.listener, open_bench(settings) as bench:
        link = issue_link(bench) if new_link or not has_password(bench) else None
        run_server(bench, settings, doors, greet(doors, link))


def open_doors(host: str, port: int, base_url: str | None) -> Doors:
    """Take the port and find the addresses it can be reached under."""
    listener = open_socket(host, port)
    addresses = find_addresses(host, listener.getsockname()[1])
    shared = base_url is not None or host in ANY
    return Doors(listener, addresses, base_url or addresses[0], show_code=shared)


def greet(doors: Doors, link: str | None, *first: str) -> list[str]:
    """Return the lines to print once the server answers."""
    own = [doors.base_url, *(one for one in doors.addresses if one != doors.base_url)]
    lines = [*first, "Open in a browser:", *(f"  {address}" for address in own)]
    if doors.show_code:
        lines += ["", draw_code(doors.base_url)]
    if link is not None:
        lines += ["Leader, sign in once with:", f"  {doors.base_url}/sign-in/{link}"]
    return [*lines, "Ctrl-C stops the server."]


def draw_code(address: str) -> str:
    """Return an address as a QR code of half blocks (ISO/IEC 18004)."""
    from io import StringIO

    import segno

    drawn = StringIO()
    segno.make(address, micro=False).terminal(out=drawn, compact=True)
    return drawn.getvalue()


def run_server(bench: "Bench", settings: "Settings", doors: Doors, greeting: list[str]) -> None:
    """Serve until stopped; print the greeting as soon as the server answers."""
    import uvicorn

    from server.app import create_app

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            click.echo("\n".join(greeting))

    if doors.show_code:
        settings = replace(settings, base_url=doors.base_url)
    log_requests()
    config = uvicorn.Config(
        create_app(settings, bench),
        access_log=False,  # it would print the tokens in addresses
        log_level="warning",
        server_header=False,
        lifespan="off",
        ws="none",
        timeout_graceful_shutdown=SECONDS_TO_FINISH,
    )
    with suppress(KeyboardInterrupt):  # not raised where whoever started it ignores Ctrl-C
        Server(config).run(sockets=[doors.listener])
    click.echo("Stopped.")


def log_requests() -> None:
    """Write one line a request to stderr: the route's pattern, never a token."""
    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logger = logging.getLogger("oddcup")
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    logger.propagate = False
