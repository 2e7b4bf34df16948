"""What holds for every kind of scale, whatever it is."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.seal import canonical
from server.sheets.scales.base import InvalidValue, Kind
from server.sheets.scales.registry import KINDS, get_kind
from tests.sheets.random_sheets import CODES, scales, values

JUNK = st.recursive(
    st.none() | st.booleans() | st.integers(-2000, 2000) | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["found", "intensity", "word", "x"]), inner)
    ),
)


@st.composite
def scales_with_values(draw: st.DrawFn) -> tuple[Kind, Any]:
    scale = draw(scales())
    return scale, draw(values(scale, CODES))


def find_refusal(call: Callable[[Any, tuple[str, ...]], Any], said: Any) -> InvalidValue | None:
    try:
        call(said, CODES)
    except InvalidValue as error:
        return error
    return None


@given(scales_with_values())
def test_a_form_filled_with_a_value_is_read_as_that_value(case: tuple[Kind, Any]) -> None:
    scale, value = case
    assert scale.parse(scale.fill(value), CODES) == value


@given(scales_with_values())
def test_a_value_typed_from_paper_is_read_as_that_value(case: tuple[Kind, Any]) -> None:
    scale, value = case
    assert scale.parse(scale.fill_paper(value), CODES) == value


@given(scales_with_values())
def test_a_form_is_filled_by_fields_it_has(case: tuple[Kind, Any]) -> None:
    scale, value = case
    filled = scale.fill(value).keys() | scale.fill_paper(value).keys()
    assert filled <= set(scale.list_fields(CODES))


@given(scales_with_values())
def test_a_value_is_plain_json_and_can_be_told(case: tuple[Kind, Any]) -> None:
    scale, value = case
    assert canonical(value)
    assert scale.describe(value)


@given(scales_with_values())
def test_numbers_come_from_the_scales_that_say_so(case: tuple[Kind, Any]) -> None:
    scale, value = case
    assert (scale.to_number(value) is not None) == scale.numeric


@given(scales(), st.sampled_from(["", "  "]))
def test_a_form_that_says_nothing_has_no_value(scale: Kind, nothing: str) -> None:
    fields = dict.fromkeys(scale.list_fields(CODES), nothing)
    assert scale.parse({}, CODES) is None
    assert scale.parse(fields, CODES) is None


@given(scales(), JUNK)
def test_whatever_passes_the_check_can_be_filled_in(scale: Kind, value: object) -> None:
    refused = find_refusal(scale.check, value)
    assert refused or scale.parse(scale.fill(value), CODES) == value


@given(scales(), JUNK)
def test_a_refusal_names_a_field_and_what_to_do(scale: Kind, value: object) -> None:
    refused = find_refusal(scale.check, value)
    assert refused is None or (refused.message and refused.field in scale.list_fields(CODES))


@given(scales(), st.data())
def test_whatever_a_form_says_is_a_value_or_refused_at_one_of_its_fields(
    scale: Kind, data: st.DataObject
) -> None:
    names = scale.list_fields(CODES)
    words = st.sampled_from(["yes", "no", "own", "0", "1", "2", "-1", "½", "1e9"]) | st.text()
    fields = data.draw(st.dictionaries(st.sampled_from(names), words))
    refused = find_refusal(scale.parse, fields)
    assert refused is None or refused.field in names


def test_every_kind_is_found_by_the_name_it_writes() -> None:
    assert {name: get_kind(name).model_fields["kind"].default for name in KINDS} == {
        name: name for name in KINDS
    }


def test_there_is_a_kind_for_everything_a_sheet_may_ask() -> None:
    assert list(KINDS) == [
        "line", "category", "magnitude", "right", "hedonic",
        "tick-all", "defect", "control", "ranking", "comment",
    ]  # fmt: skip


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="not 'circle'"):
        get_kind("circle")


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_every_kind_has_a_title_and_says_what_it_may_be_asked_of(kind: type[Kind]) -> None:
    assert kind.TITLE
    assert set(kind.SCOPES) <= {"cup", "sample"}
