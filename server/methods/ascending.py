"""Ascending series: triads in which one cup holds more and more of a substance."""

from dataclasses import dataclass, replace

from server.methods.base import N_, PICK_ONE, Sided
from server.methods.picking import PicksB
from server.methods.three_afc import THREE_AFC
from server.methods.triangle import TRIANGLE
from server.stats.forced_choice import THREE_AFC as STRONGEST
from server.stats.forced_choice import TRIANGLE_ODD_KNOWN
from server.stats.thurstone import ForcedChoice


@dataclass(frozen=True)
class Ascending(PicksB):
    """The ascending 3-AFC series; attributes as in `base.Method`.

    Notes
    -----
    The odd cup is always the one with something added, which only the key knows, so a
    serving is a 3-AFC and no triangle: three orders, not six. Asked by name, whoever tastes
    picks the strongest cup, and that model has a d′. Asked for the odd one, they may go by
    any difference: chance is 1/3 as well, but what d′ that means is not known. A threshold
    needs nothing but the chance.

    References
    ----------
    ISO 13301:2018, Sensory analysis - Methodology - General guidance for measuring odour,
    flavour and taste detection thresholds by a three-alternative forced-choice (3-AFC)
    procedure. Best estimates: ASTM E679 (from memory).

    Examples
    --------
    >>> ASCENDING.is_correct({"pick": "936"}, ["412", "587", "936"], "AAB")
    True
    """

    name: str = "ascending-3-afc"
    title: str = N_("Ascending 3-AFC series")
    standard: str = THREE_AFC.standard
    model: ForcedChoice = TRIANGLE_ODD_KNOWN
    sided: Sided = "one"
    orders: tuple[str, ...] = THREE_AFC.orders
    cups: int = 3
    needs: str = ""
    form: str = PICK_ONE
    reference: bool = False
    serving: str = "triad"
    success: str = "the cup with something added was picked"
    question: str = TRIANGLE.question
    verdict: str = TRIANGLE.verdict
    instruction: str = N_(
        "Taste from left to right; you may taste again. It may get easier from round to round. "
        "If you cannot tell, pick a cup all the same and tick that you guessed. "
        "Something that people eat or drink was added to some cups: if there is anything you "
        "must avoid, ask the leader before the first sip."
    )


ASCENDING = Ascending()
ASCENDING_NAMED = replace(
    ASCENDING, model=STRONGEST, question=THREE_AFC.question, verdict=THREE_AFC.verdict
)
"""The same, asked by the name of what differs."""
