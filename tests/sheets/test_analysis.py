import dataclasses
import json
import time

import numpy as np
import pytest

from server.sheets.analysis import NO_VALUES, analyse_attribute, analyse_scores
from server.sheets.scores import Score

# What each kind of value that is not estimable must be explained by.
REASONS = {
    "samples": ("cannot be tested", "nothing to compare", "no F", "no assessor connects"),
    "icc": ("Intraclass correlation", "Agreement is not estimable"),
    "kendall_w": ("Kendall's W", "Concordance"),
    "krippendorff_interval": ("Krippendorff",),
    "cronbach_alpha": ("Cronbach", "Agreement is not estimable"),
    "scaling": ("Scale use is not", "all interaction is scale use", "left as disagreement"),
}
OF_ASSESSORS = {
    "discrimination_f": ("rated no sample twice", "rated one sample only", "repeated every value"),
    "repeatability_mse": ("rated no sample twice",),
    "agreement_r": ("agree",),
    "interaction_share": ("Nobody has a share",),
    "level": ("nobody has a level",),
    "slope": ("Scale use is not estimable",),
}


def score(table: dict[str, dict[str, tuple[float, ...]]], attribute: str = "sweet") -> list[Score]:
    return [
        Score(who, name, attribute, value)
        for who, row in table.items()
        for name, values in row.items()
        for value in values
    ]


EDGES = {
    "one value": {"ann": {"X": (3,)}},
    "one assessor": {"ann": {"X": (3, 4), "Y": (5, 5)}},
    "one sample": {"ann": {"X": (3,)}, "bo": {"X": (5,)}},
    "two samples": {"ann": {"X": (1,), "Y": (2,)}, "bo": {"X": (1,), "Y": (3,)}},
    "constant": {who: dict.fromkeys("XYZ", (3,)) for who in ("ann", "bo", "cy")},
    "a constant assessor": {
        "ann": {"X": (1, 2), "Y": (4, 2), "Z": (6, 7)},
        "bo": {"X": (5, 5), "Y": (5, 5), "Z": (5, 5)},
        "cy": {"X": (1, 1), "Y": (4, 4), "Z": (5, 7)},
    },
    "no interaction": {
        "ann": {"X": (1,), "Y": (2,), "Z": (4,)},
        "bo": {"X": (2,), "Y": (3,), "Z": (5,)},
    },
    "never together": {"ann": {"X": (1,)}, "bo": {"Y": (2,)}, "cy": {"Z": (2,)}},
    "two tables": {"ann": {"X": (1,), "Y": (2,)}, "bo": {"V": (1,), "W": (2,)}},
    "a gap": {
        "ann": {"X": (1,), "Y": (2,), "Z": (4,)},
        "bo": {"X": (1,), "Y": (3,)},
        "cy": {"X": (2,), "Y": (2,), "Z": (3,)},
    },
    "opposed": {"ann": {"X": (1,), "Y": (2,), "Z": (3,)}, "bo": {"X": (3,), "Y": (2,), "Z": (1,)}},
}


@pytest.fixture(params=EDGES)
def edge(request):
    return analyse_scores(score(EDGES[request.param])).attributes["sweet"]


def test_every_edge_is_strict_json(edge):
    assert json.dumps(dataclasses.asdict(edge), allow_nan=False)


def test_whatever_is_not_estimable_has_a_reason(edge):
    told = "\n".join(edge.notes)
    values = {
        "samples": edge.samples.p_value,
        "scaling": edge.scaling.p_value,
        **{name: one.value for name, one in edge.agreement.icc.items()},
        **{name: getattr(edge.agreement, name) for name in list(REASONS)[2:5]},
    }
    for name, value in values.items():
        reasons = REASONS.get(name, REASONS["icc"])
        assert value is not None or any(reason in told for reason in reasons), name


def test_whatever_of_an_assessor_is_not_estimable_has_a_reason(edge):
    told = "\n".join(edge.notes)
    for work in edge.assessors.values():
        for name, reasons in OF_ASSESSORS.items():
            value = getattr(work, name)
            assert value is not None or any(reason in told for reason in reasons), name


def test_attributes_do_not_touch_each_other(tea):
    other = [one._replace(attribute="sweet", value=9 - (one.value or 0)) for one in tea]
    assert analyse_scores([*other, *tea]).attributes["clean"] == analyse_attribute(tea)


def test_copied_rows_change_no_test_and_are_told(tea):
    once, thrice = analyse_attribute(tea), analyse_attribute(tea * 3)
    assert thrice.samples == once.samples
    assert (thrice.assessors, thrice.scaling) == (once.assessors, once.scaling)
    assert any("stands 3 times" in note for note in thrice.notes)


def test_a_sample_and_an_assessor_without_a_score_are_named(tea):
    other = [Score("em", "tap", "sweet", 4), Score("em", "tap", "clean", None)]
    found = analyse_scores([*tea, *other]).attributes["clean"]
    assert (found.samples.means["tap"], found.assessors["em"].level) == (None, None)
    assert {"tap has no score here: nothing is estimable."} < set(found.notes)


def test_an_attribute_without_a_score_is_left_out_and_named(tea):
    found = analyse_scores([*tea, Score("ann", "fresh", "sweet", None)])
    assert list(found.attributes) == ["clean"]
    assert found.notes == (f"sweet: {NO_VALUES}",)


def test_who_turns_the_scale_round_is_left_out_for_comparison():
    values = {
        "ann": (1, 3, 4, 7, 9),
        "bo": (2, 3, 5, 6, 9),
        "cy": (1, 2, 5, 7, 8),
        "di": (9, 7, 5, 3, 1),
    }
    table = {
        who: {name: (one,) for name, one in zip("VWXYZ", row, strict=True)}
        for who, row in values.items()
    }
    scores = score(table)
    found = analyse_attribute(scores)
    others = analyse_attribute([one for one in scores if one.assessor != "di"])
    assert found.without == {"di": others.samples}
    assert any(note.startswith("Without di: F = ") for note in found.notes)


@pytest.fixture
def three(tea) -> list[Score]:
    """Clean differs clearly, sweet by a lead, salty not at all."""
    sweet = score(
        {
            "ann": {"fresh": (5,), "flushed": (4,), "old": (3,)},
            "bo": {"fresh": (6,), "flushed": (5,), "old": (5,)},
            "cy": {"fresh": (5,), "flushed": (5,), "old": (4,)},
            "di": {"fresh": (4,), "flushed": (4,), "old": (3,)},
        }
    )
    salty = [
        one._replace(attribute="salty", value=float(place % 3)) for place, one in enumerate(tea)
    ]
    return [*tea, *sweet, *salty]


def test_a_primary_that_passes_opens_the_others(three):
    verdicts = analyse_scores(three, primary="clean").verdicts
    assert verdicts.findings == ("clean", "sweet")
    assert verdicts.leads == ()


def test_a_primary_that_fails_makes_leads_of_the_others(three):
    found = analyse_scores(three, primary="salty")
    assert (found.verdicts.findings, found.verdicts.leads) == ((), ("clean", "sweet"))
    assert "there is no finding" in found.notes[0]
    assert "Leads, not findings" in found.notes[1]


def test_without_a_primary_nothing_is_a_finding(three):
    found = analyse_scores(three)
    assert found.verdicts is None
    assert "a lead, not a finding" in found.notes[0]


def test_one_attribute_needs_no_primary(tea):
    assert analyse_scores(tea).notes == ()


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"primary": "sour"}, "primary must be one of clean, not 'sour'"),
        ({"alpha": 0}, "alpha must be above 0 and below 1, not 0"),
    ],
)
def test_bad_arguments_are_refused(tea, options, told):
    with pytest.raises(ValueError, match=told):
        analyse_scores(tea, **options)


@pytest.mark.parametrize("scores", [[], [Score("ann", "X", "sweet", None)]])
def test_no_score_at_all_is_refused(scores):
    with pytest.raises(ValueError, match="at least one value"):
        analyse_scores(scores)


def test_a_large_panel_takes_seconds():
    rng = np.random.default_rng(11)
    values = rng.normal(size=(20, 60, 12, 3)) + rng.normal(size=(20, 60, 12, 1))
    values += rng.normal(size=(20, 1, 12, 1))
    scores = [
        Score(f"p{who}", f"s{name}", f"a{at}", float(values[at, who, name, repeat]))
        for at, who, name, repeat in np.ndindex(values.shape)
    ]
    begins = time.perf_counter()
    found = analyse_scores(scores)
    assert time.perf_counter() - begins < 10
    assert len(found.attributes) == 20
