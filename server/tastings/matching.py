"""How well the brews noted so far match."""

from server.blinding.plans import Purpose
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.blinding.series_rules import BASE
from server.brewing.match import MatchTable, match_brews
from server.brewing.match_steps import match_steps
from server.reports.brew_readings import find_readings


def match_noted(layout: Layout, record: Record) -> MatchTable:
    """Compare the noted brews of the test's own rounds by the limits of the plan.

    Of a series each step is compared with the base of its own round.
    """
    if layout.plan.series is not None:
        return _match_series(layout, record)
    test = next(one for one in layout.comparisons if one.purpose == Purpose.TEST)
    rounds = {serving.round for serving in layout.servings if serving.comparison == test.name}
    plan = layout.plan
    return match_brews(
        [
            find_readings(slot, record, plan)
            for slot in layout.slots
            if slot.round in rounds and slot.name in record.brews
        ],
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        test.samples,
        extraction_limit=plan.extraction_limit,
        age_limit=plan.round_age_limit,
        sampled=plan.single_cups,
    )


def _match_series(layout: Layout, record: Record) -> MatchTable:
    plan, noted = layout.plan, [one for one in layout.slots if one.name in record.brews]
    return match_steps(
        [find_readings(slot, record, plan) for slot in noted],
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        BASE,
        age_limit=plan.round_age_limit,
    )
