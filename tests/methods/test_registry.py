import subprocess
import sys

import numpy as np
import pytest

from server.methods.base import NO_STANDARD
from server.methods.registry import (
    ALL,
    COUNTED,
    METHODS,
    YES_NO,
    UnknownMethod,
    get_counted,
    get_method,
)

# Cups of a serving, by the standards (ISO 4120, 10399, 5495; others common practice, no source).
CUPS = {
    "triangle": 3,
    "duo-trio": 3,
    "2-afc": 2,
    "3-afc": 3,
    "tetrad": 4,
    "two-out-of-five": 5,
    "paired-comparison": 2,
    "paired-preference": 2,
}


def test_a_method_is_found_by_its_name():
    assert {get_method(name).name for name in METHODS} == set(METHODS)


def test_a_counted_method_is_found_by_its_name():
    assert {get_counted(name).name for name in COUNTED} == set(COUNTED) == set(CUPS)


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_a_serving_has_the_cups_of_its_standard(name, cups):
    assert get_counted(name).cups == cups


def test_no_two_methods_share_a_name():
    assert len(ALL) == len(COUNTED)


def test_every_method_that_is_served_is_counted_or_calls_two_kinds():
    counted = {method.model.name for method in COUNTED.values()}
    served = {method.model.name for name, method in METHODS.items() if name not in YES_NO}
    assert served <= counted


def test_the_triangle_test_is_known():
    assert get_method("triangle").standard == "ISO 4120:2021"


def test_an_unknown_method_is_refused_with_those_there_are():
    with pytest.raises(UnknownMethod, match=r"triangle.*not 'sniff'"):
        get_method("sniff")


def test_an_unknown_counted_method_is_refused_with_those_there_are():
    with pytest.raises(UnknownMethod, match=r"triangle, duo-trio, .*paired-pref.*not 'sniff'"):
        get_counted("sniff")


@pytest.mark.parametrize("name", list(METHODS))
def test_every_order_fills_every_cup(name):
    method = get_method(name)
    assert {len(order) for order in method.orders} == {method.cups}


@pytest.mark.parametrize("name", list(COUNTED))
def test_a_result_bears_the_registered_name(name):
    assert get_counted(name).model.name == name


def test_every_method_has_a_title_and_names_its_standard_or_says_there_is_none():
    titles = {method.title for method in ALL}
    assert len(titles) == len(ALL)
    assert all(method.standard.startswith(("ISO ", "ASTM ", NO_STANDARD)) for method in ALL)


def test_only_tests_with_a_chance_of_one_half_are_two_sided():
    two_sided = {name for name, method in COUNTED.items() if method.sided == "two"}
    assert two_sided == {"paired-comparison", "paired-preference"}
    assert {get_counted(name).model.chance for name in two_sided} == {1 / 2}


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_tasters_decide_one_serving_or_any_array_of_servings(name, cups):
    decide = get_counted(name).decide
    percepts = np.random.default_rng(8586).normal(size=(4, 7, cups))
    decided = decide(percepts)
    assert (decided.shape, decided.dtype) == ((4, 7), np.bool_)
    assert decide(percepts[2, 3]).item() is decided[2, 3].item()


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_a_serving_of_equal_percepts_is_not_a_correct_answer(name, cups):
    assert not get_counted(name).decide(np.ones(cups)).item()


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_a_serving_with_a_cup_too_many_is_refused(name, cups):
    with pytest.raises(ValueError, match=f"percepts must hold {cups} cups .* not {cups + 1}"):
        get_counted(name).decide(np.zeros((9, cups + 1)))


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_moving_all_percepts_together_changes_no_answer(name, cups):
    # Whole numbers, so that moving them loses no digit.
    percepts = np.random.default_rng(10399).integers(0, 9, size=(500, cups)).astype(float)
    decide = get_counted(name).decide
    assert (decide(percepts + 3) == decide(percepts)).all()


@pytest.mark.parametrize("name", ["triangle", "duo-trio", "tetrad", "two-out-of-five"])
def test_without_a_named_direction_turning_the_scale_over_changes_no_answer(name):
    percepts = np.random.default_rng(4120).normal(size=(500, CUPS[name]))
    decide = get_counted(name).decide
    assert (decide(-percepts) == decide(percepts)).all()


@pytest.mark.parametrize(("name", "cups"), CUPS.items())
def test_without_a_difference_tasters_are_correct_by_chance(name, cups):
    method = get_counted(name)
    rng = np.random.default_rng(6658)
    right = method.decide(rng.normal(size=(200_000, cups))).mean()
    error = (method.model.chance * (1 - method.model.chance) / 200_000) ** 0.5
    assert abs(right - method.model.chance) < 4 * error


def test_methods_load_without_scientific_libraries():
    code = "import server.methods.registry, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert loaded.stdout.strip() == "set()"
