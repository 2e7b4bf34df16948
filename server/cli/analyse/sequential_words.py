"""How the command line says where a sequential test stands, and what its plan can do."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from server.cli.telling import tell_many, tell_number

Members = Mapping[str, Any]
MOST_SHOWN = 20
COLUMNS = "{:>9}{:>9}{:>12}{:>12}"


def tell_sequential(members: Members) -> Iterator[str]:
    yield from tell_plan(members)
    yield f"{tell_many(members['trials'], 'answer')} used, {members['correct']} correct"
    yield from _tell_path([step for step in members["path"] if step["judged"]])
    yield _tell_decision(members)
    yield from tell_risks(members)
    if "posterior" in members:
        yield from _tell_posterior(members["posterior"])
    notes = [*members["notes"], *members.get("posterior", {}).get("notes", ())]
    yield from dict.fromkeys(notes)


def tell_plan(members: Members) -> Iterator[str]:
    distance = "" if members["d_prime"] is None else f", d′ {members['d_prime']:.3f}"
    yield (
        f"Planned size: share {members['share']:.3f}{distance}, "
        f"proportion correct {members['p_correct']:.3f} (guessing {members['chance']:.3f})"
    )
    yield (
        f"Nominal risks: alpha {members['alpha']:g}, beta {members['beta']:g}; "
        f"judged after every {_tell_block(members['block'])}, {_tell_cap(members)}"
    )
    slope, low, high = (members["lines"][name] for name in ("slope", "low", "high"))
    yield f"Lines: {low:.3f} and {high:.3f}, each plus {slope:.4f} times the answers"


def _tell_block(block: int) -> str:
    return "answer" if block == 1 else f"{block} answers"


def _tell_cap(members: Members) -> str:
    if members["cap"] is None:
        return "without a cap"
    rule = "the nearer line decides" if members["at_cap"] == "nearer line" else "no decision"
    return f"cap {members['cap']} (between the lines there: {rule})"


def _tell_path(judged: Sequence[Members]) -> Iterator[str]:
    if not judged:
        return
    yield COLUMNS.format("answers", "correct", "ends below", "ends above")
    for step in judged[-MOST_SHOWN:]:
        yield COLUMNS.format(
            step["trials"], step["correct"], tell_count(step["low"]), tell_count(step["high"])
        )
    if len(judged) > MOST_SHOWN:
        yield f"(the last {MOST_SHOWN} of {len(judged)}; all with --json)"


def tell_count(count: int | None) -> str:
    return "-" if count is None else str(count)


def _tell_decision(members: Members) -> str:
    at = members["decided_at"]
    return {
        "difference": f"Stop: a difference, at answer {at}.",
        "no difference of the planned size": (
            f"Stop: no difference of the planned size, at answer {at}."
        ),
        "go on": "Go on: nothing is decided yet.",
        "no decision": f"Stop: no decision, the cap was reached at answer {at}.",
    }[members["decision"]]


def tell_risks(members: Members) -> Iterator[str]:
    guessing, planned = members["at_guessing"], members["at_planned"]
    if guessing is None:
        return
    yield (
        f"Exact risks of the plan: ends above if all guess {guessing['difference']:.4f}, "
        f"below at the planned size {planned['no_difference']:.4f}"
    )
    if members["cap"] is not None and members["at_cap"] == "no decision":
        yield (
            f"No decision by the cap: {guessing['no_decision']:.4f} if all guess, "
            f"{planned['no_decision']:.4f} at the planned size"
        )
    yield (
        f"Answers on average: {guessing['expected_trials']:.1f} if all guess, "
        f"{planned['expected_trials']:.1f} at the planned size; nine tests of ten end by "
        f"{guessing['nine_tenths']} and {planned['nine_tenths']}"
    )


def _tell_posterior(posterior: Members) -> Iterator[str]:
    a, b = posterior["prior"]["a"], posterior["prior"]["b"]
    low, high = posterior["interval"]
    (above,) = posterior["above"]
    yield (
        f"Share that notices, prior Beta({a:g}, {b:g}): mean {posterior['mean']:.3f}, "
        f"median {posterior['median']:.3f}, {low:.3f} to {high:.3f} "
        f"with probability {posterior['level']:.4g}"
    )
    yield (
        f"Above the planned share with probability {above['probability']:.4f}; Bayes factor "
        f"against a share of 0: {tell_number(posterior['bayes_factor'])} "
        f"(natural logarithm {posterior['log_bayes_factor']:.3f})"
    )
