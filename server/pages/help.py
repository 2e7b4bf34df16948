"""The words of the trade and of the statistics, explained where somebody asks."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.brewing.water import TARGETS
from server.pages.rendering import show
from server.reports.recipe_words import say_target

router = APIRouter()


@dataclass(frozen=True)
class Help:
    """The words; each has an anchor, so that a screen can point at one."""

    words: tuple[tuple[str, str, str], ...]


WORDS = (
    (
        "triad",
        "Triad, triangle test",
        "Three coded cups, two alike and one odd. Whoever tastes picks the odd one, and must "
        "pick even without an idea: guessing finds it in one of three. Standard: ISO 4120.",
    ),
    (
        "tetrad",
        "Tetrad",
        "Four coded cups, two of each sample, to be sorted into two pairs: guessing sorts one of "
        "three rightly. Ask for the two pairs, never for the two cups that are most alike: that is "
        "another task, answered rightly about as often as a triangle. Standard: ASTM E3009.",
    ),
    (
        "five",
        "Two out of five",
        "Five coded cups, two of one sample and three of the other: which are the two? Guessing "
        "finds them in one of ten, so few answers can show a difference; five cups tire the "
        "palate sooner. How people group five cups is not known, so there is no d′. It is listed "
        "in ISO 6658.",
    ),
    (
        "blind",
        "Blinding level, 0 to 4",
        "How little the people at the table could know. 0: open. 1: one person, cups shuffled. "
        "2: whoever pours stays in the room. 3: whoever pours is gone. 4: whoever serves knows "
        "only codes.",
    ),
    (
        "seal",
        "Seal",
        "A fingerprint (SHA-256) of plan and key, taken before the first sip. If one character "
        "of them changed later, the fingerprint would be another one.",
    ),
    (
        "alpha",
        "α, critical number",
        "α is the risk of calling a difference where there is none, 0.05 by habit. The critical "
        "number is the fewest right answers that guessing gives with at most this risk.",
    ),
    (
        "power",
        "Chance to find a difference (power)",
        "How often a test like this one would reach the critical number if the difference is as "
        "large as you said matters. Below 80 %, a miss says little.",
    ),
    (
        "similarity",
        "Similarity test, β",
        "A test that is to show that fewer than a stated share notice. It turns the question "
        "round: so few right answers must be rare if that share noticed, and β is how often they "
        "may come up all the same. It takes many people, one answer each. Fewer than the share is "
        "not nobody. Standards: ISO 4120, ISO 10399, ISO 5495.",
    ),
    (
        "sequential",
        "Sequential plan",
        "A plan that may stop before its last round. After each block of complete rounds the "
        "server asks the answers and says go on or stop, nothing else; stop may mean a "
        "difference, none of the size that matters, or the planned end. The lines are sealed, "
        "their exact risks stand on the plan, and stopping as they say is no early look. "
        "Standard: ISO 16820 (Wald’s sequential test).",
    ),
    (
        "several",
        "Several answers of a person, gamma",
        "All answers together make an exact test, however much people differ: it speaks about "
        "this panel. Whether people like these notice on average is asked of a model, in which "
        "each has a share of their own; gamma says how much the shares differ, 0 if not at all, "
        "1 if everybody notices always or never.",
    ),
    (
        "secondary",
        "Secondary comparisons, Holm",
        "Groups of seats that a plan names beforehand, each tested by itself besides the whole. "
        "Several tests give several chances of a false alarm, so their p-values are adjusted to "
        "each other (Holm 1979). That one group notices and another does not shows no difference "
        "between groups.",
    ),
    (
        "share",
        "Share noticed (pd)",
        "Right answers, corrected for guessing: in what share of servings was the difference "
        "noticed? Only with one answer a person is it a share of people.",
    ),
    (
        "dprime",
        "d′ (d-prime)",
        "How far apart two samples taste, measured in how much one and the same cup varies. It "
        "compares between test methods; shares do not.",
    ),
    (
        "slot",
        "Brew slot, pots",
        "The n-th brew of a sample: A1, A2, B1. Like cups of a triad come from two brews of the "
        "sample. If they came from one pot, two pots might be told apart instead of two samples. "
        "Espressos and single bowls are each a brew of their own: nothing is shared, and a "
        "reading of some of them stands for the others.",
    ),
    (
        "piece",
        "Piece, fresh piece",
        "One specimen of the part under test, known by its label, its state and the brews it has "
        "made. What a new part gives off fades with its first brews (common practice, no source), "
        "so a test of something new takes a fresh piece for every brew, or shows how right "
        "answers went with the brews a piece had made. A finding speaks of the pieces used, never "
        "of a material or a make.",
    ),
    (
        "controls",
        "Null and positive control",
        "Null: two brews of one sample, to see what brews alone do. Positive: a small known "
        "difference, to see whether this panel notices one at all; only a control that finds its "
        "declared size four times in five is concluded from.",
    ),
    (
        "ruler",
        "Ruler of added water",
        "Tests of sample A against itself with a known amount of water make a ruler; later "
        "findings then say how much added water is about as noticeable. It compares how readily "
        "something is noticed, never what it tastes of, and is read no further than its largest "
        "dilution.",
    ),
    (
        "contrast",
        "What differs, and what it can blame",
        "A test about a part has one of four contrasts. Soak: water that stood with the part, and "
        "without; it says nothing about coffee. Part in pot: the part lies in one of two like "
        "pots, away from flow and filter. One brewer with and without the part, or with another: "
        "what the part does to the flow is in it. Two brewers as wholes: no part and no material "
        "can be blamed. Common practice, no source.",
    ),
    (
        "roast",
        "Roast is not a dose",
        "A light and a dark coffee ask whether coffee hides or mimics what a part does; they are "
        "no rising steps. Let every serving keep to one roast, hold a tasting for each, "
        "and compare the two rates with an interval (oddcup analyse compare). That one roast "
        "reached the level and the other did not shows no difference between roasts.",
    ),
    (
        "strength",
        "Strength and extraction",
        "Strength is how much of the drink is dissolved coffee, in %TDS as a coffee refractometer "
        "reads it; the TDS of water is something else. Extraction is how much of the dose was "
        "dissolved, in percent. It is worked out from strength by a formula that depends on "
        "the brewer, so extractions by two formulas do not compare. Water added to a brew lowers "
        "its strength and leaves its extraction. Neither is a grade.",
    ),
    (
        "water",
        "Brewing water",
        "Hardness (calcium and magnesium), alkalinity and pH are read apart: none follows from "
        "another. What people aim at conflicts, and none of it is the rule. "
        + " ".join(say_target(one) for one in TARGETS),
    ),
    (
        "match",
        "Matched brews",
        "Strength, temperature, fill, extraction and time since brewing alike within your "
        "limits: matched up to the limit, nearly up to twice the limit. It is asked twice. Trial "
        "brews that are not matched are sealed with a reason alone, and a brew that is not "
        "matched goes out with a reason alone: what does not match may be what was tasted, so the "
        "finding quotes the reason and does not speak of the part. Limits: common practice, no "
        "source.",
    ),
    (
        "bayes",
        "Bayes factor, prior",
        "How many times as likely the scores are if samples differ as if they do not. It needs a "
        "prior: how large differences usually are, stated in the plan and sealed. Half and twice "
        "of it are shown beside it; what changes with them hangs on the prior.",
    ),
    (
        "spare",
        "Spare seat",
        "Drawn and sealed like the others. A serving that goes wrong is replaced whole, with "
        "fresh codes, by a spare one.",
    ),
    (
        "calibration",
        "Calibration, open bowl",
        "Before the codes of a scored table everybody tastes one bowl whose name is known, talks "
        "about it and agrees on what the words of the sheet mean. It is never scored, and none of "
        "the samples (common practice, no source).",
    ),
    (
        "control",
        "Control, open and blind",
        "The sample that others are compared with. It stands open, named to everybody, and again "
        "under a code: people find differences from it even there. A sample is off only if it is "
        "scored further away than that blind control (common practice, no source).",
    ),
    (
        "ranking",
        "Ranking, rank sum",
        "Everybody puts all samples in one order; first place is 1. The places of a sample, added "
        "up over people, are its rank sum. Friedman’s test says whether the sums lie further apart "
        "than chance puts them, Page’s whether they follow an order that was declared beforehand. "
        "An order does not say how far apart samples are. Standard: ISO 8587.",
    ),
    (
        "contested",
        "Contested answer",
        "A second, different answer to one serving. Both are kept; the leader says which was "
        "meant, without seeing which is right. Otherwise the serving is void.",
    ),
    (
        "taint",
        "Taint, off-flavour",
        "A taint is a foreign taste from outside; an off-flavour comes from a change within "
        "(ISO 5492). This test tells whether cups differ, never why.",
    ),
)


@router.get("/help")
def help_page(request: Request) -> Response:
    """Show the words."""
    return show(request, "help/help", Help(WORDS))
