"""One command checks everything: form, lint, types, direction of imports, the top level."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP_LEVEL = {
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "server",
    "templates",
    "static",
    "tests",
    "sample_sessions",
}
LINT_IMPORTS = "from importlinter.cli import lint_imports_command as run; run(['--no-logo'])"


@pytest.mark.parametrize(
    "arguments",
    [
        ["-m", "ruff", "format", "--check", "."],
        ["-m", "ruff", "check", "."],
        ["-m", "mypy"],
        ["-c", LINT_IMPORTS],
    ],
    ids=["ruff format", "ruff check", "mypy", "import-linter"],
)
def test_the_code_passes(arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_top_level_stays_as_it_is() -> None:
    made_by_tools = {"venv", "build", "dist", *(one.name for one in ROOT.glob("*.egg-info"))}
    found = {one.name for one in ROOT.iterdir() if not one.name.startswith(".")}
    assert found - made_by_tools == TOP_LEVEL
