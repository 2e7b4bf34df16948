"""What went otherwise than planned after the seal, in plain words."""

from collections.abc import Iterator, Sequence

from server.blinding.record import Look
from server.reports import amendment_words
from server.reports.alone_limits import amend_alone
from server.reports.analysis import Analysis
from server.reports.changes import Changes
from server.reports.display import join_words, quote, show_count
from server.reports.facts import fill


def list_amendments(analysis: Analysis) -> tuple[str, ...]:
    """List every amendment, exclusion and look, in plain words."""
    return (
        *_say_struck(analysis),
        *_say_voids(analysis.changes),
        *amend_alone(analysis),
        *_say_counts(analysis.changes),
        *_say_looks(analysis.looks),
    )


def amend_table(changes: Changes, looks: Sequence[Look]) -> tuple[str, ...]:
    """List every amendment, exclusion and look of a scored table."""
    return (*_say_voids(changes), *_say_counts(changes), *_say_looks(looks))


def _say_struck(analysis: Analysis) -> Iterator[str]:
    changes = analysis.changes
    if changes.struck:
        yield amendment_words.STRUCK.format(
            servings=show_count(len(changes.struck), "serving was", "servings were"),
            reasons=join_words([quote(one) for one in dict.fromkeys(changes.struck)]),
        )
    if changes.struck_tests:
        yield fill(amendment_words.STRUCK_TESTS, analysis, all=str(analysis.plan.trials))
    if changes.struck_late:
        servings = show_count(changes.struck_late, "serving was", "servings were")
        yield amendment_words.STRUCK_LATE.format(servings=servings)


def _say_voids(changes: Changes) -> Iterator[str]:
    for void in changes.voids:
        yield amendment_words.VOIDED.format(
            round=void.round,
            reason=quote(void.reason),
            answered=amendment_words.VOID_ANSWERED[void.answered],
            replaced=amendment_words.VOID_REPLACED[void.replaced],
        )


def _say_counts(changes: Changes) -> Iterator[str]:
    said = [
        (amendment_words.CONTESTS_SETTLED, "servings", changes.contests_settled, "serving"),
        (amendment_words.CONTESTS_VOID, "servings", changes.contests_void, "serving"),
        (amendment_words.LATE, "answers", changes.late, "answer"),
        (amendment_words.LATE_UNUSED, "answers", changes.late_unused, "answer"),
        (amendment_words.LATE_AFTER, "answers", changes.late_after_unsealing, "answer"),
        (amendment_words.CALLS, "servings", changes.calls, "serving"),
        (amendment_words.PAPER, "answers", changes.paper, "answer"),
        (amendment_words.UNCONFIRMED, "answers", changes.unconfirmed, "answer"),
        (
            amendment_words.READINGS_LATE,
            "readings",
            changes.readings_after_unsealing,
            "brew record",
        ),
        (amendment_words.IGNORED, "changes", changes.ignored_after_unsealing, "change"),
    ]
    for template, name, number, noun in said:
        if number:
            yield template.format(**{name: show_count(number, noun)})
    if changes.erased:
        yield amendment_words.ERASED.format(
            records=show_count(changes.erased, "record"),
            answers=show_count(changes.erased_answers, "answer"),
        )


def _say_looks(looks: Sequence[Look]) -> Iterator[str]:
    for look in looks:
        yield amendment_words.LOOKED[look.kind.value].format(
            When=amendment_words.LOOK_WHEN[look.before_closing],
            who=amendment_words.LOOK_WHO.get(look.who, look.who),
            reason=quote(look.reason),
        )
