"""How the command line says how far a panel agrees, and who does not."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from server.cli.telling import tell_p

if TYPE_CHECKING:
    from server.sheets.agreement import Agreement
    from server.sheets.analysis import Attribute
    from server.sheets.order import OrderTests
    from server.sheets.panel import Scaling, Work

MOST_NAMED = 3


def tell_agreement(found: "Agreement") -> Iterator[str]:
    one, limits = found.icc["2,1"], ""
    if one.interval is not None:
        limits = f" ({one.interval.low:.2f} to {one.interval.high:.2f})"
    yield (
        f"Agreement: one assessor ICC(2,1) {_round(one.value)}{limits}, "
        f"panel mean ICC(3,k) {_round(found.icc['3,k'].value)}, "
        f"Kendall's W {_round(found.kendall_w)}, "
        f"Krippendorff's α {_round(found.krippendorff_interval)}"
    )


def tell_disagreement(one: "Attribute", alpha: float) -> Iterator[str]:
    test = one.samples.interaction
    if test is not None:
        beyond = "more" if test.p_value <= alpha else "no more"
        yield (
            f"Assessors disagree on the samples {beyond} than repeat error explains, "
            f"p {tell_p(test.p_value)}"
        )
    against = [
        f"{name} (r {work.agreement_r:.2f})"
        for name, work in one.assessors.items()
        if work.agreement_r is not None and work.agreement_r < 0
    ]
    if against:
        yield f"Against the rest of the panel: {_list_some(against)}"
    yield from _tell_shares(one.assessors)
    yield from _tell_scaling(one.scaling, one.assessors)


def tell_order(order: "OrderTests | None") -> Iterator[str]:
    if order is None:
        return
    tests = {
        "position": order.position,
        "the cup before": order.carry_over,
        "sitting": order.sitting,
        "drift": order.drift,
    }
    told = [f"{name} p {tell_p(test.p_value)}" for name, test in tests.items() if test]
    if told:
        yield f"Serving order: {', '.join(told)}"


def _tell_shares(assessors: Mapping[str, "Work"]) -> Iterator[str]:
    """Yield who makes up most of the interaction; two share it alike by arithmetic."""
    shares = [
        (name, work.interaction_share)
        for name, work in assessors.items()
        if work.interaction_share is not None
    ]
    if len(shares) > 2:
        shares.sort(key=lambda one: -one[1])
        largest = ", ".join(f"{name} {share:.0%}" for name, share in shares[:MOST_NAMED])
        yield f"Largest shares of the disagreement: {largest} (alike: {1 / len(shares):.0%} each)"


def _tell_scaling(scaling: "Scaling", assessors: Mapping[str, "Work"]) -> Iterator[str]:
    slopes = [(work.slope, name) for name, work in assessors.items() if work.slope is not None]
    if not slopes:
        return
    least, most = min(slopes), max(slopes)
    told = f"Scale use: slopes {least[0]:.2f} ({least[1]}) to {most[0]:.2f} ({most[1]}), mean 1"
    if scaling.p_value is not None:
        told += f"; are they equal? p {tell_p(scaling.p_value)}"
    if scaling.sample_p_value is not None:
        told += f"; samples corrected for it, p {tell_p(scaling.sample_p_value)}"
    yield told


def _list_some(told: Sequence[str]) -> str:
    more = len(told) - MOST_NAMED
    return ", ".join(told[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _round(value: float | None) -> str:
    return "not estimable" if value is None else f"{value:.2f}"
