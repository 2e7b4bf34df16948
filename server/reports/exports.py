"""Analysis and finding as plain data for programs, and the finding as plain text."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from server.reports.analysis import Analysis
from server.reports.findings import Finding, conclude
from server.reports.plain_text import lay_out, render_list, render_pairs


def to_dict(value: Any) -> Any:
    """Turn an analysis, a finding or any part of one into plain JSON data.

    Numbers stay unrounded; decimals and UUIDs become strings; named tuples
    become objects, other sequences lists.
    """
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json")
    if is_dataclass(value):
        return {field.name: to_dict(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(name): to_dict(member) for name, member in value.items()}
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return to_dict(value._asdict())
    if isinstance(value, list | tuple):
        return [to_dict(member) for member in value]
    return _to_scalar(value)


def _to_scalar(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    return str(value) if isinstance(value, Decimal | UUID) else value


def report_tasting(analysis: Analysis) -> dict[str, Any]:
    """Put analysis and finding into one object, as ``analyse tasting --json`` prints it."""
    return {"analysis": to_dict(analysis), "finding": to_dict(conclude(analysis))}


def render_text(finding: Finding) -> str:
    """Lay a finding out for the terminal, with a line end after the last line."""
    blinding = f"{finding.blinding_level}, {finding.blinding}"
    blocks = [
        finding.headline,
        render_pairs(
            [
                ("Question", finding.question),
                ("The one difference", finding.difference),
                ("Method", finding.method),
                ("Samples", ", ".join(finding.samples)),
                ("Blinding level", blinding),
                ("Seal", finding.seal),
            ]
        ),
        *_render_lists(finding),
    ]
    return lay_out(blocks)


def _render_lists(finding: Finding) -> list[str]:
    readings = [(one.label, f"{one.counted}, p {one.p}, {one.outcome}") for one in finding.readings]
    return [
        render_list("May be said", finding.may_say),
        render_list("May not be said", finding.may_not_say),
        render_pairs([(one.label, one.value) for one in finding.numbers], "Numbers"),
        render_pairs(readings, "Ways to count"),
        render_list("Limits", finding.limits),
        render_list("Blinding", finding.blinding_reasons),
        render_list("Amendments and exclusions", finding.amendments),
        render_list("Next", finding.next_steps),
    ]
