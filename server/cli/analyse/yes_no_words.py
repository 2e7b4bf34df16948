"""How the command line says what an A-not-A or a same-different test was found to support."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from server.cli.analyse.open_words import tell_open
from server.cli.telling import tell_limits, tell_number, tell_p

if TYPE_CHECKING:
    from server.stats.paired_answers import SignTest
    from server.stats.results import ChiSquare
    from server.stats.yes_no import YesNoResult

KINDS = {
    "a-not-a": ("A", "servings of A", "servings of not A"),
    "same-different": ("same", "same pairs", "different pairs"),
}
TESTS = {
    "fisher": "exact (Fisher)",
    "mcnemar": "exact, by changed answers (McNemar)",
    "within assessors": "exact, within assessors",
}


def tell_yes_no(result: "YesNoResult") -> Iterator[str]:
    word, first, second = KINDS[result.design]
    rates, distance = result.rates, result.distance
    yield (
        f"Answered {word}: {rates.first_yes} of {rates.first} {first}, "
        f"{rates.second_yes} of {rates.second} {second}"
    )
    yield f"Difference of the rates {rates.difference:.3f}{tell_limits(rates.difference_interval)}"
    yield f"p {tell_p(result.p_value)}, one-sided, {TESTS[result.used]}"
    yield f"Chi-square {_tell_chi_square(rates.pearson)}"
    yield f"Chi-square with correction {_tell_chi_square(rates.yates)}"
    if result.paired is not None:
        yield from _tell_changes(result.paired)
    yield (
        f"d′ {tell_number(distance.d_prime)}, {tell_open(distance.d_prime_interval)}; "
        f"criterion {tell_number(distance.criterion)}"
    )
    yield f"Limits at {result.level:.4g}; those of d′ by likelihood, those of the rates by score."
    yield from result.notes


def _tell_changes(paired: "SignTest") -> Iterator[str]:
    yield f"Two different answers: {paired.plus} in line with the servings, {paired.minus} against"
    yield f"McNemar {_tell_chi_square(paired.chi_square)}"
    yield f"McNemar with correction {_tell_chi_square(paired.corrected)}"


def _tell_chi_square(test: "ChiSquare | None") -> str:
    if test is None:
        return "not estimable"
    return f"{test.statistic:.3f}, df {test.df}, p {tell_p(test.p_value)}, two-sided"
