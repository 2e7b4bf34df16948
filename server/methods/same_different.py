"""Same-different test: two cups, of one sample or of two, and whether they are the same."""

from dataclasses import dataclass

from server.methods.base import ALIKE_OR_NOT, N_, Sided
from server.methods.saying import SaysYesOrNo
from server.stats.forced_choice import YES_OR_NO
from server.stats.thurstone import ForcedChoice


@dataclass(frozen=True)
class SameDifferent(SaysYesOrNo):
    """The same-different test; attributes as in `base.YesNo`.

    Notes
    -----
    In every four rounds a seat meets each of the four pairs once. Like cups come from
    different brews, as elsewhere.

    References
    ----------
    ASTM E2139, Standard Test Method for Same-Different Test (from memory).

    Examples
    --------
    >>> SAME_DIFFERENT.is_correct({"said": "yes"}, ["412", "587"], "BB")
    True
    >>> SAME_DIFFERENT.is_correct({"said": "yes"}, ["412", "587"], "BA")
    False
    """

    name: str = "same-different"
    title: str = N_("Same-different test")
    standard: str = "ASTM E2139"
    model: ForcedChoice = YES_OR_NO
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AA", "BB", "AB", "BA")
    first: frozenset[str] = frozenset({"AA", "BB"})
    cups: int = 2
    needs: str = ""
    form: str = ALIKE_OR_NOT
    reference: bool = False
    serving: str = "pair"
    success: str = "the pair was called what it was"
    question: str = N_("Are these two cups the same?")
    verdict: str = N_("You say these two are the same.")
    instruction: str = N_(
        "Taste the left cup, then the right one; you may taste again. Some pairs are the same, "
        "some are different. If you cannot tell, choose all the same and tick that you guessed."
    )


SAME_DIFFERENT = SameDifferent()
