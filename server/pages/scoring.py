"""What an assessor taps at a scored table, besides what all seats do: words, values, the end."""

from collections.abc import Callable, Mapping

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from server.pages.deps import AtBench, Form
from server.pages.languages import choose_language, load_translations
from server.pages.rendering import is_fragment_wanted
from server.pages.seat import act_at_seat, read_serving_id
from server.tastings import scoring_drafts, scoring_words
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, Refusal
from server.tastings.scoring_passes import HELD
from server.tastings.scoring_view import find_news

router = APIRouter(prefix="/seat/{token}")


@router.post("/words")
def choose_words(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Add words of one's own to the sheet, once."""
    return act_at_seat(
        request, bench, token, form, lambda: scoring_words.choose_words(bench, token, form)
    )


@router.post("/values")
def keep_values(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Keep what was scored; a script sends a few fields and hears what is new."""

    def act() -> None:
        scoring_drafts.save_values(bench, token, read_serving_id(form), form)

    if is_fragment_wanted(request):
        return _tell_script(request, bench, token, form, act)
    return act_at_seat(request, bench, token, form, act)


@router.post("/finish")
def finish(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Keep what was scored, and show what is missing before the table is locked."""

    def act() -> None:
        scoring_drafts.save_values(bench, token, read_serving_id(form), form, finish=True)

    return act_at_seat(request, bench, token, form, act)


def _tell_script(
    request: Request,
    bench: Bench,
    token: str,
    form: Mapping[str, str],
    act: Callable[[], None],
) -> Response:
    """Answer in JSON; ``taken`` says that nothing of it need be sent again but ``waiting``.

    These are values whose sip is held: the device keeps them, and asks again.
    """
    problems: Mapping[str, str] = {}
    try:
        act()
    except Invalid as error:
        problems = error.messages
    except Refusal as error:
        return JSONResponse({"taken": False}, error.status, {"Cache-Control": "no-store"})
    say = load_translations(choose_language(request.headers.get("Accept-Language", ""))).gettext
    waiting = [name for name, text in problems.items() if text == HELD]
    told = {
        "taken": True,
        "waiting": waiting,
        "problems": {name: say(text) for name, text in problems.items()},
    }
    news = find_news(bench, token, read_serving_id(form), form.get("since", ""))
    return JSONResponse(told | news, 422 if waiting else 200, {"Cache-Control": "no-store"})
