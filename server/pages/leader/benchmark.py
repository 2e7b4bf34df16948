"""Recipes beside the house reference: what brews read, and what blind tasters said."""

from dataclasses import dataclass
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Leader
from server.pages.rendering import go_to, show
from server.reports import benchmark_words as words
from server.reports.benchmark import Summary
from server.reports.benchmark_answer import (
    answer,
    count_read,
    say_samples,
    show_mean,
    show_middle,
    show_spread,
    show_times,
    show_yields,
)
from server.reports.benchmark_tastings import MeanRow
from server.reports.brew_words import NO_COMPARING
from server.reports.step_words import say_recipe
from server.tastings.benchmarking import Benched, Benchmark, Held, read_benchmark
from server.tastings.comparing_recipes import draft_comparison

router = APIRouter()


@dataclass(frozen=True)
class BenchmarkPage:
    """The recipes, and all that is said of each."""

    found: Benchmark
    worth: str = words.WORTH
    notes: tuple[str, ...] = (words.HOW_COUNTED, NO_COMPARING)
    means_hint: str = words.MEANS_HINT

    @property
    def rows(self) -> tuple[Benched, ...]:
        """All recipes, the house reference first."""
        return (*([self.found.house] if self.found.house else []), *self.found.others)

    @property
    def has_answers(self) -> bool:
        """Whether there is anything to compare."""
        return bool(self.found.house and self.found.others)

    def short(self, one: Benched) -> str:
        """Say a recipe in one line."""
        return say_recipe(one.kept.recipe)

    def strength(self, one: Benched) -> tuple[str, str]:
        """Show the median strength, and of how many brews it is."""
        found = one.numbers.strength
        return show_middle(found, words.STRENGTH), count_read(found)

    def spread(self, found: Summary | None) -> str:
        """Show how far strengths lie apart."""
        return show_spread(found, words.STRENGTH)

    def yields(self, one: Benched) -> tuple[tuple[str, str], ...]:
        """Show the yields by form."""
        return show_yields(one.numbers.yields)

    def times(self, one: Benched) -> str:
        """Show the brew time."""
        return show_times(one.numbers.times)

    def answer(self, one: Benched) -> tuple[str, ...]:
        """Say what is known of a recipe."""
        assert self.found.house is not None
        said = [held.said for held in one.held]
        return answer(one.numbers, self.found.house.numbers, said)

    def samples(self, held: Held) -> str:
        """Say which sample was brewed by which recipe."""
        return say_samples(held.said)

    def mean(self, row: MeanRow) -> tuple[str, str, str, str]:
        """Show a difference of means."""
        return show_mean(row)


@router.get("/benchmark")
def benchmark(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show all recipes beside the house reference."""
    return show(request, "leader/benchmark", BenchmarkPage(read_benchmark(bench, leader.id)))


@router.post("/benchmark/{recipe_id}/plan")
def plan_comparison(request: Request, bench: AtBench, leader: Leader, recipe_id: UUID) -> Response:
    """Keep a draft that holds a recipe against the house reference, and show its plan."""
    return go_to(request, f"/tastings/{draft_comparison(bench, leader.id, recipe_id)}/plan")
