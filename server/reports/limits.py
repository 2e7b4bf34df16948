"""What narrows a conclusion."""

from collections.abc import Callable, Iterable, Iterator

from server.blinding.plans import Pots
from server.brewing.match import Verdict as Match
from server.methods.asked import find_model
from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no
from server.reports import brew_pick_words as pick_words
from server.reports import gate_words, limit_words
from server.reports.alone_limits import limit_alone, say_orders
from server.reports.analysis import Analysis
from server.reports.brew_picks import limit_by_brews
from server.reports.brews import PropertyState
from server.reports.contrasts import limit_by_contrast
from server.reports.control_limits import say_null, say_positive
from server.reports.cue_limits import limit_cues
from server.reports.display import (
    NO_VALUE,
    join_words,
    quote,
    show_apart,
    show_count,
    show_number,
)
from server.reports.facts import (
    fill,
    is_one_answer_each,
    is_one_taster,
    say_reason,
    say_still_allowed,
    suit,
)
from server.reports.few.facts import say_few
from server.reports.few.words import STILL_VALID
from server.reports.gate_limits import limit_gate
from server.reports.piece_limits import limit_pieces
from server.reports.reliance import NOT_UNSEALED
from server.reports.stopping.words import SPARE, UNSERVED
from server.reports.verdicts import Verdict, is_below_guessing

LimitNumbers = Callable[[Analysis, Verdict], Iterable[str]]

WITHOUT_NUMBERS = {Verdict.ABANDONED, Verdict.NO_ANSWERS}


def list_limits(
    analysis: Analysis, verdict: Verdict, limit_numbers: LimitNumbers
) -> tuple[str, ...]:
    """List the limits of the conclusion, the gravest first; those of its numbers by family."""
    if verdict in WITHOUT_NUMBERS:
        return tuple(_limit_record(analysis))
    return (
        *_limit_exploratory(analysis, verdict),
        *limit_gate(analysis.gate, analysis.properties),
        *_limit_one_brew(analysis),
        *_limit_count(analysis),
        *limit_numbers(analysis, verdict),
        *_limit_people(analysis),
        *limit_alone(analysis),
        *_limit_cups(analysis),
        *limit_by_contrast(analysis.plan),
        *limit_pieces(analysis.pieces),
        *_limit_room(analysis),
        _say_not_recorded(analysis),
        *limit_cues(analysis),
        limit_words.NO_COMPLIANCE,
    )


def _limit_record(analysis: Analysis) -> Iterator[str]:
    reason = analysis.abandoning_reason or analysis.closing_reason
    yield fill(limit_words.INCOMPLETE, analysis, reason=quote(reason))
    yield from _limit_one_brew(analysis)
    yield limit_words.NO_COMPLIANCE


def _limit_one_brew(analysis: Analysis) -> Iterator[str]:
    found, method = analysis.one_brew, get_method(analysis.plan.method)
    if not found.trials:
        return
    said = [gate_words.ONE_BREW.format(servings=show_count(found.trials, "serving"))]
    if not analysis.two_sided and not answers_yes_or_no(method):
        expected = f"{found.trials * find_model(analysis.plan).chance:.1f}".removesuffix(".0")
        right = gate_words.ONE_BREW_RIGHT
        said.append(right.format(k=found.correct, n=found.trials, expected=expected))
    yield " ".join(said)


def _limit_exploratory(analysis: Analysis, verdict: Verdict) -> Iterator[str]:
    if verdict == Verdict.EXPLORATORY:
        for reason in analysis.exploratory[1:]:
            sentence = say_reason(analysis, reason)
            yield sentence[0].upper() + sentence[1:]
    yield from analysis.chain_problems


def _limit_count(analysis: Analysis) -> Iterator[str]:
    if any(one.outcome != analysis.main.outcome for one in analysis.alternatives):
        yield limit_words.DEPENDS
    if analysis.incomplete and NOT_UNSEALED not in analysis.exploratory:
        yield from _limit_incomplete(analysis)
    if analysis.answered > analysis.reach.planned:
        yield fill(limit_words.MORE, analysis)
    if analysis.people.spare_answers:
        spare = limit_words.SPARE if analysis.plan.sequential is None else SPARE
        yield spare.format(
            answers=show_count(analysis.people.spare_answers, "answer"),
            persons=show_count(analysis.people.spare_persons, "person", "persons"),
        )


def _limit_incomplete(analysis: Analysis) -> Iterator[str]:
    if analysis.plan.sequential is not None:
        yield fill(UNSERVED, analysis, reason=quote(analysis.closing_reason))
        return
    alone, reason = analysis.alone is not None, analysis.closing_reason
    incomplete = limit_words.INCOMPLETE_ALONE if alone and not reason else limit_words.INCOMPLETE
    yield fill(incomplete, analysis, reason=quote(reason))
    if not analysis.exploratory and not any(look.before_closing for look in analysis.looks):
        yield _say_still_valid(analysis)


def _say_still_valid(analysis: Analysis) -> str:
    if analysis.few is not None:
        return say_few(STILL_VALID, analysis)
    alone = analysis.alone is not None
    return fill(limit_words.STILL_VALID_ALONE if alone else limit_words.STILL_VALID, analysis)


def limit_right(analysis: Analysis, verdict: Verdict) -> Iterator[str]:
    """Say what narrows the numbers of answers that are right or wrong."""
    yield from _limit_estimate(analysis, verdict)
    yield from say_positive(analysis)


def _limit_estimate(analysis: Analysis, verdict: Verdict) -> Iterator[str]:
    counts = analysis.counts
    if counts is None or analysis.main.detected:
        if counts and counts.pd_interval and counts.pd_interval.low == 0:
            yield limit_words.TWO_SIDED_TOUCHES
        return
    if is_below_guessing(analysis):
        yield limit_words.NOT_ESTIMABLE
    if not analysis.exploratory and verdict != Verdict.NOT_DETECTED:  # there it may be said
        yield from say_still_allowed(analysis)


def _limit_people(analysis: Analysis) -> Iterator[str]:
    people = analysis.people
    if is_one_taster(analysis):
        yield limit_words.ONE_PERSON
    elif is_one_answer_each(analysis):
        yield limit_words.ONE_EACH
    else:
        persons = show_count(people.persons, "person", "persons")
        yield fill(limit_words.REPLICATES, analysis, persons=persons)
    if any(cap.cause != "key_look" and cap.level == 2 for cap in analysis.blinding.caps):
        yield limit_words.POURER_PRESENT


def _limit_cups(analysis: Analysis) -> Iterator[str]:
    yield from limit_by_brews(analysis.by_brew)
    yield from (_say_property(one) for one in analysis.properties if one.state != Match.MATCHED)
    yield _say_pots(analysis)
    yield from _say_sampled(analysis)
    yield say_null(analysis)
    yield _say_how_many_brews(analysis)
    if analysis.alone is not None:
        yield say_orders(analysis)
    elif _are_uneven(analysis):
        orders = ", ".join(f"{one.order} {one.served}" for one in analysis.orders)
        yield limit_words.UNEVEN_ORDERS.format(orders=orders)
    if analysis.changes.calls_open:
        servings = show_count(analysis.changes.calls_open, "serving")
        yield limit_words.CALLS_OPEN.format(servings=servings)


def _limit_room(analysis: Analysis) -> Iterator[str]:
    if analysis.unchecked:
        items = join_words([limit_words.CHECKS[item] for item in analysis.unchecked])
        yield limit_words.UNCHECKED.format(items=items)
    look = analysis.look
    if look is None:
        yield suit(limit_words.NO_LOOK_CHECK, analysis)
        return
    cue = limit_words.LOOK_CUE.format(cue=quote(look.cue)) if look.cue.strip() else ""
    looked = suit(limit_words.LOOKED_ONLY[look.is_cue], analysis)
    yield looked.format(k=look.found, n=look.tried) + cue


def _say_not_recorded(analysis: Analysis) -> str:
    judged = {one.name for one in analysis.properties}
    unjudged = [f"{what}, " for name, what in limit_words.UNJUDGED.items() if name not in judged]
    return limit_words.NOT_RECORDED.format(unjudged="".join(unjudged))


def _are_uneven(analysis: Analysis) -> bool:
    served = [one.served for one in analysis.orders]
    return max(served, default=0) - min(served, default=0) > 1


def _say_pots(analysis: Analysis) -> str:
    if analysis.shared_pots:
        return limit_words.SHARED_POTS.format(servings=show_count(analysis.shared_pots, "serving"))
    if analysis.plan.single_cups:
        return limit_words.EACH_CUP
    blended = analysis.plan.pots == Pots.BLEND
    return suit(limit_words.BLENDS if blended else limit_words.LIKE_CUPS, analysis)


def _say_sampled(analysis: Analysis) -> Iterator[str]:
    """Say how many of the cups that are each a brew of their own were read."""
    counted = [
        (name, read, one)
        for name in ("strength", "temperature")
        for one in analysis.brews
        if (read := one.with_strength if name == "strength" else one.with_temperature)
        < one.slots_served
    ]
    if analysis.plan.single_cups and counted:
        yield limit_words.SAMPLED.format(
            counts="; ".join(
                limit_words.SAMPLED_ONE.format(
                    property=name, read=read, brews=one.slots_served, label=one.label
                )
                for name, read, one in counted
            )
        )


def _say_property(one: PropertyState) -> str:
    worst = NO_VALUE if one.worst is None else f"up to {show_apart(one.worst, one.unit)}"
    mixed = one.mixed and one.state == Match.NOT_MEASURED
    return limit_words.PROPERTY["mixed" if mixed else one.state].format(
        Name=one.name.capitalize(), worst=worst, limit=f"{show_number(one.limit)} {one.unit}"
    )


def _say_how_many_brews(analysis: Analysis) -> str:
    """Say of how many brews the finding speaks; one pot a sample is called just that."""
    if all(one.brews_served == 1 for one in analysis.brews):
        pots = join_words([f"one pot of “{one.label}”" for one in analysis.brews])
        return pick_words.ONE_POT_EACH.format(pots=pots)
    return limit_words.BREWS.format(brews=say_brews(analysis))


def say_brews(analysis: Analysis) -> str:
    """Say how many brews of each sample stand behind the answers."""
    return ", ".join(f"{one.brews_served} of “{one.label}”" for one in analysis.brews)
