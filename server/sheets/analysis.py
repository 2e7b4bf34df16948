"""All that a panel's score sheets support, attribute by attribute."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from server.sheets.agreement import Agreement, measure_agreement
from server.sheets.order import OrderTests, examine_order
from server.sheets.panel import Scaling, Work, describe_panel
from server.sheets.samples import Samples, compare_samples
from server.sheets.scores import Score, collect_ratings, group_scores
from server.stats.checks import check_open_unit
from server.stats.primary import Verdicts, judge_by_primary
from server.stats.ratings import Ratings
from server.stats.subsets import leave_out

NO_VALUES = "No score at all: nothing to analyse."
ABSENT = "{} has no score here: nothing is estimable."
WITHOUT = "Without {}: F = {:.3f} on {:.4g} and {:.4g} degrees of freedom, p = {:.4g}."
WITHOUT_NONE = "Without {} the samples cannot be tested."
FINDINGS = (
    "{} was declared primary and passed; findings: {}. The other attributes were judged after it, "
    "together at {:g} (Holm)."
)
NO_FINDING = "{} was declared primary and did not pass at {:g}: there is no finding."
LEADS = "Leads, not findings, each worth a test of its own: {}."
UNDECLARED = (
    "No attribute was declared primary beforehand. Of {} attributes without any difference, {:.2g} "
    "would still pass {:g} on average: what passes is a lead, not a finding."
)


@dataclass(frozen=True)
class Attribute:
    """What the scores of one attribute support.

    Attributes
    ----------
    samples : Samples
    agreement : Agreement
    assessors : dict of str to Work
    scaling : Scaling
    order : OrderTests or None
        None if no positions are known.
    against : tuple of str
        Assessors who go against the rest more than chance would explain.
    without : dict of str to Samples
        The samples compared without each of those.
    notes : tuple of str
        A sentence for all that is None, each once.
    """

    samples: Samples
    agreement: Agreement
    assessors: dict[str, Work]
    scaling: Scaling
    order: OrderTests | None
    against: tuple[str, ...]
    without: dict[str, Samples]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Analysis:
    """What a panel's score sheets support.

    Attributes
    ----------
    attributes : dict of str to Attribute
        In order of appearance; those without any value are missing.
    verdicts : Verdicts or None
        Which of them are findings; None if no primary attribute was declared.
    alpha : float
    notes : tuple of str
        On all attributes together, and on those missing.
    """

    attributes: dict[str, Attribute]
    verdicts: Verdicts | None
    alpha: float
    notes: tuple[str, ...]


def analyse_scores(
    scores: Sequence[Score], alpha: float = 0.05, primary: str | None = None
) -> Analysis:
    """Analyse a panel's scores, attribute by attribute.

    Parameters
    ----------
    scores : sequence of Score
        In any order; missing values are None, or their scores are not there.
    alpha : float
        Level of tests and differences, one minus that of intervals.
    primary : str, optional
        The attribute declared beforehand as the one that counts.

    Returns
    -------
    Analysis

    Raises
    ------
    ValueError
        If no score has a value, `alpha` is out of range, `primary` has no
        values, or only some scores of an attribute name their bowl.

    Examples
    --------
    >>> rows = [("ann", 3, 5), ("bo", 4, 7), ("cy", 2, 3)]
    >>> found = analyse_scores(
    ...     [Score(who, "X", "bitter", x) for who, x, _ in rows]
    ...     + [Score(who, "Y", "bitter", y) for who, _, y in rows]
    ... )
    >>> round(found.attributes["bitter"].samples.p_value, 6)
    0.07418
    """
    check_open_unit("alpha", alpha)
    grouped = group_scores(scores)
    known = {
        name: rows for name, rows in grouped.items() if any(one.value is not None for one in rows)
    }
    if not known:
        raise ValueError("scores must hold at least one value, not none")
    if primary is not None and primary not in known:
        raise ValueError(f"primary must be one of {', '.join(known)}, not {primary!r}")
    everybody = sorted({one.assessor for one in scores})
    everything = sorted({one.sample for one in scores})
    found = {
        name: analyse_attribute(rows, alpha, everybody, everything) for name, rows in known.items()
    }
    verdicts = None
    if primary is not None:
        p_values = {name: one.samples.p_value for name, one in found.items()}
        verdicts = judge_by_primary(p_values, primary, alpha)
    empty = [f"{name}: {NO_VALUES}" for name in grouped if name not in known]
    return Analysis(found, verdicts, alpha, (*_judge(verdicts, len(found), alpha), *empty))


def analyse_attribute(
    scores: Sequence[Score],
    alpha: float = 0.05,
    assessors: Sequence[str] = (),
    samples: Sequence[str] = (),
) -> Attribute:
    """Analyse the scores of one attribute.

    Parameters
    ----------
    scores : sequence of Score
    alpha : float
    assessors, samples : sequence of str
        Of the whole sheet: those without a value here are told to be missing.

    Returns
    -------
    Attribute

    Examples
    --------
    >>> scores = [Score("ann", "X", "bitter", 3), Score("ann", "Y", "bitter", 5)]
    >>> found = analyse_attribute(scores, assessors=["ann", "bo"])
    >>> found.samples.means, found.samples.p_value, found.assessors["bo"].level
    ({'X': 3.0, 'Y': 5.0}, None, None)
    """
    ratings = collect_ratings(scores)
    compared, of_samples = compare_samples(ratings, alpha)
    agreement, of_agreement = measure_agreement(ratings, alpha)
    panel = describe_panel(ratings, alpha)
    order, of_order = examine_order(scores, ratings)
    without = dict(_leave_out(ratings, panel.against, alpha))
    absent = [name for name in samples if name not in ratings.samples]
    away = [name for name in assessors if name not in ratings.assessors]
    notes = (
        *of_samples,
        *panel.turned,
        *(_tell_without(name, one) for name, one in without.items()),
        *(ABSENT.format(name) for name in (*absent, *away)),
        *panel.notes,
        *of_agreement,
        *of_order,
    )
    return Attribute(
        samples=compared.mention(absent),
        agreement=agreement,
        assessors=panel.assessors | {name: Work() for name in away},
        scaling=panel.scaling,
        order=order,
        against=panel.against,
        without=without,
        notes=tuple(dict.fromkeys(notes)),
    )


def _leave_out(
    ratings: Ratings, assessors: Sequence[str], alpha: float
) -> Iterator[tuple[str, Samples]]:
    for name in assessors:
        yield name, compare_samples(leave_out(ratings, name), alpha)[0]


def _tell_without(name: str, samples: Samples) -> str:
    if samples.f is None or samples.df is None or samples.p_value is None:
        return WITHOUT_NONE.format(name)
    return WITHOUT.format(name, samples.f, *samples.df, samples.p_value)


def _judge(verdicts: Verdicts | None, attributes: int, alpha: float) -> Iterator[str]:
    """Yield what may be called a finding."""
    if verdicts is None:
        if attributes > 1:
            yield UNDECLARED.format(attributes, attributes * alpha, alpha)
        return
    if verdicts.passed:
        yield FINDINGS.format(verdicts.primary, ", ".join(verdicts.findings), alpha)
    else:
        yield NO_FINDING.format(verdicts.primary, alpha)
    if verdicts.leads:
        yield LEADS.format(", ".join(verdicts.leads))
