"""What a method can tell, and what tasters must know beforehand; read off the method itself."""

from enum import StrEnum

from server.methods.base import Method
from server.methods.traits import asks_by_name


class Known(StrEnum):
    """What tasters can say of the difference before they taste."""

    NOTHING = "nothing"
    ATTRIBUTE = "attribute"  # what differs, not which sample has more of it
    DIRECTION = "direction"  # what differs, and which sample has more of it


class Tells(StrEnum):
    """What the answers tell."""

    APART = "apart"  # whether two samples can be told apart at all
    MORE = "more"  # which of them has more of something named
    LIKED = "liked"  # which of them is liked better


def find_known(method: Method) -> Known:
    """Return what tasters must be able to say beforehand.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> [str(find_known(get_method(name))) for name in ("triangle", "2-afc")]
    ['nothing', 'direction']
    """
    if not asks_by_name(method):
        return Known.NOTHING
    return Known.DIRECTION if method.sided == "one" else Known.ATTRIBUTE


def find_told(method: Method) -> frozenset[Tells]:
    """Return what the answers can tell.

    Whoever knows which cup has more of something can tell the cups apart. A question that
    is neither asked by name nor has a right answer asks for liking.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> sorted(find_told(get_method("2-afc"))), sorted(find_told(get_method("triangle")))
    ([<Tells.APART: 'apart'>, <Tells.MORE: 'more'>], [<Tells.APART: 'apart'>])
    """
    if asks_by_name(method):
        return frozenset({Tells.APART, Tells.MORE})
    return frozenset({Tells.LIKED if method.sided == "two" else Tells.APART})


def needs_familiar_sample(method: Method) -> bool:
    """Tell whether tasters must know one of the samples, though not what differs.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> needs_familiar_sample(get_method("duo-trio-constant"))
    True
    """
    return bool(method.needs) and not asks_by_name(method)


def count_coded(method: Method) -> int:
    """Return the coded cups of a serving: all but an open reference.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> count_coded(get_method("triangle")), count_coded(get_method("duo-trio"))
    (3, 2)
    """
    return method.cups - method.reference
