"""How the command line says what ticked words were found to support."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from server.cli.telling import tell_p

if TYPE_CHECKING:
    from server.stats.cochran_q import AnswerPair
    from server.stats.tick_all import TickAll, Word


def tell_tick_all(result: "TickAll") -> Iterator[str]:
    yield (
        f"{len(result.words)} words, {len(result.assessors)} assessors, "
        f"{len(result.samples)} samples; alpha {result.alpha:g} for all words together"
    )
    for name, word in result.words.items():
        yield f"{name}: {_judge(word)}{_tell_test(word)}"
        if word.assessors:
            yield f"  ticked by {_tell_counts(word)} of {word.assessors}"
        if word.finding or word.lead:
            yield from _tell_pairs(word)
        yield from (f"  {note}" for note in word.notes)
    yield from result.notes


def _judge(word: "Word") -> str:
    if word.finding:
        return "differs between the samples"
    return "a lead, not a finding" if word.lead else "no difference detected"


def _tell_test(word: "Word") -> str:
    if word.chi_square is None or word.p_value is None or word.p_holm is None:
        return ""
    q = word.chi_square
    origin = "exact" if word.distribution == "exact" else "chi-square"
    return (
        f" (Q {q.statistic:.3f}, df {q.df}, p {tell_p(word.p_value)} {origin}; "
        f"among all words p {tell_p(word.p_holm)})"
    )


def _tell_counts(word: "Word") -> str:
    return ", ".join(f"{sample} {count}" for sample, count in word.ticks.items())


def _tell_pairs(word: "Word") -> Iterator[str]:
    apart = [pair for pair in word.pairs if pair.apart]
    yield from (f"  {_tell_pair(pair)}" for pair in apart)
    if not apart:
        yield "  no pair of samples stands apart by itself"


def _tell_pair(pair: "AnswerPair") -> str:
    return (
        f"{pair.first} only {pair.first_only}, {pair.second} only {pair.second_only}: "
        f"p {tell_p(pair.p_holm)} among all pairs"
    )
