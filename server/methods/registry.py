"""The test methods there are; the only list to extend for a new one."""

from server.methods.base import Method
from server.methods.triangle import TRIANGLE

METHODS: dict[str, Method] = {method.name: method for method in (TRIANGLE,)}


class UnknownMethod(ValueError):
    """No method of that name.

    Examples
    --------
    >>> str(UnknownMethod("sniff"))
    "method must be one of triangle, not 'sniff'"
    """

    def __init__(self, name: str) -> None:
        super().__init__(f"method must be one of {', '.join(METHODS)}, not {name!r}")
        self.name = name


def get_method(name: str) -> Method:
    """Return the method of that name.

    Raises
    ------
    UnknownMethod
        If there is none.

    Examples
    --------
    >>> get_method("triangle").cups
    3
    """
    if name not in METHODS:
        raise UnknownMethod(name)
    return METHODS[name]
