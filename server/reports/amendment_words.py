"""What was struck off, came late, was erased or looked at; `amendments` fills in `{names}`."""

STRUCK = "{servings} struck off before the first serving ({reasons})."
STRUCK_TESTS = "That left {planned} planned answers of the test instead of {all}."
STRUCK_LATE = "{servings} struck off after serving had begun, without effect on what was planned."
VOIDED = "Round {round}: a serving was taken out ({reason}); {answered}, {replaced}."
VOID_ANSWERED = {True: "its answer does not count", False: "it had no answer"}
VOID_REPLACED = {True: "a spare serving took its place", False: "nothing took its place"}
CONTESTS_SETTLED = (
    "{servings} had two different answers; which one counts was settled before unsealing."
)
CONTESTS_VOID = (
    "{servings} had two different answers and nobody could say which holds; none counts."
)
LATE = "{answers} came after closing and before unsealing; outside the main analysis."
LATE_UNUSED = (
    "{answers} came after closing for servings already answered or taken out; not counted."
)
LATE_AFTER = "{answers} came after unsealing; kept, never counted."
ERASED = "The text of {records} was erased, {answers} among them; erased answers do not count."
LOST = {
    True: "One mark was lost: its answer cannot be judged, and is not counted.",
    False: "Marks of {servings} were lost: their answers cannot be judged, and are not counted.",
}
CORRECTED = (
    "The marks of sitting {sittings} were corrected; the last ones count, all are on record."
)
PHOTOS = "Of sitting {sittings} a photo of the turned cups is on record."
CALLS = "At {servings} the codes in front of the taster differed from the screen."
PAPER = "{answers} came in on paper."
UNCONFIRMED = "For {answers} nobody confirmed the codes on the cups."
READINGS_LATE = "{readings} came in after unsealing."
IGNORED = "{changes} came after unsealing, without effect on what counts."
LOOKED = {
    "key_looked": "{When} somebody looked at the key ({who}; {reason}).",
    "results_looked": "{When} somebody looked at the results ({reason}).",
}
LOOK_WHEN = {True: "Before closing,", False: "After closing,"}
LOOK_WHO = {
    "taster": "somebody who tastes",
    "present": "somebody present",
    "away": "somebody who was away",
}
