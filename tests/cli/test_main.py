"""The command as a whole: quick, quiet, one line for every failure."""

import resource
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest

from server.cli import main

HEAVY = ("fastapi", "starlette", "sqlalchemy", "sqlmodel", "alembic", "uvicorn", "jinja2",
         "pydantic", "numpy", "scipy", "matplotlib", "psutil", "segno")  # fmt: skip
COMMANDS = ("analyse", "demo", "export", "import", "plan", "serve", "verify")


def _time_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def test_help_takes_less_than_half_a_second_of_work() -> None:
    before = _time_children()
    subprocess.run([sys.executable, "-m", "server", "--help"], check=True, capture_output=True)
    assert _time_children() - before < 0.5


def test_help_loads_no_web_no_database_and_no_numbers() -> None:
    look = (
        "import sys; from server.cli.main import run; run(['--help']);"
        f"sys.exit(', '.join(set({HEAVY}) & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=False)
    assert done.stderr.strip() == ""


@pytest.mark.parametrize("arguments", [[], ["--help"]])
def test_help_names_every_command(oddcup: Callable[..., Any], arguments: list[str]) -> None:
    ran = oddcup(*arguments)
    listed = ran.out[ran.out.index("Commands:") :].splitlines()[1:]
    assert ran.code == 0
    assert tuple(line.split()[0] for line in listed) == COMMANDS


@pytest.mark.parametrize(
    "arguments",
    [
        ["pour"],
        ["--pour"],
        ["serve", "--port", "tea"],
        ["serve", "--port", "70000"],
        ["serve", "--prot", "1"],
        ["plan"],
        ["plan", "sniff"],
        ["plan", "triangle"],
        ["analyse", "cups"],
        ["analyse", "counts", "triangle", "--correct", "9", "--trials", "8"],
        ["analyse", "tasting", "/no/such/file"],
        ["verify"],
        ["verify", "/no/such/file"],
        ["verify", "/"],
        ["import", "/no/such/file"],
        ["export"],
        ["export", "X", "--with-key"],
        ["export", "X", "--with-key", "--who", "away", "--reason", "  "],
        ["export", "X", "--with-key", "--who", "upstairs", "--reason", "spilt"],
        ["export", "X", "--reason", "spilt"],
        ["export", "X", "--to", "/no/such/folder"],
    ],
)
def test_impossible_input_is_one_line_and_exit_code_2(
    oddcup: Callable[..., Any], arguments: list[str]
) -> None:
    ran = oddcup(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("oddcup: ")
    assert ran.err.count("\n") == 1


def test_ctrl_c_is_quiet(oddcup: Callable[..., Any], monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(main.verify, "callback", interrupt)
    ran = oddcup("verify", __file__)
    assert (ran.code, ran.out, ran.err.strip()) == (130, "", "")


def test_a_reader_that_leaves_early_is_met_with_silence() -> None:
    started = subprocess.Popen(
        [sys.executable, "-m", "server", "--help"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert started.stdout
    assert started.stderr
    started.stdout.close()
    complaint = started.stderr.read()
    started.stderr.close()
    started.wait()
    assert complaint == b""


def test_a_terminal_without_primes_gets_question_marks() -> None:
    counts = ["analyse", "counts", "triangle", "--correct", "9", "--trials", "12"]
    done = subprocess.run(
        [sys.executable, "-m", "server", *counts],
        capture_output=True,
        env={"PYTHONIOENCODING": "latin-1"},
        check=True,
    )
    assert b"d?" in done.stdout
