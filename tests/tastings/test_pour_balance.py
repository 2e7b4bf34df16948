"""The plan of brewing and pouring of a whole drawn tasting, whatever its method and size."""

from collections import Counter, defaultdict
from itertools import pairwise
from random import Random
from uuid import UUID

from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.draw import draw_tasting
from server.blinding.plans import Plan, Pots, Pourer
from server.blinding.sealed import PlannedSample, SealedTasting
from server.methods.registry import METHODS
from server.tastings.pouring import order_slots

SAMPLES = [PlannedSample(level=level, label=f"water {level}") for level in "AB"]


@st.composite
def tastings(draw: st.DrawFn) -> SealedTasting:
    """Draw a tasting of separate brews, of any method and size."""
    method = METHODS[draw(st.sampled_from(sorted(METHODS)))]
    plan = Plan(
        question="?", difference="cartridge", method=method.name, standard="none", alpha="0.05",
        size_d_prime=None, size_share="0.5", assessors=draw(st.integers(1, 24)),
        rounds=draw(st.integers(1, 6)), spare_seats=draw(st.integers(0, 3)), swallow=False,
        pourer=Pourer.ABSENT, cup_ml="40", pot_ml=str(draw(st.integers(200, 800))),
        pots=Pots.SEPARATE, tds_limit="0.05", temperature_limit="2",
    )  # fmt: skip
    seed = draw(st.integers(0, 10**6))
    return draw_tasting(plan, UUID(int=1), SAMPLES, method.orders, Random(seed))


def count_cups(sealed: SealedTasting, number: int) -> Counter[str]:
    mine = (one for one in sealed.servings if one.round == number)
    return Counter(sealed.key[cup.id] for one in mine for cup in one.cups)


@given(tastings())
@settings(max_examples=20, deadline=None)
def test_no_pot_fills_more_cups_than_it_holds_and_none_of_another_round(
    sealed: SealedTasting,
) -> None:
    holds = sealed.plan.pot_ml // sealed.plan.cup_ml
    for number in range(1, sealed.plan.total_rounds + 1):
        filled = count_cups(sealed, number)
        assert max(filled.values()) <= holds
        assert set(filled) <= {slot.name for slot in sealed.slots if slot.round == number}


@given(tastings())
@settings(max_examples=20, deadline=None)
def test_brews_of_a_sample_fill_as_many_cups_as_each_other_or_one_more(
    sealed: SealedTasting,
) -> None:
    counted = [one for one in sealed.servings if one.seat <= sealed.plan.assessors]
    for number in range(1, sealed.plan.total_rounds + 1):
        filled = Counter(
            sealed.key[cup.id] for one in counted if one.round == number for cup in one.cups
        )
        by_sample = defaultdict(list)
        for slot in sealed.slots:
            if slot.round == number:
                by_sample[slot.sample].append(filled[slot.name])
        assert all(max(cups) - min(cups) <= 1 for cups in by_sample.values())


@given(tastings())
@settings(max_examples=20, deadline=None)
def test_samples_take_turns_in_a_round_and_the_other_begins_the_next(
    sealed: SealedTasting,
) -> None:
    first = []
    for number in range(1, sealed.plan.total_rounds + 1):
        samples = [slot.sample for slot in order_slots(sealed, number)]
        pairs = list(zip(samples[::2], samples[1::2], strict=True))
        assert all(one != other for one, other in pairs)
        first.append(samples[0])
    assert all(one != other for one, other in pairwise(first))


@given(st.integers(1, 30), st.integers(1, 4), st.integers(200, 800), st.integers(0, 10**6))
@settings(max_examples=20, deadline=None)
def test_each_brew_of_a_triad_is_the_odd_one_and_a_like_one_as_often_as_its_fellows_or_once_more(
    seats: int, rounds: int, pot_ml: int, seed: int
) -> None:
    plan = Plan(
        question="?", difference="cartridge", method="triangle", standard="ISO 4120:2021",
        alpha="0.05", size_d_prime="1.5", assessors=seats, rounds=rounds, spare_seats=0,
        swallow=False, pourer=Pourer.ABSENT, cup_ml="40", pot_ml=str(pot_ml),
        pots=Pots.SEPARATE, tds_limit="0.05", temperature_limit="2",
    )  # fmt: skip
    sealed = draw_tasting(plan, UUID(int=1), SAMPLES, METHODS["triangle"].orders, Random(seed))
    roles: dict[tuple[str, bool], int] = Counter()
    for serving in sealed.servings:
        names = [sealed.key[cup.id] for cup in serving.cups]
        samples = [name[0] for name in names]
        for name, sample in zip(names, samples, strict=True):
            roles[name, samples.count(sample) == 1] += 1
    groups = defaultdict(list)
    for slot in sealed.slots:
        for odd in (False, True):
            groups[slot.sample, slot.round, odd].append(roles[slot.name, odd])
    assert all(max(counts) - min(counts) <= 1 for counts in groups.values())
