"""How the command line says what scores were found to support: a screen an attribute."""

import textwrap
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from server.cli.analyse.panel_words import tell_agreement, tell_disagreement, tell_order
from server.cli.telling import tell_p

if TYPE_CHECKING:
    from server.sheets.analysis import Analysis, Attribute
    from server.sheets.samples import Samples

WIDTH = 88
MOST_MEANS = 40
MOST_NOTES = 5


def tell_ratings(analysis: "Analysis") -> Iterator[str]:
    for place, (name, one) in enumerate(analysis.attributes.items()):
        yield from [""] * (place > 0)
        yield from _wrap(_tell_attribute(name, one, analysis))
    yield from [""] * bool(analysis.notes)
    yield from _wrap(analysis.notes)


def _wrap(sentences: Iterable[str]) -> Iterator[str]:
    for sentence in sentences:
        yield from textwrap.wrap(
            sentence, WIDTH, subsequent_indent="  ", break_on_hyphens=False, break_long_words=False
        )


def _tell_attribute(name: str, one: "Attribute", analysis: "Analysis") -> Iterator[str]:
    yield f"{name}: {_tell_verdict(one.samples, analysis.alpha)}{_tell_weight(name, analysis)}"
    yield from _tell_samples(one.samples, analysis.alpha)
    yield from tell_agreement(one.agreement)
    yield from tell_disagreement(one, analysis.alpha)
    yield from tell_order(one.order)
    yield from one.notes[:MOST_NOTES]
    more = len(one.notes) - MOST_NOTES
    if more > 0:
        yield f"And {more} more such {'note' if more == 1 else 'notes'}: --json has them all."


def _tell_verdict(samples: "Samples", alpha: float) -> str:
    if samples.p_value is None:
        return "whether the samples differ is not estimable"
    differ = "the samples differ" if samples.p_value <= alpha else "no difference was detected"
    return f"{differ}, p {tell_p(samples.p_value)}"


def _tell_weight(name: str, analysis: "Analysis") -> str:
    """Return what a passed test of an attribute may be called."""
    verdicts = analysis.verdicts
    if verdicts is None:
        return ""
    if name == verdicts.primary:
        return " (primary; a finding)" if verdicts.passed else " (primary; no finding)"
    if name in verdicts.findings:
        return f" (adjusted p {tell_p(verdicts.adjusted[name])}; a finding)"
    return " (a lead, not a finding)" if name in verdicts.leads else ""


def _tell_samples(samples: "Samples", alpha: float) -> Iterator[str]:
    if samples.f is not None and samples.df is not None:
        over = "over the interaction (assessor x sample)"
        by = over if samples.method == "anova" else "by variance components (REML)"
        yield f"F {samples.f:.3f} on {samples.df[0]:g} and {samples.df[1]:.4g} df, {by}"
    yield f"Means: {_list_means(samples)}"
    if samples.lsd is not None and samples.hsd is not None:
        yield (
            f"Least significant difference {samples.lsd:.2f} for one pair, "
            f"{samples.hsd:.2f} among all"
        )
    if any(samples.letters.values()):
        yield f"Samples that share a letter are not told apart, all pairs together at {alpha:g}"


def _list_means(samples: "Samples") -> str:
    known = [(name, mean) for name, mean in samples.means.items() if mean is not None]
    known.sort(key=lambda one: -one[1])
    told = [f"{name} {mean:.2f} {samples.letters[name] or ''}".rstrip() for name, mean in known]
    more = len(told) - MOST_MEANS
    return ", ".join(told[:MOST_MEANS]) + (f" and {more} more" if more > 0 else "")
