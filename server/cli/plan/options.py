"""Options that every plan takes."""

from collections.abc import Callable
from typing import Any

import click

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


def alpha_option(text: str) -> Decorator:
    return click.option("--alpha", type=float, default=0.05, show_default=True, help=text)


power_option: Decorator = click.option(
    "--power", type=float, default=0.8, show_default=True, help="Wanted power."
)
json_option: Decorator = click.option(
    "--json", "as_json", is_flag=True, help="One JSON object, unrounded."
)
