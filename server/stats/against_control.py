"""Samples scored for their difference from a control, each against the blind control itself."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.multiple import holm
from server.stats.sign_flips import TOO_FINE, flip_signs

NOBODY = "Nobody scored {} and the control."
TOO_FEW = "With {} people no p-value falls below {:.4g} before it is adjusted."


@dataclass(frozen=True)
class Compared:
    """One sample against the blind control.

    Attributes
    ----------
    sample : str
    people : int
        Who scored both.
    mean, control : float or None
        Mean score of the sample and of the blind control, by those people.
    difference : float or None
        Mean of their differences, sample less control.
    lower, upper : float or None
        Limits of the difference; each holds at `alpha` for all samples together (Bonferroni).
    p_value : float or None
        Exact, one-sided: the sample is scored further from the control than the control.
    p_adjusted : float or None
        The same, adjusted for all samples (Holm).
    apart : bool
        Whether `p_adjusted` is at most `alpha`.
    """

    sample: str
    people: int
    mean: float | None = None
    control: float | None = None
    difference: float | None = None
    lower: float | None = None
    upper: float | None = None
    p_value: float | None = None
    p_adjusted: float | None = None
    apart: bool = False


@dataclass(frozen=True)
class AgainstControl:
    """All samples against the blind control.

    Attributes
    ----------
    control : str
    base : float or None
        Mean score of the blind control, of everybody who scored it.
    samples : tuple of Compared
        In the order given.
    p_value : float or None
        The smallest adjusted one: of no sample being further off than the control itself.
    alpha : float
    notes : tuple of str
        Why something is None.
    """

    control: str
    base: float | None
    samples: tuple[Compared, ...]
    p_value: float | None
    alpha: float
    notes: tuple[str, ...]


def compare_with_control(
    scores: Mapping[str, Mapping[str, float]],
    control: str,
    samples: Sequence[str],
    alpha: float = 0.05,
) -> AgainstControl:
    """Compare every sample with the blind control, person by person.

    Parameters
    ----------
    scores : mapping of str to mapping of str to float
        Person to sample to score; the control among the samples. One score a person and
        sample: the mean where somebody scored it several times.
    control : str
        The sample that is the control under a code.
    samples : sequence of str, length k
        The others.
    alpha : float
        Level of all comparisons together.

    Returns
    -------
    AgainstControl

    Raises
    ------
    ValueError
        If `alpha` is out of range, or there is no sample beside the control.

    Notes
    -----
    A difference is also found between the control and itself: what counts is how much more
    a sample gets than that. Everybody is their own pair. If a sample is no further off, a
    person would give either cup either score, which is tested exactly (`sign_flips`), and
    adjusted by Holm, whose level holds however the samples depend on each other through the
    control they share.

    Examples
    --------
    >>> scores = {str(n): {"A": 1, "B": 1 + n % 3, "C": 4} for n in range(8)}
    >>> found = compare_with_control(scores, "A", ["B", "C"])
    >>> [(one.sample, one.difference, one.p_adjusted) for one in found.samples]
    [('B', 0.875, 0.03125), ('C', 3.0, 0.0078125)]
    """
    check_open_unit("alpha", alpha)
    others = [one for one in samples if one != control]
    if not others:
        raise ValueError("samples must hold one beside the control, not none")
    found = [_compare(scores, control, one, alpha / len(others)) for one in others]
    adjusted = _adjust(found)
    compared = tuple(
        Compared(
            **{**vars(one), "p_adjusted": p, "apart": p is not None and reaches(p, alpha)},
        )
        for one, p in zip(found, adjusted, strict=True)
    )
    based = [mine[control] for mine in scores.values() if control in mine]
    return AgainstControl(
        control=control,
        base=_mean(based),
        samples=compared,
        p_value=min((p for p in adjusted if p is not None), default=None),
        alpha=alpha,
        notes=tuple(_note(compared, alpha)),
    )


def _compare(
    scores: Mapping[str, Mapping[str, float]], control: str, sample: str, alpha: float
) -> Compared:
    pairs = [
        (mine[sample], mine[control])
        for _, mine in sorted(scores.items())
        if sample in mine and control in mine
    ]
    if not pairs:
        return Compared(sample, 0)
    found = flip_signs([one - other for one, other in pairs], alpha)
    return Compared(
        sample=sample,
        people=len(pairs),
        mean=_mean([one for one, _ in pairs]),
        control=_mean([other for _, other in pairs]),
        difference=found.mean,
        lower=found.lower,
        upper=found.upper,
        p_value=found.p_value,
    )


def _adjust(found: Sequence[Compared]) -> list[float | None]:
    known = [one.p_value for one in found if one.p_value is not None]
    # What could not be tested stays in the family, as if it had failed.
    adjusted = iter(holm([*known, *[1.0] * (len(found) - len(known))]))
    return [None if one.p_value is None else next(adjusted) for one in found]


def _note(compared: Sequence[Compared], alpha: float) -> list[str]:
    notes = [NOBODY.format(one.sample) for one in compared if not one.people]
    if any(one.people and one.p_value is None for one in compared):
        notes.append(TOO_FINE)
    fewest = min((one.people for one in compared if one.people), default=0)
    if fewest and not reaches(0.5**fewest * len(compared), alpha):
        notes.append(TOO_FEW.format(fewest, 0.5**fewest))
    return notes


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None
