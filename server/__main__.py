"""Entry of ``oddcup`` and of ``python -m server``."""

from server.cli.main import main

if __name__ == "__main__":
    main()
