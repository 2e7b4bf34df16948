"""A-not-A test: one cup at a time, and whether it is the sample that everybody got to know."""

from dataclasses import dataclass

from server.methods.base import A_OR_NOT, N_, Sided
from server.methods.saying import SaysYesOrNo
from server.stats.forced_choice import YES_OR_NO
from server.stats.thurstone import ForcedChoice


@dataclass(frozen=True)
class ANotA(SaysYesOrNo):
    """The A-not-A test; attributes as in `base.YesNo`.

    Notes
    -----
    Everybody first tastes sample A openly, under its name, under some plans the other
    sample too. Then cups with codes come one by one, in every two rounds one of each.

    References
    ----------
    ISO 8588:2017, Sensory analysis - Methodology - "A" - "not A" test (from memory).

    Examples
    --------
    >>> A_NOT_A.is_correct({"said": "yes"}, ["412"], "A")
    True
    >>> A_NOT_A.is_correct({"said": "yes"}, ["412"], "B")
    False
    """

    name: str = "a-not-a"
    title: str = N_("A-not-A test")
    standard: str = "ISO 8588:2017"
    model: ForcedChoice = YES_OR_NO
    sided: Sided = "one"
    orders: tuple[str, ...] = ("A", "B")
    first: frozenset[str] = frozenset({"A"})
    cups: int = 1
    needs: str = "Needs an open cup of sample A for everybody, to get to know it."
    form: str = A_OR_NOT
    reference: bool = False
    serving: str = "cup"
    success: str = "the cup was called what it was"
    question: str = N_("Is this cup A?")
    verdict: str = N_("You say this cup is A.")
    instruction: str = N_(
        "First get to know A in its open cup. Then cups with codes come one by one: "
        "say of each whether it is A. If you cannot tell, choose all the same and tick that "
        "you guessed."
    )


A_NOT_A = ANotA()
