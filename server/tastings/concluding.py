"""The finding of an unsealed tasting; only here do key and answers meet."""

from dataclasses import dataclass

from server.blinding.marks import learn_key
from server.blinding.seal import BadSeal, read_sealed
from server.blinding.sealed import SealedTasting
from server.reports.analysis import Analysis, analyse_tasting
from server.reports.findings import Finding, conclude
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting
from server.tastings.refusals import Refusal
from server.tastings.sealed_text import get_sealed_text


class StillSealed(Refusal):
    """What was asked for depends on the key, and the tasting is not unsealed."""

    status = 403


class Spoilt(Refusal):
    """The sealed text was changed so far that it cannot even be read."""


@dataclass(frozen=True)
class Conclusion:
    """An unsealed tasting with all that follows from it."""

    sealed: SealedTasting
    text: bytes
    analysis: Analysis
    finding: Finding


def draw_conclusion(bench: Bench, led: LedTasting) -> Conclusion:
    """Join key and answers of an unsealed tasting.

    Raises
    ------
    StillSealed
        Before unsealing.
    Spoilt
        The sealed text cannot be read any more.
    """
    text = get_unsealed_text(bench, led)
    with bench.reading() as db:
        events = queries.load_events(db, led.tasting.id)
    sealed = _read(text)
    analysis = analyse_tasting(sealed, events)
    return Conclusion(sealed, text, analysis, conclude(analysis))


def get_unsealed_text(bench: Bench, led: LedTasting) -> bytes:
    """Return the sealed text of an unsealed tasting of any kind.

    Raises
    ------
    StillSealed
        Before unsealing.
    """
    if led.record.seal_matches is None:
        raise StillSealed("The tasting is still sealed: close and unseal it first.")
    with bench.reading() as db:
        return get_sealed_text(db, led.tasting.id)


def read_unsealed(text: bytes) -> SealedTasting:
    """Read a sealed text.

    Raises
    ------
    Spoilt
        It cannot be read any more.
    """
    return _read(text)


def open_key(bench: Bench, led: LedTasting) -> SealedTasting:
    """Return the sealed tasting to a leader whose early look is on record.

    Alone its key is what the marks under the cups said.

    Raises
    ------
    StillSealed
        No look was recorded and the tasting is not unsealed.
    """
    if led.record.seal_matches is None and not led.record.key_looked:
        raise StillSealed("The key is sealed. An early look must be recorded first.")
    with bench.reading() as db:
        return learn_key(_read(get_sealed_text(db, led.tasting.id)), led.record)


def _read(text: bytes) -> SealedTasting:
    try:
        return read_sealed(text)
    except BadSeal as error:
        raise Spoilt(f"The seal does not hold, and nothing can be concluded. {error}") from None
