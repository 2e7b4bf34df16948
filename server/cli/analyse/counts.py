"""Tests analysed from their counts alone."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.counts_words import tell_counts, tell_share_limits, tell_similarity
from server.cli.counted import CountedName
from server.cli.telling import to_json
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.counts import CountsResult
    from server.stats.shares import ShareLimits
    from server.stats.similarity import SimilarityResult

BETA = 0.05


@dataclass(frozen=True)
class Asked:
    """What is to be analysed, as it was typed."""

    method: Counted
    correct: int
    trials: int
    alpha: float
    level: float
    limits: str
    similarity: float | None
    beta: float | None
    judgements: int | None


@dataclass(frozen=True)
class Found:
    """What came of it; only what was asked for."""

    counts: "CountsResult"
    share_limits: "tuple[ShareLimits, ...]"
    similarity: "SimilarityResult | None"


@click.command("counts")
@click.argument("method", type=CountedName())
@click.option("--correct", type=int, required=True, help="Correct answers.")
@click.option("--trials", type=int, required=True, help="All answers.")
@click.option("--alpha", type=float, default=0.05, show_default=True, help="Level of the test.")
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option(
    "--limits",
    type=click.Choice(["exact", "normal"]),
    default="exact",
    show_default=True,
    help="normal adds limits of the share in the standards' normal form, beside the exact ones.",
)
@click.option("--similarity", type=float, help="Also judge whether the share is below this limit.")
@click.option("--beta", type=float, help="Risk of passing at that limit; 0.05 if not given.")
@click.option("--judgements", type=int, help="Answers of each assessor; similarity takes only 1.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def counts(as_json: bool, **typed: Any) -> None:
    """Analyse a test of METHOD from its counts.

    \b
    METHOD is one of
      triangle, duo-trio, 2-afc, 3-afc, tetrad, two-out-of-five
      paired-comparison, paired-preference
    The last two are two-sided: --correct is then the number of answers for
    either one of the samples.

    The share is that of judgements in which the difference was noticed, by the
    guessing model; in a two-sided test, the distance from an even split.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    asked = Asked(**typed)
    if asked.similarity is None and (asked.beta, asked.judgements) != (None, None):
        raise click.UsageError("--beta and --judgements go with --similarity")
    try:
        found = _analyse(asked)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(_collect(found)) if as_json else "\n".join(_tell(asked, found)))


def _analyse(asked: Asked) -> Found:
    from server.stats.counts import analyse_counts  # statistics load when they are asked for

    method = asked.method
    result = analyse_counts(
        method.model, asked.correct, asked.trials, asked.alpha, asked.level, method.sided
    )
    return Found(
        counts=dataclasses.replace(result, method=method.name),
        share_limits=_limit_share(asked) if asked.limits == "normal" else (),
        similarity=None if asked.similarity is None else _judge(asked, asked.similarity),
    )


def _limit_share(asked: Asked) -> "tuple[ShareLimits, ...]":
    from server.stats.shares import share_limits

    chance, folded = asked.method.model.chance, asked.method.sided == "two"
    return (
        share_limits(asked.correct, asked.trials, chance, asked.level, "exact", folded),
        share_limits(asked.correct, asked.trials, chance, asked.level, "normal", folded),
    )


def _judge(asked: Asked, limit: float) -> "SimilarityResult":
    from server.stats.similarity import judge_similarity

    return judge_similarity(
        asked.correct,
        asked.trials,
        asked.method.model.chance,
        limit,
        BETA if asked.beta is None else asked.beta,
        asked.method.sided,
        1 if asked.judgements is None else asked.judgements,
    )


def _collect(found: Found) -> dict[str, Any]:
    members = dataclasses.asdict(found.counts)
    if found.share_limits:
        members["share_limits"] = {x.form: dataclasses.asdict(x) for x in found.share_limits}
    if found.similarity:
        members["similarity"] = dataclasses.asdict(found.similarity)
    return members


def _tell(asked: Asked, found: Found) -> Iterator[str]:
    yield from tell_counts(asked.method, found.counts)
    for limits in found.share_limits:
        yield from tell_share_limits(limits)
    if found.similarity:
        yield from tell_similarity(asked.method, found.similarity)
