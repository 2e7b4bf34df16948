"""A scored table from sealed text and events to numbers, held to published panels."""

from collections import defaultdict
from typing import Any

import pytest

from server.blinding.events import Kind
from server.reports.scored import analyse_table
from server.sheets.places import Place
from server.sheets.scales.category import Category
from server.sheets.scales.defect import Defect
from server.sheets.scales.line import Line
from server.sheets.scales.ranking import Ranking
from server.sheets.scales.right import Right
from server.sheets.sheet import Attribute
from server.sheets.values import Answer, merge
from tests.panels import read_fish
from tests.scored_tables import SWEET, analyse, draw, give_means, make_sheet, tell
from tests.staging_tables import Tale, fill_sheet, list_scored, make_plain

MEANS = {"A": 40.0, "B": 60.0, "C": 50.0, "D": 45.0}


def test_the_fish_of_iso_8586_give_their_numbers_from_a_sealed_table() -> None:
    # ISO 8586:2012, Table C.1 (see the head of reference/fish.csv): six batches of fish, four
    # assessors, three scores each; here own cups and three sittings, one score in each. F of
    # the samples over the interaction, 19.61818182 on 5 and 15 degrees of freedom, was
    # recomputed independently (two programs).
    ratings = read_fish()
    scores: dict[tuple[int, str], list[float]] = defaultdict(list)
    for who, what, value in zip(ratings.assessor, ratings.sample, ratings.value, strict=True):
        scores[int(who) + 1, "ABCDEF"[int(what)]].append(float(value))
    sealed = draw(6, assessors=4, sittings=3, pot_ml="900")

    def give(seat: int, _: Attribute, sample: str, *__: str) -> int:
        return round(10 * scores[seat, sample].pop(0))

    analysis = analyse(sealed, give)
    assert analysis.numbers
    found = analysis.numbers.attributes["sweet"].samples
    assert found.f == pytest.approx(19.61818182, rel=1e-9)
    assert found.df == (5.0, 15.0)


def test_the_means_of_the_fish_are_those_printed_in_the_standard() -> None:
    ratings = read_fish()  # ISO 8586:2012, Table C.1 and the means under it
    given = iter(zip(ratings.assessor, ratings.sample, ratings.value, strict=True))
    scores: dict[tuple[int, str], list[float]] = defaultdict(list)
    for who, what, value in given:
        scores[int(who) + 1, "ABCDEF"[int(what)]].append(float(value))
    sealed = draw(6, assessors=4, bowls=3, scattered=True, pot_ml="900")
    analysis = analyse(sealed, lambda seat, _, sample, *__: round(10 * scores[seat, sample].pop()))
    assert analysis.numbers
    means = analysis.numbers.attributes["sweet"].samples.means
    assert [round(mean or 0, 2) for mean in means.values()] == [7.5, 6.17, 4.25, 4.92, 3.92, 5.33]


def test_every_sample_has_the_mean_of_what_was_said_of_it_under_any_code() -> None:
    def give(_: int, __: Attribute, sample: str, *___: str) -> int:
        return int(10 * MEANS[sample])

    analysis = analyse(draw(4, duplicates=("B",)), give)
    assert analysis.numbers
    assert analysis.numbers.attributes["sweet"].samples.means == MEANS


def test_a_warm_up_cup_is_left_out() -> None:
    sealed = draw(4, warm_up="A", pot_ml="900")
    analysis = analyse(sealed, give_means(MEANS))
    assert len(analysis.tables) == 6
    assert len(analysis.scores) == 6 * 4


def test_scattered_shared_bowls_are_compared_and_the_odd_one_is_named() -> None:
    sealed = draw(3, style="shared", bowls=3, scattered=True)

    def give(seat: int, _: Attribute, sample: str, slot: str, time: str) -> int:
        value = give_means(MEANS, spread=5 + seat % 3)(seat, SWEET, sample, slot, time)
        return value - 300 if slot == "C2" else value + (seat * len(slot) * ord(slot[1])) % 40

    found = analyse(sealed, give).bowls
    assert found
    assert [(one.bowl, one.sample) for one in found.apart] == [("C2", "C")]


def test_with_one_bowl_a_sample_bowls_are_taken_for_samples() -> None:
    analysis = analyse(draw(3, style="shared"), give_means(MEANS))
    assert analysis.single
    assert analysis.numbers


def test_passes_are_questions_of_their_own_and_so_is_their_change() -> None:
    line = Line(low="none", high="strong")
    sheet = make_sheet(Attribute(name="sweet", label="Sweet", passes=("hot", "cool"), scale=line))

    def give(_: int, __: Attribute, sample: str, ___: str, time: str) -> int:
        return int(10 * MEANS[sample]) + 50 * (time == "cool")

    analysis = analyse(draw(4, sheet), give)
    assert analysis.numbers
    assert list(analysis.numbers.attributes) == ["sweet, hot", "sweet, cool", "sweet, hot to cool"]
    assert analysis.numbers.attributes["sweet, hot to cool"].samples.means["A"] == pytest.approx(5)
    assert analysis.primary == "sweet, hot"


def test_rankings_are_met_by_the_key_and_tested_by_ranks() -> None:
    sheet = make_sheet(
        Attribute(name="order", label="Order", scale=Ranking(first="most", last="least"))
    )
    sealed = draw(3, sheet)
    tale = Tale(sealed).begin()
    for serving in list_scored(sealed):
        codes = sorted(serving.codes, key=lambda code: sealed.get_sample(serving, code))
        said = merge(Answer(), {Place("order", "", 0, ""): [[code] for code in codes]}, 3.0)
        tale.answer(serving, make_plain(said))
    found = analyse_table(sealed, tale.close().events).others.orders["order"].complete
    assert found
    assert found.rank_sums == (6.0, 12.0, 18.0)
    # six people, three samples, all in one order: (1/6)^5 of all orders are so or mirrored
    assert found.p_value == pytest.approx((1 / 6) ** 5)


def test_words_in_order_are_ranked_and_never_averaged() -> None:
    scale = Category(words=("muddled", "hazy", "clear"))
    sheet = make_sheet(Attribute(name="clean", label="Clarity", scale=scale))
    analysis = analyse(draw(3, sheet), lambda _, __, sample, *___: "ABC".index(sample))
    assert analysis.numbers is None
    assert analysis.others.orders["clean"].p_value == pytest.approx((1 / 6) ** 5)


def test_sides_are_counted_by_sample() -> None:
    scale = Right(words=("too thin", "just right", "too heavy"))
    sheet = make_sheet(Attribute(name="body", label="Body", scale=scale))
    analysis = analyse(draw(2, sheet), lambda seat, _, sample, *__: int(sample == "B" and seat > 2))
    assert analysis.others.sides["body"].counts == {"A": (0, 6, 0), "B": (0, 2, 4)}


def test_own_cups_are_named_by_whose_they_are_and_shared_bowls_by_their_number() -> None:
    flag = Defect(levels=("faint",), words=("ash",))
    sheet = make_sheet(Attribute(name="flaw", label="Flaw", scope="cup", scale=flag))
    own = analyse(draw(2, sheet, duplicates=("A",)), lambda *_: {"found": False})
    assert [one.cup for one in own.others.flags["flaw"].said][:4] == [
        "seat 1, 1", "seat 1, 2", "seat 2, 1", "seat 2, 2",
    ]  # fmt: skip
    bowls = draw(2, sheet, style="shared", bowls=3)
    shared = analyse(bowls, lambda *_: {"found": False}).others.flags["flaw"].said
    assert {one.cup for one in shared} == {"1", "2", "3"}


def test_an_empty_place_is_counted_and_never_a_number() -> None:
    def give(seat: int, attribute: Attribute, sample: str, slot: str, time: str) -> Any:
        if (seat, sample) == (2, "B"):
            return None
        return give_means(MEANS)(seat, attribute, sample, slot, time)

    analysis = analyse(draw(4), give)
    assert (analysis.missing.required, analysis.missing.places) == (1, 24)
    assert sum(one.value is None for one in analysis.scores) == 1


def test_a_value_that_the_sheet_cannot_take_is_left_out_and_counted() -> None:
    sealed = draw(4)
    tale = tell(sealed, give_means(MEANS))
    body = dict(tale.events[-1].body or {})
    serving = list_scored(sealed)[-1]
    tale.events = tale.events[:-1]
    answer = {**body["answer"]}
    answer["values"] = [{**answer["values"][0], "value": 5000}, *answer["values"][1:]]
    tale.answer(serving, answer)
    assert analyse_table(sealed, tale.close().events).refused == 1


def test_an_answer_after_closing_counts_in_a_reading_of_its_own() -> None:
    sealed = draw(4)
    tale = tell(sealed, give_means(MEANS))
    tale.events = tale.events[:-2]  # the last seat has not locked its table
    late = list_scored(sealed)[-1]
    tale.tell(Kind.CLOSED, reason="", pourer="absent")
    give = give_means(MEANS)
    tale.answer(late, fill_sheet(sealed, late, lambda *about: give(6, *about)), Kind.LATE)
    tale.tell(Kind.UNSEALED, seal_matches=True)
    readings = analyse_table(sealed, tale.events).readings
    assert [(one.name, one.answers) for one in readings] == [("planned", 5), ("late", 6)]


def test_whoever_goes_against_the_rest_is_read_with_and_without() -> None:
    def give(seat: int, attribute: Attribute, sample: str, slot: str, time: str) -> int:
        value = give_means(MEANS)(seat, attribute, sample, slot, time)
        return 1000 - value if seat == 3 else value

    readings = analyse(draw(4), give).readings
    assert [(one.name, one.who, one.answers) for one in readings] == [
        ("planned", "", 6),
        ("without", "seat 3", 5),
    ]


def test_a_look_at_the_results_makes_it_exploratory() -> None:
    sealed = draw(4)
    tale = tell(sealed, give_means(MEANS))
    tale.tell(Kind.RESULTS_LOOKED, how="export")
    assert analyse_table(sealed, tale.close().events).exploratory == ("results_look",)


def test_nothing_that_comes_after_unsealing_changes_what_counts() -> None:
    sealed = draw(4)
    tale = tell(sealed, give_means(MEANS)).close()
    before = analyse_table(sealed, tale.events)
    serving = list_scored(sealed)[0]
    tale.tell(Kind.VOIDED, serving=str(serving.id), reason="a wish", replacement=None)
    assert analyse_table(sealed, tale.events).numbers == before.numbers
