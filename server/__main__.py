"""Entry of ``oddcup`` and of ``python -m server``."""

import os

# A panel's tables are small: threads of the linear algebra only get in each other's way, and
# on a busy machine they take several times as long. Read when numpy is first loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from server.cli.main import main

if __name__ == "__main__":
    main()
