"""Every example in a docstring of the pure packages does what it says."""

import doctest
import importlib
import pkgutil
from io import StringIO

import pytest

import server

PACKAGES = ("stats", "blinding", "brewing", "methods", "sheets", "reports", "pages")


def _list_modules() -> list[str]:
    prefixes = tuple(f"server.{package}." for package in PACKAGES)
    found = pkgutil.walk_packages(server.__path__, "server.")
    return [one.name for one in found if one.name.startswith(prefixes)]


def _find_examples(module: str) -> list[doctest.DocTest]:
    found = doctest.DocTestFinder().find(importlib.import_module(module))
    return [one for one in found if one.examples]


@pytest.mark.parametrize("module", [name for name in _list_modules() if _find_examples(name)])
def test_the_examples_run(module: str) -> None:
    complaints = StringIO()
    runner = doctest.DocTestRunner(verbose=False)
    for one in _find_examples(module):
        runner.run(one, out=complaints.write)
    assert complaints.getvalue() == ""


@pytest.mark.parametrize("package", ["stats", "blinding", "brewing", "methods", "sheets"])
def test_a_pure_package_has_examples(package: str) -> None:
    modules = [name for name in _list_modules() if name.startswith(f"server.{package}.")]
    assert sum(len(_find_examples(name)) for name in modules) >= len(modules)
