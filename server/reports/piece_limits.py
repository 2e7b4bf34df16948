"""What the pieces of the part behind the answers narrow, in words and as tables."""

from collections.abc import Iterator, Sequence

from server.reports import specimen_words as words
from server.reports.display import join_words, show_count, show_p, show_range
from server.reports.limit_words import PIECE
from server.reports.specimens import PieceAge, SamplePieces
from server.stats.brew_trend import TrendResult

LEVEL = 0.05
"""At which a trend is called one; it decides nothing."""
MOST_NAMED = 4
"""Pieces that are named one by one; of more than these only their number is told."""


def limit_pieces(samples: Sequence[SamplePieces]) -> tuple[str, ...]:
    """Say what pieces were used, in which state, and what was not as the test wanted."""
    if not samples:
        return (PIECE,)
    return (
        _say_used(samples),
        *(sentence for one in samples for sentence in _limit_sample(one)),
    )


def _say_used(samples: Sequence[SamplePieces]) -> str:
    pieces = {label for one in samples for label in one.used}
    used = join_words([_say_sample(one) for one in sorted(samples, key=_has_none)])
    return words.SPEAKS[len(pieces) == 1].format(used=used, n=len(pieces))


def _has_none(sample: SamplePieces) -> bool:
    return not sample.used


def _say_sample(sample: SamplePieces) -> str:
    if not sample.used:
        return words.WITHOUT.format(label=sample.label)
    pieces = show_count(len(sample.used), "piece")
    if len(sample.used) <= MOST_NAMED:
        pieces += f" ({', '.join(sample.used)})"
    if len(sample.states) == 1:
        pieces += words.SEALED_AS.format(states=sample.states[0])
        made = sum(one.brews for one in sample.planned) if sample.is_new else 0
        pieces += words.NOT_FRESH.format(brews=show_count(made, "brew")) if made else ""
    return words.USED.format(label=sample.label, pieces=pieces)


def _limit_sample(sample: SamplePieces) -> Iterator[str]:
    facts = {"label": sample.label, "brews": show_count(sample.brews, "brew")}
    if sample.used and sample.unknown:
        yield words.NOT_NOTED.format(unknown=sample.unknown, **facts)
    if len(sample.states) > 1:
        yield words.STATES_MIXED.format(states=join_words(list(sample.states)), **facts)
    if not sample.is_new or not sample.brews:
        return
    if sample.fresh == sample.brews:
        yield words.ALL_FRESH.format(**facts)
    if sample.reused:
        was = "was" if sample.reused == 1 else "were"
        oldest = show_count(sample.oldest, "brew")
        yield words.REUSED.format(reused=sample.reused, was=was, oldest=oldest, **facts)
        if sample.trend is not None:
            yield _say_trend(sample.label, sample.trend)


def _say_trend(label: str, trend: TrendResult) -> str:
    """Say whether right answers went with the brews that the pieces had made."""
    if trend.p_value is None:
        return words.NO_TREND.format(label=label)
    answers = show_count(sum(one.trials for one in trend.doses), "answer")
    way = "none" if trend.p_value > LEVEL else "rose" if trend.rises else "fell"
    shown = show_p(trend.p_value)
    p = shown if shown.startswith("<") else f"= {shown}"
    return words.TREND[way].format(label=label, p=p, answers=answers)


def list_piece_rows(samples: Sequence[SamplePieces]) -> list[tuple[str, ...]]:
    """List a row for every piece that was sealed or noted, and one for brews of none."""
    return [row for one in samples for row in _list_rows(one)]


def _list_rows(sample: SamplePieces) -> Iterator[tuple[str, ...]]:
    sealed = {one.label: one for one in sample.planned}
    noted = [one.piece for one in sample.served if one.piece]
    for label in dict.fromkeys((*sealed, *noted)):
        piece = sealed.get(label)
        told = (piece.part, piece.state, str(piece.brews)) if piece else ("", words.NOT_SEALED, "")
        yield (sample.label, label, *told, _list_slots(sample, label))
    if sample.used and any(not one.piece for one in sample.served):
        yield (sample.label, words.NOT_NAMED, "", "", "", _list_slots(sample, ""))


def _list_slots(sample: SamplePieces, label: str) -> str:
    """List the slots a piece made; the first brew of a new one is told apart."""
    return ", ".join(
        words.SLOT_FIRST.format(slot=one.slot) if one.before == 0 else one.slot
        for one in sample.served
        if one.piece == label
    )


def list_age_rows(samples: Sequence[SamplePieces]) -> list[tuple[str, ...]]:
    """List right answers to a new part by the brews its pieces had made, where these differ."""
    return [
        (sample.label, _say_age(one), str(one.brews), str(one.answers), str(one.right))
        for sample in samples
        if sample.is_new and len(sample.ages) > 1
        for one in sample.ages
    ]


def _say_age(age: PieceAge) -> str:
    if age.last == 0:
        return words.FIRST_OF_NEW
    return show_range(age.first, age.last)
