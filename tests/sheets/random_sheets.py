"""Sheets, values and tables at random, for tests of what must always hold."""

from decimal import Decimal
from functools import cache
from typing import Any

from hypothesis import strategies as st

from server.sheets.places import Item
from server.sheets.scales.base import Kind
from server.sheets.scales.category import Category
from server.sheets.scales.comment import Comment
from server.sheets.scales.control import Control
from server.sheets.scales.defect import Defect
from server.sheets.scales.hedonic import Hedonic
from server.sheets.scales.line import Line
from server.sheets.scales.magnitude import Magnitude
from server.sheets.scales.ranking import Ranking
from server.sheets.scales.right import Right
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import PASSES, Attribute, Sheet
from server.sheets.text import join_line, tidy_lines

CODES = ("385", "417", "926", "138", "742", "569")
WORDS = (
    *("sweet", "bitter", "wet hay", "tin", "süß", "苦い", "חמוץ", "😀", "ﬀ", "é", "e\u0301"),
    *("<b>", "&amp;", "'", '"', "\\", "%s", "{}", "0", "None", "null", "-", "=1+1", "a\u202eb"),
)


@cache
def lines(longest: int, shortest: int = 1) -> st.SearchStrategy[str]:
    """Any text that fits on one line."""
    raw = st.text(st.characters(exclude_categories=["Cs"]), min_size=shortest, max_size=longest)
    return raw.map(join_line).filter(lambda text: len(text) >= shortest)


@cache
def word_lists(fewest: int, most: int) -> st.SearchStrategy[tuple[str, ...]]:
    """Words that all read differently."""
    words = st.sampled_from(WORDS) | lines(6)
    chosen = st.lists(words, min_size=fewest, max_size=most, unique_by=str.casefold)
    return chosen.map(tuple)


@cache
def scales() -> st.SearchStrategy[Kind]:
    """A scale of every kind."""
    odd = st.sampled_from([3, 5, 7]).flatmap(lambda n: word_lists(n, n))
    decimals = st.decimals("0.001", "999999", places=3)
    return st.one_of(
        st.builds(Line, low=lines(20), high=lines(20), middle=lines(20, 0)),
        st.builds(Category, words=word_lists(2, 6), equal_steps=st.booleans()),
        st.builds(Magnitude, reference=lines(20), reference_value=decimals),
        st.builds(Right, words=odd),
        st.builds(Hedonic, words=word_lists(9, 9)),
        st.builds(TickAll, words=word_lists(2, 6)),
        st.builds(
            Defect, levels=word_lists(1, 6), words=word_lists(1, 6), own=st.booleans()
        ),
        st.builds(Control, control=lines(20), words=word_lists(2, 6)),
        st.builds(Ranking, first=lines(20), last=lines(20), ties=st.booleans()),
        st.just(Comment()),
    )  # fmt: skip


@st.composite
def attributes(draw: st.DrawFn, name: str, label: str) -> Attribute:
    """An attribute on any scale."""
    scale = draw(scales())
    return Attribute(
        name=name,
        label=label,
        definition=draw(lines(20, 0)),
        reference=draw(lines(20, 0)),
        scope=draw(st.sampled_from(scale.SCOPES)),
        passes=tuple(one for one in PASSES if draw(st.booleans())),
        required=draw(st.booleans()),
        scale=scale,
    )


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    """A sheet of one to three attributes."""
    names = st.from_regex(r"[a-z][a-z0-9-]{0,11}", fullmatch=True)
    free = names.filter(lambda name: not name.startswith("own-"))
    chosen = draw(st.lists(free, min_size=1, max_size=3, unique=True))
    labels = draw(word_lists(len(chosen), len(chosen)))
    return Sheet(
        title=draw(lines(20)),
        version=draw(st.integers(1, 9999)),
        attributes=tuple(
            draw(attributes(name, label)) for name, label in zip(chosen, labels, strict=True)
        ),
        shuffled=draw(st.booleans()),
        own_words=draw(st.integers(0, 10)),
        own_low=draw(lines(20)),
        own_high=draw(lines(20)),
    )


@st.composite
def tables(draw: st.DrawFn) -> tuple[Item, ...]:
    """One to six codes, each with one to three bowls."""
    codes = draw(st.lists(st.sampled_from(CODES), min_size=1, unique=True))
    bowls = draw(st.sampled_from([(0,), (1, 2), (1, 2, 3)]))
    return tuple(Item(code, bowls) for code in codes)


def values(scale: Kind, codes: tuple[str, ...]) -> st.SearchStrategy[Any]:
    """A value that the scale can have, partial ones among them."""
    match scale:
        case Line():
            return st.integers(0, 1000)
        case Magnitude():
            return st.decimals("0.001", "999999", places=3).map(_shorten)
        case TickAll():
            chosen = st.sets(st.sampled_from(scale.words))
            return chosen.map(lambda ticked: [one for one in scale.words if one in ticked])
        case Defect():
            return _defects(scale)
        case Ranking():
            return _orders(codes, ties=scale.ties)
        case Comment():
            return st.text(max_size=200).map(tidy_lines).filter(bool)
        case Category() | Right() | Hedonic() | Control():
            return st.sampled_from([number for number, _ in scale.choices])
    raise AssertionError(f"no values for {type(scale)}")


def _shorten(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _defects(scale: Defect) -> st.SearchStrategy[dict[str, Any]]:
    words = st.sampled_from(scale.words)
    found = st.fixed_dictionaries(
        {"found": st.just(True)},
        optional={
            "intensity": st.integers(1, len(scale.levels)),
            "word": words | lines(20) if scale.own else words,
        },
    )
    return st.just({"found": False}) | found


@st.composite
def _orders(draw: st.DrawFn, codes: tuple[str, ...], *, ties: bool) -> list[list[str]]:
    placed = draw(st.lists(st.sampled_from(codes), min_size=1, unique=True))
    groups: list[list[str]] = []
    for code in placed:
        if groups and ties and draw(st.booleans()):
            groups[-1] = sorted([*groups[-1], code])
        else:
            groups.append([code])
    return groups
