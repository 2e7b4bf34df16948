"""Pictures of turned cups, for whoever leads the tasting; they may be erased."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Led
from server.pages.rendering import go_to
from server.tastings import photos
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting

router = APIRouter(prefix="/tastings/{tasting_id}/photos")


@dataclass(frozen=True)
class TurnedCups:
    """A picture on record; ``there`` says that it was not erased."""

    sitting: int
    digest: str
    there: bool


def list_turned_cups(bench: Bench, led: LedTasting) -> tuple[TurnedCups, ...]:
    """List the pictures that came with marks, first sitting first; none of a panel's."""
    reveals = [one for entered in led.record.reveals.values() for one in entered if one.photo]
    if not reveals:
        return ()
    kept = photos.list_photos(bench, led.tasting.id)
    shown = {(one.sitting, one.photo): one.photo in kept for one in reveals if one.photo}
    return tuple(TurnedCups(*named, there) for named, there in sorted(shown.items()))


@router.get("/{digest}.jpg")
def photo(bench: AtBench, led: Led, digest: str) -> Response:
    """Return a picture, to be kept nowhere."""
    image = photos.get_photo(bench, led.tasting.id, digest)
    return Response(image, media_type="image/jpeg", headers={"Cache-Control": "private, no-store"})


@router.post("/{digest}/delete")
def delete_photo(request: Request, bench: AtBench, led: Led, digest: str) -> Response:
    """Erase a picture; its hash stays on record."""
    photos.delete_photo(bench, led.tasting.id, digest)
    return go_to(request, f"/tastings/{led.tasting.id}/key")
