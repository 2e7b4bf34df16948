"""How the command line says what just-about-right answers have to do with liking."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from server.cli.telling import tell_limits, tell_number, tell_p

if TYPE_CHECKING:
    from server.stats.jar import JustAboutRight, Side
    from server.stats.t_tests import TTest


def tell_jar(
    found: "Mapping[str, JustAboutRight]", adjusted: Mapping[str, float | None]
) -> Iterator[str]:
    for sample, one in found.items():
        yield f"{sample + ': ' if sample else ''}{_tell_people(one.n)}, mean liking {one.mean:.3f}"
        yield from _tell_sample(one)
        if len(found) > 1 and adjusted[sample] is not None:
            yield f"  Over {len(found)} samples (Holm): p {tell_p(adjusted[sample] or 0.0)}"
        yield from (f"  {note}" for note in one.notes)
    yield f"Limits at {next(iter(found.values())).level:.4g}, by Welch, each on its own."


def _tell_people(n: int) -> str:
    return f"{n} {'person' if n == 1 else 'people'}"


def _tell_sample(one: "JustAboutRight") -> Iterator[str]:
    right = one.right
    yield _tell_side("low", one.low)
    yield f"  right: {right.n}, {100 * right.share:.1f} %, mean liking {tell_number(right.mean)}"
    yield _tell_side("high", one.high)
    yield (
        f"  Penalty {tell_number(one.penalty)}{tell_limits(one.penalty_interval)}; "
        f"Welch {_tell_test(one.welch)}"
    )
    yield f"  With one common variance: {_tell_test(one.pooled)}"


def _tell_side(name: str, side: "Side") -> str:
    few = ", few" if side.small else ""
    return (
        f"  {name}: {side.n}, {100 * side.share:.1f} %{few}, "
        f"mean liking {tell_number(side.mean)}, drop {tell_number(side.drop)}"
        f"{tell_limits(side.drop_interval)}, weighted {tell_number(side.weighted_drop)}"
    )


def _tell_test(test: "TTest | None") -> str:
    if test is None:
        return "not estimable"
    return f"t {test.t:.3f} on {test.df:.2f} degrees of freedom, p {tell_p(test.p_value)}"
