"""What the finding of a scored table says of brews that went out unmatched, or twice."""

from typing import Any

from server.blinding.bench_plans import BenchPlan
from server.blinding.events import Kind
from server.brewing.recipe import write_recipe
from server.reports.scored import analyse_table
from server.reports.table_findings import TableFinding, conclude_table
from server.reports.trials import is_one_recipe
from tests.brewing_bench import make_recipe
from tests.scored_tables import draw, give_means, tell
from tests.staging_tables import Tale

APART = {"A": 40, "B": 60, "C": 41, "D": 42}


def note(tale: Tale, slot: str, tds: str, **brew: Any) -> None:
    tale.tell(
        Kind.BREWED, slot=slot, tds=[tds], temperature_c="62", fill_g="40", time=None, note="",
        brew=brew,
    )  # fmt: skip


def conclude(*notes: tuple[str, str], **brew: Any) -> TableFinding:
    """Tell a table with such late notes; brews apart are released with a reason."""
    sealed = draw(4)
    tale = tell(sealed, give_means(APART))
    for slot, tds in notes:
        note(tale, slot, tds, **brew)
        if tds != "1.30":
            found = {"strength": "not matched"}
            tale.tell(Kind.RELEASED, slot=slot, found=found, reason="the buyer was waiting")
    return conclude_table(analyse_table(sealed, tale.close().events))


def test_a_release_is_quoted_first_and_leaves_a_rival() -> None:
    finding = conclude(("B1", "1.48"))
    assert finding.limits[0] == (
        "Brew B1 of “batch B” was released although it did not match the other brews of its "
        "round: strength (0.18 %TDS apart, limit 0.05 %TDS). Reason given: “the buyer was "
        "waiting”."
    )
    assert finding.verdict == "differ_not_matched"
    assert finding.may_not_say[0] == "That anything but strength made them differ."


def test_one_brew_under_two_samples_is_said() -> None:
    finding = conclude(("B1", "1.30"), same_as="A1")
    assert any(one.startswith("A1 and B1 came from one brew") for one in finding.limits)


def test_brews_alike_say_nothing_of_a_gate() -> None:
    assert not any("released" in one or "one brew" in one for one in conclude().limits)


def test_batches_of_a_table_brewed_by_one_recipe_are_no_null_control() -> None:
    levels, plan = ("A", "B"), draw(4).plan
    bench = BenchPlan(recipes={level: write_recipe(make_recipe()) for level in levels})
    by_one = plan.model_copy(update={"bench": bench})
    assert not is_one_recipe(by_one, levels)
    assert is_one_recipe(by_one.model_copy(update={"table": None}), levels)
