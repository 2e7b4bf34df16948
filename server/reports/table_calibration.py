"""What a finding says of the open bowl before the codes."""

from server.blinding.table_record import Calibration
from server.reports import table_words as words
from server.reports.display import join_words, quote
from server.reports.scored_calibration import OpenBowls


def say_open_bowls(bowls: OpenBowls) -> str:
    """Say what was tasted openly, before which sittings and by whom."""
    done = [_say_sitting(one) for one in bowls.done]
    return words.OPEN_BOWL.format(
        what=quote(bowls.what),
        done=join_words(done) if done else words.OPEN_BOWL_NONE,
    )


def _say_sitting(one: Calibration) -> str:
    named = words.OPEN_BOWL_DONE.format(sitting=one.sitting)
    if not one.seats:
        return named
    return named + words.OPEN_BOWL_SEATS.format(seats=", ".join(map(str, one.seats)))


def say_skipped(bowls: OpenBowls) -> str:
    """Say before which sittings the planned open bowl was left out."""
    numbers = join_words([str(one) for one in bowls.skipped])
    noun = words.OPEN_BOWL_SITTINGS[len(bowls.skipped) > 1]
    return words.OPEN_BOWL_SKIPPED.format(
        what=quote(bowls.what), sittings=noun.format(sittings=numbers)
    )
