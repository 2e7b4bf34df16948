"""Numbers as the figures and their tables show them, and what names stand for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.reports.display import NO_VALUE, show_p
from server.reports.table_figures.lettering import clean
from server.stats.results import Interval

LIMITS = "{} to {}"


@dataclass(frozen=True)
class Numbers:
    """The numbers of a figure as a table; every cell is ready to print.

    Attributes
    ----------
    head : tuple of str
    rows : tuple of tuple of str
        Each as long as the head.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Names:
    """What attributes, samples and assessors are called; what is not here is its own name.

    Attributes
    ----------
    attributes, samples, assessors : mapping of str to str
    ends : mapping of str to tuple of float
        Lowest and highest value of an attribute's scale, where it has them.
    """

    attributes: Mapping[str, str] = field(default_factory=dict)
    samples: Mapping[str, str] = field(default_factory=dict)
    assessors: Mapping[str, str] = field(default_factory=dict)
    ends: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    def attribute(self, name: str) -> str:
        """Return what an attribute is called."""
        return clean(self.attributes.get(name, name))

    def sample(self, name: str) -> str:
        """Return what a sample is called."""
        return clean(self.samples.get(name, name))

    def assessor(self, name: str) -> str:
        """Return what an assessor is called."""
        return clean(self.assessors.get(name, name))


def show_value(value: float | None, decimals: int = 2) -> str:
    """Show a value, trailing zeros kept so that columns line up.

    Examples
    --------
    >>> show_value(4.5), show_value(-0.001), show_value(None)
    ('4.50', '0.00', 'not estimable')
    """
    if value is None:
        return NO_VALUE
    return f"{round(value, decimals) + 0.0:.{decimals}f}".replace("-", "−")


def show_limits(interval: Interval | None, decimals: int = 2) -> str:
    """Show an interval.

    Examples
    --------
    >>> show_limits(Interval(1, 2.5)), show_limits(None)
    ('1.00 to 2.50', 'not estimable')
    """
    if interval is None:
        return NO_VALUE
    return LIMITS.format(*(show_value(limit, decimals) for limit in interval))


def show_short(value: float) -> str:
    """Show a score as short as it is.

    Examples
    --------
    >>> show_short(5.0), show_short(5.25), show_short(1 / 3)
    ('5', '5.25', '0.33')
    """
    return f"{round(value, 2):g}"


def show_p_value(p: float | None) -> str:
    """Show a p-value with its letter.

    Examples
    --------
    >>> show_p_value(0.02), show_p_value(1e-9), show_p_value(None)
    ('p = 0.0200', 'p < 0.0001', 'not estimable')
    """
    if p is None:
        return NO_VALUE
    shown = show_p(p)
    return f"p {shown}" if shown.startswith("<") else f"p = {shown}"


def list_names(names: Sequence[str], most: int = 4) -> str:
    """Join names as a sentence does, the last ones counted if there are many.

    Examples
    --------
    >>> list_names(["body"]), list_names(["a", "b"]), list_names(["a", "b", "c", "d"], most=2)
    ('body', 'a and b', 'a, b and 2 more')
    """
    shown = list(names[:most])
    rest = len(names) - len(shown)
    parts = [*shown, f"{rest} more"] if rest else shown
    return " and ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else "".join(parts)
