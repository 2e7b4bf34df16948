"""What a seat says on its sheet: values with their minutes, and those they replaced."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, NamedTuple

from pydantic import ConfigDict, Field, PlainSerializer

from server.blinding.plain import Frozen
from server.sheets.places import Place, Standing, list_places
from server.sheets.scales.base import N_, InvalidValue, Json
from server.sheets.sheet import Attribute, Sheet

NOT_HERE = N_("That is not asked at this table.")
UNTOUCHED = N_("Nothing is said here yet.")
MOST_EARLIER = 40

Minutes = Annotated[
    float,
    Field(ge=0, le=100_000, allow_inf_nan=False),
    PlainSerializer(str, return_type=str, when_used="json"),
]
"""A decimal string in JSON, as every number in the chain of events."""


class Value(Frozen):
    """One value of a seat.

    Attributes
    ----------
    attribute, code, bowl, time
        Its place; ``time`` is written as ``pass``.
    value
        Plain JSON, as its scale keeps it.
    minutes
        Since the first pour, when it was given; None if no clock ran.
    """

    model_config = ConfigDict(populate_by_name=True, serialize_by_alias=True)

    attribute: str
    code: str
    bowl: int
    time: Annotated[str, Field(alias="pass")]
    value: Json
    minutes: Minutes | None = None

    @property
    def place(self) -> Place:
        """Where it belongs."""
        return Place(self.attribute, self.code, self.bowl, self.time)


class Answer(Frozen):
    """All that a seat says in one sitting; a draft has the same form.

    Attributes
    ----------
    values
        One a place, ordered by place.
    earlier
        What they replaced, oldest first.
    words
        The seat's personal words.

    Examples
    --------
    >>> Answer().model_dump(mode="json")
    {'values': [], 'earlier': [], 'words': []}
    """

    values: tuple[Value, ...] = ()
    earlier: tuple[Value, ...] = ()
    words: tuple[str, ...] = ()

    def find_value(self, place: Place) -> Value | None:
        """Return the value at a place."""
        return next((one for one in self.values if one.place == place), None)


@dataclass(frozen=True)
class Reading:
    """What a form says.

    Attributes
    ----------
    changes : dict of Place to JSON or None
        What was sent for each place; None takes a value back.
    problems : dict of str to str
        Field to what to do about it, to be translated; such fields are not in `changes`.
    """

    changes: dict[Place, Json | None]
    problems: dict[str, str]


class Missing(NamedTuple):
    """A place where something is still to be said.

    Attributes
    ----------
    place : Place
    required : bool
        Whether the table cannot be locked like this.
    message : str
        What is to be said, to be translated.
    """

    place: Place
    required: bool
    message: str


def read_form(sheet: Sheet, items: Sequence[Standing], form: Mapping[str, str]) -> Reading:
    """Read the values of a form, whole or of a few fields.

    Parameters
    ----------
    sheet : Sheet
        As the seat scores it (`sheet.add_words`).
    items : sequence of Standing
        What stands before the seat.
    form : mapping of str to str
        Fields as they were sent. Those of values begin with ``v.``; others are not looked at.

    Returns
    -------
    Reading
        Of the places of which a field was sent: all fields of one value come together.

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="much"))
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> form = {"v.sweet.385.0.": "700", "v.sweet.417.0.": "7000", "v.sweet.926.0.": "1"}
    >>> found = read_form(sheet, [Item("385"), Item("417")], form)
    >>> [value for value in found.changes.values()], found.problems["v.sweet.926.0."]
    ([700], 'That is not asked at this table.')
    >>> found.problems["v.sweet.417.0."]
    'That place is not on the line. Mark it again.'
    """
    attributes = {one.name: one for one in sheet.attributes}
    codes = tuple(one.code for one in items)
    sent = {name for name in form if name.startswith("v.")}
    changes: dict[Place, Json | None] = {}
    problems: dict[str, str] = {}
    for place in list_places(sheet, items):
        scale = attributes[place.attribute].scale
        names = {place.name_part(part): part for part in scale.list_fields(codes)}
        if sent.isdisjoint(names):
            continue
        sent -= names.keys()
        fields = {part: form[name] for name, part in names.items() if name in form}
        try:
            changes[place] = scale.parse(fields, codes)
        except InvalidValue as error:
            problems[place.name_part(error.field)] = error.message
    return Reading(changes, problems | dict.fromkeys(sorted(sent), NOT_HERE))


def merge(
    draft: Answer, changes: Mapping[Place, Json | None], minutes: float | None = None
) -> Answer:
    """Return a draft with changes made, what they replace kept.

    Parameters
    ----------
    draft : Answer
    changes : mapping of Place to JSON or None
        As in `Reading.changes`.
    minutes : float, optional
        Since the first pour.

    Returns
    -------
    Answer
        The same values sent again change nothing, their minutes neither. A value that goes
        on within a minute where it left off, such as a word being typed, takes its own
        place: that is no second thought. Of one place the 40 values replaced last are kept.

    Examples
    --------
    >>> place = Place("sweet", "385", 0, "")
    >>> draft = merge(merge(Answer(), {place: 700}, 4.0), {place: 550}, 9.5)
    >>> [(one.value, one.minutes) for one in (*draft.earlier, *draft.values)]
    [(700, 4.0), (550, 9.5)]
    """
    values = {one.place: one for one in draft.values}
    earlier = list(draft.earlier)
    for place, value in changes.items():
        old = values.get(place)
        if old is not None and _same(old.value, value):
            continue
        if old is not None:
            del values[place]
            earlier += [] if _goes_on(old, value, minutes) else [old]
        if value is not None:
            values[place] = _make_value(place, value, minutes)
    return Answer(
        values=tuple(values[place] for place in sorted(values)),
        earlier=_keep_latest(earlier),
        words=draft.words,
    )


def list_missing(
    sheet: Sheet, items: Sequence[Standing], values: Iterable[Value]
) -> tuple[Missing, ...]:
    """List where something is still to be said, in the order of the table.

    Parameters
    ----------
    sheet : Sheet
        As the seat scores it.
    items : sequence of Standing
        What stands before the seat.
    values : iterable of Value

    Returns
    -------
    tuple of Missing
        Places without a value, and values begun. Where nothing is required they are named
        all the same, and marked so.

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="much"))
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> said = merge(Answer(), {Place("sweet", "385", 0, ""): 700})
    >>> [one.place.code for one in list_missing(sheet, [Item("385"), Item("417")], said.values)]
    ['417']
    """
    attributes = {one.name: one for one in sheet.attributes}
    codes = tuple(one.code for one in items)
    said = {one.place: one.value for one in values}
    found = (
        _find_missing(attributes[place.attribute], place, said, codes)
        for place in list_places(sheet, items)
    )
    return tuple(one for one in found if one is not None)


def find_answer_problems(
    sheet: Sheet, items: Sequence[Standing], answer: Answer
) -> tuple[str, ...]:
    """List what an answer says that this sheet does not ask, or cannot take.

    Parameters
    ----------
    sheet : Sheet
        As the seat scores it.
    items : sequence of Standing
        What stood before the seat.
    answer : Answer

    Returns
    -------
    tuple of str
        A sentence each, with the place; empty if all is well.

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="much"))
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> answer = merge(Answer(), {Place("sweet", "385", 0, ""): 7000})
    >>> find_answer_problems(sheet, [Item("385")], answer)
    ('v.sweet.385.0.: That place is not on the line. Mark it again.',)
    """
    attributes = {one.name: one for one in sheet.attributes}
    codes = tuple(one.code for one in items)
    known = set(list_places(sheet, items))
    doubles = [place for place, n in Counter(v.place for v in answer.values).items() if n > 1]
    found = [f"{place.field}: there are two values." for place in doubles]
    for one in (*answer.values, *answer.earlier):
        if one.place not in known:
            found.append(f"{one.place.field}: {NOT_HERE}")
            continue
        try:
            attributes[one.attribute].scale.check(one.value, codes)
        except InvalidValue as error:
            found.append(f"{one.place.field}: {error.message}")
    return tuple(found)


def _find_missing(
    attribute: Attribute, place: Place, said: Mapping[Place, Json], codes: Sequence[str]
) -> Missing | None:
    gap: str | None = UNTOUCHED
    if place in said:
        gap = attribute.scale.find_gap(said[place], codes)
    return None if gap is None else Missing(place, attribute.required, gap)


def _make_value(place: Place, value: Json, minutes: float | None) -> Value:
    return Value(
        attribute=place.attribute,
        code=place.code,
        bowl=place.bowl,
        time=place.time,
        value=value,
        minutes=None if minutes is None else round(max(minutes, 0.0), 1),
    )


def _same(old: Json, new: Json) -> bool:
    """Tell whether two JSON values are the same; unlike in Python, true is not 1."""
    return type(old) is type(new) and bool(old == new)


def _goes_on(old: Value, new: Json | None, minutes: float | None) -> bool:
    """Tell whether a value was only begun, and is now said further."""
    if minutes is not None and old.minutes is not None and minutes - old.minutes >= 1:
        return False
    match old.value, new:
        case str(begun), str(said):
            return said.startswith(begun)
        case list(begun), list(said):
            return all(one in said for one in begun)
        case dict(begun), dict(said):
            return begun.items() <= said.items()
    return False


def _keep_latest(earlier: Sequence[Value]) -> tuple[Value, ...]:
    kept: list[Value] = []
    counts: Counter[Place] = Counter()
    for one in reversed(earlier):
        counts[one.place] += 1
        if counts[one.place] <= MOST_EARLIER:
            kept.append(one)
    return tuple(reversed(kept))
