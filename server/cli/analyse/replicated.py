"""``oddcup analyse replicated``: several answers of each assessor, from a file."""

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.analyse.assessor_rows import read_counts
from server.cli.analyse.replicated_words import tell_replicated, tell_similarity
from server.cli.counted import CountedName
from server.cli.files import readable_file
from server.cli.telling import to_json
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.replicated_similarity import ReplicatedSimilarity
    from server.stats.replicates import ReplicatesResult

BETA = 0.05


@click.command("replicated", short_help="Analyse several answers of each assessor.")
@click.argument("file", type=readable_file)
@click.option("--method", type=CountedName(), required=True, help="One of those above.")
@click.option("--alpha", type=float, default=0.05, show_default=True, help="Of the pooled test.")
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--similarity", type=float, help="Mean share that must not be reached.")
@click.option("--beta", type=float, help=f"Risk that goes with --similarity; {BETA} if not given.")
@click.option("--seed", type=int, default=1, show_default=True, help="Of drawn panels.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def replicated(
    file: Path,
    method: Counted,
    alpha: float,
    level: float,
    similarity: float | None,
    beta: float | None,
    seed: int,
    as_json: bool,
) -> None:
    """Analyse a test in which each assessor gave several answers.

    The pooled answers are tested for a difference; models that let assessors
    differ say what people like them would notice.

    \b
    FILE is a CSV table with a header, either one row an assessor:
      assessor  name or code
      correct   how many answers were correct
      trials    how many answers there were
    or one row an answer:
      assessor  name or code
      correct   1 or 0

    \b
    The methods are
      triangle, duo-trio, 2-afc, 3-afc, tetrad, two-out-of-five
      paired-comparison, paired-preference
    The last two are two-sided: correct is then the number of answers for one
    of the samples, for all assessors the same one.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    if beta is not None and similarity is None:
        raise click.UsageError("--beta belongs to --similarity")
    correct, trials = read_counts(file)
    try:
        result = _analyse(method, correct, trials, alpha, level, seed)
        judged = _judge(method, correct, trials, similarity, BETA if beta is None else beta)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(_to_json(result, judged) if as_json else _tell(result, judged))


def _analyse(
    method: Counted,
    correct: Sequence[int],
    trials: Sequence[int],
    alpha: float,
    level: float,
    seed: int,
) -> "ReplicatesResult":
    from server.stats.replicates import analyse_replicates  # loads when it is asked for

    result = analyse_replicates(method.model, correct, trials, alpha, level, method.sided, seed)
    return dataclasses.replace(result, method=method.name)


def _judge(
    method: Counted,
    correct: Sequence[int],
    trials: Sequence[int],
    limit: float | None,
    beta: float,
) -> "ReplicatedSimilarity | None":
    from server.stats.replicated_similarity import judge_replicated_similarity

    if limit is None:
        return None
    if method.sided == "two":
        raise ValueError(f"similarity is for one-sided methods, not {method.name}")
    return judge_replicated_similarity(correct, trials, method.model.chance, limit, beta)


def _to_json(result: "ReplicatesResult", judged: "ReplicatedSimilarity | None") -> str:
    members = dataclasses.asdict(result)
    if judged is not None:
        members["similarity"] = dataclasses.asdict(judged)
    return to_json(members)


def _tell(result: "ReplicatesResult", judged: "ReplicatedSimilarity | None") -> str:
    lines = tell_replicated(result)
    return "\n".join(lines if judged is None else [*lines, *tell_similarity(judged)])
