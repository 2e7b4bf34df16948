"""The test methods there are; the only lists to extend for a new one."""

from collections.abc import Iterable

from server.methods.a_not_a import A_NOT_A
from server.methods.ascending import ASCENDING
from server.methods.base import Counted, Method, YesNo
from server.methods.difference_from_control import DIFFERENCE_FROM_CONTROL
from server.methods.duo_trio import DUO_TRIO, DUO_TRIO_CONSTANT
from server.methods.paired_comparison import PAIRED_COMPARISON
from server.methods.paired_preference import PAIRED_PREFERENCE
from server.methods.ranking import RANKING
from server.methods.same_different import SAME_DIFFERENT
from server.methods.scored import ScoredMethod
from server.methods.tetrad import TETRAD
from server.methods.three_afc import THREE_AFC
from server.methods.triangle import TRIANGLE
from server.methods.two_afc import TWO_AFC
from server.methods.two_out_of_five import TWO_OUT_OF_FIVE

ALL: tuple[Counted, ...] = (
    TRIANGLE,
    DUO_TRIO,
    TWO_AFC,
    THREE_AFC,
    TETRAD,
    TWO_OUT_OF_FIVE,
    PAIRED_COMPARISON,
    PAIRED_PREFERENCE,
)

COUNTED: dict[str, Counted] = {method.name: method for method in ALL}
"""Methods whose answers can be counted and analysed."""

SERVED: tuple[Method, ...] = (
    TRIANGLE,
    DUO_TRIO,
    DUO_TRIO_CONSTANT,
    TWO_AFC,
    THREE_AFC,
    TETRAD,
    TWO_OUT_OF_FIVE,
    PAIRED_COMPARISON,
    PAIRED_PREFERENCE,
    A_NOT_A,
    SAME_DIFFERENT,
)

YES_NO: dict[str, YesNo] = {method.name: method for method in (A_NOT_A, SAME_DIFFERENT)}
"""Methods that serve two kinds, and ask which it is."""

METHODS: dict[str, Method] = {method.name: method for method in SERVED}
"""Methods that can be served at the table."""

SCORED: dict[str, ScoredMethod] = {
    method.name: method for method in (DIFFERENCE_FROM_CONTROL, RANKING)
}
"""Methods served as a scored table of one question."""


SERIES: dict[str, Method] = {ASCENDING.name: ASCENDING}
"""Methods of a rising series of concentrations, planned on a page of its own."""


class UnknownMethod(ValueError):
    """No method of that name.

    Examples
    --------
    >>> str(UnknownMethod("sniff", ["triangle", "tetrad"]))
    "method must be one of triangle, tetrad, not 'sniff'"
    """

    def __init__(self, name: str, known: Iterable[str] = METHODS) -> None:
        super().__init__(f"method must be one of {', '.join(known)}, not {name!r}")
        self.name = name


def get_method(name: str) -> Method:
    """Return the method of that name that can be served at the table.

    Raises
    ------
    UnknownMethod
        If there is none.

    Examples
    --------
    >>> get_method("triangle").cups
    3
    """
    found = METHODS.get(name) or SERIES.get(name)
    if found is None:
        raise UnknownMethod(name)
    return found


def get_counted(name: str) -> Counted:
    """Return the method of that name, whether it can be served at the table or not.

    Raises
    ------
    UnknownMethod
        If there is none.

    Examples
    --------
    >>> get_counted("two-out-of-five").model.chance
    0.1
    """
    if name not in COUNTED:
        raise UnknownMethod(name, COUNTED)
    return COUNTED[name]
