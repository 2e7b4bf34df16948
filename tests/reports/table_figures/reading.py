"""What stands in a picture: its words with the room they take, and its marks by colour."""

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from server.reports.table_figures.labelling import Box
from server.reports.table_figures.lettering import measure

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"


@dataclass(frozen=True)
class Written:
    """One line of words, and a box that a common font fills or nearly so."""

    words: str
    x: float
    box: Box


def read_picture(svg: bytes) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def list_words(svg: bytes) -> list[Written]:
    return [_read_words(one) for one in read_picture(svg).iter(f"{SVG}text")]


def _read_words(one: ElementTree.Element) -> Written:
    style, words = one.get("style", ""), one.text or ""
    size = float(re.search(r"font-size: ([\d.]+)", style)[1])
    width = measure(words, size, "font-weight" in style)
    turned = re.match(r"translate\(([\d.]+) ([\d.]+)\) rotate\(-90\)", one.get("transform", ""))
    if turned:
        x, y = float(turned[1]), float(turned[2])
        return Written(words, x, Box(x - 0.75 * size, y - width, x, y))
    x, y = float(one.get("x")), float(one.get("y"))
    left = x - width * {"middle": 0.5, "end": 1}.get(_find(r"text-anchor: (\w+)", style), 0)
    return Written(words, x, Box(left, y - 0.75 * size, left + width, y + 0.05 * size))


def _find(pattern: str, text: str) -> str:
    found = re.search(pattern, text)
    return found[1] if found else ""


def list_marks(svg: bytes, colour: str, filled: bool = True) -> list[tuple[float, float]]:
    """Return the places of marks filled with a colour, or else edged with it."""
    member = "fill" if filled else "stroke"
    return [
        (float(one.get("x")), float(one.get("y")))
        for one in read_picture(svg).iter(f"{SVG}use")
        if _find(rf"(?:^|; ){member}: (#\w+)", one.get("style", "")) == colour
    ]


def read_axis(svg: bytes, first: str, last: str, skip: int = 0):
    """Return what turns a place into a value, by the numbers under two guide lines."""
    at = {one.words.replace("−", "-"): one.x for one in list_words(svg)[skip:]}
    low, high = float(first), float(last)
    return lambda x: low + (x - at[first]) / (at[last] - at[first]) * (high - low)
