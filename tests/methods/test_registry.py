import subprocess
import sys

import pytest

from server.methods.registry import METHODS, UnknownMethod, get_method


def test_a_method_is_found_by_its_name():
    assert {get_method(name).name for name in METHODS} == set(METHODS)


def test_the_triangle_test_is_known():
    assert get_method("triangle").standard == "ISO 4120:2021"


def test_an_unknown_method_is_refused_with_those_there_are():
    with pytest.raises(UnknownMethod, match=r"triangle.*not 'sniff'"):
        get_method("sniff")


@pytest.mark.parametrize("name", list(METHODS))
def test_every_order_fills_every_cup(name):
    method = get_method(name)
    assert {len(order) for order in method.orders} == {method.cups}


def test_methods_load_without_scientific_libraries():
    code = "import server.methods.registry, sys; print({'scipy', 'numpy'} & sys.modules.keys())"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert loaded.stdout.strip() == "set()"
