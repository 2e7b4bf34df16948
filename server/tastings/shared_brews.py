"""A brew that filled the slots of two samples: noted, because those cups then are no test."""

from collections.abc import Mapping

from server.blinding.sealed import Layout, PlannedSlot
from server.brewing.brewed import Brewed
from server.reports.gate import list_beside
from server.tastings.refusals import Invalid

FIELD = "same_as"
NO_OTHER = "Choose a brew slot of another sample in the same round, or none."


def put_shared(
    form: Mapping[str, str], layout: Layout, slot: PlannedSlot, brewed: Brewed
) -> Brewed:
    """Put in the slot that was filled from the same brew, if the form asks for one.

    Raises
    ------
    Invalid
        It is no slot of another sample in this round.
    """
    if FIELD not in form:
        return brewed
    other = form[FIELD].strip()
    if other and other not in list_sharing(layout, slot):
        raise Invalid(**{FIELD: NO_OTHER})
    return brewed.model_copy(update={FIELD: other})


def list_sharing(layout: Layout, slot: PlannedSlot) -> tuple[str, ...]:
    """List the slots that the brew of a slot could fill by mistake, or on purpose."""
    if layout.plan.series is not None:
        return ()
    return tuple(one.name for one in list_beside(layout, slot))
