"""Why a use case may refuse; pages turn each into a friendly answer with its status."""

from server.blinding.events import State


class Refusal(Exception):
    """A request that cannot be granted; the message is for people."""

    status = 409


class NotFound(Refusal):
    """No such thing, or not this person's: the two look alike from outside."""

    status = 404


class WrongState(Refusal):
    """The tasting is past, or not yet at, what was asked for."""

    def __init__(self, state: State) -> None:
        super().__init__(f"The tasting is {state}: that cannot be done now.")
        self.state = state


class Invalid(Refusal):
    """Input that cannot be taken: field name to message."""

    status = 422

    def __init__(self, **messages: str) -> None:
        super().__init__("; ".join(messages.values()))
        self.messages = messages
