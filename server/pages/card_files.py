"""Cards of what an account keeps, as files: one that a form brings, and one to take along."""

import re
from collections.abc import Awaitable, Callable

from fastapi import Request, Response
from starlette.datastructures import UploadFile


def take_file(largest: int) -> Callable[[Request], Awaitable[bytes]]:
    """Make the dependency that reads a form's file, up to one byte more than is allowed."""

    async def read_file(request: Request) -> bytes:
        """Return the file that a form brings; nothing if none was chosen."""
        async with request.form(max_files=1, max_fields=20) as form:
            file = form.get("file")
            return await file.read(largest + 1) if isinstance(file, UploadFile) else b""

    return read_file


def send_card(card: bytes, title: str, version: int, otherwise: str) -> Response:
    """Send a card to be kept as a file; ``otherwise`` names it if its title has no letters."""
    name = re.sub(r"[^A-Za-z0-9]+", "-", title).strip("-") or otherwise
    headers = {"Content-Disposition": f'attachment; filename="{name}-{version}.json"'}
    return Response(card, media_type="application/json", headers=headers)
