"""Addresses as other devices reach them, and their QR codes."""

import io

import segno
from fastapi import Request, Response


def public_url(request: Request, path: str) -> str:
    """Return a full address: the one the server was told, else the one asked for."""
    base = request.app.state.base_url or str(request.base_url).rstrip("/")
    return f"{base}{path}"


def qr_code(address: str) -> Response:
    """Return a QR code as a picture; dark on light, whatever the page looks like."""
    out = io.BytesIO()
    segno.make(address, error="m").save(out, kind="svg", scale=8, border=3, light="#ffffff")
    return Response(
        out.getvalue(), media_type="image/svg+xml", headers={"Cache-Control": "no-store"}
    )
