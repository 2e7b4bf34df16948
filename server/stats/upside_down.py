"""Assessors who use a scale the other way round: pointed out, never dropped."""

from dataclasses import dataclass

from server.stats.assessors import Indicators, Performance

REASON = "{} goes against the rest of the panel: r = {:.2f} on {} samples{}."
BEYOND = ", more than chance would explain"
CHANCE = ", which chance may explain"
BY_ARITHMETIC = ", where r can be nothing but 1 or -1"


@dataclass(frozen=True)
class UpsideDown:
    """An assessor whose means fall where those of the rest rise.

    Attributes
    ----------
    assessor : str
    r : float
        Correlation with the rest of the panel, below 0.
    p_value : float or None
        Chance of an r as low or lower, were there no relation; None with two
        samples.
    reason : str
        A sentence.
    """

    assessor: str
    r: float
    p_value: float | None
    reason: str


def find_upside_down(performance: Performance, alpha: float = 0.05) -> tuple[UpsideDown, ...]:
    """Point out the assessors who agree negatively with the rest of the panel.

    Parameters
    ----------
    performance : Performance
        What `analyse_assessors` returned.
    alpha : float
        Level at which the sentence speaks of more than chance.

    Returns
    -------
    tuple of UpsideDown
        The most negative r first; empty if there is none.

    Notes
    -----
    They may have read the scale the other way round, or differ in earnest. Talk
    to them, and show the result with and without (`subsets.leave_out`). In a
    small panel one reversed assessor pulls the rest of the others down as well:
    look again at those that are left.

    The p-value is one-sided, by t = r √((J - 2) / (1 - r²)) on J - 2 degrees of
    freedom for J samples.

    Examples
    --------
    >>> from server.stats.assessors import analyse_assessors
    >>> from server.stats.ratings import build_ratings
    >>> people, names = [name for name in ("ann", "bo", "cy", "di") for _ in "VWXYZ"], [*"VWXYZ"]
    >>> values = [1, 3, 4, 6, 8, 2, 2, 5, 6, 7, 9, 7, 6, 4, 2, 1, 2, 5, 6, 9]
    >>> [one] = find_upside_down(analyse_assessors(build_ratings(people, names * 4, values)))
    >>> print(one.reason[:62])
    cy goes against the rest of the panel: r = -0.98 on 5 samples,
    """
    found = [
        _describe(name, one, one.agreement_r, alpha)
        for name, one in performance.assessors.items()
        if one.agreement_r is not None and one.agreement_r < 0
    ]
    return tuple(sorted(found, key=lambda one: one.r))


def _describe(name: str, one: Indicators, r: float, alpha: float) -> UpsideDown:
    p = _lower_tail(r, one.shared_samples - 2)
    verdict = CHANCE if p is None or p > alpha else BEYOND
    if p is None:
        verdict = BY_ARITHMETIC
    return UpsideDown(name, r, p, REASON.format(name, r, one.shared_samples, verdict))


def _lower_tail(r: float, df: int) -> float | None:
    from scipy import special  # takes half a second to load

    if df < 1:
        return None
    if r <= -1:
        return 0.0
    return float(special.stdtr(df, r * (df / (1 - r**2)) ** 0.5))
