"""Which pieces the samples of a draft are brewed with, and what is sealed of them."""

import pytest

from server.blinding.plans import Plan
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedSample
from server.storage import key, tables
from server.tastings import pieces_planned, specimens
from server.tastings.brews_needed import count_brews_needed
from server.tastings.refusals import WrongState
from server.tastings.sealing import seal_tasting
from tests.series_forms import draft_series
from tests.table_forms import draft_table


@pytest.fixture
def add(bench, account):
    """Keep a piece; any field can be changed."""

    def keep(label, **changed):
        form = {"label": label, "part": "cloth filter", "state": "new"} | changed
        return specimens.add_specimen(bench, account.id, form)

    return keep


@pytest.fixture
def choose(bench, account, draft):
    """Choose pieces for the samples of the draft: level to ids."""

    def put(**chosen):
        form = {
            pieces_planned.name_field(level, one): "on"
            for level, ids in chosen.items()
            for one in ids
        }
        pieces_planned.choose_pieces(bench, account.id, draft, form)

    return put


@pytest.fixture
def find(bench, account, draft):
    def look():
        with bench.reading() as db:
            row = db.get_one(tables.Tasting, draft)
        return pieces_planned.find_pieces(bench, account.id, row)

    return look


def read_seal(bench, tasting_id):
    seal_tasting(bench, tasting_id)
    with bench.reading() as db:
        return read_sealed(key.read_sealed_text(db, tasting_id))


def test_a_new_sample_is_told_how_many_fresh_pieces_it_lacks(add, choose, find):
    choose(B=[add("cloth 1"), add("cloth 2", state="used", brews_before="3")])
    a, b = find().samples
    assert (a.pieces, a.lacking) == ((), 0)
    assert (b.brews, b.fresh, b.lacking) == (6, 1, 5)


def test_a_used_sample_lacks_nothing(add, choose, find):
    choose(A=[add("cloth 1", state="used")])
    assert find().samples[0].lacking == 0


def test_a_piece_in_both_samples_is_named(add, choose, find):
    piece = add("cloth 1", state="used")
    choose(A=[piece], B=[piece])
    assert find().shared == ("cloth 1",)


def test_a_choice_taken_back_leaves_the_plan_as_it_was(bench, draft, add, choose):
    with bench.reading() as db:
        before = db.get_one(tables.Tasting, draft).plan
    choose(A=[add("cloth 1")])
    choose()
    with bench.reading() as db:
        assert db.get_one(tables.Tasting, draft).plan == before


def test_the_seal_holds_pieces_as_they_are_when_it_is_made(bench, account, draft, add, choose):
    piece = add("cloth 1")
    choose(B=[piece])
    specimens.change_specimen(bench, account.id, piece, {"state": "washed"})
    (sealed,) = read_seal(bench, draft).plan.bench.specimens["B"]
    assert (sealed.label, sealed.part, sealed.state, sealed.brews) == (
        "cloth 1", "cloth filter", "washed", 0,
    )  # fmt: skip


def test_a_draft_without_pieces_is_sealed_without_a_bench(bench, draft):
    assert read_seal(bench, draft).plan.bench is None


def test_pieces_of_a_sealed_tasting_stay_as_they_are(bench, draft, add, choose):
    seal_tasting(bench, draft)
    with pytest.raises(WrongState):
        choose(A=[add("cloth 1")])


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"assessors": "7", "pot_ml": "100"},
        {"pots": "blend", "null_control": "on"},
        {"positive_control": "on", "positive_label": "with water"},
        {"pourer": "alone", "sittings": "2"},
    ],
)
def test_as_many_brews_are_asked_for_as_are_drawn(bench, make_draft, changed):
    sealed = read_seal(bench, make_draft(**changed))
    needed = count_brews_needed(sealed.plan, sealed.samples)
    assert needed == {
        sample.level: sum(one.brews for one in sealed.slots if one.sample == sample.level)
        for sample in sealed.samples
    }


def test_a_scored_table_counts_its_brews_too(bench, account):
    sealed = read_seal(bench, draft_table(bench, account.id))
    needed = count_brews_needed(sealed.plan, sealed.samples)
    assert sum(needed.values()) == sum(one.brews for one in sealed.slots) > 0


def test_of_a_rising_series_only_the_base_is_brewed(bench, account):
    sealed = read_seal(bench, draft_series(bench, account.id))
    assert set(count_brews_needed(sealed.plan, sealed.samples)) == {"A"}


def test_shots_are_brews_of_their_own(bench, draft):
    with bench.reading() as db:
        row = db.get_one(tables.Tasting, draft)
    recipes = {"A": {"title": "Espresso", "dose_g": "18", "shots": 2}}
    plan = Plan.model_validate(row.plan | {"bench": {"recipes": recipes}})
    samples = [PlannedSample(level=level, label=level) for level in "AB"]
    assert count_brews_needed(plan, samples) == {"A": 12, "B": 6}
