"""The planner: a few questions, one test proposed, and its plan filled in."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request, Response

from server.pages.deps import AtBench, Form, Leader
from server.pages.leader.contrast_choices import ContrastChoices
from server.pages.leader.plan import AtHand, show_new_plan
from server.pages.rendering import show, show_fragment
from server.reports import contrast_words, proposal_words
from server.stats.forced_choice import TWO_AFC
from server.tastings.bench import Bench
from server.tastings.kits import NEEDED, find_kit, keep_kit, kit_form, read_kit
from server.tastings.power_curves import PowerPicture, draw_power_picture, picture_power
from server.tastings.proposing import Proposal, fill_plan, follow_plan, name_inside, propose
from server.tastings.refusals import Invalid, NotFound
from server.tastings.setting_out import SettingOut, set_out
from server.tastings.wishing import D_PRIMES, PREFERRED, Size, empty_wish, read_wish

router = APIRouter()

PAGE = "/tastings/new/planner"
MOST_ANSWERS, MOST_DISTANCE = 10_000, 10.0


@dataclass(frozen=True)
class ProposalPart:
    """What is proposed for the answers given so far, or what is wrong with them."""

    proposal: Proposal | None
    errors: Mapping[str, str]
    setting_out: SettingOut | None = None

    @property
    def contrast(self) -> str:
        """What to know of the contrast that was chosen; empty if none was."""
        chosen = self.proposal.wish.contrast if self.proposal else ""
        return contrast_words.PROPOSED[chosen] if chosen else ""

    @property
    def title(self) -> str:
        """The proposed method, as within a sentence."""
        chosen = self.proposal.chosen if self.proposal else None
        return name_inside(chosen) if chosen else ""


@dataclass(frozen=True)
class Contenders:
    """All methods that suit the answers, side by side; nothing while some are missing."""

    proposal: Proposal | None
    picture: PowerPicture | None

    @property
    def is_over(self) -> bool:
        """Tell whether one of them is over the guide for caffeine."""
        found = self.proposal.contenders if self.proposal else ()
        return any(one.need.price.over_single_dose for one in found if one.need)


@dataclass(frozen=True)
class Planner(ContrastChoices):
    """The questions, and the proposal beside them."""

    form: Mapping[str, str]
    part: ProposalPart
    contenders: Contenders

    @property
    def errors(self) -> Mapping[str, str]:
        """Messages beside the fields."""
        return self.part.errors

    @property
    def sizes(self) -> tuple[tuple[str, str], ...]:
        """Sizes to choose from, each in words."""
        return tuple(
            (size, proposal_words.SIZES[size].format(right=f"{100 * TWO_AFC.pc(d):.0f}"))
            for size, d in D_PRIMES.items()
        )

    @property
    def size_of_liking(self) -> str:
        """What the sizes mean where liking is asked for."""
        shares = {str(size): f"{100 * share:.0f}" for size, share in PREFERRED.items()}
        return proposal_words.SIZE_OF_LIKING.format(**shares)

    @property
    def own_size(self) -> str:
        """Value of the size that is typed as d′."""
        return Size.OWN


@router.get(PAGE)
def planner(request: Request, kit: AtHand) -> Response:
    """Show the questions with their defaults, and what was at hand the last time."""
    return _show(request, empty_wish() | kit_form(kit))


@router.post(PAGE)
def ask_planner(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Show the questions as they were answered, and what is proposed; keep what is at hand."""
    with suppress(Invalid):  # the page says what is wrong
        _keep(bench, leader.id, form)
    return _show(request, form)


@router.post("/plans/proposal")
def proposal(request: Request, _: Leader, form: Form) -> Response:
    """Show what is proposed for the answers given so far."""
    return show_fragment(request, "leader/proposal", _propose(form))


@router.post("/plans/contenders")
def contenders(request: Request, _: Leader, form: Form) -> Response:
    """Show all methods that suit the answers given so far."""
    return show_fragment(request, "leader/contenders", _line_up(_propose(form).proposal))


@router.get("/plans/power.svg")
def power_picture(
    _: Leader, n: int, d: float, m: Annotated[list[str], Query(max_length=20)]
) -> Response:
    """Return the picture of what so many answers find, for methods of these names."""
    if not (1 <= n <= MOST_ANSWERS and 0 <= d <= MOST_DISTANCE):
        raise NotFound("There is no such picture.")
    drawn = draw_power_picture(m, n, d)
    if drawn is None:
        raise NotFound("There is no such picture.")
    kept = {"Cache-Control": "private, max-age=3600"}
    return Response(drawn, media_type="image/svg+xml", headers=kept)


@router.post("/tastings/new/filled")
def take_proposal(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Show the plan of one of the methods, filled in; keep what is at hand."""
    try:
        proposed, kit = propose(read_wish(form)), read_kit(form)
    except Invalid:
        return _show(request, form)
    _keep(bench, leader.id, form)
    filled = fill_plan(proposed, form.get("method", ""))
    return show_new_plan(request, filled, kit or find_kit(leader), proposal_words.FILLED)


def _propose(form: Mapping[str, str]) -> ProposalPart:
    try:
        proposed, kit = propose(read_wish(form)), read_kit(form)
        follow = follow_plan(proposed)
    except Invalid as error:
        return ProposalPart(None, error.messages)
    return ProposalPart(proposed, {}, set_out(follow, kit) if follow else None)


def _keep(bench: Bench, account_id: UUID, form: Mapping[str, str]) -> None:
    """Keep what is at hand, or forget it if the fields came empty."""
    if all(name in form for name in NEEDED):
        keep_kit(bench, account_id, read_kit(form))


def _line_up(proposed: Proposal | None) -> Contenders:
    if proposed is None:
        return Contenders(None, None)
    return Contenders(proposed, picture_power(proposed.contenders, proposed.wish))


def _show(request: Request, form: Mapping[str, str]) -> Response:
    part = _propose(form)
    view = Planner(form, part, _line_up(part.proposal))
    return show(request, "leader/planner", view, 422 if view.errors else 200)
