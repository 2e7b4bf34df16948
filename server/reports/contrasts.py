"""How the contrast that a plan names limits what its finding says."""

from collections.abc import Sequence

from server.blinding.plans import Plan
from server.reports import claim_words, next_words
from server.reports import contrast_words as words
from server.reports.ladder_words import STEP
from server.reports.soak_protocol import say_soak
from server.reports.verdicts import Verdict

CLEAN = {Verdict.TOLD_APART, Verdict.LEANS, Verdict.FEW_TOLD_APART}
"""Told apart, and nothing stands beside the contrast as a cause."""

NOT_SHOWN = {
    Verdict.NO_LEAN,
    Verdict.FEW,
    Verdict.FEW_UNSHOWN,
    Verdict.FEW_OUT_OF_REACH,
    Verdict.NOT_OF_SIZE,
    Verdict.UNDECIDED,
    Verdict.NOT_DETECTED,
    Verdict.INCONCLUSIVE_WEAK,
    Verdict.INCONCLUSIVE_UNSHOWN,
    Verdict.INCONCLUSIVE_CONTROL_MISSED,
    Verdict.INCONCLUSIVE_CONTROL_SMALL,
    Verdict.INCONCLUSIVE_OUT_OF_REACH,
}
"""Nothing was told apart; what must not be made of that depends on the contrast."""


def say_of_contrast(plan: Plan, verdict: Verdict, rivals: bool) -> tuple[str, ...]:
    """Say what was told apart, as the contrast allows; nothing beside a rival cause.

    Parameters
    ----------
    plan : Plan
    verdict : Verdict
    rivals : bool
        Whether something else than the contrast may have made the samples differ.

    Returns
    -------
    tuple of str
    """
    if not plan.contrast or rivals:
        return ()
    if verdict in (Verdict.TOLD_APART, Verdict.FEW_TOLD_APART):
        return (words.TOLD_APART[plan.contrast],)
    return (words.SPEAKS_OF[plan.contrast],) if verdict in CLEAN | NOT_SHOWN else ()


def forbid_by_contrast(
    plan: Plan, verdict: Verdict, rivals: bool, forbidden: Sequence[str]
) -> tuple[str, ...]:
    """Say what the contrast cannot blame, or clear, in place of what holds of any."""
    contrast = plan.contrast
    if not contrast:
        return tuple(forbidden)
    if verdict in CLEAN and not rivals:
        general, own = claim_words.NOT_THE_PART, words.NOT_THE_CAUSE[contrast]
    elif verdict in NOT_SHOWN | CLEAN:
        general, own = claim_words.NOT_CLEAN, words.NOT_CLEAN[contrast]
    else:
        return tuple(forbidden)
    replaced = tuple(own if one == general else one for one in forbidden)
    return replaced if own in replaced else (*replaced, own)


def limit_by_contrast(plan: Plan) -> tuple[str, ...]:
    """Say what was compared, and what is no part of it."""
    return (words.LIMITS[plan.contrast],) if plan.contrast else ()


def record_soak(plan: Plan) -> tuple[str, ...]:
    """Say how the water stood with the part, as it was sealed."""
    if plan.contrast != words.SOAK or plan.bench is None or plan.bench.soak is None:
        return ()
    return (say_soak(plan.bench.soak),)


def record_manner(plan: Plan) -> tuple[str, ...]:
    """Say that cups were smelt only, and which step of a ladder it is."""
    smelt = (words.SMELT,) if plan.smell_only else ()
    if plan.ladder is None:
        return smelt
    return (*smelt, STEP.format(step=plan.ladder.step, title=plan.ladder.title))


def step_by_contrast(
    plan: Plan, verdict: Verdict, rivals: bool, steps: Sequence[str]
) -> tuple[str, ...]:
    """Add what the contrast asks for next; two brewers have no part with states."""
    if verdict not in CLEAN or rivals or plan.contrast not in words.NEXT:
        return tuple(steps)
    own = words.NEXT[plan.contrast]
    if plan.contrast == words.BREWERS:
        return tuple(own if one == next_words.NEXT_STATES else one for one in steps)
    return (*steps, own)
