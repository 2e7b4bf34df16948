"""Scores as a panel gives them: one value of one attribute, and where it came from."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from server.stats.ratings import Ratings, build_ratings


class Score(NamedTuple):
    """One score.

    Attributes
    ----------
    assessor, sample, attribute : str
        Who scored what for what.
    value : float or None
        In units of the sheet's scale; None if it is missing.
    bowl : str or None
        The shared bowl it is of, named within its sample; None for an own cup.
    position : int or None
        Place of the cup in the assessor's serving order, from 1.
    sitting : str or None
        Which sitting it was given in.

    Examples
    --------
    >>> Score("ann", "fresh", "bitter", 4.5).bowl is None
    True
    """

    assessor: str
    sample: str
    attribute: str
    value: float | None
    bowl: str | None = None
    position: int | None = None
    sitting: str | None = None


def group_scores(scores: Iterable[Score]) -> dict[str, list[Score]]:
    """Return the scores of every attribute, attributes in order of appearance.

    Parameters
    ----------
    scores : iterable of Score

    Returns
    -------
    dict of str to list of Score

    Examples
    --------
    >>> list(group_scores([Score("ann", "X", "sweet", 3), Score("ann", "X", "bitter", None)]))
    ['sweet', 'bitter']
    """
    grouped: dict[str, list[Score]] = {}
    for score in scores:
        grouped.setdefault(score.attribute, []).append(score)
    return grouped


def collect_ratings(scores: Sequence[Score]) -> Ratings:
    """Return the scores of one attribute as ratings, missing ones left out.

    Parameters
    ----------
    scores : sequence of Score
        Of one attribute; either all of shared bowls or all of own cups.

    Returns
    -------
    Ratings
        With bowls if the scores name them. Bowls of the same name that hold
        different samples are different bowls.

    Raises
    ------
    ValueError
        If no score has a value, or only some name their bowl.

    Examples
    --------
    >>> ratings = collect_ratings([Score("ann", "X", "sweet", 3), Score("bo", "X", "sweet", None)])
    >>> ratings.assessors, ratings.value.tolist()
    (('ann',), [3.0])
    """
    rows = [(score, score.value) for score in scores if score.value is not None]
    bowls = [f"{one.bowl} of {one.sample}" for one, _ in rows if one.bowl is not None]
    if bowls and len(bowls) < len(rows):
        raise ValueError(f"scores must all name their bowl or none, not {len(bowls)} of them")
    return build_ratings(
        [one.assessor for one, _ in rows],
        [one.sample for one, _ in rows],
        [value for _, value in rows],
        bowls or None,
    )
