"""Sheets of our own to start from; whoever copies one makes it theirs.

Plain words of the trade, put together here for benches that have a kettle and scales. Where
a reference is to be made, its amounts are common practice without a source, and say so.
"""

from pathlib import Path
from typing import NamedTuple

from server.sheets.cards import import_sheet
from server.sheets.sheet import Sheet

FOLDER = Path(__file__).parent / "starters"

PURPOSES = {
    "brew-comparison": "Two or more ways to brew one coffee or tea: in what do they differ?",
    "taint-screen": "Does something that touched the drink leave a smell or a taste in it?",
    "roast-consistency": "Batches of one roast beside a target that was agreed on.",
    "morning-table": "Several coffees side by side, from the dry grounds to the cool bowl.",
    "difference-from-control": "One question: how far is each sample from an open control?",
    "ranking": "One question: all samples in order, by one thing that is named.",
}
"""What each is for, in the order in which they are offered."""


class Starter(NamedTuple):
    """A sheet to start from.

    Attributes
    ----------
    name : str
        In addresses.
    purpose : str
        What it is for, in a sentence.
    sheet : Sheet
    """

    name: str
    purpose: str
    sheet: Sheet


def get_starter(name: str) -> Starter:
    """Return the starter of that name.

    Parameters
    ----------
    name : str

    Raises
    ------
    ValueError
        If there is none.

    Examples
    --------
    >>> get_starter("taint-screen").sheet.title
    'Taint screen'
    """
    if name not in PURPOSES:
        raise ValueError(f"starter must be one of {', '.join(PURPOSES)}, not {name!r}")
    path = FOLDER / f"{name.replace('-', '_')}.json"
    return Starter(name, PURPOSES[name], import_sheet(path.read_bytes()))


def list_starters() -> tuple[Starter, ...]:
    """List all starters.

    Examples
    --------
    >>> [one.sheet.title for one in list_starters()][:3]
    ['Brew comparison', 'Taint screen', 'Roast consistency']
    """
    return tuple(map(get_starter, PURPOSES))
