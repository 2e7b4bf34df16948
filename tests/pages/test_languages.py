"""Every text an assessor can see is in every catalogue, and nothing else is."""

import re
from itertools import chain
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po

from server.pages import seat
from server.pages.assets import TEMPLATES
from server.pages.languages import CATALOGUES, choose_language, list_languages, load_translations

SERVER = CATALOGUES.parent.parent
KEYWORDS = {"N_": None, "_": None, "gettext": None, "ngettext": (1, 2)}
SOURCES = (
    (TEMPLATES / "assessor", "**.html", "jinja2.ext:babel_extract"),
    (TEMPLATES / "joining", "**.html", "jinja2.ext:babel_extract"),
    (SERVER / "methods", "**.py", "python"),
    (SERVER / "sheets", "**.py", "python"),
    *(
        (SERVER / "tastings", f"{name}.py", "python")
        for name in (
            *("seat_view", "alone", "marking", "photos", "scoring_view", "scoring_passes"),
            "paper_sheets",
        )
    ),
)
OUTSIDE_TEXT = re.compile(
    r"""
    \{%\ block\ (?:home|width)\ %\} .*? endblock\ %\}   # an address, a class
    | \{%-?\s*trans\b .*? endtrans\s*-?%\}
    | &\w+;                                            # a character by its name
    | \{\#.*?\#\} | \{%.*?%\} | \{\{.*?\}\} | <[^<>]*>
    """,
    re.DOTALL | re.VERBOSE,
)
Message = str | tuple[str, ...]


def find_messages() -> set[Message]:
    found = chain.from_iterable(
        extract_from_dir(folder, [(pattern, how)], keywords=KEYWORDS)
        for folder, pattern, how in SOURCES
    )
    return {message for _, _, message, *_ in found} | set(seat.CAUTIONS)


def list_texts(message: Message) -> tuple[str, ...]:
    return (message,) if isinstance(message, str) else tuple(message)


@pytest.fixture(params=sorted(CATALOGUES.glob("*.po")), ids=lambda path: path.stem)
def catalogue(request: pytest.FixtureRequest) -> Catalog:
    path: Path = request.param
    with path.open("rb") as source:
        return read_po(source, locale=path.stem, abort_invalid=True)


def test_there_are_many_messages():
    assert len(find_messages()) > 70


def test_every_message_is_translated(catalogue):
    done = {one.id for one in catalogue if all(list_texts(one.string)) and not one.fuzzy}
    assert find_messages() - done == set()


def test_no_translation_is_left_over(catalogue):
    assert {one.id for one in catalogue if one.id} - find_messages() == set()
    assert not catalogue.obsolete


def test_translations_keep_their_gaps(catalogue):
    def gaps(message: Message) -> set[str]:
        return set(re.findall(r"%\(\w+\)s|{\w+}", " ".join(list_texts(message))))

    assert not [one.id for one in catalogue if one.id and gaps(one.id) != gaps(one.string)]


@pytest.mark.parametrize(
    "template",
    [*(TEMPLATES / "assessor").rglob("*.html"), *(TEMPLATES / "joining").glob("*.html")],
    ids=lambda path: f"{path.parent.name}/{path.name}",
)
def test_no_text_of_an_assessors_template_is_out_of_reach(template):
    bare = OUTSIDE_TEXT.sub(" ", OUTSIDE_TEXT.sub(" ", template.read_text(encoding="utf-8")))
    assert set(re.findall(r"[^\W\d_]+", bare)) <= {"Oddcup"}


@pytest.mark.parametrize(
    ("accepted", "chosen"),
    [
        ("", "en"),
        ("de-AT,de;q=0.9,en;q=0.8", "de"),
        ("en-GB,de;q=0.5", "en"),
        ("de;q=0", "en"),
        ("tlh", "en"),
        ("de;q=much", "en"),
    ],
)
def test_the_browser_chooses_the_language(accepted, chosen):
    assert choose_language(accepted) == chosen


def test_english_comes_first():
    assert list_languages()[0] == "en"


def test_plurals_follow_their_language():
    forms = (
        "%(count)s answer of this seat is locked.",
        "%(count)s answers of this seat are locked.",
    )
    german = load_translations("de")
    assert german.ngettext(*forms, 1) % {"count": 1} == "1 Antwort dieses Platzes steht fest."
    assert german.ngettext(*forms, 3) % {"count": 3} == "3 Antworten dieses Platzes stehen fest."


def test_a_page_speaks_the_language_of_its_reader(client, sealed_tasting):
    url = f"/seat/{sealed_tasting.tokens[1]}"
    page = client.get(url, headers={"Accept-Language": "de-CH"}).text
    assert '<html lang="de">' in page
    assert "Vor dem Verkosten" in page
