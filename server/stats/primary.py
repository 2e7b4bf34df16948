"""Several tests, one of them declared beforehand as the one that counts."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.stats.checks import check_open_unit, check_probability
from server.stats.multiple import holm


@dataclass(frozen=True)
class Verdicts:
    """Which of several tests may be called findings.

    Attributes
    ----------
    primary : str
        Name of the test declared beforehand.
    passed : bool
        Whether its p-value is at most `alpha`.
    adjusted : dict of str to float
        Holm-adjusted p-values of the others; of no weight unless `passed`.
    findings : tuple of str
        The primary, if it passed, and the others at most `alpha` after adjusting.
    leads : tuple of str
        Others with p at most `alpha`, unadjusted, that are no findings: worth a
        test of their own.
    alpha : float
        Level.
    """

    primary: str
    passed: bool
    adjusted: dict[str, float]
    findings: tuple[str, ...]
    leads: tuple[str, ...]
    alpha: float


def judge_by_primary(
    p_values: Mapping[str, float | None], primary: str, alpha: float = 0.05
) -> Verdicts:
    """Judge several tests with one of them declared as primary.

    Parameters
    ----------
    p_values : mapping of str to float or None
        p-value of every test; one that is not estimable is None and counts as
        not passed, and takes no part in the adjusting.
    primary : str
        Name of the one declared before the data were seen.
    alpha : float
        Level for the primary, and for the others together.

    Returns
    -------
    Verdicts

    Raises
    ------
    ValueError
        If `primary` is none of the tests, or a p-value or `alpha` is out of range.

    Notes
    -----
    A gate: the others are tested only if the primary passes, then by Holm's
    steps. So the risk of any false finding is at most `alpha` however many
    attributes a sheet has; with ten of them at 0.05 each it would be 40 %.

    References
    ----------
    Holm, S. (1979). A simple sequentially rejective multiple test procedure.
    Scandinavian Journal of Statistics, 6, 65-70.

    Examples
    --------
    >>> found = judge_by_primary({"bitter": 0.01, "sweet": 0.03, "body": 0.04}, "bitter")
    >>> found.findings, found.leads
    (('bitter',), ('sweet', 'body'))
    """
    check_open_unit("alpha", alpha)
    if primary not in p_values:
        raise ValueError(f"primary must be one of {', '.join(p_values)}, not {primary!r}")
    known = {name: p for name, p in p_values.items() if p is not None}
    for name, p in known.items():
        check_probability(f"p of {name}", p)
    passed = primary in known and known[primary] <= alpha
    others = [name for name in known if name != primary]
    adjusted = dict(zip(others, holm([known[name] for name in others]), strict=True))
    found = [name for name in others if passed and adjusted[name] <= alpha]
    return Verdicts(
        primary=primary,
        passed=passed,
        adjusted=adjusted,
        findings=(primary, *found) if passed else (),
        leads=tuple(name for name in others if known[name] <= alpha and name not in found),
        alpha=alpha,
    )
