"""Marks of a ruler of added water, out of analysed tastings of known dilutions."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from server.blinding.events import State
from server.blinding.plans import Plan, Purpose
from server.brewing.match import Verdict as Match
from server.methods.asked import find_model
from server.methods.registry import get_method
from server.methods.traits import has_distance
from server.reports.analysis import Analysis
from server.reports.ruler import words
from server.reports.verdicts import find_rivals, is_below_guessing
from server.stats.distance_likelihood import Counts
from server.stats.ruler import Mark
from server.stats.thurstone import ForcedChoice


@dataclass(frozen=True)
class Dilution:
    """Answers about one known dilution in one tasting.

    Attributes
    ----------
    percent
        Grams of water to 100 g of sample A.
    correct, trials
        Right and counted answers.
    method, model
        Title of the method, and what its answers mean.
    seal
        Of the tasting.
    control
        Whether the answers are those of its positive control.
    fault
        Why they make no mark; empty if they do.
    """

    percent: float
    correct: int
    trials: int
    method: str
    model: ForcedChoice
    seal: str
    control: bool
    fault: str = ""


def find_dilutions(analysis: Analysis) -> tuple[Dilution, ...]:
    """List the known dilutions of a tasting, those among them that make no mark with the reason."""
    return (*_find_test(analysis), *_find_control(analysis))


def is_measurable(plan: Plan) -> bool:
    """Tell whether answers under this plan have a d′ that can be compared with a dilution's."""
    stops = plan.sequential is not None  # then the share right leans towards where it stopped
    return not (stops or plan.alone) and has_distance(get_method(plan.method))


def find_fault(analysis: Analysis) -> str:
    """Say why nothing of a tasting can be measured; nothing if it can."""
    if not is_measurable(analysis.plan):
        return words.NO_DISTANCE
    if analysis.state != State.UNSEALED or not analysis.has_result:
        return words.NO_RESULT
    if analysis.exploratory:
        return words.EXPLORATORY
    if is_below_guessing(analysis):
        return words.BELOW_GUESSING
    return words.SHARED_POTS if analysis.shared_pots else ""


def pool(dilutions: Iterable[Dilution]) -> tuple[Mark, ...]:
    """Add up the answers about one dilution by one method, smallest dilution first."""
    counted: dict[tuple[float, ForcedChoice], tuple[int, int]] = {}
    for one in dilutions:
        correct, trials = counted.get((one.percent, one.model), (0, 0))
        counted[one.percent, one.model] = correct + one.correct, trials + one.trials
    ordered = sorted(counted.items(), key=lambda item: (item[0][0], item[0][1].name))
    return tuple(
        Mark(percent, Counts(f"{percent:g} %", model, correct, trials))
        for (percent, model), (correct, trials) in ordered
    )


def _find_test(analysis: Analysis) -> Iterator[Dilution]:
    percent = analysis.plan.dilution_percent
    if percent is None:
        return
    fault = find_fault(analysis)
    if not fault and Match.NOT_MATCHED in find_rivals(analysis).values():
        fault = words.NOT_MATCHED
    yield _make(analysis, float(percent), analysis.main.correct, analysis.main.trials, fault)


def _find_control(analysis: Analysis) -> Iterator[Dilution]:
    """Find a positive control of known dilution; it has to be large enough."""
    control, found = analysis.plan.positive_control, analysis.find_control(Purpose.POSITIVE)
    if control is None or control.dilution_percent is None or found is None:
        return
    fault = find_fault(analysis) or ("" if found.is_large_enough else words.SMALL_CONTROL)
    percent = float(control.dilution_percent)
    yield _make(analysis, percent, found.correct, found.trials, fault, control=True)


def _make(
    analysis: Analysis, percent: float, correct: int, trials: int, fault: str, control: bool = False
) -> Dilution:
    plan = analysis.plan
    title, model = get_method(plan.method).title, find_model(plan)
    return Dilution(percent, correct, trials, title, model, analysis.seal, control, fault)
