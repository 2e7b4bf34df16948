"""Words that no finding of a scored table may use, and verdicts of tables of every kind."""

import re
from dataclasses import fields
from random import Random
from typing import Any

import pytest

from server.blinding.events import Kind
from server.reports import table_words as words
from server.reports.scored import TableAnalysis, analyse_table
from server.reports.table_exports import render_table
from server.reports.table_findings import conclude_table
from server.reports.table_grids import list_grids
from server.reports.table_names import name_all
from server.reports.table_verdicts import Advice, Reason, TableVerdict
from server.sheets.scales.defect import Defect
from server.sheets.scales.line import Line
from server.sheets.sheet import Attribute
from tests.scored_tables import SWEET, Give, analyse, draw, give_means, make_sheet, tell
from tests.staging_tables import Tale

FORBIDDEN = re.compile(
    r"safe|\bprov(e|es|ed|en|ing)\b|\bproof\b|\bsame\b|no difference|\bcompl(y|ies|ied)\b"
    r"|\bidentical\b|\bequivalent\b|\btaint",
    re.IGNORECASE,
)
APART = {"A": 30.0, "B": 70.0, "C": 50.0, "D": 40.0}
ALIKE = dict.fromkeys("ABCD", 50.0)
LINE = Line(low="none", high="strong")
TWO = make_sheet(SWEET, Attribute(name="sour", label="Sourness", scale=LINE))


def guess(seed: int = 4, spread: int = 30) -> Give:
    """Score by chance alone."""
    chance = Random(seed)
    return lambda *_: 500 + chance.randint(-10 * spread, 10 * spread)


def turn(seat: int) -> Give:
    """Let one seat use the line the other way round."""
    honest = give_means(APART)
    return lambda one, *about: 1000 - honest(one, *about) if one == seat else honest(one, *about)


def list_texts(value: Any) -> list[str]:
    """List every sentence of a module's member."""
    if isinstance(value, dict):
        return [text for one in value.values() for text in list_texts(one)]
    if isinstance(value, tuple):
        return [text for one in value for text in list_texts(one)]
    return [value] if isinstance(value, str) else []


ROWS = [
    pytest.param(name, text, id=f"{name}-{at}")
    for name, value in vars(words).items()
    if name.isupper()
    for at, text in enumerate(list_texts(value))
]


@pytest.mark.parametrize(("name", "text"), ROWS)
def test_no_row_of_the_wording_table_claims_too_much(name: str, text: str) -> None:
    assert not FORBIDDEN.search(text), name


@pytest.mark.parametrize("verdict", TableVerdict)
def test_every_verdict_has_its_headline(verdict: TableVerdict) -> None:
    assert verdict in words.HEADLINES


def test_every_piece_of_advice_and_every_reason_has_its_words() -> None:
    assert set(words.ADVICE) == set(Advice)
    assert set(words.REASONS) == set(Reason)


def abandon(analysis_of: Any) -> TableAnalysis:
    """Give a filled table up."""
    tale = tell(analysis_of, give_means(APART))
    tale.tell(Kind.ABANDONED, reason="the kettle broke")
    tale.tell(Kind.UNSEALED, seal_matches=True)
    return analyse_table(analysis_of, tale.events)


def leave_empty(sealed: Any) -> TableAnalysis:
    """Close a table at which nobody said anything."""
    return analyse(sealed, lambda *_: None)


def leave_unread(sealed: Any) -> TableAnalysis:
    """Fill a table whose brews nobody read."""
    told = tell(sealed, give_means(APART)).close().events
    tale = Tale(sealed)
    for one in told:
        if one.kind != Kind.BREWED:
            body = {name: value for name, value in (one.body or {}).items() if name != "at"}
            tale.tell(one.kind, **body)
    return analyse_table(sealed, tale.events)


CASES = {
    "differ": (lambda: analyse(draw(4), give_means(APART)), "differ", "decide"),
    "not matched": (
        lambda: analyse(draw(4), give_means(APART), {"C": "1.44"}),
        "differ_not_matched",
        "retaste",
    ),
    "nearly matched": (
        lambda: analyse(draw(4), give_means(APART), {"C": "1.38"}),
        "differ_nearly_matched",
        "decide",
    ),
    "not measured": (lambda: leave_unread(draw(4)), "differ_not_measured", "decide"),
    "upside down": (lambda: analyse(draw(4), turn(2)), "differ", "discuss"),
    "by chance": (lambda: analyse(draw(4), guess()), "not_shown", "retaste"),
    "single bowls": (
        lambda: analyse(draw(4, style="shared"), give_means(APART)),
        "differ_bowls",
        "retaste",
    ),
    "undeclared, apart": (
        lambda: analyse(draw(4, TWO, primary=""), give_means(APART)),
        "leads",
        "retaste",
    ),
    "undeclared, by chance": (
        lambda: analyse(draw(4, TWO, primary=""), guess(9)),
        "no_leads",
        "retaste",
    ),
    "one person": (
        lambda: analyse(draw(4, assessors=1), give_means(APART)),
        "not_testable",
        "retaste",
    ),
    "open": (
        lambda: analyse(draw(4, pourer="taster"), give_means(APART)),
        "exploratory",
        "retaste",
    ),
    "abandoned": (lambda: abandon(draw(4)), "abandoned", "retaste"),
    "empty": (lambda: leave_empty(draw(4)), "no_answers", "retaste"),
}


@pytest.mark.parametrize("case", CASES)
def test_a_table_leads_to_its_verdict_in_allowed_words(case: str) -> None:
    make, verdict, advice = CASES[case]
    analysis = make()
    finding = conclude_table(analysis)
    assert (finding.verdict, finding.advice) == (verdict, advice)
    said = "\n".join(
        text for one in fields(finding) for text in list_texts(getattr(finding, one.name))
    )
    assert not FORBIDDEN.search(said)
    assert not re.search(r"\{\w*\}|\bNone\b|\bnan\b", render_table(analysis))


def test_with_and_without_whoever_goes_against_the_rest_stand_side_by_side() -> None:
    finding = conclude_table(analyse(draw(4), turn(2)))
    assert "Seat 2 goes against the rest in “Sweetness”" in finding.disagree[0]
    assert finding.disagree[1].startswith("Result with everybody: F")
    assert "drop nobody" in finding.disagree[2]


def test_a_finding_says_which_samples_are_told_apart() -> None:
    finding = conclude_table(analyse(draw(4), give_means(APART)))
    assert finding.differ[0].startswith("Highest on average: “batch B”")
    assert "“batch B” above “batch A”" in finding.differ[1]


def test_a_strength_apart_is_a_rival_cause_that_names_its_two_samples() -> None:
    finding = conclude_table(analyse(draw(4), give_means(APART), {"C": "1.44"}))
    assert finding.headline.endswith("but strength was not matched: a rival cause.")
    assert "Told apart; strength is a rival cause." in finding.differ
    assert finding.may_not_say[0] == "That anything but strength made them differ."
    assert finding.limits[0] == (
        "Strength was not matched: “batch A” and “batch C” differed by up to 0.14 %TDS, the "
        "planned limit is 0.05 %TDS."
    )


def test_brews_nobody_read_may_be_a_cause_and_stop_no_decision_on_the_cups() -> None:
    finding = conclude_table(leave_unread(draw(4)))
    assert finding.limits[0] == (
        "Strength, temperature and fill were not measured in every brew served, and so may be a "
        "cause."
    )
    assert finding.decide[1] == (
        "Strength and temperature were not measured in every brew: decide on what was poured, not "
        "on why it differs."
    )


def test_brews_alike_are_no_limit_and_no_rival() -> None:
    finding = conclude_table(analyse(draw(4), give_means(APART)))
    said = " ".join((*finding.limits, *finding.differ, *finding.may_not_say))
    assert not re.search("matched|measured|rival|anything but", said)


def test_a_brew_of_no_sheet_that_counts_is_no_limit() -> None:
    """The warm-up pot is too strong; nobody scored it."""
    sealed = draw(4, warm_up="A", pot_ml="900")
    tale = tell(sealed, give_means(APART))
    warm = next(one for one in sealed.slots if one.round == 1)
    tale.tell(
        Kind.BREWED, slot=warm.name, tds=["1.90"], temperature_c="62", fill_g=None, time=None,
        note="",
    )  # fmt: skip
    finding = conclude_table(analyse_table(sealed, tale.close().events))
    assert finding.verdict == TableVerdict.DIFFER


def test_the_brews_read_stand_in_a_table_of_their_own() -> None:
    grids = {one.name: one for one in list_grids(analyse(draw(2), give_means(APART)))}
    assert grids["brews"].rows[0] == ("A1", "1", "batch A", "1.30", "0.00", "62.0", "40")
    assert len(grids["brews"].head) == 7


def test_without_a_reading_there_is_no_table_of_brews() -> None:
    assert "brews" not in [one.name for one in list_grids(leave_unread(draw(4)))]


def test_flagged_cups_are_counted_on_the_first_page() -> None:
    flag = Defect(levels=("faint", "strong"), words=("ash",))
    sheet = make_sheet(SWEET, Attribute(name="flaw", label="Flaw", scope="cup", scale=flag))

    def give(seat: int, attribute: Attribute, sample: str, slot: str, time: str) -> Any:
        if attribute.name == "flaw":
            found = {"found": True, "intensity": 1, "word": "ash"}
            return found if (sample, seat) == ("A", 1) else {"found": False}
        return give_means(APART)(seat, attribute, sample, slot, time)

    finding = conclude_table(analyse(draw(4, sheet), give))
    assert "“batch A”: 1 of 6 cups flagged (“Flaw”)." in finding.differ


def test_the_reference_is_compared_with_every_sample() -> None:
    finding = conclude_table(analyse(draw(4, reference="A"), give_means(APART)))
    assert any(one.startswith("Against the house reference “batch A”") for one in finding.differ)


def test_questions_are_called_what_the_sheet_calls_them() -> None:
    names = name_all(analyse(draw(4, TWO), give_means(APART)))
    assert names.attribute("sour") == "Sourness"
    assert names.ends["sour"] == (0.0, 100.0)
