"""Where the sealed text of a scored table contradicts itself."""

from collections import Counter
from collections.abc import Iterator

from server.blinding.plans import Purpose
from server.blinding.sealed import Layout, PlannedServing, SealedTasting
from server.blinding.table_plans import METHOD
from server.blinding.table_stands import is_scored, list_stands

Bowl = tuple[int, str, int]
"""Round, code and number of a shared bowl."""


def find_table_layout_problems(layout: Layout) -> list[str]:
    """List where places, bowls and servings do not make a table.

    Parameters
    ----------
    layout : Layout
        In which every serving is of a comparison that is there.

    Returns
    -------
    list of str
        A sentence each. Bowls in a tasting that is no scored table are found as well.
    """
    table = layout.plan.table
    if (table is not None) != (layout.plan.method == METHOD):
        return ["The plan has a scored table and another method, or the other way round."]
    if table is None:
        return _find_strange_bowls(layout)
    found = ["A scored table cannot be poured alone."] if layout.plan.alone else []
    found += [problem for serving in layout.servings for problem in _find_stands(layout, serving)]
    if table.shared:
        found += _find_unshared(layout)
    return [*found, *_find_sittings(layout)]


def _find_strange_bowls(layout: Layout) -> list[str]:
    return [
        f"Serving {serving.id} numbers bowls, which only scored tables do."
        for serving in layout.servings
        if any(cup.bowl for cup in serving.cups)
    ]


def _find_stands(layout: Layout, serving: PlannedServing) -> Iterator[str]:
    purpose, table = layout.purpose(serving), layout.plan.table
    if purpose not in (Purpose.TEST, Purpose.WARM_UP):
        yield f"Serving {serving.id} is a control, which scored tables do not have."
    grouped = table.grouped if table and purpose == Purpose.TEST else 1
    stands = list_stands(serving)
    if not stands:
        yield f"Serving {serving.id} has no cup."
    if len({stand.code for stand in stands}) < len(stands):
        yield f"Serving {serving.id} has bowls of one code in two places."
    bowls = tuple(range(1, grouped + 1)) if grouped > 1 else (0,)
    if any(stand.bowls != bowls for stand in stands):
        yield f"The bowls of serving {serving.id} are not numbered from 1 to {grouped}."
    if purpose == Purpose.WARM_UP and len(serving.cups) != 1:
        yield f"Warm-up serving {serving.id} is not one cup."


def _find_unshared(layout: Layout) -> Iterator[str]:
    """Say where a seat of a shared table has other bowls than the first of its round."""
    first: dict[int, set[tuple[str, int]]] = {}
    for serving in layout.servings:
        mine = {(cup.code, cup.bowl) for cup in serving.cups}
        if mine != first.setdefault(serving.round, mine):
            yield f"Serving {serving.id} is not of the bowls that its round shares."


def _find_sittings(layout: Layout) -> Iterator[str]:
    kinds = Counter((one.seat, one.sitting, one.comparison) for one in layout.servings)
    for (seat, sitting, comparison), many in kinds.items():
        if many > 1:
            yield f"Seat {seat} has {many} servings ({comparison}) at sitting {sitting}."


def find_table_key_problems(sealed: SealedTasting) -> list[str]:
    """List where the key of a scored table cannot be true.

    Parameters
    ----------
    sealed : SealedTasting
        Whose key names a brew slot of the round for every cup.

    Returns
    -------
    list of str
        A sentence each: one code for two samples, one shared bowl from two brews or two
        from one, a warm-up cup of another sample than planned.
    """
    table = sealed.plan.table
    if table is None:
        return []
    found = [problem for serving in sealed.servings for problem in _find_mixed(sealed, serving)]
    return [*found, *(_find_shared_brews(sealed) if table.shared else ())]


def _find_mixed(sealed: SealedTasting, serving: PlannedServing) -> Iterator[str]:
    samples = {slot.name: slot.sample for slot in sealed.slots}
    for stand in list_stands(serving):
        levels = {samples[sealed.key[cup.id]] for cup in stand.cups}
        if len(levels) > 1:
            yield f"Code {stand.code} of serving {serving.id} is of two samples."
        planned = sealed.plan.table.warm_up if sealed.plan.table else ""
        if not is_scored(sealed, serving) and levels != {planned}:
            yield f"Warm-up serving {serving.id} is not of sample {planned}."


def _find_shared_brews(sealed: SealedTasting) -> Iterator[str]:
    truth: dict[Bowl, str] = {}
    for serving in sealed.servings:
        for cup in serving.cups:
            bowl, slot = (serving.round, cup.code, cup.bowl), sealed.key[cup.id]
            if truth.setdefault(bowl, slot) != slot:
                yield f"The shared bowl of cup {cup.id} is of two brews."
    for slot, many in Counter(truth.values()).items():
        if many > 1:
            yield f"Brew slot {slot} fills {many} shared bowls."
