"""The words are there for everybody, and the screens point at words that exist."""

import re
from pathlib import Path

import pytest

from server.brewing.water import TARGETS
from server.pages.assets import TEMPLATES
from server.pages.help import WORDS


def test_anybody_may_read_the_words(client):
    page = client.get("/help").text
    assert all(f'id="{anchor}"' in page for anchor, _, _ in WORDS)


@pytest.mark.parametrize(
    "template",
    sorted(TEMPLATES.rglob("*.html")),
    ids=lambda path: f"{path.parent.name}-{path.stem}",
)
def test_a_screen_points_only_at_words_that_are_there(template: Path):
    asked = set(re.findall(r'href="/help#(\w+)"', template.read_text()))
    assert asked <= {anchor for anchor, _, _ in WORDS}


def test_targets_of_brewing_water_stand_with_their_sources(client):
    page = client.get("/help").text
    assert all(one.name in page and one.source in page for one in TARGETS)
