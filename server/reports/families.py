"""What each family of methods says in its own way; whatever is not here all of them share.

How answers are added up and tested stands in `summing`, and the plan's numbers follow from
`Method.sided`.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no
from server.reports import claims, figures, limits, numbers, steps
from server.reports.analysis import Analysis
from server.reports.few import claims as few_claims
from server.reports.few import figures as few_figures
from server.reports.few import numbers as few_numbers
from server.reports.few import steps as few_steps
from server.reports.kinds import claims as kind_claims
from server.reports.kinds import figures as kind_figures
from server.reports.kinds import numbers as kind_numbers
from server.reports.numbers import NumberLine, ReadingLine
from server.reports.repeats import claims as repeat_claims
from server.reports.repeats import numbers as repeat_numbers
from server.reports.sides import claims as side_claims
from server.reports.sides import figures as side_figures
from server.reports.sides import numbers as side_numbers
from server.reports.sides import steps as side_steps
from server.reports.sides import tables as side_tables
from server.reports.stopping import claims as stop_claims
from server.reports.stopping import figures as stop_figures
from server.reports.stopping import numbers as stop_numbers
from server.reports.stopping import steps as stop_steps
from server.reports.verdicts import Verdict

Say = Callable[[Analysis, Verdict], tuple[str, ...]]


@dataclass(frozen=True)
class Figure:
    """How a picture is drawn, as SVG, and said in words for those who cannot see it."""

    draw: Callable[[Analysis], bytes]
    describe: Callable[[Analysis], str]


@dataclass(frozen=True)
class Family:
    """The words, numbers and figures of a family; `conclude` puts them in order.

    Attributes
    ----------
    say_headline, list_may_say, list_may_not_say, list_next_steps
        Sentences by verdict.
    limit_numbers
        What narrows the numbers, among all other limits.
    list_numbers, list_readings
        Lines of the tables of numbers, and of the ways to count.
    figures
        By the name that an address has, in the order in which they are shown.
    name_heads
        Heads of a table's columns, where they are not those of all.
    """

    say_headline: Callable[[Analysis, Verdict], str]
    list_may_say: Say
    list_may_not_say: Say
    list_next_steps: Say
    limit_numbers: Callable[[Analysis, Verdict], Iterable[str]]
    list_numbers: Callable[[Analysis], tuple[NumberLine, ...]]
    list_readings: Callable[[Analysis], tuple[ReadingLine, ...]]
    figures: Mapping[str, Figure]
    name_heads: Callable[[Analysis, tuple[str, ...]], tuple[str, ...]] = lambda _, head: head


RIGHT_OR_WRONG = Family(
    say_headline=claims.say_headline,
    list_may_say=claims.list_may_say,
    list_may_not_say=claims.list_may_not_say,
    list_next_steps=steps.list_next_steps,
    limit_numbers=limits.limit_right,
    list_numbers=numbers.list_numbers,
    list_readings=numbers.list_readings,
    figures={
        "guessing": Figure(figures.draw_guessing, figures.describe_guessing),
        "share": Figure(figures.draw_share, figures.describe_share),
    },
)
EITHER_SIDE = Family(
    say_headline=side_claims.say_headline,
    list_may_say=side_claims.list_may_say,
    list_may_not_say=side_claims.list_may_not_say,
    list_next_steps=side_steps.list_next_steps,
    limit_numbers=side_claims.limit_numbers,
    list_numbers=side_numbers.list_numbers,
    list_readings=side_numbers.list_readings,
    name_heads=side_tables.name_heads,
    figures={
        "guessing": Figure(side_figures.draw_even_split, side_figures.describe_even_split),
        "share": Figure(side_figures.draw_share, side_figures.describe_share),
    },
)
FEW_NOTICE = Family(
    say_headline=few_claims.say_headline,
    list_may_say=few_claims.list_may_say,
    list_may_not_say=few_claims.list_may_not_say,
    list_next_steps=few_steps.list_next_steps,
    limit_numbers=few_claims.limit_numbers,
    list_numbers=few_numbers.list_numbers,
    list_readings=few_numbers.list_readings,
    figures={
        "guessing": Figure(few_figures.draw_limit, few_figures.describe_limit),
        "share": Figure(few_figures.draw_share, few_figures.describe_share),
    },
)
STOPPING = Family(
    say_headline=stop_claims.say_headline,
    list_may_say=stop_claims.list_may_say,
    list_may_not_say=stop_claims.list_may_not_say,
    list_next_steps=stop_steps.list_next_steps,
    limit_numbers=stop_claims.limit_numbers,
    list_numbers=stop_numbers.list_numbers,
    list_readings=stop_numbers.list_readings,
    figures={"path": Figure(stop_figures.draw_path, stop_figures.describe_path)},
)
REPEATS = replace(
    RIGHT_OR_WRONG,
    list_may_say=repeat_claims.list_may_say,
    list_next_steps=repeat_claims.list_next_steps,
    limit_numbers=repeat_claims.limit_numbers,
    list_numbers=repeat_numbers.list_numbers,
)
TWO_KINDS = replace(
    RIGHT_OR_WRONG,
    limit_numbers=kind_claims.limit_numbers,
    list_numbers=kind_numbers.list_numbers,
    figures={
        "guessing": Figure(kind_figures.draw_guessing, kind_figures.describe_guessing),
        "share": Figure(kind_figures.draw_rates, kind_figures.describe_rates),
    },
)
"""Its other sentences are those of right answers, some replaced by `kinds.facts.suit_kinds`."""


def find_family(analysis: Analysis) -> Family:
    """Return the family of the method that was tasted by, or of what the plan was to show."""
    if analysis.plan.similarity is not None:
        return FEW_NOTICE
    if analysis.plan.sequential is not None:
        return STOPPING
    if analysis.plan.several:
        return REPEATS
    if answers_yes_or_no(get_method(analysis.plan.method)):
        return TWO_KINDS
    return EITHER_SIDE if analysis.two_sided else RIGHT_OR_WRONG
