"""What stands on the bench reaches no assessor: recipes, contrast, pieces, trial brews.

Two worlds share every draw and every request; all that their plans say of brewing differs.
"""

from collections.abc import Callable
from uuid import UUID

import pytest

from server.storage import tables
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.planning import PlanInput
from tests import test_blindness
from tests.brew_rows import keep_trial
from tests.brewing_bench import make_recipe
from tests.test_blindness import World, find_differences, play_as_assessors

build = test_blindness.build

READ = {"temperature_c": "60", "fill_g": "40"}
PIECE = {"label": "seal 3", "part": "lid seal", "state": "new"}


def draft_with_a_full_bench(bench: Bench, account_id: UUID, given: PlanInput) -> UUID:
    """Store a draft of two recipes, a piece of a part in B, and a trial brew of each."""
    tasting_id = create_draft(bench, account_id, given)
    recipes = {
        level: make_recipe(title=title, dose_g=dose).model_dump(mode="json")
        for level, title, dose in (("A", "Barley, plain lid", "20"), ("B", "Barley, seal", "22"))
    }
    with bench.writing() as db:
        row = db.get_one(tables.Tasting, tasting_id)
        row.plan = row.plan | {"bench": {"recipes": recipes, "specimens": {"B": [PIECE]}}}
        db.add(row)
        now = bench.clock()
        db.add(
            tables.Specimen.model_validate({"account_id": account_id, "created_at": now} | PIECE)
        )
        db.commit()
        account = db.get_one(tables.Account, account_id)
        db.refresh(account)
    for level, tds in (("A", "1.30"), ("B", "1.32")):
        keep_trial(bench, account, tasting_id, level, tds=[tds], **READ)
    return tasting_id


def test_assessors_see_the_same_bytes_whatever_stands_on_the_bench(
    build: Callable[..., World], monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = build()
    monkeypatch.setattr(test_blindness, "draft_with_recipe", draft_with_a_full_bench)
    full = build(contrast="same brewer", extraction_limit="0.7", age_limit="5")
    bench = full.layout.plan.bench
    assert bench
    assert (len(bench.trials), len(bench.specimens)) == (2, 1)
    assert full.layout.plan.contrast != plain.layout.plan.contrast
    assert find_differences(play_as_assessors(plain), play_as_assessors(full)) == []
