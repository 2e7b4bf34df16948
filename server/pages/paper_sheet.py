"""Type a score sheet of paper in: by the seat's link, so that codes are all there is to see."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.pages.deps import AtBench, Form
from server.pages.rendering import go_to, is_fragment_wanted, show, show_fragment
from server.pages.seat import read_key
from server.sheets.blocks import Entry
from server.tastings import paper_sheets, scoring_words
from server.tastings.bench import Bench
from server.tastings.paper_view import PaperView, find_paper_view
from server.tastings.refusals import Invalid, NotFound, Refusal

Refuse = Callable[["PaperPage", int], Response]
router = APIRouter(prefix="/seat/{token}/paper/{sitting}")


@dataclass(frozen=True)
class PaperPage:
    """A sheet to type in, or to look over and lock; ``client_key`` marks the form that locks."""

    token: str
    paper: PaperView
    client_key: str
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """Where the sheet is."""
        return f"/seat/{self.token}/paper/{self.paper.table.sitting}"

    @property
    def wrong(self) -> list[Entry]:
        """What cannot be, in the order of the sheet."""
        entries = (entry for block in self.paper.blocks for entry in block.entries)
        return [one for one in entries if self.find_problem(one.place.field)]

    def find_problem(self, name: str) -> str:
        """Return what is wrong with a value, by its first field's name."""
        found = (text for one, text in self.errors.items() if f"{one}.".startswith(f"{name}."))
        return next(found, "")


@dataclass(frozen=True)
class Desk:
    """Where somebody types a sheet in."""

    request: Request
    bench: Bench
    token: str
    sitting: int

    def look(self, **more: Mapping[str, str]) -> PaperPage:
        """Return the sheet as it stands, with a form and its errors if there are any."""
        paper = find_paper_view(self.bench, self.token, self.sitting)
        more.setdefault("form", paper.fields)
        return PaperPage(self.token, paper, self.bench.draw_token(), **more)

    def show_sheet(self, view: PaperPage, status: int = 200) -> Response:
        """Show all values; a script that keeps them on the way hears how many there are."""
        if is_fragment_wanted(self.request):
            return show_fragment(self.request, "assessor/paper_kept", view, status)
        return show(self.request, "assessor/paper_sheet", view, status)

    def show_check(self, view: PaperPage, status: int = 200) -> Response:
        """Show what is missing, and the lock."""
        return show(self.request, "assessor/paper_check", view, status)

    def act(self, act: Callable[[], object], form: Form, refuse: Refuse) -> Response | None:
        """Act; what stands in the way is shown beside what was typed."""
        try:
            act()
        except NotFound:
            raise
        except Invalid as error:
            return refuse(self.look(form=form, errors=error.messages), 422)
        except Refusal as error:  # the page itself says why
            return refuse(self.look(), error.status)
        return None

    def go_on(self, then: str = "") -> Response:
        """Lead to the sheet, or to one of its pages."""
        return go_to(self.request, f"/seat/{self.token}/paper/{self.sitting}{then}")


def get_desk(request: Request, bench: AtBench, token: str, sitting: int) -> Desk:
    """Return where the sheet of a seat and sitting is typed in."""
    return Desk(request, bench, token, sitting)


AtDesk = Annotated[Desk, Depends(get_desk)]


@router.get("")
def paper_sheet(desk: AtDesk) -> Response:
    """Show a sheet with what was typed so far."""
    return desk.show_sheet(desk.look())


@router.post("")
def keep_paper(desk: AtDesk, form: Form) -> Response:
    """Keep what was typed."""

    def act() -> None:
        paper_sheets.keep_sheet(desk.bench, desk.token, desk.sitting, form)

    if refusal := desk.act(act, form, desk.show_sheet):
        return refusal
    if is_fragment_wanted(desk.request):
        return desk.show_sheet(desk.look())
    return desk.go_on("/check" if form.get("then") == "check" else "")


@router.post("/words")
def choose_paper_words(desk: AtDesk, form: Form) -> Response:
    """Add the words that stand at the head of the paper, once."""

    def act() -> None:
        scoring_words.choose_words(desk.bench, desk.token, form)

    return desk.act(act, form, desk.show_sheet) or desk.go_on()


@router.get("/check")
def paper_check(desk: AtDesk) -> Response:
    """Show what is missing, before the sheet is locked."""
    return desk.show_check(desk.look())


@router.post("/lock")
def lock_paper(desk: AtDesk, form: Form) -> Response:
    """Lock the sheet as it was kept; it is stored before this response leaves."""

    def act() -> None:
        key = read_key(form) or desk.bench.draw_token()
        paper_sheets.lock_sheet(desk.bench, desk.token, desk.sitting, form, key)

    return desk.act(act, form, desk.show_check) or desk.go_on()
