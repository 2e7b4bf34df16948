"""The bench of the demo."""

from server.cli.demo_bench import WEIGHED, load_brews
from server.tastings.brew_sheets import list_brews
from server.tastings.recipes_kept import list_recipes


def test_the_demo_has_brews_of_two_recipes_once_however_often_it_starts(bench, account):
    for _ in range(2):
        load_brews(bench, account.id)
    assert [one.house for one in list_recipes(bench, account.id)].count(True) == 1
    brews = list_brews(bench, account.id)
    assert len(brews) == len(WEIGHED)
    assert all(one.kept for one in brews)
