"""``oddcup demo``: a server of its own with the sample sessions loaded."""

from contextlib import suppress
from typing import TYPE_CHECKING

import click

from server.cli.opening import find_settings, open_bench, telling_refusals
from server.cli.serving import greet, open_doors, run_server, serving_options
from server.settings import find_data_dir

if TYPE_CHECKING:
    from server.tastings.bench import Bench


@click.command("demo", short_help="Start a server with invented sample tastings.")
@serving_options
def demo(host: str, port: int, data_dir: str | None, base_url: str | None) -> None:
    """Start a server with invented sample tastings, apart from your own data."""
    from server.tastings.accounts import issue_link

    folder = find_data_dir(data_dir) if data_dir else find_data_dir() / "demo"
    settings = find_settings(str(folder), base_url)
    doors = open_doors(host, port, settings.base_url)
    with doors.listener, open_bench(settings) as bench:
        link = issue_link(bench)
        run_server(bench, settings, doors, greet(doors, link, load_samples(bench)))


def load_samples(bench: "Bench") -> str:
    """Load every sample session that is not there yet; return what to say about it."""
    from server.cli.demo_bench import load_brews
    from server.pages.assets import SAMPLE_SESSIONS
    from server.tastings.importing import AlreadyHere, get_leader_id, import_tasting

    leader, files = get_leader_id(bench), sorted(SAMPLE_SESSIONS.glob("*.json"))
    for file in files:
        with telling_refusals(), suppress(AlreadyHere):
            import_tasting(bench, leader, file.read_bytes())
    brews = load_brews(bench, leader)
    return f"Sample tastings, all invented: {len(files)}. {brews}"
