"""The name of a method as an argument or an option."""

from typing import Any

import click

from server.methods.base import Counted
from server.methods.registry import UnknownMethod, get_counted


class CountedName(click.ParamType[Counted]):
    """Name of a method whose answers are counted."""

    name = "method"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Counted:
        try:
            return get_counted(str(value))
        except UnknownMethod as error:
            self.fail(str(error), param, ctx)
