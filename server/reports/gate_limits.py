"""How both gates limit a finding."""

from collections.abc import Iterable, Iterator

from server.brewing.match import Verdict
from server.reports import gate_words as words
from server.reports.display import join_words, quote
from server.reports.gate import Properties
from server.reports.gate_record import GateRecord, Override


def limit_gate(gate: GateRecord, properties: Properties) -> Iterator[str]:
    """Say what was released or sealed although it was not matched, or never tried.

    Parameters
    ----------
    gate : GateRecord
    properties : tuple of PropertyState
        How the brews served matched.
    """
    yield from _limit_overrides(gate)
    if gate.one_recipe:
        yield words.ONE_RECIPE
    if gate.known and gate.tried:
        yield from _limit_trials(gate, properties)


def _limit_overrides(gate: GateRecord) -> Iterator[str]:
    """Say what was released, brews let go for the same reason at once."""
    alike: dict[tuple[str, str, bool], list[Override]] = {}
    for one in gate.overrides:
        name = (words.say_apart(one.properties), one.reason, one.mended)
        alike.setdefault(name, []).append(one)
    for (what, reason, mended), released in alike.items():
        told = {"what": what, "reason": quote(reason)}
        if len(released) == 1:
            [one] = released
            said = words.OVERRIDE.format(slot=one.slot, label=one.label, **told)
        else:
            said = words.OVERRIDES.format(brews=_name_brews(released), **told)
        known = words.MENDED if len(released) == 1 else words.ALL_MENDED
        yield f"{said} {known}" if mended else said
    if any(not one.mended for one in gate.overrides):
        yield words.OVERRIDE_RIVAL


def _name_brews(released: Iterable[Override]) -> str:
    """Name brews by their slots, sample by sample."""
    slots: dict[str, list[str]] = {}
    for one in released:
        slots.setdefault(one.label, []).append(one.slot)
    return join_words([f"{join_words(names)} of “{label}”" for label, names in slots.items()])


def _limit_trials(gate: GateRecord, properties: Properties) -> Iterator[str]:
    trials = gate.trials
    unread = [one.name for one in trials.properties if _is_unread(trials.verdict, one.state)]
    if trials.verdict is None:
        yield words.NO_TRIALS
    elif trials.needs_reason:
        what = words.say_apart(trials.properties)
        said = words.SEALED_UNMATCHED.format(what=what, reason=quote(gate.reason))
        yield " ".join([said, *_say_served(trials.properties, properties)])
    elif trials.verdict == Verdict.BORDERLINE:
        yield words.TRIALS_NEARLY.format(
            what=words.say_apart(trials.properties, Verdict.BORDERLINE)
        )
    elif unread:
        yield words.TRIALS_UNREAD.format(names=join_words(unread))


def _is_unread(verdict: Verdict | None, state: Verdict) -> bool:
    return verdict == state == Verdict.NOT_MEASURED


def _say_served(tried: Properties, served: Properties) -> Iterator[str]:
    """Say how the brews served matched in what the trial brews did not."""
    apart = {one.name for one in tried if one.state == Verdict.NOT_MATCHED}
    for state, template in words.SERVED.items():
        names = [one.name for one in served if one.name in apart and one.state == state]
        if names:
            yield template.format(names=join_words(names))


def limit_shared(gate: GateRecord) -> Iterator[str]:
    """Say of a scored table which cups of two samples came from one brew."""
    for pair in gate.shared:
        yield words.ONE_BREW_TABLE.format(Slots=" and ".join(pair))
