"""Ask for relief where a plan has more cups or caffeine for one person than the guides."""

from server.blinding.plans import Relief
from server.reports import relief_words as words
from server.tastings.consequences import Consequences
from server.tastings.refusals import Invalid


def refuse_overload(follow: Consequences) -> None:
    """Refuse a plan over a guide for which nothing was chosen that helps.

    Raises
    ------
    Invalid
        With what is too much, as ``relief``.
    """
    if not follow.lacks_relief:
        return
    relief = follow.numbers.relief
    if relief == Relief.DAYS:
        raise Invalid(days=words.MORE_DAYS)
    too_much = words.CAFFEINE if follow.cost.over_single_dose else words.PALATE
    said = too_much.format(mg=round(follow.cost.caffeine_if_swallowed_mg),
                           cups=follow.cost.cups_per_person)  # fmt: skip
    raise Invalid(relief=f"{said} {words.STILL if relief else words.CHOOSE}")
