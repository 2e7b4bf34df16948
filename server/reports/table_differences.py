"""Do the samples differ? The sentences of the first page that answer it."""

from collections.abc import Iterator
from itertools import permutations

from server.reports import table_words as words
from server.reports.display import join_words, show_count, show_p, show_share
from server.reports.scored import TableAnalysis
from server.reports.scored_bowls import Apart
from server.reports.table_control import say_control
from server.reports.table_figures.shown import list_names, show_p_value
from server.reports.table_grids import name_question
from server.reports.table_match import say_rivals
from server.reports.table_names import show_points
from server.reports.table_orders import say_order
from server.reports.table_verdicts import find_declared, list_tests
from server.sheets.samples import Samples

MOST_PAIRS = 6
MOST_NAMES = 6


def say_differences(analysis: TableAnalysis) -> tuple[str, ...]:
    """Say which samples differ in what, flags and odd bowls among it."""
    return (
        *say_control(analysis),
        *say_order(analysis),
        *_say_primary(analysis),
        *say_rivals(analysis),
        *_say_others(analysis),
        *_say_reference(analysis),
        *_say_flags(analysis),
        *_say_bowls(analysis),
        *_say_own_words(analysis),
    )


def say_p(analysis: TableAnalysis, question: str) -> str:
    """Say the p-value of a question."""
    test = list_tests(analysis).get(question)
    return show_p_value(test.p_value if test else None)


def list_leads(analysis: TableAnalysis) -> str:
    """Name every question that stands out without being a finding."""
    led = [name for name, one in list_tests(analysis).items() if one.standing == "lead"]
    return list_names([name_question(analysis, one) for one in led], MOST_NAMES)


def _say_primary(analysis: TableAnalysis) -> Iterator[str]:
    numbers = analysis.numbers
    if numbers is None or analysis.control or analysis.primary not in numbers.attributes:
        return
    found = numbers.attributes[analysis.primary].samples
    known = {name: mean for name, mean in found.means.items() if mean is not None}
    passed = found.p_value is not None and found.p_value <= analysis.alpha
    if passed and len(known) > 1:
        high, low = max(known, key=lambda one: known[one]), min(known, key=lambda one: known[one])
        yield words.HIGHEST.format(
            high=analysis.label(high), high_mean=show_points(known[high]),
            low=analysis.label(low), low_mean=show_points(known[low]),
        )  # fmt: skip
        yield _say_pairs(analysis, found, known)
    elif found.hsd is not None:
        yield words.UNSEEN.format(hsd=show_points(found.hsd))


def _say_pairs(analysis: TableAnalysis, found: Samples, known: dict[str, float]) -> str:
    pairs = [
        words.PAIR.format(one=analysis.label(one), other=analysis.label(other))
        for one, other in permutations(known, 2)
        if known[one] > known[other] and is_apart(found, one, other)
    ]
    level = show_share(analysis.alpha)
    if not pairs:
        return words.PAIRS_NONE.format(level=level)
    return words.PAIRS_APART.format(level=level, pairs=list_names(pairs, MOST_PAIRS))


def is_apart(found: Samples, one: str, other: str) -> bool:
    """Tell whether two samples are told apart, all pairs together."""
    mine, its = found.letters.get(one), found.letters.get(other)
    return mine is not None and its is not None and not set(mine) & set(its)


def _say_others(analysis: TableAnalysis) -> Iterator[str]:
    tests = list_tests(analysis)
    declared = find_declared(analysis)
    found = [name for name, one in tests.items() if one.standing == "finding" and name != declared]
    if found:
        named = list_names([name_question(analysis, one) for one in found], MOST_NAMES)
        yield words.OTHER_FINDINGS.format(names=named)
    if leads := list_leads(analysis):
        yield words.LEADS.format(names=leads)
    known = sum(one.p_value is not None for one in tests.values())
    if not analysis.table.primary and known > 1:
        yield words.UNDECLARED.format(
            questions=show_count(known, "question"),
            expected=f"{known * analysis.alpha:.1f}",
            alpha=show_share(analysis.alpha),
        )


def _say_reference(analysis: TableAnalysis) -> Iterator[str]:
    level, numbers = analysis.table.reference, analysis.numbers
    if not level or analysis.control or numbers is None:
        return
    if analysis.primary not in numbers.attributes:
        return
    found = numbers.attributes[analysis.primary].samples
    base = found.means.get(level)
    apart = [
        words.REFERENCE_APART.format(
            sample=analysis.label(one), side=words.ABOVE if mean > base else words.BELOW
        )
        for one, mean in found.means.items()
        if mean is not None and base is not None and is_apart(found, one, level)
    ]
    none = words.REFERENCE_NONE.format(question=name_question(analysis, analysis.primary))
    told = join_words(apart) if apart else none
    yield words.REFERENCE.format(reference=analysis.label(level), told=told)


def _say_flags(analysis: TableAnalysis) -> Iterator[str]:
    if not analysis.others.flags:
        return
    said = [
        words.FLAGGED.format(
            sample=analysis.label(one.sample), bad=one.defective,
            cups=show_count(one.cups, "cup"), question=name_question(analysis, question),
        )
        for question, found in analysis.others.flags.items()
        for one in found.cups.samples
        if one.defective
    ]  # fmt: skip
    yield from said or [words.FLAGGED_NONE]


def _say_bowls(analysis: TableAnalysis) -> Iterator[str]:
    bowls = analysis.bowls
    if bowls is None or not bowls.looks:
        return
    noun = words.BOWL if bowls.shared else words.POT
    for name in dict.fromkeys(one.bowl for one in bowls.apart):
        yield _say_apart(analysis, [one for one in bowls.apart if one.bowl == name], noun)
    for one in bowls.leads:
        yield words.ODD_BOWL_LEAD.format(
            bowl=one.bowl,
            sample=analysis.label(one.sample),
            question=name_question(analysis, one.question),
        )
    if not bowls.apart and not bowls.leads:
        looked = {bowl.name for one in bowls.questions.values() for bowl in one.bowls}
        yield words.BOWLS_ALIKE.format(bowls=show_count(len(looked), noun))


def _say_apart(analysis: TableAnalysis, found: list[Apart], noun: str) -> str:
    assert analysis.bowls is not None
    one, *rest = sorted(found, key=lambda x: (x.question != analysis.primary, x.p_value))
    more = list_names([name_question(analysis, x.question) for x in rest], MOST_NAMES)
    p = show_p(one.p_value)
    return words.ODD_BOWL.format(
        noun=noun,
        bowl=one.bowl,
        sample=analysis.label(one.sample),
        distance=show_points(abs(one.distance)),
        side=words.ABOVE if one.distance > 0 else words.BELOW,
        question=name_question(analysis, one.question),
        p=p if p.startswith("<") else f"p = {p}",
        looks=show_count(analysis.bowls.looks, f"look at a {noun}", f"looks at {noun}s"),
        also=words.ALSO.format(questions=more) if more else "",
    )


def _say_own_words(analysis: TableAnalysis) -> Iterator[str]:
    own = analysis.own_words
    if own is None or own.check is None or own.consensus is None or own.words is None:
        return
    p, chance = own.check.p_value, own.check.mean_by_chance
    if p is not None and chance is not None:
        yield words.OWN_WORDS.format(
            people=show_count(len(own.words), "person", "people"),
            ratio=show_share(own.consensus.ratio or 0.0),
            chance=show_share(chance),
            p=show_p_value(p),
            told=words.OWN_BEYOND[p <= analysis.alpha],
        )
