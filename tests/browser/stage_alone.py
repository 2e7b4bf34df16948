"""Tastings alone in the states that their leader meets."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.sealed import Layout
from server.tastings.bench import Bench
from tests.browser import stage
from tests.playing_alone import PlayAlone


@dataclass(frozen=True)
class Made:
    """What is played."""

    id: UUID
    sealed: Layout


def seal_alone(bench: Bench) -> PlayAlone:
    """Seal two sittings of two triads for one person."""
    changes = {"pourer": "alone", "sittings": "2", "pots": "blend"}
    table = stage.seal_one(bench, **changes)
    return PlayAlone(bench, Made(table.id, table.layout))


def turn_alone(bench: Bench) -> PlayAlone:
    """Turn the first sitting's cups, one mark of them lost, and taste the second."""
    play = seal_alone(bench)
    play.taste(1)
    play.turn(1, {play.servings(1)[0].id: 0})
    play.taste(2)
    return play


def close_alone(bench: Bench) -> PlayAlone:
    """Close with the marks of the last sitting not entered."""
    play = turn_alone(bench)
    play.close("the cups were washed up")
    return play


def unseal_alone(bench: Bench) -> PlayAlone:
    """Play to the finding."""
    play = turn_alone(bench)
    play.turn(2)
    play.close()
    play.unseal()
    return play
