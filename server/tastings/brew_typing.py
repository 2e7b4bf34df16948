"""Times and scale readings of a brew that are typed, where a tap was missed or wrong."""

from collections.abc import Mapping
from decimal import Decimal
from uuid import UUID

from server.brewing import brew_times
from server.brewing.bounds import parse_optional
from server.brewing.brewed import Brewed
from server.brewing.recipe import Recipe, StepKind
from server.tastings.bench import Bench
from server.tastings.brew_keeping import change_brew
from server.tastings.refusals import Invalid

ENDS_EARLY = "The end comes before a step: check both."
NO_TIME = "Give the time of this step as well."


def note_times(bench: Bench, account_id: UUID, brew_id: UUID, form: Mapping[str, str]) -> None:
    """Put typed times and scale readings in place of tapped ones; an empty field changes nothing.

    Parameters
    ----------
    form
        ``at_0``, ``scale_0`` … by the place of a step, and ``at_end``.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """

    def change(recipe: Recipe, brewed: Brewed) -> Brewed:
        errors: dict[str, str] = {}
        times, scales = _read_times(recipe, form, errors), _read_scales(recipe, form, errors)
        known = {one.planned for one in brewed.steps} | set(times)
        errors |= {f"at_{place}": NO_TIME for place in scales if place not in known}
        if errors:
            raise Invalid(**errors)
        ended = times.pop(-1, None)
        try:
            return brew_times.type_times(recipe, brewed, times, scales, ended)
        except ValueError:
            raise Invalid(at_end=ENDS_EARLY) from None

    change_brew(bench, account_id, brew_id, change)


def _read_times(recipe: Recipe, form: Mapping[str, str], errors: dict[str, str]) -> dict[int, int]:
    """Return the typed times by place, that of the end by -1."""
    names = {f"at_{place}": place for place in _list_places(recipe)} | {"at_end": -1}
    times: dict[int, int] = {}
    for name, place in names.items():
        try:
            at_s = brew_times.read_minutes(form.get(name, ""))
        except ValueError as error:
            errors[name] = str(error)
            continue
        if at_s is not None:
            times[place] = at_s
    return times


def _read_scales(
    recipe: Recipe, form: Mapping[str, str], errors: dict[str, str]
) -> dict[int, Decimal]:
    scales: dict[int, Decimal] = {}
    for place in _list_places(recipe):
        try:
            grams = parse_optional("scale_g", form.get(f"scale_{place}", ""))
        except ValueError as error:
            errors[f"scale_{place}"] = str(error)
            continue
        if grams is not None:
            scales[place] = grams
    return scales


def _list_places(recipe: Recipe) -> list[int]:
    steps = enumerate(recipe.steps)
    return [place for place, step in steps if step.kind is not StepKind.END]
