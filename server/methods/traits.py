"""What follows from how a method serves and asks; whoever plans, serves or reports goes by it."""

from collections import Counter
from collections.abc import Mapping
from itertools import permutations
from typing import Any

from server.methods.base import A_OR_NOT, NEITHER, PICKED, YES_OR_NO, Method, Named


def asks_by_name(method: Method) -> bool:
    """Tell whether the question names an attribute, so that a plan has to give it.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> asks_by_name(get_method("2-afc")), asks_by_name(get_method("triangle"))
    (True, False)
    """
    return "{attribute}" in method.question


def picks_a_cup(method: Method) -> bool:
    """Tell whether an answer is one cup, so that picks can be counted by position.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> picks_a_cup(get_method("triangle"))
    True
    """
    return method.form in PICKED


def is_two_sided(method: Named) -> bool:
    """Tell whether an answer is for one of two samples, and none of them is right.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> is_two_sided(get_method("paired-preference")), is_two_sided(get_method("2-afc"))
    (True, False)
    """
    return method.sided == "two"


def answers_yes_or_no(method: Method) -> bool:
    """Tell whether servings are of two kinds, and each is called one or the other.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> answers_yes_or_no(get_method("a-not-a")), answers_yes_or_no(get_method("triangle"))
    (True, False)
    """
    return method.form in YES_OR_NO


def gets_to_know(method: Method) -> bool:
    """Tell whether an open cup comes before the first code.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> gets_to_know(get_method("a-not-a")), gets_to_know(get_method("same-different"))
    (True, False)
    """
    return method.form == A_OR_NOT


def asks_for_liking(method: Named) -> bool:
    """Tell whether an answer says what somebody likes, not what somebody notices.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> asks_for_liking(get_method("paired-preference"))
    True
    """
    return is_two_sided(method) and bool(method.model.without_d_prime)


def names_neither(answer: Mapping[str, Any]) -> bool:
    """Tell whether an answer is for neither cup.

    Examples
    --------
    >>> names_neither({"pick": "neither"}), names_neither({"pick": "412"})
    (True, False)
    """
    return answer.get("pick") == NEITHER


def has_like_cups(method: Method) -> bool:
    """Tell whether some cups of a serving are of one sample.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> has_like_cups(get_method("triangle")), has_like_cups(get_method("2-afc"))
    (True, False)
    """
    return any(count > 1 for order in method.orders for count in Counter(order).values())


def has_controls(method: Method) -> bool:
    """Tell whether controls can be served.

    Two brews of one sample have no more and less of an attribute that anybody could be
    right about, and a pair has no like cups to set beside each other. Where servings of two
    kinds are called one or the other, the pairs of one sample are a control already.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> has_controls(get_method("triangle")), has_controls(get_method("3-afc"))
    (True, False)
    """
    kinds = asks_by_name(method) or answers_yes_or_no(method)
    return has_like_cups(method) and not kinds


def has_distance(method: Method) -> bool:
    """Tell whether right answers have a d′, so that differences compare between methods.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> has_distance(get_method("triangle")), has_distance(get_method("two-out-of-five"))
    (True, False)
    """
    return not (is_two_sided(method) or method.model.without_d_prime)


def can_be_shuffled(method: Method) -> bool:
    """Tell whether one person can pour, shuffle and taste: any order that falls must be one.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> can_be_shuffled(get_method("triangle")), can_be_shuffled(get_method("duo-trio"))
    (True, False)
    """
    fallen = {"".join(order) for one in method.orders for order in permutations(one)}
    return picks_a_cup(method) and fallen == set(method.orders)


def count_looks(method: Method) -> int:
    """Return the cups set side by side when somebody tries whether looks give a cup away.

    As many as are picked from; where an answer is no single cup, one odd cup among three.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> count_looks(get_method("2-afc")), count_looks(get_method("triangle"))
    (2, 3)
    """
    return 2 if method.cups <= 2 else 3
