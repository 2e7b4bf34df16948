"""Where templates, static files and sample sessions lie, in a checkout and in a wheel."""

import hashlib
from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).parent.parent
ASSETS = _PACKAGE / "_data" if (_PACKAGE / "_data").is_dir() else _PACKAGE.parent

TEMPLATES = ASSETS / "templates"
STATIC = ASSETS / "static"
SAMPLE_SESSIONS = ASSETS / "sample_sessions"


@cache
def asset_url(name: str) -> str:
    """Return the address of a static file; it changes with the content, so it may be kept."""
    digest = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    return f"/static/{name}?v={digest}"
