"""Answers by the brews behind their cups: who was picked, and whether one brew carries it all."""

from collections.abc import Iterator, Mapping, Sequence
from uuid import UUID

from server.blinding.sealed import PlannedServing, SealedTasting
from server.methods.asked import find_model
from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no, is_two_sided
from server.reports import brew_pick_words as words
from server.reports.counting import Judgement
from server.reports.display import join_words, show_p
from server.stats.by_brew import BrewCount, BrewsResult, Served, count_by_brew

NEVER = "–"
MOST_ROWS = 24
"""Brews that are tabulated; of more than these, a brew for every cup, only carrying ones are."""


def analyse_brews(sealed: SealedTasting, judgements: Sequence[Judgement]) -> BrewsResult | None:
    """Count the test's answers by brew; None where no answer is right or wrong by itself."""
    method = get_method(sealed.plan.method)
    if is_two_sided(method) or answers_yes_or_no(method):
        return None
    servings = {serving.id: serving for serving in sealed.servings}
    served = [_meet(sealed, servings, one, reference=method.reference) for one in judgements]
    groups = {slot.name: (slot.sample, slot.round) for slot in sealed.slots}
    model = find_model(sealed.plan)
    return count_by_brew(served, groups, model.chance, float(sealed.plan.alpha))


def _meet(
    sealed: SealedTasting,
    servings: Mapping[UUID, PlannedServing],
    judgement: Judgement,
    *,
    reference: bool,
) -> Served:
    slots = sealed.list_brews(servings[judgement.serving])
    places = range(int(reference), len(slots))
    target = judgement.odd - 1 if judgement.odd is not None else None
    if target is None or judgement.picked is None:
        return Served(judgement.correct, frozenset(slots))
    return Served(
        judgement.correct,
        frozenset(slots),
        slots[target],
        tuple(slots[place] for place in places if place != target),
        slots[judgement.picked - 1],
    )


def limit_by_brews(result: BrewsResult | None) -> Iterator[str]:
    """Say which brews the finding rests on."""
    if result is None or not result.carrying:
        return
    first = next(one for one in result.counts if one.carries)
    yield words.CARRIED.format(
        brews=say_carrying(result),
        them="them" if len(result.carrying) > 1 else "it",
        k=first.right_without,
        n=first.without,
    )


def say_carrying(result: BrewsResult | None) -> str:
    """Name the brews on which an effect rests; empty if it rests on none."""
    if result is None or not result.carrying:
        return ""
    noun = "brews" if len(result.carrying) > 1 else "brew"
    return f"{noun} {join_words(result.carrying)}"


def list_brew_rows(
    result: BrewsResult | None, places: Mapping[str, tuple[str, int]]
) -> list[tuple[str, ...]]:
    """List a row for every brew: how often it was served and picked, and what is left without it.

    ``places`` are the sample and the round of every brew.
    """
    counts = result.counts if result else ()
    if len(counts) > MOST_ROWS:
        counts = tuple(one for one in counts if one.carries)
    return [_tell(one, *places[one.brew]) for one in counts]


def _tell(one: BrewCount, sample: str, round_no: int) -> tuple[str, ...]:
    return (
        one.brew,
        sample,
        str(round_no),
        _show_part(one.right, one.served),
        _show_part(one.right_as_target, one.as_target),
        _show_part(one.picked_as_other, one.as_other),
        _show_part(one.right_without, one.without),
        NEVER if one.p_without is None else show_p(one.p_without),
    )


def _show_part(count: int, of: int) -> str:
    return f"{count} of {of}" if of else NEVER
