"""Words ticked for samples: how often each was, and whether that differs between samples."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.cochran_q import AnswerPair, Distribution, analyse_cochran
from server.stats.multiple import holm
from server.stats.results import ChiSquare

TICKS_ONLY = (
    "A tick says that a word was chosen, not how strong the taste is; no tick does not say "
    "that it is absent."
)
LEADS = (
    "A word beyond alpha by its own p-value, but not by the one adjusted over all words, is a "
    "lead: worth a test of its own, not a finding."
)
NOBODY = "Nobody answered on every sample."
LEFT_OUT = "No answer on every sample, left out of this word: {}."

Key = tuple[str, str, str]
"""Assessor, sample, word."""


@dataclass(frozen=True)
class Word:
    """One word over all samples.

    Attributes
    ----------
    assessors : int
        Who answered by this word on every sample; nobody else counts.
    ticks : dict of str to int
        How many of them ticked it, by sample.
    shares : dict of str to float
        The same, of all of them; empty if there are none.
    chi_square : ChiSquare or None
        Cochran's Q with its large-sample p-value.
    p_exact, p_value : float or None
        Exact p-value; and the one to report.
    distribution : {"exact", "chi-square"} or None
        Where `p_value` comes from: exact wherever that is feasible.
    p_holm : float or None
        `p_value` adjusted over all words that have one.
    finding, lead : bool
        Whether `p_holm` is at most alpha; whether `p_value` only is.
    pairs : tuple of AnswerPair
        In the order of the samples.
    notes : tuple of str
        How to read it, and why something is None.
    """

    assessors: int
    ticks: dict[str, int]
    shares: dict[str, float]
    chi_square: ChiSquare | None
    p_exact: float | None
    p_value: float | None
    distribution: Distribution | None
    p_holm: float | None
    finding: bool
    lead: bool
    pairs: tuple[AnswerPair, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class TickAll:
    """All words of a tasting.

    Attributes
    ----------
    method : str
        "tick-all".
    assessors, samples : tuple of str
        Labels, in the order they came in.
    alpha : float
        Level of all words together, and of the pairs within each word.
    words : dict of str to Word
        In the order they came in.
    notes : tuple of str
    """

    method: str
    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    alpha: float
    words: dict[str, Word]
    notes: tuple[str, ...]


def analyse_ticks(ticked: Mapping[Key, bool], alpha: float = 0.05) -> TickAll:
    """Analyse which words were ticked for which samples.

    Parameters
    ----------
    ticked : mapping of (assessor, sample, word) to bool
        Whether it was ticked; what was not asked, or not answered, is left out.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    TickAll

    Raises
    ------
    ValueError
        If there are fewer than two samples, or `alpha` is out of range.

    Notes
    -----
    Every word by Cochran's Q over those who answered by it on every sample: the
    samples are compared within assessors, so that one who ticks much does no
    harm. All words together by Holm's method. A word that everybody ticked for
    all samples or for none of them cannot come out, and takes no part.

    References
    ----------
    Cochran, W. G. (1950). The comparison of percentages in matched samples.
    Biometrika, 37, 256-266.

    Examples
    --------
    >>> rows = [("ann", "X", 1), ("ann", "Y", 0), ("bo", "X", 1), ("bo", "Y", 0)]
    >>> found = analyse_ticks({(who, what, "papery"): bool(tick) for who, what, tick in rows})
    >>> word = found.words["papery"]
    >>> word.ticks, word.shares, word.p_value, word.finding
    ({'X': 2, 'Y': 0}, {'X': 1.0, 'Y': 0.0}, 0.5, False)
    """
    check_open_unit("alpha", alpha)
    people, samples, names = (
        tuple(dict.fromkeys(key[part] for key in ticked)) for part in range(3)
    )
    if len(samples) < 2:
        raise ValueError(f"ticked must be of two samples or more, not {len(samples)}")
    words = {name: _analyse_word(ticked, people, samples, name, alpha) for name in names}
    words = _adjust(words, alpha)
    leads = (LEADS,) if any(word.lead for word in words.values()) else ()
    return TickAll("tick-all", people, samples, alpha, words, (TICKS_ONLY, *leads))


def count_ticks(found: TickAll) -> tuple[tuple[int, ...], ...]:
    """Return the table of ticks, shape (samples, words), as for a map of both.

    Examples
    --------
    >>> keys = {("ann", "X", "papery"): True, ("ann", "Y", "papery"): False}
    >>> count_ticks(analyse_ticks(keys))
    ((1,), (0,))
    """
    return tuple(
        tuple(word.ticks[sample] for word in found.words.values()) for sample in found.samples
    )


def _analyse_word(
    ticked: Mapping[Key, bool],
    people: Sequence[str],
    samples: Sequence[str],
    name: str,
    alpha: float,
) -> Word:
    missing = {who for who, what in product(people, samples) if (who, what, name) not in ticked}
    rows = [[ticked[who, what, name] for what in samples] for who in people if who not in missing]
    left_out = (LEFT_OUT.format(", ".join(x for x in people if x in missing)),) if missing else ()
    if not rows:
        empty = dict.fromkeys(samples, 0)
        return Word(0, empty, {}, None, None, None, None, None, False, False, (), (NOBODY,))
    found = analyse_cochran(rows, samples, alpha)
    return Word(
        assessors=found.assessors,
        ticks=dict(zip(samples, found.yes, strict=True)),
        shares=dict(zip(samples, found.shares, strict=True)),
        chi_square=found.chi_square,
        p_exact=found.p_exact,
        p_value=found.p_value,
        distribution=found.distribution,
        p_holm=None,
        finding=False,
        lead=False,
        pairs=found.pairs,
        notes=(*left_out, *found.notes),
    )


def _adjust(words: dict[str, Word], alpha: float) -> dict[str, Word]:
    """Return the words with their p-values adjusted and judged."""
    known = {name: word.p_value for name, word in words.items() if word.p_value is not None}
    adjusted = dict(zip(known, holm(list(known.values())), strict=True))
    judged = dict(words)
    for name, p_holm in adjusted.items():
        finding = reaches(p_holm, alpha)
        lead = reaches(known[name], alpha) and not finding
        judged[name] = replace(words[name], p_holm=p_holm, finding=finding, lead=lead)
    return judged
