"""Assessors' texts in their own language: catalogues of messages, and whose turn it is."""

import gettext
import io
from functools import cache
from pathlib import Path

CATALOGUES = Path(__file__).parent / "catalogues"
SOURCE_LANGUAGE = "en"


@cache
def list_languages() -> tuple[str, ...]:
    """Return the languages there are: English first, then every catalogue."""
    return (SOURCE_LANGUAGE, *sorted(path.stem for path in CATALOGUES.glob("*.po")))


@cache
def load_translations(language: str) -> gettext.NullTranslations:
    """Return the messages of a language; English is the text in the code itself."""
    path = CATALOGUES / f"{language}.po"
    if language == SOURCE_LANGUAGE or not path.is_file():
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo  # loaded when somebody needs it
    from babel.messages.pofile import read_po

    compiled = io.BytesIO()
    with path.open("rb") as source:
        write_mo(compiled, read_po(source, locale=language))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


def choose_language(accepted: str) -> str:
    """Return the best language for an Accept-Language header.

    Examples
    --------
    >>> choose_language("tlh, en;q=0.5")
    'en'
    """
    wishes = []
    for part in accepted.split(","):
        tag, _, quality = part.strip().partition(";q=")
        try:
            wishes.append((float(quality or 1), tag.split("-")[0].lower()))
        except ValueError:
            continue
    known = list_languages()
    best = sorted(wishes, key=lambda wish: -wish[0])
    return next((tag for weight, tag in best if weight > 0 and tag in known), SOURCE_LANGUAGE)
