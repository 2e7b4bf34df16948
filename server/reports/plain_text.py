"""Blocks of a finding as plain text for a terminal."""

import textwrap
from collections.abc import Sequence

WIDTH = 88


def lay_out(blocks: Sequence[str]) -> str:
    """Join blocks by empty lines, without what no terminal should get, a line end last."""
    wrapped = [block if "\n" in block else textwrap.fill(block, WIDTH) for block in blocks if block]
    text = "\n\n".join(wrapped) + "\n"
    return "".join(one for one in text if one.isprintable() or one == "\n")


def render_list(title: str, sentences: Sequence[str]) -> str:
    """Render sentences under a title; nothing if there are none."""
    lines = [
        textwrap.fill(one, WIDTH, initial_indent="- ", subsequent_indent="  ") for one in sentences
    ]
    head = title if title.endswith("?") else f"{title}:"
    return "\n".join([head, *lines]) if lines else ""


def render_pairs(pairs: Sequence[tuple[str, str]], title: str = "") -> str:
    """Render labels with their values; nothing if there are none."""
    lines = [
        textwrap.fill(f"{label}: {value}", WIDTH, subsequent_indent="  ") for label, value in pairs
    ]
    return "\n".join([*([f"{title}:"] if title and lines else []), *lines])


def render_grid(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Set a table in columns under its title."""
    lines = [head, *rows]
    widths = [max(len(line[place]) for line in lines) for place in range(len(head))]
    text = (
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )
    return "\n".join([f"{title}:", *text])
