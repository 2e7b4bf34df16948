"""Two-out-of-five test: five cups, two of one sample and three of the other."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import Sided
from server.methods.percepts import read_percepts
from server.stats.forced_choice import TWO_OF_FIVE as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class TwoOutOfFive:
    """The two-out-of-five test; attributes as in `base.Counted`.

    Notes
    -----
    How an ideal taster groups five cups is not settled, so the model has no
    d′. `decide` follows one rule, the wider inner gap; `decide_by_squares`
    another. With two equal samples both are correct in one of ten.

    References
    ----------
    ISO 6658:2017, Sensory analysis - Methodology - General guidance, lists it.

    Examples
    --------
    >>> TWO_OUT_OF_FIVE.decide([0.1, 0.3, 1.2, 0.8, 1.0]).item()
    True
    """

    name: str = "two-out-of-five"
    title: str = "Two-out-of-five test"
    standard: str = "ISO 6658:2017"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    cups: int = 5
    needs: str = ""

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the pair is found by splitting the cups at the wider inner gap.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 5)
            Two cups of one sample, three cups of the other.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not five cups.

        Notes
        -----
        The percepts in order have four gaps; the second and the third leave a
        pair and a trio. The taster splits at the wider of these two.

        Examples
        --------
        >>> TWO_OUT_OF_FIVE.decide([0.0, 1.0, 3.0, 4.0, 5.0]).item()
        True
        >>> TWO_OUT_OF_FIVE.decide([0.0, 1.0, 3.0, 6.0, 7.0]).item()
        False
        """
        import numpy as np

        cups = read_percepts(percepts, self.cups)
        pair, trio = np.sort(cups[:2], axis=0), np.sort(cups[2:], axis=0)
        below = trio[0] - pair[1] > trio[1] - trio[0]
        above = pair[0] - trio[2] > trio[2] - trio[1]
        return np.asarray(below | above, dtype=np.bool_)


def decide_by_squares(percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
    """Tell whether the pair is found by keeping the squares within the groups least.

    Parameters
    ----------
    percepts : ndarray of float, shape (..., 5)
        Two cups of one sample, three cups of the other.

    Returns
    -------
    ndarray of bool, shape (...)

    Raises
    ------
    ValueError
        If there are not five cups.

    Notes
    -----
    Of the ten ways to name a pair the taster takes the one with the least sum
    of squared distances from the mean of the pair and from that of the trio.

    Examples
    --------
    >>> decide_by_squares([0.0, 1.0, 3.0, 4.0, 5.0]).item()
    True
    """
    import numpy as np

    cups = read_percepts(percepts, TWO_OUT_OF_FIVE.cups)
    total = sum(cups)
    # The least squares within go with the most between: the sums squared, over the sizes.
    pairs = np.stack([cups[i] + cups[j] for i in range(5) for j in range(i + 1, 5)])
    between = pairs**2 / 2 + (total - pairs) ** 2 / 3
    return np.asarray(between[0] > between[1:].max(axis=0), dtype=np.bool_)


TWO_OUT_OF_FIVE = TwoOutOfFive()
