"""The ``oddcup`` command: its sub-commands, and how every failure becomes one line."""

import sys
from collections.abc import Sequence
from io import TextIOWrapper

import click
from click.exceptions import NoArgsIsHelpError

from server.cli.analyse.compare import compare
from server.cli.analyse.counts import counts
from server.cli.analyse.jar import jar
from server.cli.analyse.ranking import ranking
from server.cli.analyse.ratings import ratings
from server.cli.analyse.replicated import replicated
from server.cli.analyse.sequential import sequential
from server.cli.analyse.threshold import threshold
from server.cli.analyse.tick_all import tick_all
from server.cli.analyse.water import water
from server.cli.analyse.yes_no import yes_no
from server.cli.checking import tasting, verify
from server.cli.demo import demo
from server.cli.files import export_, import_
from server.cli.plan.methods import plan
from server.cli.serving import serve

INTERRUPTED = 130  # what a shell reports for a program that Ctrl-C ended


@click.group()
def oddcup() -> None:
    """Blind tastings at a coffee bench, from question to finding."""


@oddcup.group()
def analyse() -> None:
    """Say what counts, or a whole tasting, can and cannot support."""


for command in (demo, serve, plan, verify, export_, import_):
    oddcup.add_command(command)
for command in (
    counts,
    compare,
    jar,
    ranking,
    ratings,
    replicated,
    sequential,
    tasting,
    threshold,
    tick_all,
    water,
    yes_no,
):
    analyse.add_command(command)


def main() -> None:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; a failure is one line on stderr."""
    try:
        code = oddcup.main(list(arguments), prog_name="oddcup", standalone_mode=False)
    except NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return 0
    except click.ClickException as error:
        click.echo(f"oddcup: {' '.join(error.format_message().split())}", err=True)
        return error.exit_code
    except click.Abort:
        return INTERRUPTED
    return code if isinstance(code, int) else 0
