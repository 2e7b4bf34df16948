import subprocess
import sys

import pytest

ANALYSE = (
    "import sys; from server.stats.counts import *; from server.stats.trials import *;"
    "from server.stats.thurstone import TRIANGLE;"
)
CALLS = (
    "analyse_counts(TRIANGLE, 14, 24); trials_for_power(1/3, .05, .8, .6);"
    "smallest_share(24, 1/3, .05, .8);"
)


@pytest.mark.parametrize(
    ("code", "libraries"),
    [(ANALYSE, {"scipy", "numpy"}), (ANALYSE + CALLS, {"scipy.stats", "scipy.optimize"})],
    ids=["until something is computed", "at all"],
)
def test_heavy_libraries_are_not_loaded(code, libraries):
    command = [sys.executable, "-c", f"{code} print({libraries} & sys.modules.keys())"]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "set()"
