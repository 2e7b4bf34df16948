"""The sheets a scored table can be planned with: starters, kept ones, that of a tasting."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from server.sheets.filled import list_declarable
from server.sheets.sheet import Sheet
from server.sheets.starters import list_starters
from server.storage.tables import Tasting
from server.tastings.bench import Bench
from server.tastings.sheets_kept import list_sheets
from server.tastings.table_plan_forms import get_plan_sheet, read_plan
from server.tastings.tasting_list import find_led_row

AS_PLANNED = "planned"


@dataclass(frozen=True)
class SheetChoice:
    """A sheet to choose; ``value`` names it in the form."""

    value: str
    sheet: Sheet
    origin: str

    @property
    def label(self) -> str:
        """Say which it is."""
        return f"{self.sheet.title}, version {self.sheet.version} ({self.origin})"

    @property
    def numbers(self) -> tuple[tuple[str, str], ...]:
        """What of it may be declared primary: its name, and how people read it."""
        labels = {one.name: one.label for one in self.sheet.attributes}
        return tuple(_label(name, labels) for name in list_declarable(self.sheet))


def list_choices(
    bench: Bench, account_id: UUID, tasting: Tasting | None = None
) -> tuple[SheetChoice, ...]:
    """List what to choose from; that of a tasting planned already comes first."""
    return tuple(_list_choices(bench, account_id, tasting))


def find_planned(bench: Bench, account_id: UUID, choice: str) -> Tasting | None:
    """Return the scored table that a choice names, if this account leads it."""
    kind, _, name = choice.partition(":")
    try:
        tasting = find_led_row(bench, account_id, UUID(name)) if kind == AS_PLANNED else None
    except ValueError:
        return None
    return tasting if tasting and tasting.plan.get("table") else None


def _list_choices(bench: Bench, account_id: UUID, tasting: Tasting | None) -> Iterator[SheetChoice]:
    if tasting is not None:
        sheet = get_plan_sheet(read_plan(tasting.plan))
        yield SheetChoice(f"{AS_PLANNED}:{tasting.id}", sheet, f"as in {tasting.name}")
    for kept in list_sheets(bench, account_id):
        yield SheetChoice(f"kept:{kept.id}", kept.sheet, "yours")
    for one in list_starters():
        yield SheetChoice(f"starter:{one.name}", one.sheet, "to start from")


def _label(name: str, labels: dict[str, str]) -> tuple[str, str]:
    attribute, _, rest = name.partition(", ")
    return name, ", ".join(filter(None, (labels[attribute], rest)))
