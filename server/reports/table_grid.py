"""What a table of a scored table's finding is."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Grid:
    """A table with a title; each row is as long as the head, every cell ready to print."""

    name: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
