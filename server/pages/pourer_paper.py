"""What whoever pours prints: the fill list by pot, the tray list by seat."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.blinding.table_stands import list_stands
from server.pages.deps import AtBench
from server.pages.pourer import Round, get_bar, lay_out
from server.pages.rendering import show
from server.tastings.calibrating import OpenBowl
from server.tastings.pouring import Bar

router = APIRouter(prefix="/pour/{token}/paper")


@dataclass(frozen=True)
class FillList:
    """Which code is filled from which pot, round by round; a spare cup is held back."""

    bar: Bar
    token: str
    rounds: tuple[Round, ...]


@dataclass(frozen=True)
class TrayLine:
    """A serving to carry; ``mark`` says what is special about it, or nothing."""

    seat: int
    codes: tuple[str, ...]
    mark: str


@dataclass(frozen=True)
class TrayRound:
    """The trays of a round, by seat."""

    number: int
    trays: tuple[TrayLine, ...]
    open_bowl: OpenBowl | None


@dataclass(frozen=True)
class TrayList:
    """What stands on which tray, round by round: codes alone."""

    bar: Bar
    token: str
    rounds: tuple[TrayRound, ...]


@router.get("/fill")
def fill_list(request: Request, bench: AtBench, token: str) -> Response:
    """Show the fill list of a pourer's rounds."""
    bar = get_bar(bench, token)
    rounds = tuple(lay_out(bar, token, number) for number in bar.rounds)
    return show(request, "paper/fill_list", FillList(bar, token, rounds))


@router.get("/trays")
def tray_list(request: Request, bench: AtBench, token: str) -> Response:
    """Show the tray list of a pourer's rounds."""
    bar = get_bar(bench, token)
    rounds = tuple(_carry(lay_out(bar, token, number)) for number in bar.rounds)
    return show(request, "paper/tray_list", TrayList(bar, token, rounds))


def _carry(round_: Round) -> TrayRound:
    marks = ("in place of a void serving", "void: do not serve", "")
    trays = [
        TrayLine(tray.seat, tray.codes, marks[0 if tray.instead else 2 - tray.void])
        for tray in round_.trays
    ]
    carried = {tray.serving.id for tray in round_.trays}
    held = [
        TrayLine(one.seat, tuple(each.code for each in list_stands(one)), "spare: hold back")
        for one in round_.bar.servings(round_.number)
        if one.id not in carried
    ]
    return TrayRound(round_.number, (*trays, *held), round_.open_bowl)
