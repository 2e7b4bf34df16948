"""Blinding draws its plans without numerical libraries, so that a server starts at once."""

import subprocess
import sys

IMPORT_ALL = (
    "import importlib, pkgutil, sys, server.blinding as package;"
    "[importlib.import_module(f'server.blinding.{one.name}')"
    " for one in pkgutil.iter_modules(package.__path__)];"
    "print({'numpy', 'scipy'} & sys.modules.keys())"
)


def test_blinding_loads_no_numerical_library() -> None:
    command = [sys.executable, "-c", IMPORT_ALL]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
