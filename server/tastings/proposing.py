"""Propose one test for a wish, say why in words, and fill its plan's form in."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from server.blinding.plans import Relief
from server.methods.purposes import Known, count_coded, needs_familiar_sample
from server.reports import proposal_words as words
from server.reports.display import show_count, show_round_chance
from server.stats.similarity_trials import trials_for_similarity
from server.tastings.consequences import Consequences, work_out
from server.tastings.contending import (
    Contender,
    Price,
    as_percent,
    count_days,
    list_contenders,
    price,
)
from server.tastings.plan_forms import empty_form
from server.tastings.planning import read_numbers
from server.tastings.sittings import GOOD_POWER
from server.tastings.wishing import Aim, Minded, Wish

SERIES = "/tastings/new/series"
TABLE = "/tastings/new/table?preset="
PRESETS = {Aim.CONTROL: "difference-from-control", Aim.ORDER: "ranking"}
SIMILAR_CHANCE, SIMILAR_PARTS, SIMILAR_LIMIT = 1, 3, 20  # a triad's guesses; percent that notice
MOST_ROUNDS = 12  # a plan's form takes no more


@dataclass(frozen=True)
class Proposal:
    """What is proposed; ``chosen`` is None where no method served here suits.

    Attributes
    ----------
    contenders
        All methods that suit, what the leader minds least of first.
    reasons
        Sentences: why this one, what it takes, or why there is none.
    table
        Address of the plan of a scored table, where that is the answer; else empty.
    rounds
        Servings a person that the plan is filled in with, over all days.
    enough
        Whether the people at hand find the size that matters four times in five.
    """

    wish: Wish
    contenders: tuple[Contender, ...]
    chosen: Contender | None
    reasons: tuple[str, ...]
    table: str = ""
    rounds: int = 0
    enough: bool = False
    series: str = ""

    @property
    def price(self) -> Price | None:
        """What the plan would take; None where no method is proposed."""
        return price(self.chosen.method, self.rounds, self.wish) if self.chosen else None


def propose(wish: Wish) -> Proposal:
    """Propose a test."""
    contenders = list_contenders(wish)
    if wish.aim in PRESETS:
        reasons = (words.TABLES[wish.aim],)
        return Proposal(wish, (), None, reasons, table=TABLE + PRESETS[wish.aim])
    if not contenders:
        series = SERIES if wish.aim == Aim.THRESHOLD else ""
        return Proposal(wish, (), None, (_say_none(wish),), series=series)
    chosen = choose(contenders, wish)
    return Proposal(
        wish,
        contenders,
        chosen,
        (*_say_why(chosen, contenders, wish), *_say_enough(chosen, wish)),
        rounds=count_rounds(chosen, wish),
        enough=_chance(chosen) >= GOOD_POWER,
    )


def choose(contenders: Sequence[Contender], wish: Wish) -> Contender:
    """Return the method to propose.

    The one that uses most of what tasters know beforehand; among these, where the taste
    lingers, the fewest coded cups at once; else what the leader minds least of, if the people
    at hand are enough for it, and where they are for none, what they find the size with most
    often.
    """
    best = [one for one in list_best(contenders) if one.need] or list_best(contenders)
    if wish.lingers:
        return min(
            best, key=lambda one: (count_coded(one.method), not needs_familiar_sample(one.method))
        )
    enough = [one for one in best if _chance(one) >= GOOD_POWER]
    return enough[0] if enough else max(best, key=_chance)


def list_best(contenders: Sequence[Contender]) -> list[Contender]:
    """List the methods that use most of what tasters know beforehand."""
    ways = list(Known)
    most = max(ways.index(one.known) for one in contenders)
    return [one for one in contenders if ways.index(one.known) == most]


def _chance(one: Contender) -> float:
    """Return the chance that the people at hand find the size that matters."""
    return one.hand.power or 0.0


def count_rounds(chosen: Contender, wish: Wish) -> int:
    """Return the servings a person to plan: what is needed, if there is time for so many."""
    each = wish.each if chosen.need is None else min(chosen.need.price.each, wish.each)
    if chosen.by_two_rates:  # as many servings of either kind at every seat
        kinds = len(chosen.method.orders)
        each = min(MOST_ROUNDS, kinds * ceil(each / kinds))
    return each if wish.alone else min(each, MOST_ROUNDS)


def fill_plan(proposal: Proposal, name: str) -> dict[str, str]:
    """Return the form of a new plan with one of the contenders filled in.

    A name that is none of them leaves the method to the form's default.
    """
    wish, form = proposal.wish, empty_form()
    form |= {
        "difference": wish.difference,
        "contrast": wish.contrast,
        "assessors": str(wish.people),
        "swallow": "on" if wish.swallow else "",
        "rounds": str(min(wish.each, MOST_ROUNDS)),
    }
    if wish.alone:
        form |= {"pourer": "alone", "rounds": str(wish.rounds), "sittings": str(wish.days)}
    if wish.aim == Aim.UNNOTICED:
        return form | {"shows": "few", "rounds": "1", "size_percent": str(SIMILAR_LIMIT)}
    taken = next((one for one in proposal.contenders if one.name == name), None)
    if taken is None:
        return form
    each = count_rounds(taken, wish)
    form["method"] = taken.name
    if wish.alone:
        a_day = min(each, wish.rounds)
        form |= {"rounds": str(a_day), "sittings": str(ceil(each / a_day))}
    else:
        form |= {"rounds": str(each), **_spread(each, wish)}
    if taken.pc is not None:
        form["size_percent"] = f"{as_percent(taken.model, taken.pc):f}"
    return form


def _spread(each: int, wish: Wish) -> dict[str, str]:
    """Return the fields that spread servings over days, or say that it is decaf."""
    days = count_days(each, wish)
    if days > 1:
        return {"relief": Relief.DAYS.value, "days": str(days)}
    return {"relief": Relief.DECAF.value} if wish.decaf else {}


def follow_plan(proposal: Proposal) -> Consequences | None:
    """Return what follows from the proposed plan as it is filled in; None if there is none."""
    if proposal.chosen is None:
        return None
    return work_out(read_numbers(fill_plan(proposal, proposal.chosen.name)))


def _say_none(wish: Wish) -> str:
    if wish.aim == Aim.UNNOTICED:
        chance = SIMILAR_CHANCE / SIMILAR_PARTS
        planned = trials_for_similarity(chance, SIMILAR_LIMIT / 100)
        return words.OTHER_TESTS[wish.aim].format(
            chance=SIMILAR_CHANCE,
            parts=SIMILAR_PARTS,
            answers=planned.trials_stable,
            limit=SIMILAR_LIMIT,
        )
    if wish.aim in words.OTHER_TESTS:
        return words.OTHER_TESTS[wish.aim]
    return words.NONE_ALONE if wish.alone else words.NONE_SERVED[wish.aim]


def _say_why(chosen: Contender, contenders: Sequence[Contender], wish: Wish) -> list[str]:
    title = name_inside(chosen)
    if wish.aim == Aim.LIKED:
        return [words.LIKED.format(title=title)]
    if chosen.known != Known.NOTHING:
        return _say_named(chosen, contenders, wish.mind)
    if wish.lingers:
        said = [words.LINGERS.format(title=title, coded=count_coded(chosen.method))]
        return [*said, words.FAMILIAR] if needs_familiar_sample(chosen.method) else said
    if wish.alone:
        return [words.ALONE.format(title=title)]
    if len(contenders) == 1:
        return [words.ONLY.format(title=title)]
    if chosen is not contenders[0]:
        return [words.BY_POWER[_chance(chosen) >= GOOD_POWER].format(title=title)]
    return _compare(words.NATURE_UNKNOWN, chosen, contenders[1:], wish.mind)


def _say_named(chosen: Contender, contenders: Sequence[Contender], mind: Minded) -> list[str]:
    """Compare a question asked by name with the best one that needs nothing named."""
    unnamed = [one for one in contenders if one.known == Known.NOTHING]
    directed = chosen.known == Known.DIRECTION
    compared = words.DIRECTION if directed else words.ATTRIBUTE
    plain = words.DIRECTION_ONLY if directed else words.ATTRIBUTE_ONLY
    said = _compare(compared, chosen, unnamed, mind) or [plain.format(title=name_inside(chosen))]
    if chosen is not list_best(contenders)[0]:
        enough = _chance(chosen) >= GOOD_POWER
        said.append(words.BY_POWER[enough].format(title=name_inside(chosen)))
    return [*said, words.DIRECTION_NARROW] if directed else said


def _compare(
    sentence: str, chosen: Contender, others: Sequence[Contender], mind: Minded
) -> list[str]:
    """Say how much a method takes of what the leader minds, and how much the next one does."""
    counted = [one for one in others if one.need]
    if chosen.need is None or not counted:
        return []
    mine, theirs = measure(chosen, mind), measure(counted[0], mind)
    return [
        sentence.format(
            title=name_inside(chosen),
            mine=mine,
            other=name_inside(counted[0]),
            theirs=theirs,
            what=words.MEASURES[mind],
            ratio=say_ratio(mine, theirs),
        )
    ]


def measure(one: Contender, mind: Minded) -> int:
    """Return what the answers needed take of what the leader minds; cups without spare seats."""
    if one.need is None:
        return 0
    price = one.need.price
    return {
        Minded.CUPS: one.need.wanted * one.method.cups,
        Minded.ANSWERS: one.need.wanted,
        Minded.POTS: price.pots,
        Minded.MINUTES: price.minutes,
        Minded.CAFFEINE: round(price.caffeine_mg),
    }[mind]


def name_inside(one: Contender) -> str:
    """Return a method's title as it stands within a sentence."""
    title = one.method.title
    return title[0].lower() + title[1:] if title[1:2].islower() else title


def say_ratio(mine: int, theirs: int) -> str:
    """Say how many times as many theirs are.

    Examples
    --------
    >>> say_ratio(60, 606), say_ratio(24, 36), say_ratio(15, 15)
    ('10.1 times as many', '1.5 times as many', 'as many')
    """
    return "as many" if mine == theirs else f"{theirs / max(mine, 1):.1f} times as many"


def _say_enough(chosen: Contender, wish: Wish) -> list[str]:
    hand, need = chosen.hand, chosen.need
    if hand.critical is None:
        return [words.NO_POWER]
    if need is None:
        why = chosen.note
        return [words.UNKNOWN_SIZE.format(why=why) if why else words.TOO_MANY]
    if need.price.each <= wish.each:
        return [_say_it_will_do(need.price.each, need.answers, need.power)]
    if (hand.power or 0) >= GOOD_POWER:
        return [_say_it_will_do(wish.each, hand.answers, hand.power or 0)]
    power = show_round_chance(hand.power or 0)
    answers = show_count(hand.answers, "answer")
    return [words.NOT_ENOUGH.format(answers=answers, power=power, wanted=need.wanted)]


def _say_it_will_do(each: int, answers: int, power: float) -> str:
    return words.ENOUGH.format(
        each=show_count(each, "serving"),
        answers=show_count(answers, "answer"),
        power=show_round_chance(power),
    )
