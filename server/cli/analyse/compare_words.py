"""How the command line says how several tests compare."""

from collections.abc import Iterator, Mapping
from typing import Any

from server.cli.analyse.open_words import tell_open
from server.cli.telling import tell_number, tell_p

Members = Mapping[str, Any]


def tell_comparison(compared: Members) -> Iterator[str]:
    if compared["distances"] is not None:
        yield from _tell_distances(compared["distances"])
    for shares in compared["shares"]:
        yield from _tell_shares(shares)
    yield f"Limits at {compared['level']:.4g}; adjusted: for all pairs of a list, by Holm's method."
    yield from compared["notes"]


def _tell_distances(distances: Members) -> Iterator[str]:
    yield "Distances (d′, likelihood limits)"
    for one in distances["tests"]:
        yield (
            f"  {one['test']}: {one['correct']} of {one['trials']} correct ({one['method']}), "
            f"d′ {tell_number(one['d_prime'])}, {tell_open(one['d_prime_interval'])}"
        )
    yield (
        f"  in common: d′ {tell_number(distances['common'])}, "
        f"{tell_open(distances['common_interval'])}"
    )
    yield f"All equal: {_tell_test(distances)}"
    for pair in distances["pairs"]:
        yield (
            f"  {pair['first']} minus {pair['second']}: {tell_number(pair['difference'])}, "
            f"{tell_open(pair['interval'])}; {_tell_pair_p(pair)}"
        )


def _tell_shares(shares: Members) -> Iterator[str]:
    yield f"Rates ({shares['method']})"
    for one in shares["tests"]:
        share = "" if one["pd"] is None else f"; share {one['pd']:.3f}"
        if one["pd_interval"] is not None:
            share += f", {tell_open(one['pd_interval'])}"
        yield (
            f"  {one['test']}: {one['correct']} of {one['trials']}, {one['pc']:.3f}, "
            f"{tell_open(one['pc_interval'])}{share}"
        )
    yield f"All equal: {_tell_equality(shares['equality'])}"
    for pair in shares["pairs"]:
        yield (
            f"  {pair['first']} minus {pair['second']}: rate {pair['difference']:.3f}, "
            f"{tell_open(pair['interval'])}; exact {_tell_pair_p(pair)}"
        )
        if pair["pd_difference"] is not None:
            yield f"    share {pair['pd_difference']:.3f}, {tell_open(pair['pd_interval'])}"


def _tell_equality(equality: Members) -> str:
    if equality["exact"] is not None:
        return f"p {tell_p(equality['exact'])}, exact"
    if equality["pearson"] is not None:
        return _tell_chi_square("Pearson", equality["pearson"])
    return "not estimable"


def _tell_test(distances: Members) -> str:
    """Say the test to go by."""
    if distances["used"] == "wald":
        return _tell_chi_square("Wald", distances["wald"])
    return _tell_chi_square("likelihood ratio", distances["likelihood_ratio"])


def _tell_chi_square(name: str, test: Members) -> str:
    p, statistic = tell_p(test["p_value"]), test["statistic"]
    return f"p {p}, {name}: chi-square {statistic:.3f}, df {test['df']}"


def _tell_pair_p(pair: Members) -> str:
    return f"p {tell_p(pair['p_value'])}, adjusted {tell_p(pair['p_adjusted'])}"
