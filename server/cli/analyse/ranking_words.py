"""How the command line says what rankings were found to support."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from server.cli.telling import tell_many, tell_number, tell_p

if TYPE_CHECKING:
    from server.stats.friedman import Friedman
    from server.stats.page import Page
    from server.stats.paired_answers import SignTest
    from server.stats.rank_differences import Differences, Pair
    from server.stats.ranking import RankingResult


def tell_ranking(result: "RankingResult") -> Iterator[str]:
    yield (
        f"{tell_many(len(result.assessors), 'assessor')} ranked "
        f"{tell_many(len(result.samples), 'sample')}; "
        "rank 1 is first" + (f"; {result.tied} of them tied some" if result.tied else "")
    )
    sums = sorted(zip(result.rank_sums, result.samples, strict=True), key=lambda one: one[0])
    yield "Rank sums: " + ", ".join(f"{name} {total:g}" for total, name in sums)
    yield from _tell_friedman(result.friedman)
    if result.p_value is not None:
        found = "was" if result.detected else "was not"
        yield f"A difference {found} detected at alpha {result.alpha:g} ({result.distribution})."
    if result.signs is not None:
        yield _tell_signs(result.signs, result.samples)
    if result.page is not None:
        yield from _tell_page(result.page)
        found = "was" if result.trend_detected else "was not"
        yield f"A trend along that order {found} detected at alpha {result.alpha:g}."
    yield from _tell_differences(result.differences)
    yield from result.notes


def _tell_friedman(friedman: "Friedman") -> Iterator[str]:
    if friedman.chi_square is None:
        return
    test = friedman.chi_square
    exact = "" if friedman.p_exact is None else f"p {tell_p(friedman.p_exact)} exact; "
    yield (
        f"Friedman {test.statistic:.3f}, {exact}chi-square p {tell_p(test.p_value)}, df {test.df}"
    )
    if friedman.f_form is not None:
        form = friedman.f_form
        yield (
            f"As F {form.statistic:.3f}, df {form.df[0]} and {form.df[1]}, p {tell_p(form.p_value)}"
        )
    yield f"Agreement of the assessors (Kendall's W) {tell_number(friedman.agreement)}"


def _tell_signs(signs: "SignTest", samples: tuple[str, ...]) -> str:
    one, other = samples
    return (
        f"{one} before {other}: {signs.plus}; {other} before {one}: {signs.minus}; "
        f"sign test p {tell_p(signs.exact_two_sided)}, two-sided, exact"
    )


def _tell_page(page: "Page") -> Iterator[str]:
    yield (
        f"Page L {page.statistic:g} along {', '.join(page.order)}; "
        f"orders at random: {page.expected:.1f} on average"
    )
    exact = "" if page.p_exact is None else f"p {tell_p(page.p_exact)} exact, one-sided"
    normal = (
        ""
        if page.p_normal is None
        else f"z {tell_number(page.z)}, normal p {tell_p(page.p_normal)}"
    )
    if exact or normal:
        yield "; ".join(part for part in (exact, normal) if part)


def _tell_differences(found: "Differences") -> Iterator[str]:
    yield (
        f"Least significant difference of one pair at {found.alpha:g}: "
        f"{_tell_exact(found.least_exact, found.one_pair)}{tell_number(found.least)} normal"
    )
    yield (
        f"Of all pairs at once: {_tell_exact(found.honest_exact, found.all_pairs)}"
        f"{tell_number(found.honest)} by the studentised range"
    )
    yield from (_tell_pair(pair) for pair in found.pairs)


def _tell_pair(pair: "Pair") -> str:
    if not pair.difference:
        return f"{pair.first} and {pair.second} have equal rank sums"
    beyond = "beyond both" if pair.apart_among_all and pair.apart_alone else ""
    if not beyond:
        beyond = "beyond that of one pair only" if pair.apart_alone else "within"
    return (
        f"{pair.first} before {pair.second} by {pair.difference:g} ({beyond}); "
        f"as one pair p {tell_p(pair.p_one_pair)}, among all p {tell_p(pair.p_all_pairs)}"
    )


def _tell_exact(difference: float | None, origin: str) -> str:
    if origin != "exact":
        return ""
    return "none exact, " if difference is None else f"{difference:g} exact, "
