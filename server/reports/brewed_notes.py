"""A note in the record as the brew it tells of."""

from pydantic import ValidationError

from server.blinding.record import BrewNote
from server.brewing.brewed import TOLD_APART, Brewed, read_brewed


def read_note(note: BrewNote | None) -> Brewed:
    """Return the brew that a note tells of; of what cannot be read, or is missing, nothing.

    Examples
    --------
    >>> note = BrewNote("A1", ("1.31",), None, None, "late", brew={"beverage_g": "300"})
    >>> read = read_note(note)
    >>> read.tds, read.beverage_g, read.note
    ((Decimal('1.31'),), Decimal('300'), 'late')
    """
    if note is None:
        return Brewed()
    told = {name: getattr(note, name) for name in TOLD_APART}
    try:
        return read_brewed(dict(note.brew) | told)
    except ValidationError:
        return Brewed()
