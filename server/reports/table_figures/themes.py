"""Colours of the figures in three themes; shapes, dashes and words carry the meaning in each."""

from dataclasses import dataclass
from typing import Literal

ThemeName = Literal["light", "dark", "print"]


@dataclass(frozen=True)
class Theme:
    """Colours as hexadecimal text.

    Attributes
    ----------
    name : {"light", "dark", "print"}
    paper : str
        The ground.
    ink, soft : str
        Words and main marks; marks that stand behind them.
    line : str
        Guide lines, which mean nothing by themselves.
    accent, alarm : str
        What to look at first; who goes against the rest, and flags.
    wash : str
        Areas that hold words.
    """

    name: ThemeName
    paper: str
    ink: str
    soft: str
    line: str
    accent: str
    alarm: str
    wash: str


THEMES: dict[ThemeName, Theme] = {
    "light": Theme(
        name="light",
        paper="#fffdf8",
        ink="#23282b",
        soft="#6f7573",
        line="#ddd7c8",
        accent="#1d5c55",
        alarm="#9c3d1d",
        wash="#e2eeea",
    ),
    "dark": Theme(
        name="dark",
        paper="#1e2425",
        ink="#ece8dd",
        soft="#a2a69f",
        line="#3b4443",
        accent="#85cbbd",
        alarm="#f0a184",
        wash="#20332f",
    ),
    "print": Theme(
        name="print",
        paper="#ffffff",
        ink="#000000",
        soft="#595959",
        line="#c4c4c4",
        accent="#000000",
        alarm="#000000",
        wash="#efefef",
    ),
}
