"""How the command line says what several answers of each assessor support."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from server.cli.telling import tell_limits, tell_many, tell_number, tell_p

if TYPE_CHECKING:
    from server.stats.betabinomial import BetaBinomialFit
    from server.stats.replicated_similarity import ReplicatedSimilarity
    from server.stats.replicates import ReplicatesResult

FEWER = "tasters like these would on average notice the difference in fewer than"


def tell_replicated(result: "ReplicatesResult") -> list[str]:
    """Return the finding line by line, each note once."""
    lines = [*_tell_pooled(result), *_tell_differences(result), *_tell_people(result)]
    fits = [result.beta_binomial, *([result.corrected] if result.corrected else [])]
    notes = [
        *result.notes,
        *result.dispersion.notes,
        *(note for fit in fits for note in fit.notes),
        *result.mean_against_chance.notes,
    ]
    return [*lines, *dict.fromkeys(notes)]


def tell_similarity(judged: "ReplicatedSimilarity") -> list[str]:
    """Return the finding of a similarity test line by line."""
    share = f"{100 * judged.limit:g} %"
    sentences = {
        True: f"At a risk of {judged.beta:g}: {FEWER} {share} of their answers.",
        False: f"It was not shown that {FEWER} {share} of their answers.",
        None: f"No conclusion on whether {FEWER} {share} of their answers.",
    }
    return [sentences[judged.similar], *judged.notes]


def _tell_pooled(result: "ReplicatesResult") -> Iterator[str]:
    yield from _tell_one_sided(result) if result.sided == "one" else _tell_two_sided(result)
    if result.all_guessing is not None:
        yield (
            "How the correct answers fall on assessors, against guessing alone: "
            f"p {tell_p(result.all_guessing.p_value)}, from {result.all_guessing.draws} drawn "
            f"panels, seed {result.seed}"
        )


def _tell_one_sided(result: "ReplicatesResult") -> Iterator[str]:
    pooled = result.pooled
    yield (
        f"{_tell_size(result)}, {pooled.correct} correct; "
        f"guessing alone: {result.chance * pooled.trials:.1f} on average"
    )
    yield (
        f"All answers pooled: p {tell_p(pooled.p_value)}, one-sided, exact; "
        f"correct answers needed at alpha {result.alpha:g}: {_tell_critical(result)}"
    )
    yield "A difference was detected." if pooled.detected else "A difference was not detected."


def _tell_two_sided(result: "ReplicatesResult") -> Iterator[str]:
    pooled = result.pooled
    yield (
        f"{_tell_size(result)}, {pooled.correct} for the sample counted; "
        f"an even split: {pooled.trials / 2:.1f}"
    )
    yield (
        f"All answers pooled: p {tell_p(pooled.p_value)}, two-sided, exact; "
        f"larger count needed at alpha {result.alpha:g}: {_tell_critical(result)}"
    )
    found = "was detected" if pooled.detected else "was not detected"
    yield f"A departure from an even split {found}."


def _tell_size(result: "ReplicatesResult") -> str:
    least, most = min(result.trials), max(result.trials)
    each = f"{least} each" if least == most else f"{least} to {most} each"
    people = tell_many(result.assessors, "assessor")
    return f"{people}, {tell_many(result.pooled.trials, 'answer')} ({each})"


def _tell_critical(result: "ReplicatesResult") -> str:
    return "none" if result.pooled.critical is None else str(result.pooled.critical)


def _tell_differences(result: "ReplicatesResult") -> Iterator[str]:
    spread = result.dispersion
    if spread.tarone_z is not None and spread.tarone_p is not None:
        yield (
            f"Do assessors differ by more than chance? Tarone's Z {spread.tarone_z:.3f}, "
            f"p {tell_p(spread.tarone_p)}; gamma by moments "
            f"{tell_number(spread.gamma_by_people)} ({tell_number(spread.gamma_by_freedom)} "
            "with one person less as divisor)"
        )
    counted = "correct" if result.sided == "one" else "for that sample"
    yield from _tell_fit(f"Proportion {counted}, mean of assessors", result.beta_binomial)
    if result.corrected is not None:
        yield from _tell_fit(
            "Share of answers that noticed the difference, mean of assessors", result.corrected
        )


def _tell_fit(what: str, fit: "BetaBinomialFit") -> Iterator[str]:
    yield f"{what} {tell_number(fit.mean)}{tell_limits(fit.mean_interval)}"
    if fit.gamma is not None:
        yield f"  gamma {tell_number(fit.gamma)}{tell_limits(fit.gamma_interval)}"
    if fit.against_binomial is not None:
        yield (
            f"  likelihood ratio against gamma 0: {fit.against_binomial.statistic:.3f}, "
            f"p {tell_p(fit.against_binomial.p_value)} (half chi-square)"
        )


def _tell_people(result: "ReplicatesResult") -> Iterator[str]:
    mean = result.mean_against_chance
    if mean.p_value is not None:
        apart = "above guessing" if result.sided == "one" else "apart from an even split"
        yield (
            f"Mean of people like these {apart}: p {tell_p(mean.p_value)}, "
            f"approximate (t, {mean.df} degrees of freedom)"
        )
    if result.corrected is not None:
        yield (
            "Largest mean share of noticed differences the data still allow: "
            f"{tell_number(result.share_upper)}"
        )
    yield f"Limits at {result.level:.4g}, by profile likelihood, two-sided; the largest one-sided."
