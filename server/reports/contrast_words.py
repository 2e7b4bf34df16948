"""What a contrast lets a finding say: which one thing the samples differ in, and which not.

``""`` is nobody's contrast: the sentences that hold whatever differs stand in
`claim_words` and `next_words`.
"""

from collections.abc import Mapping

from server.blinding.bench_plans import Contrast

SOAK: Contrast = "soak"
IN_POT: Contrast = "part in pot"
ONE_BREWER: Contrast = "same brewer"
BREWERS: Contrast = "whole brewer"

IN_ORDER: tuple[Contrast, ...] = (SOAK, IN_POT, ONE_BREWER, BREWERS, "")
"""In the order in which they are asked: the fewer other causes, the earlier."""

CHOICES: Mapping[Contrast, str] = {
    SOAK: (
        "Plain hot water that stood with the part, and water from a jar without it. The keenest "
        "question. It can blame this piece in this water, and says nothing about coffee."
    ),
    IN_POT: (
        "The part put into one of two like pots of one brew, poured through one kind of filter. "
        "It can blame this piece lying in coffee, and leaves out what the part does to the flow."
    ),
    ONE_BREWER: (
        "One brewer with the part, and without it or with another in its place. It can blame "
        "brewing with this piece, flow and heat included; not what the piece is made of."
    ),
    BREWERS: (
        "One brewer against another. It compares two brewers as wholes and can blame no part and "
        "no material; the finding prints that."
    ),
    "": "None of these: water added, another roast, other beans, water or recipe.",
}
ADVICE = (
    "For a suspected part begin at the top: soak, then part in pot, then one brewer. Two brewers "
    "may be compared as well, within the limit that is said there."
)

PROPOSED: Mapping[Contrast, str] = {
    SOAK: (
        "A soak has a page of its own, which plans the jars and fills the plan in: a 2-AFC test "
        "that asks for a foreign smell."
    ),
    IN_POT: (
        "The part in one of two like pots: a soak in plain water is keener still, if the question "
        "may be about water."
    ),
    ONE_BREWER: (
        "One brewer with and without the part: what the part does to the flow is in it. To leave "
        "that out, put the part into one of two like pots."
    ),
    BREWERS: (
        "Two brewers differ in more than one thing, so the finding will blame no part and no "
        "material. Cleaner are, in this order: a soak, the part in one of two like pots, one "
        "brewer with and without it."
    ),
}
"""What is said of a contrast beside the test that is proposed."""

NAMES: Mapping[Contrast, str] = {
    SOAK: "a soak: water with the part, water without",
    IN_POT: "the part in one of two like pots",
    ONE_BREWER: "one brewer, with and without the part or with another",
    BREWERS: "two brewers as wholes",
    "": "not one of the four about a part",
}

TOLD_APART: Mapping[Contrast, str] = {
    SOAK: "The water that stood with this piece could be told apart from water that did not.",
    IN_POT: (
        "In these brews a pot with this piece in it could be told apart from a like pot without it."
    ),
    ONE_BREWER: (
        "In these brews, brewing with this piece could be told apart from brewing without it, or "
        "with the other in its place; what it does to flow and heat is part of that."
    ),
    BREWERS: "Two brewers, each as a whole, could be told apart in these brews.",
}
SPEAKS_OF: Mapping[Contrast, str] = {
    SOAK: "This speaks of water that stood with this piece, beside water that did not.",
    IN_POT: "This speaks of this piece lying in one of two like pots, in these brews.",
    ONE_BREWER: (
        "This speaks of brewing with this piece, and without it or with the other in its place, "
        "in these brews; what it does to flow and heat is part of that."
    ),
    BREWERS: "This speaks of two brewers, each as a whole, in these brews.",
}

NOT_THE_CAUSE: Mapping[Contrast, str] = {
    SOAK: (
        "That coffee brewed with the part would be told apart, that other pieces of it do this, or "
        "that what it is made of is to blame."
    ),
    IN_POT: (
        "That what the part is made of is to blame, that other pieces do this, or what the part "
        "does in a brewer."
    ),
    ONE_BREWER: (
        "That what the part is made of is to blame: it may change flow, heat and time as well. "
        "Nor that other pieces do this."
    ),
    BREWERS: (
        "That a part, a material or a maker is to blame: two brewers differ in more than one thing."
    ),
}
NOT_CLEAN: Mapping[Contrast, str] = {
    SOAK: "That the part gives nothing off, or how coffee brewed with it would taste.",
    IN_POT: "That the part gives nothing off, or that other pieces of it would not.",
    ONE_BREWER: "That the part changes nothing, here or in another brewer.",
    BREWERS: "That no part of either brewer leaves a taste.",
}

LIMITS: Mapping[Contrast, str] = {
    SOAK: (
        "Compared were waters: one stood hot with the piece, the other did not. "
        "Nothing follows about coffee."
    ),
    IN_POT: (
        "Compared were like pots, one of them with the piece in it: what the piece does to flow, "
        "heat or filter is no part of it."
    ),
    ONE_BREWER: (
        "Compared was one brewer, with the piece and without it or with another: what the piece "
        "does to flow, heat and time is part of the difference."
    ),
    BREWERS: (
        "Compared were two brewers, which differ in shape, flow, heat and filter as well as in "
        "their parts: no part and no material can be blamed."
    ),
}

SMELT = "The cups were smelt, and nobody drank: this speaks of smell alone."

NEXT: Mapping[Contrast, str] = {
    SOAK: (
        "Then put the part into one of two like pots of coffee: what is found in water need not "
        "be found in coffee."
    ),
    IN_POT: "Then compare one brewer with and without the part, to include what it does there.",
    BREWERS: (
        "To ask about a part, compare one brewer with and without it, or put the part into one of "
        "two like pots."
    ),
}
"""After the samples were told apart."""
