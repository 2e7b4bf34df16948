"""What a finding says of the open bowl before the codes."""

from collections.abc import Iterator, Sequence

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


def limit_by_open_bowls(bowls: OpenBowls | None) -> Iterator[str]:
    """Say before which sittings the planned open bowl was left out, or came late."""
    if bowls is None:
        return
    if bowls.skipped:
        sittings = _name_sittings(bowls.skipped)
        yield words.OPEN_BOWL_SKIPPED.format(what=quote(bowls.what), sittings=sittings)
    if bowls.late:
        yield words.OPEN_BOWL_LATE.format(sittings=_name_sittings(bowls.late))


def _name_sittings(numbers: Sequence[int]) -> str:
    named = join_words([str(one) for one in numbers])
    return words.OPEN_BOWL_SITTINGS[len(numbers) > 1].format(sittings=named)
