"""Fields that ballots of several methods share: a pick, and notes beside it."""

import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

from server.methods.base import N_, InvalidAnswer

LONGEST_COMMENT = 500
LONGEST_CUE = 80
NOTED = ("guess", "cue", "comment")
"""Members of an answer's body beside the answer itself."""
TICKED = frozenset({"on", "1", "true", "yes"})
UNTICKED = frozenset({"", "off", "0", "false", "no"})
UNKNOWN_CODE = N_("That code is not on this tray. Pick one of its cups.")
UNSTORABLE = ("Cc", "Cs")  # control characters and halves of surrogate pairs


def parse_pick(form: Mapping[str, str], codes: Sequence[str]) -> str:
    """Return the picked code.

    Parameters
    ----------
    form : mapping of str to str
        Fields as they were sent; the field is ``pick``.
    codes : sequence of str
        Codes that may be picked.

    Returns
    -------
    str
        One of `codes`.

    Raises
    ------
    InvalidAnswer
        If nothing was picked, or a code that is not in front of the assessor.

    Examples
    --------
    >>> parse_pick({"pick": " 412 "}, ["412", "587", "936"])
    '412'
    """
    pick = form.get("pick", "").strip()
    if not pick:
        raise InvalidAnswer("pick", N_("Pick one cup, even if you have to guess."))
    if pick not in codes:
        raise InvalidAnswer("pick", UNKNOWN_CODE)
    return pick


def parse_said(form: Mapping[str, str]) -> str:
    """Return ``yes`` or ``no``, the field ``said``.

    Raises
    ------
    InvalidAnswer
        If it is neither.

    Examples
    --------
    >>> parse_said({"said": "no"})
    'no'
    """
    said = form.get("said", "").strip()
    if said not in ("yes", "no"):
        raise InvalidAnswer("said", N_("Choose one answer, even if you have to guess."))
    return said


def parse_notes(form: Mapping[str, str]) -> dict[str, Any]:
    """Return what every ballot asks besides its answer, as members of the answer's body.

    Returns
    -------
    dict
        ``{"guess": bool, "cue": str, "comment": str}``; a form that did not ask for a cue
        leaves it out.

    Raises
    ------
    InvalidAnswer
        If a cue lacks its word, or the words are too long.

    Examples
    --------
    >>> parse_notes({"guess": "on", "cue": ""})
    {'guess': True, 'cue': '', 'comment': ''}
    """
    return {
        "guess": parse_guess(form),
        **parse_cue(form),
        "comment": parse_comment(form),
    }


def tell_answer(body: Mapping[str, Any]) -> str:
    """Return what an answer says without its notes, in its own codes; empty of a score sheet.

    Examples
    --------
    >>> tell_answer({"pick": "412", "guess": True, "comment": "flat"})
    '412'
    """
    said = [value for name, value in body.items() if name not in NOTED]
    return " ".join(said) if all(isinstance(one, str) for one in said) else ""


def parse_guess(form: Mapping[str, str]) -> bool:
    """Return whether the box ``guess`` was ticked; a missing field is not ticked.

    Raises
    ------
    InvalidAnswer
        If the field says neither yes nor no.

    Examples
    --------
    >>> parse_guess({"guess": "on"}), parse_guess({})
    (True, False)
    """
    said = form.get("guess", "").strip().lower()
    if said not in TICKED | UNTICKED:
        raise InvalidAnswer("guess", N_("Tick the box if you guessed, or leave it empty."))
    return said in TICKED


def parse_cue(form: Mapping[str, str]) -> dict[str, str]:
    """Return what else than smell and taste told the taster, as a member of the answer's body.

    Parameters
    ----------
    form : mapping of str to str
        Fields as they were sent: the box ``cued`` and the words ``cue``. Words count
        unless the box was sent without its tick, so that a body, too, can be read again.

    Returns
    -------
    dict
        ``{"cue": str}``, empty words where nothing told; ``{}`` where the form did not ask.

    Raises
    ------
    InvalidAnswer
        If the box is ticked and no word says what it was, or the words are too long.

    Examples
    --------
    >>> parse_cue({"cued": "on", "cue": " foam "}), parse_cue({"cue": ""}), parse_cue({})
    ({'cue': 'foam'}, {'cue': ''}, {})
    """
    if "cue" not in form:
        return {}
    cue = " ".join("".join(filter(_is_storable, form["cue"])).split())
    ticked = form.get("cued", "").strip().lower()
    if ticked not in TICKED | UNTICKED:
        raise InvalidAnswer(
            "cue", N_("Tick the box if something else told you, or leave it empty.")
        )
    if "cued" in form and ticked in UNTICKED:
        return {"cue": ""}
    if ticked and not cue:
        raise InvalidAnswer("cue", N_("Say in a word or two what it was."))
    if len(cue) > LONGEST_CUE:
        raise InvalidAnswer("cue", N_("Keep it to 80 characters."))
    return {"cue": cue}


def parse_comment(form: Mapping[str, str]) -> str:
    """Return the field ``comment``, stripped, its line ends and control characters tidied.

    Raises
    ------
    InvalidAnswer
        If more than 500 characters are left.

    Examples
    --------
    >>> parse_comment({"comment": " a little flat "})
    'a little flat'
    """
    lines = form.get("comment", "").replace("\r\n", "\n").replace("\r", "\n")
    comment = "".join(filter(_is_storable, lines)).strip()
    if len(comment) > LONGEST_COMMENT:
        raise InvalidAnswer("comment", N_("Keep the comment to 500 characters."))
    return comment


def _is_storable(character: str) -> bool:
    return character in "\n\t" or unicodedata.category(character) not in UNSTORABLE
