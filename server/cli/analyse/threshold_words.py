"""How the command line says thresholds."""

from collections.abc import Iterator, Mapping
from typing import Any

from server.cli.telling import tell_p

Members = Mapping[str, Any]


def tell_threshold(found: Members) -> Iterator[str]:
    steps = found["logistic"]["steps"]
    yield (
        f"{found['method']}, chance {found['chance']:.4f}; {len(steps)} concentrations "
        f"from {_tell(steps[0]['concentration'])} to {_tell(steps[-1]['concentration'])}"
    )
    if found["best_estimates"] is not None:
        yield from _tell_best_estimates(found["best_estimates"])
    yield from _tell_curve(found["logistic"])
    yield f"Limits at {found['level']:.4g}, two-sided; in the unit of the file."
    yield from found["notes"]


def _tell_best_estimates(best: Members) -> Iterator[str]:
    yield "Best estimates"
    for one in best["estimates"]:
        past = f", past the series, {one['past']} it" if one["past"] else ""
        yield f"  {one['assessor']}: {_tell(one['threshold'])}{past}"
    limits = best["threshold_interval"]
    yield (
        f"Geometric mean of {best['estimated']}: {_tell(best['threshold'])}"
        f"{'' if limits is None else f', {_tell_limits(limits)}'}; "
        f"standard deviation of log10: {_tell(best['sd_log'])}"
    )
    yield f"Lucky guesses lower a best estimate by up to {best['luck']:.2f} steps on average."


def _tell_curve(curve: Members) -> Iterator[str]:
    yield "Logistic curve that starts from guessing"
    fitted = curve["fitted"] or [None] * len(curve["steps"])
    for step, pc in zip(curve["steps"], fitted, strict=True):
        expected = "" if pc is None else f", curve {pc:.3f}"
        yield (
            f"  {_tell(step['concentration'])}: {step['correct']} of {step['trials']} correct, "
            f"{step['correct'] / step['trials']:.3f}{expected}"
        )
    yield (
        f"Threshold, half way between guessing and 1: {_tell(curve['threshold'])}, "
        f"{_tell_limits(curve['threshold_interval'])}"
    )
    if curve["threshold"] is not None:
        yield f"  as log10: {_tell_with_errors(curve, 'log_threshold')}"
    yield f"Slope per decade: {_tell_with_errors(curve, 'slope')}"
    if curve["fit"] is not None:
        fit = curve["fit"]
        yield (
            f"Fit: deviance {fit['statistic']:.3f} on {fit['df']} degrees of freedom, "
            f"p {tell_p(fit['p_value'])}"
        )


def _tell_with_errors(curve: Members, name: str) -> str:
    if curve[name] is None:
        return "not estimable"
    expected, observed = curve[f"{name}_se_expected"], curve[f"{name}_se_observed"]
    return (
        f"{curve[name]:.4f}, standard error {expected:.4f} by expected and "
        f"{observed:.4f} by observed information"
    )


def _tell_limits(limits: tuple[float | None, float | None] | None) -> str:
    if limits is None or limits == (None, None):
        return "no limits"
    low, high = limits
    if low is None:
        return f"at most {_tell(high)}"
    if high is None:
        return f"at least {_tell(low)}"
    return f"limits {_tell(low)} to {_tell(high)}"


def _tell(value: float | None) -> str:
    return "not estimable" if value is None else f"{value:.4g}"
