"""Any figure drawn, told and tabulated, whichever it is."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from server.reports.table_figures import (
    assessors,
    assessors_drawing,
    flags,
    flags_drawing,
    interaction,
    interaction_drawing,
    map_drawing,
    maps,
    profile,
    profile_drawing,
    right,
    right_drawing,
)
from server.reports.table_figures.assessors import Assessors
from server.reports.table_figures.flags import Flags
from server.reports.table_figures.interaction import Interaction
from server.reports.table_figures.maps import Map
from server.reports.table_figures.profile import Profile
from server.reports.table_figures.right import RightBars
from server.reports.table_figures.shown import Numbers
from server.reports.table_figures.themes import ThemeName

Figure = Profile | Interaction | Assessors | Flags | RightBars | Map


class Tools(NamedTuple):
    """What can be done with one kind of figure.

    Attributes
    ----------
    draw, describe, tabulate : callable
    """

    draw: Callable[[Any, ThemeName], bytes]
    describe: Callable[[Any], str]
    tabulate: Callable[[Any], Numbers]


TOOLS: Mapping[type, Tools] = {
    Profile: Tools(profile_drawing.draw, profile.describe, profile.tabulate),
    Interaction: Tools(interaction_drawing.draw, interaction.describe, interaction.tabulate),
    Assessors: Tools(assessors_drawing.draw, assessors.describe, assessors.tabulate),
    Flags: Tools(flags_drawing.draw, flags.describe, flags.tabulate),
    RightBars: Tools(right_drawing.draw, right.describe, right.tabulate),
    Map: Tools(map_drawing.draw, maps.describe, maps.tabulate),
}


def draw_figure(data: Figure, theme: ThemeName) -> bytes:
    """Draw a figure as SVG."""
    return TOOLS[type(data)].draw(data, theme)


def describe_figure(data: Figure) -> str:
    """Say what a figure shows, for those who cannot see it.

    Examples
    --------
    >>> describe_figure(Map(reason="No map."))
    'No map.'
    """
    return TOOLS[type(data)].describe(data)


def tabulate_figure(data: Figure) -> Numbers:
    """Return the numbers of a figure.

    Examples
    --------
    >>> tabulate_figure(Map(reason="No map.")).rows
    ()
    """
    return TOOLS[type(data)].tabulate(data)
