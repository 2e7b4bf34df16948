"""What a finding says of groups of seats that were declared to be looked at besides."""

from collections.abc import Iterator

from server.reports.analysis import Analysis
from server.reports.display import show_p
from server.reports.grouped import GroupResult
from server.reports.numbers import NumberLine

LABEL = "Secondary, “{label}” (seats {seats})"
VALUE = "{k} of {n} right, p {p}, after Holm {adjusted}: {outcome}"
LEAD = "{k} of {n} right (not as planned)"
EMPTY = "no answer counts"
OUTCOMES = {
    True: "reaches the planned level by itself",
    False: "does not reach the planned level by itself",
}
SECONDARY = (
    "Groups of seats were declared to be looked at besides: each is tested by itself, adjusted "
    "to the others (Holm), and decides nothing of the whole."
)
NOT_UNLIKE = (
    "That one group reaches the level and another does not says nothing of how they differ."
)


def list_group_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List a line for each group."""
    return tuple(_show_group(analysis, one, n) for n, one in enumerate(analysis.groups, 1))


def limit_groups(analysis: Analysis) -> Iterator[str]:
    """Say that groups are secondary, if there are any."""
    if not analysis.groups:
        return
    yield SECONDARY
    found = {one.detected for one in analysis.groups}
    if len(found) > 1 and not analysis.exploratory:
        yield NOT_UNLIKE


def _show_group(analysis: Analysis, one: GroupResult, number: int) -> NumberLine:
    label = LABEL.format(label=one.label, seats=", ".join(map(str, one.seats)))
    if not one.trials:
        return NumberLine(f"group_{number}", label, EMPTY)
    value = LEAD if analysis.exploratory else VALUE
    said = value.format(
        k=one.correct,
        n=one.trials,
        p=show_p(one.p_value),
        adjusted=show_p(one.adjusted),
        outcome=OUTCOMES[one.detected],
    )
    return NumberLine(f"group_{number}", label, said)
