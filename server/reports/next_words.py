"""What to do next, and what to change in the next plan; `steps` and `repair` choose."""

# Next steps

NEXT_NULL = (
    "Serve a null control beside the test: two brews of one sample, to see what brews alone do."
)
NEXT_NULL_ALONE = (
    "With a helper who pours, serve a null control beside the test: two brews of one sample, "
    "to see what brews alone do."
)
NEXT_NULL_PAIR = (
    "Set two brews of one sample against each other in a triangle test, to see what brews alone do."
)
NEXT_DIRECTION = "Ask what differs: name one attribute and test it directly."
NEXT_DIRECTION_THEN = "Then ask what differs: name one attribute and test it directly."
NEXT_STATES = "Repeat with the part in other states: new, washed, after some brews."
NEXT_MATCH = "Bring {rivals} within the planned limit and repeat."
NEXT_MEASURE = "Measure {rivals} in every brew and repeat."
NEXT_BREWS = (
    "Brew each sample at least twice a round, pour like cups from different brews, and repeat."
)
NEXT_LOOKS = (
    "Make the cups look alike (lids, opaque cups, dim or coloured light), "
    "try again by looking alone, and repeat."
)
NEXT_BLEND = "Make more brews of each sample, pour every cup from a blend of them, and repeat."
NEXT_LARGER_BLEND = "Blend more brews for every pour, brew them more alike, and repeat."
NEXT_ENOUGH = (
    "Decide whether a share up to {upper} is small enough; "
    "if it is not, plan a test for a smaller one, with more answers."
)
NEXT_SMALLER = "If a smaller size matters, plan a test for it, with more answers."
NEXT_POSITIVE_MORE = (
    "Give the positive control at least {trials} answers "
    "for a lasting chance of {power} at its declared size, or make it larger."
)
NEXT_POSITIVE_LARGER = "Make the known difference of the positive control larger."
NEXT_POSITIVE_MISSED = (
    "Find out why a known difference was missed (wrong cups, tired palates, a noisy room, "
    "a declared size that was too large) before anything else."
)
NEXT_POSITIVE = (
    "Serve a positive control: a small known difference, such as 10 to 15 % water added to one cup."
)
NEXT_POSITIVE_ALONE = (
    "With a helper who pours, serve a positive control: a small known difference, "
    "such as 10 to 15 % water added to one cup."
)
NEXT_POSITIVE_PAIR = (
    "In a triangle test, find out whether a small known difference is noticed, "
    "such as 10 to 15 % water added to one cup."
)
NEXT_TRIALS = (
    "Plan at least {trials} answers for a lasting chance of {power} at the size that matters."
)
NEXT_TOO_SMALL = (
    "A difference that small needs more answers than can be planned; ask about a larger one."
)
NEXT_PANEL = "Ask a panel if other people matter."
NEXT_CHECK = "Check key and trays: were cups swapped or codes mixed up? Then repeat."
NEXT_AGAIN = "Seal a new tasting, and keep key and results closed until the end."
NEXT_AGAIN_ALONE = (
    "Seal a new tasting with all its sittings planned beforehand, and taste every one of them."
)
NEXT_CUES = (
    "Mend what gave cups away ({cues}): cups, fill and lids alike, placed unseen. Then repeat."
)
NEXT_SEAL = "Find out why seal and record do not fit before anything else."
NEXT_UNSEAL = "Close and unseal the tasting, then read the finding."

# The next plan

REPAIR_POURER = "Let somebody pour who does not taste and leaves before the first sip."
REPAIR_KEY = "Keep the key from everybody who tastes until the tasting is closed."
REPAIR_POTS = "Pour the like cups of a serving from different brews, not from one pot."
REPAIR_BLEND = "Two brews of one sample were told apart: pour every cup from a blend of brews."
REPAIR_MATCH = "First bring {rivals} within the planned limit, then serve."
REPAIR_GAPS = "The plan was large enough: collect every planned answer before closing."
REPAIR_SITTINGS = (
    "Even {most} answers in one go fall short of {trials}: "
    "plan several tastings, or ask about a larger difference."
)
REPAIR_MORE_SITTINGS = (
    "Even {most} answers in {sittings} sittings fall short of {trials}: "
    "ask about a larger difference, or let a panel taste."
)
REPAIR_POSITIVE = (
    "Serve a positive control, so that a miss can be told from a test that finds nothing."
)
REPAIR_NULL = "Serve a null control, to see what two brews of one sample do."
REPAIR_LABEL = "“{a}” with 12 % water added"
