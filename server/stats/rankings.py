"""Rankings of samples by assessors: whole, with ties as mean ranks, rank 1 first."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.checks import check_trials

Row = tuple[int, ...]
"""One assessor's ranks without saying which sample had which: doubled, ascending."""


@dataclass(frozen=True)
class Rankings:
    """Samples ranked by assessors, everybody all of them once.

    Attributes
    ----------
    assessors : tuple of str, length J
        Who ranked.
    samples : tuple of str, length P
        What was ranked.
    ranks : tuple of tuple of float, shape (J, P)
        Rank 1 is first; tied samples share the mean of their ranks.
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    ranks: tuple[tuple[float, ...], ...]

    def rank_sums(self) -> tuple[float, ...]:
        """Return the sum of ranks of every sample, length P.

        Examples
        --------
        >>> build_rankings([[1, 2, 3], [1, 2.5, 2.5]]).rank_sums()
        (2.0, 4.5, 5.5)
        """
        return tuple(sum(column) for column in zip(*self.ranks, strict=True))

    def rows(self) -> tuple[Row, ...]:
        """Return every assessor's doubled ranks in ascending order.

        They hold what the distributions under "all orders equally likely" depend
        on: how many samples there are, and which of their ranks are tied.

        Examples
        --------
        >>> build_rankings([[2, 1, 3], [2.5, 1, 2.5]]).rows()
        ((2, 4, 6), (2, 5, 5))
        """
        return tuple(tuple(sorted(round(2 * rank) for rank in row)) for row in self.ranks)


def build_rankings(
    ranks: Sequence[Sequence[float]],
    samples: Sequence[str] | None = None,
    assessors: Sequence[str] | None = None,
) -> Rankings:
    """Build rankings from rows of ranks.

    Parameters
    ----------
    ranks : sequence of sequence of float, shape (J, P)
        A row an assessor, a column a sample; rank 1 is first.
    samples, assessors : sequence of str, optional
        Labels; "1", "2", ... if left out.

    Raises
    ------
    ValueError
        If there is no row, fewer than two samples, a row that is not a ranking
        of all samples, or labels that do not fit or come twice.

    Examples
    --------
    >>> build_rankings([[2, 1]], ["fresh", "flushed"], ["ann"]).ranks
    ((2.0, 1.0),)
    """
    if not len(ranks):
        raise ValueError("ranks must hold at least one assessor's ranking, not none")
    people = _name("assessors", assessors, len(ranks))
    names = _name("samples", samples, len(ranks[0]))
    for person, row in zip(people, ranks, strict=True):
        if len(row) != len(names):
            raise ValueError(
                f"ranks of assessor {person} must be of {len(names)} samples, not {len(row)}"
            )
        check_ranking(row)
    return Rankings(people, names, tuple(tuple(float(rank) for rank in row) for row in ranks))


def check_ranking(ranks: Sequence[float]) -> None:
    """Refuse ranks that no order of that many samples gives.

    Raises
    ------
    ValueError
        If there are fewer than two ranks, or they are not 1 to P each once, ties
        as the mean of the ranks they share.

    Examples
    --------
    >>> check_ranking([3, 1.5, 1.5])
    >>> check_ranking([1, 2, 2])
    Traceback (most recent call last):
    ValueError: ranks must be 1 to 3, each once, ties as their mean (1, 2.5, 2.5), not 1, 2, 2
    """
    if len(ranks) < 2:
        raise ValueError(f"ranks must be of two samples or more, not {len(ranks)}")
    meant = rank_row(ranks)
    if any(rank != mean for rank, mean in zip(ranks, meant, strict=True)):
        hint = "" if len(set(ranks)) == len(ranks) else f" ({_tell(meant)})"
        raise ValueError(
            f"ranks must be 1 to {len(ranks)}, each once, ties as their mean{hint}, "
            f"not {_tell(ranks)}"
        )


def rank_row(scores: Sequence[float]) -> tuple[float, ...]:
    """Return the ranks of scores: the lowest has rank 1, ties share their mean rank.

    Parameters
    ----------
    scores : sequence of float, length P

    Returns
    -------
    tuple of float, length P

    Examples
    --------
    >>> rank_row([6, 3, 6])
    (2.5, 1.0, 2.5)
    """
    counts = Counter(scores)
    below, means = 0, {}
    for score in sorted(counts):
        means[score] = below + (counts[score] + 1) / 2
        below += counts[score]
    return tuple(means[score] for score in scores)


def untied_rows(assessors: int, samples: int) -> tuple[Row, ...]:
    """Return the doubled ranks of assessors who tie nothing.

    Raises
    ------
    ValueError
        If `assessors` is below 1 or `samples` below 2.

    Examples
    --------
    >>> untied_rows(2, 3)
    ((2, 4, 6), (2, 4, 6))
    """
    check_trials(assessors)
    if samples < 2:
        raise ValueError(f"samples must be 2 or more, not {samples}")
    return (tuple(range(2, 2 * samples + 1, 2)),) * assessors


def sum_of_squares(rows: Sequence[Row]) -> float:
    """Return the squared deviations of all ranks from the mean rank, ranks not doubled.

    Without ties J P (P² - 1) / 12; every group of t tied ranks takes away (t³ - t) / 12.

    Examples
    --------
    >>> sum_of_squares([(2, 4, 6)]), sum_of_squares([(2, 5, 5)])
    (2.0, 1.5)
    """
    twice_mean = len(rows[0]) + 1
    return sum((rank - twice_mean) ** 2 for row in rows for rank in row) / 4


def _name(what: str, labels: Sequence[str] | None, number: int) -> tuple[str, ...]:
    if labels is None:
        return tuple(str(place + 1) for place in range(number))
    if len(labels) != number:
        raise ValueError(f"{what} must be {number} labels, not {len(labels)}")
    twice = [label for label, count in Counter(labels).items() if count > 1]
    if twice:
        raise ValueError(f"{what} must have labels of their own, not twice {twice[0]}")
    return tuple(labels)


def _tell(ranks: Sequence[float]) -> str:
    return ", ".join(f"{rank:g}" for rank in ranks)
