"""The steps of a sitting alone; every duration is common practice, no source."""

import pytest

from server.brewing.sitting import plan_sitting


def test_every_serving_is_poured_shuffled_and_tasted_before_the_next():
    what = [step.what for step in plan_sitting(2, 3, 4, blended=False)]
    mine = [one for one in what if one.startswith("Serving")]
    assert [one.split(":")[0] for one in mine] == ["Serving 1"] * 3 + ["Serving 2"] * 3
    assert [one.split()[2] for one in mine[:3]] == ["pour", "shuffle", "taste,"]


def test_marks_are_made_first_and_read_last():
    what = [step.what for step in plan_sitting(3, 3, 4, blended=True)]
    assert (what[0].split()[0], what[-1].split()[0]) == ("Mark", "Turn")


def test_a_rest_stands_between_servings_only():
    what = [step.what for step in plan_sitting(3, 2, 2, blended=False)]
    assert sum("rest the palate" in one for one in what) == 2


def test_more_servings_and_more_pots_take_longer():
    minutes = [
        sum(step.minutes for step in plan_sitting(rounds, 3, pots, blended=True))
        for rounds, pots in ((1, 2), (2, 2), (2, 4))
    ]
    assert minutes == sorted(set(minutes))


@pytest.mark.parametrize("name", ["rounds", "cups", "pots"])
def test_nothing_to_do_is_refused(name):
    numbers = {"rounds": 1, "cups": 1, "pots": 1} | {name: 0}
    with pytest.raises(ValueError, match=f"{name} must be at least 1, got 0"):
        plan_sitting(**numbers, blended=False)
