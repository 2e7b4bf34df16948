"""How the command line says what counts were found to support."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from server.cli.telling import tell_limits, tell_number, tell_p

if TYPE_CHECKING:
    from server.methods.base import Counted
    from server.stats.counts import CountsResult
    from server.stats.shares import ShareLimits
    from server.stats.similarity import SimilarityResult


def tell_counts(method: "Counted", result: "CountsResult") -> Iterator[str]:
    yield from _tell_one_sided(result) if method.sided == "one" else _tell_two_sided(result)
    yield f"Largest such share the data still allow: {tell_number(result.pd_upper)}"
    if not method.model.without_d_prime:
        yield f"d′ {tell_number(result.d_prime)}{tell_limits(result.d_prime_interval)}"
    yield f"Limits at {result.level:.4g}, exact, two-sided; the largest share one-sided."
    yield from result.notes


def _tell_one_sided(result: "CountsResult") -> Iterator[str]:
    yield (
        f"{result.correct} of {result.trials} correct; guessing alone: "
        f"{result.chance * result.trials:.1f} on average"
    )
    yield (
        f"p {tell_p(result.p_value)}, one-sided, exact; "
        f"correct answers needed at alpha {result.alpha:g}: {_tell_critical(result)}"
    )
    yield "A difference was detected." if result.detected else "A difference was not detected."
    yield f"Proportion correct {result.pc:.3f}{tell_limits(result.pc_interval)}"
    yield (
        "Share of judgements in which the difference was noticed (guessing model) "
        f"{result.pd:.3f}{tell_limits(result.pd_interval)}"
    )


def _tell_two_sided(result: "CountsResult") -> Iterator[str]:
    yield (
        f"{result.correct} of {result.trials} for the sample counted; "
        f"an even split: {result.trials / 2:.1f}"
    )
    yield (
        f"p {tell_p(result.p_value)}, two-sided, exact; "
        f"larger count needed at alpha {result.alpha:g}: {_tell_critical(result)}"
    )
    found = "was detected" if result.detected else "was not detected"
    yield f"A departure from an even split {found}."
    yield f"Proportion for that sample {result.pc:.3f}{tell_limits(result.pc_interval)}"
    yield (
        "Distance from an even split, as a share of all answers "
        f"{result.pd:.3f}{tell_limits(result.pd_interval)}"
    )


def tell_share_limits(limits: "ShareLimits") -> Iterator[str]:
    raw = limits.raw
    yield f"Share, {limits.form} form, not cut off at 0: {raw.share:.3f}"
    if raw.low is not None:
        yield (
            f"  two-sided limits {tell_number(raw.low)} to {tell_number(raw.high)}; one-sided: "
            f"lower {tell_number(raw.lower)}, or upper {tell_number(raw.upper)}"
        )
    yield from limits.notes


def tell_similarity(method: "Counted", result: "SimilarityResult") -> Iterator[str]:
    limit = f"{100 * result.limit:.4g} %"
    counted = "correct answers" if method.sided == "one" else "answers for either sample"
    most = "none" if result.most_correct is None else str(result.most_correct)
    yield f"Similarity at a limit of {limit}, beta {result.beta:g}: most {counted} allowed: {most}"
    yield f"One-sided upper limit at {1 - result.beta:.4g}: {tell_number(result.upper)}"
    yield _tell_conclusion(result, limit, two_sided=method.sided == "two")
    yield from result.notes


def _tell_conclusion(result: "SimilarityResult", limit: str, two_sided: bool) -> str:
    if result.similar is None:
        return "Nothing can be concluded about similarity."
    if not result.similar:
        return f"Similarity was not shown: a share of {limit} or more is not excluded."
    risk = f" (risk of a wrong pass {result.beta:g} at most)"
    if two_sided:
        return f"Such answers would be less than {limit} away from an even split{risk}."
    return f"Fewer than {limit} of such tasters would notice the difference{risk}."


def _tell_critical(result: "CountsResult") -> str:
    return "none" if result.critical is None else str(result.critical)
