"""Map of the samples from the assessors' own words: what they have in common, and its check."""

from collections.abc import Mapping, Sequence

from server.reports.display import show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.maps import Map, Point, find_reason
from server.reports.table_figures.shown import Names, show_p_value
from server.stats.consensus import Consensus
from server.stats.consensus_chance import ConsensusTest


def build_own_words(
    found: Consensus,
    check: ConsensusTest,
    chosen: Mapping[str, Sequence[str]],
    names: Names | None = None,
    alpha: float = 0.05,
) -> Map:
    """Build the map, or say why there is none.

    Parameters
    ----------
    found : Consensus
    check : ConsensusTest
        Of the same configurations.
    chosen : mapping of str to sequence of str
        Every assessor's words, in the order of the configuration's columns.
    names : Names, optional
    alpha : float
        Level beyond which the map is said to be no more than chance.

    Raises
    ------
    ValueError
        If an assessor's words are not as many as the columns.

    Examples
    --------
    >>> from server.stats.consensus import find_consensus
    >>> from server.stats.consensus_chance import judge_consensus
    >>> tables = [[[0, 0], [4, 0], [4, 2]], [[0, 0], [0, -4], [2, -4]]]
    >>> found = find_consensus(tables, ["ann", "bo"], "XYZ")
    >>> words_of = {"ann": ["jam", "wood"], "bo": ["round", "ash"]}
    >>> build_own_words(found, judge_consensus(tables, draws=9), words_of).reason
    'No map: it takes 4 samples or more, not 3.'
    """
    called = names or Names()
    reason = find_reason(
        len(found.samples), len(found.assessors), len(found.eigenvalues), words.MAP_CONFIGURATIONS
    )
    if reason:
        return Map(reason=reason)
    return Map(
        samples=tuple(
            Point(
                called.sample(name),
                found.scores[place][0],
                found.scores[place][1],
                around=tuple((one[place][0], one[place][1]) for one in found.turned),
            )
            for place, name in enumerate(found.samples)
        ),
        others=_list_words(found, chosen, called),
        kind=words.KIND_WORD,
        title=words.OWN_TITLE,
        others_title=words.OWN_WORDS,
        shares=found.shares[:2],
        check=_tell_check(found, check),
        caution=words.OWN_CHANCE if check.p_value is None or check.p_value > alpha else "",
        told=words.OWN_ALT.format(
            samples=show_count(len(found.samples), "sample"),
            assessors=show_count(len(found.assessors), "assessor"),
        ),
    )


def _list_words(
    found: Consensus, chosen: Mapping[str, Sequence[str]], called: Names
) -> tuple[Point, ...]:
    points = []
    for who, rows in zip(found.assessors, found.correlations, strict=True):
        if len(chosen[who]) != len(rows):
            raise ValueError(f"chosen must hold {len(rows)} words of {who}, not {len(chosen[who])}")
        points += [
            Point(words.OWN_WORD.format(word=word, who=called.assessor(who)), row[0], row[1])
            for word, row in zip(chosen[who], rows, strict=True)
        ]
    return tuple(sorted(points, key=lambda one: -(one.x**2 + one.y**2)))


def _tell_check(found: Consensus, check: ConsensusTest) -> str:
    ratio = show_share(found.ratio or 0.0)
    if check.p_value is None or check.mean_by_chance is None:
        return words.OWN_NO_CHECK.format(ratio=ratio)
    chance = show_share(check.mean_by_chance)
    return words.OWN_CHECK.format(ratio=ratio, chance=chance, p=show_p_value(check.p_value))
