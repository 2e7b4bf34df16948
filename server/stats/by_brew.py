"""Does one brew carry an effect? Answers by the brews that stood in their cups."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.stats.binomial import p_value, reaches
from server.stats.checks import check_probability
from server.stats.fixed_margins import Layout, permutation_p
from server.stats.multiple import holm

FEWEST_BREWS = 2
"""Brews of a sample below which nothing can be said of one of them."""


@dataclass(frozen=True)
class Served:
    """One counted answer, and the brews behind its cups.

    Attributes
    ----------
    right
        Whether the answer is right.
    brews
        Every brew in the serving, an open reference's among them.
    target
        The brew of the cup that was to be picked; empty where no single cup is.
    others
        Brews of the cups that were not to be picked, a name for each cup.
    picked
        The brew of the picked cup; empty where no single cup is.
    """

    right: bool
    brews: frozenset[str]
    target: str = ""
    others: tuple[str, ...] = ()
    picked: str = ""


@dataclass(frozen=True)
class BrewCount:
    """What one brew did.

    Attributes
    ----------
    brew
        Its name.
    served
        Counted answers to servings that held it.
    right
        Right ones among them.
    as_target, right_as_target
        Servings in which its cup was to be picked, and in which it was.
    as_other, picked_as_other
        Servings in which its cup was not to be picked, and in which it was picked all the same.
    without, right_without
        Counted answers to servings without it, and right ones among them.
    p_without
        Exact p-value of those alone; None if there are none.
    p_more
        Chance of as many right answers with it, if it made no difference; None as above.
    p_stands_out
        Chance that its cup is picked as often as it was, if the brews of a sample in a round
        are alike; None where there is no other, or no single cup is picked.
    adjusted
        The smaller of the two, adjusted by Holm for all brews; None if there is neither.
    carries
        Whether the effect rests on it.
    """

    brew: str
    served: int
    right: int
    as_target: int
    right_as_target: int
    as_other: int
    picked_as_other: int
    without: int
    right_without: int
    p_without: float | None
    p_more: float | None
    p_stands_out: float | None
    adjusted: float | None
    carries: bool


@dataclass(frozen=True)
class BrewsResult:
    """Answers by brew.

    Attributes
    ----------
    counts
        One of each brew that stood in a counted serving, in the order given.
    carrying
        Brews on which the effect rests.
    notes
        Why nothing, or not all, can be said.
    """

    counts: tuple[BrewCount, ...]
    carrying: tuple[str, ...]
    notes: tuple[str, ...] = ()


def count_by_brew(
    answers: Sequence[Served],
    groups: Mapping[str, tuple[str, int]],
    chance: float,
    alpha: float,
) -> BrewsResult:
    """Count answers by brew, and find brews on which an effect rests.

    Parameters
    ----------
    answers : sequence of Served
        Every counted answer of the test.
    groups : mapping of str to (str, int)
        Brew to its sample and round, in the order in which brews are listed.
    chance : float
        Share that is right by guessing.
    alpha : float
        Planned level.

    Returns
    -------
    BrewsResult

    Raises
    ------
    ValueError
        An answer names a brew that is in no group, or a probability is none.

    Notes
    -----
    A brew carries the effect if three things hold: all answers together reach the planned
    level; those to servings without this brew do not; and the brew differs from others by more
    than chance. The second alone holds often, because fewer answers are left. For the third
    there are two exact tests, one-sided, with Holm's adjustment over both and all brews. One
    asks whether answers to servings with this brew are right more often than the others
    (Fisher's exact test). The other asks whether its cups are picked more often than those of
    its fellows, brews of the same sample and round: where two or more of them stood among
    the cups not to be picked, a wrong answer falls on each alike; where one of them was to be
    picked, right answers fall on them as their servings do. An odd pot is caught by it also
    where it makes answers wrong.

    Where like cups come from two brews, one odd pot seldom makes a test reach its level at all:
    it is as often among the cups that should taste alike. It matters in pairs, and wherever one
    pot fills every cup of a sample in a round; then brews that always stood together cannot be
    told from each other.

    References
    ----------
    .. [1] Fisher, R. A. (1935). The Design of Experiments, chapter 2.
    .. [2] Holm, S. (1979). Scandinavian Journal of Statistics, 6, 65-70.

    Examples
    --------
    >>> pots = {"A1": ("A", 1), "B1": ("B", 1), "A2": ("A", 2), "B2": ("B", 2)}
    >>> answers = [Served(True, frozenset({"A1", "B1"}))] * 9
    >>> answers += [Served(n < 3, frozenset({"A2", "B2"})) for n in range(9)]
    >>> count_by_brew(answers, pots, 1 / 3, 0.05).carrying
    ('A1', 'B1')
    """
    check_probability("chance", chance)
    check_probability("alpha", alpha)
    unknown = {brew for one in answers for brew in one.brews} - set(groups)
    if unknown:
        raise ValueError(f"answers must name brews of the groups, got {sorted(unknown)}")
    brews = [brew for brew in groups if any(brew in one.brews for one in answers)]
    more = {brew: _compare_with(answers, brew) for brew in brews}
    out = {brew: _stand_out(answers, groups, brew) for brew in brews}
    adjusted = _adjust(answers, brews, more, out)
    right = sum(one.right for one in answers)
    found = bool(answers) and reaches(p_value(right, len(answers), chance), alpha)
    counts = tuple(
        _count(answers, brew, chance, alpha, (more[brew], out[brew], adjusted[brew]), found=found)
        for brew in brews
    )
    carrying = tuple(one.brew for one in counts if one.carries)
    return BrewsResult(counts, carrying, tuple(_list_notes(brews, groups)))


def _compare_with(answers: Sequence[Served], brew: str) -> float | None:
    """Return Fisher's exact p of right answers with a brew against those without it."""
    held = [one.right for one in answers if brew in one.brews]
    other = [one.right for one in answers if brew not in one.brews]
    if not held or not other:
        return None
    return permutation_p([Layout(len(held), len(other), sum(held) + sum(other), sum(held))])


def _stand_out(
    answers: Sequence[Served], groups: Mapping[str, tuple[str, int]], brew: str
) -> float | None:
    """Return the exact p of the picks of a brew's cups among those of its fellows."""
    layouts = [*_list_wrong(answers, brew), *_list_targets(answers, groups, brew)]
    telling = [one for one in layouts if one.first and one.second]
    return permutation_p(telling) if telling else None


def _list_wrong(answers: Sequence[Served], brew: str) -> Iterator[Layout]:
    """List wrong picks where several brews stood among the cups that were not to be picked."""
    for one in answers:
        if one.picked and not one.right and len(set(one.others)) > 1:
            mine = one.others.count(brew)
            yield Layout(mine, len(one.others) - mine, 1, int(one.picked == brew))


def _list_targets(
    answers: Sequence[Served], groups: Mapping[str, tuple[str, int]], brew: str
) -> Iterator[Layout]:
    """Count right answers where this brew, or a fellow of it, was to be picked."""
    mine = [one for one in answers if one.target and groups[one.target] == groups[brew]]
    held = [one.right for one in mine if one.target == brew]
    right = sum(one.right for one in mine)
    yield Layout(len(held), len(mine) - len(held), right, sum(held))


def _adjust(
    answers: Sequence[Served],
    brews: Sequence[str],
    more: Mapping[str, float | None],
    out: Mapping[str, float | None],
) -> dict[str, float | None]:
    """Adjust every p; brews that always stood together are one comparison with the others."""
    held = {brew: tuple(brew in one.brews for one in answers) for brew in brews}
    tests: dict[object, float] = {held[brew]: p for brew in brews if (p := more[brew]) is not None}
    tests |= {brew: p for brew in brews if (p := out[brew]) is not None}
    adjusted = dict(zip(tests, holm(list(tests.values())), strict=True))
    found = {
        brew: [adjusted[one] for one in (held[brew], brew) if one in adjusted] for brew in brews
    }
    return {brew: min(ps, default=None) for brew, ps in found.items()}


def _count(
    answers: Sequence[Served],
    brew: str,
    chance: float,
    alpha: float,
    ps: tuple[float | None, float | None, float | None],
    *,
    found: bool,
) -> BrewCount:
    held = [one for one in answers if brew in one.brews]
    targets = [one for one in held if one.target == brew]
    others = [one for one in held if brew in one.others]
    rest = [one.right for one in answers if brew not in one.brews]
    p_without = p_value(sum(rest), len(rest), chance) if rest else None
    more, out, adjusted = ps
    lost = p_without is not None and not reaches(p_without, alpha)
    differs = adjusted is not None and reaches(adjusted, alpha)
    return BrewCount(
        brew=brew,
        served=len(held),
        right=sum(one.right for one in held),
        as_target=len(targets),
        right_as_target=sum(one.right for one in targets),
        as_other=len(others),
        picked_as_other=sum(one.picked == brew for one in others),
        without=len(rest),
        right_without=sum(rest),
        p_without=p_without,
        p_more=more,
        p_stands_out=out,
        adjusted=adjusted,
        carries=found and lost and differs,
    )


def _list_notes(brews: Sequence[str], groups: Mapping[str, tuple[str, int]]) -> Iterator[str]:
    samples = [groups[brew][0] for brew in brews]
    if brews and all(samples.count(sample) < FEWEST_BREWS for sample in samples):
        yield "one brew of each sample: nothing tells a brew from its sample"
