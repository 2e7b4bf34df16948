"""How the command line says what a test needs and what it can find."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from server.cli.telling import tell_many, tell_number

if TYPE_CHECKING:
    from server.methods.base import Counted
    from server.stats.reach import Reach
    from server.stats.replicated_power import ReplicatedPower
    from server.stats.side_by_side import MethodNeed, SideBySide

NO_FINITE_D_PRIME = "d′ is not estimable: every answer would be correct."
COLUMNS = "{:<18}{:>9}{:>9}{:>9}{:>9}"


def tell_plan(method: "Counted", planned: dict[str, Any]) -> Iterator[str]:
    yield f"To find {_tell_size(method, planned['share'], planned['d_prime'])}"
    yield f"at alpha {planned['alpha']:g}, {method.sided}-sided, with power {planned['power']:g}:"
    critical = _tell_critical(method, planned["critical"])
    yield f"{tell_many(planned['trials'], 'answer')}, significant from {critical}"
    yield f"Exactly, alpha {planned['achieved_alpha']:.4f}, power {planned['achieved_power']:.4f}"
    yield f"From {planned['trials_stable']} answers on, any number of answers has that power."
    if planned["d_prime"] is None:
        yield method.model.without_d_prime or NO_FINITE_D_PRIME


def tell_reach(method: "Counted", reach: "Reach") -> Iterator[str]:
    if reach.share is not None and reach.critical is not None:
        yield (
            f"{tell_many(reach.trials, 'answer')}, "
            f"significant from {_tell_critical(method, reach.critical)} "
            f"at alpha {reach.alpha:g}, {method.sided}-sided (exactly {reach.achieved_alpha:.4f})"
        )
        yield (
            f"They find {_tell_size(method, reach.share, reach.d_prime)} "
            f"with power {reach.power:g}, a smaller one less often."
        )
    yield from reach.notes


def tell_side_by_side(found: "SideBySide") -> Iterator[str]:
    yield f"To find d′ {found.d_prime:g} at alpha {found.alpha:g} with power {found.power:g}:"
    yield COLUMNS.format("method", "cups", "answers", "correct", "stable")
    for need in found.methods:
        if need.cups is not None:
            cells = (need.cups, need.trials, need.critical, need.trials_stable)
            yield COLUMNS.format(need.method, *cells)
    yield from _tell_notes(found.methods)
    yield from found.notes


def tell_panel(found: "ReplicatedPower") -> Iterator[str]:
    yield (
        f"Assessors {found.assessors}, answers of each {found.replicates}, of all {found.trials}; "
        f"mean share {found.share:.3f}, over-dispersion {found.gamma:g}"
    )
    if found.critical is not None:
        yield (
            f"Significant from {found.critical} correct at alpha {found.alpha:g}, one-sided "
            f"(exactly {found.achieved_alpha:.4f})"
        )
        yield (
            f"Power {found.power:.4f}, exactly; {found.binomial_power:.4f} "
            "if all noticed it equally often"
        )
    inflation = tell_number(found.variance_inflation)
    yield f"Variance of the number correct, relative to that: {inflation}"
    yield from found.notes


def _tell_size(method: "Counted", share: float, d_prime: float | None) -> str:
    """Say a difference by its share, its proportion and, where there is one, its d′."""
    chance = method.model.chance
    percent = 100 * (chance + (1 - chance) * share)
    distance = "" if d_prime is None else f", d′ {d_prime:.3f}"
    answers = "correct answers" if method.sided == "one" else "of answers for one of the samples"
    return f"a share of {share:.3f} ({percent:.1f} % {answers}{distance})"


def _tell_critical(method: "Counted", critical: int) -> str:
    return f"{critical} correct" if method.sided == "one" else f"{critical} for the same sample"


def _tell_notes(methods: "tuple[MethodNeed, ...]") -> Iterator[str]:
    """Say each note once, with the methods it is of."""
    for note in dict.fromkeys(need.note for need in methods if need.note):
        names = ", ".join(need.method for need in methods if need.note == note)
        yield f"{names}: {note}"
