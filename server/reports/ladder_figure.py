"""A picture of a ladder's unsealed steps as SVG, and the same in words."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from server.reports import ladder_words as words
from server.reports.analysis import LEVEL
from server.reports.display import show_share
from server.reports.ladders import Right, StepResult
from server.reports.picture import DEEP, INK, WHISKER, draw

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FEWEST = 2  # steps that are worth a picture


def pick_steps(steps: Sequence[StepResult]) -> tuple[tuple[str, Right], ...]:
    """Pick what can stand in one picture: steps that were asked alike; else nothing."""
    found = [(one.step, one.right) for one in steps if one.right is not None]
    alike = len({one.asked for one in steps if one.right is not None}) == 1
    return tuple(found) if alike and len(found) >= FEWEST else ()


def draw_ladder(steps: Sequence[tuple[str, Right]]) -> bytes:
    """Draw every step's share of right answers with its limits, and what guessing gives."""

    def plot(axes: "Axes") -> None:
        label = words.PICTURE_SHARE.format(level=show_share(LEVEL))
        for at, (_, one) in enumerate(steps):
            limits = [100 * one.low, 100 * one.high]
            axes.plot([at] * 2, limits, "_-", color=INK, label=label, **WHISKER)
            axes.plot(at, 100 * one.share, "o", color=DEEP, markersize=9)
            label = ""  # one line of the legend is enough
        axes.axhline(100 * steps[0][1].chance, color=INK, linewidth=1.2, linestyle=(0, (4, 3)),
                     label=words.PICTURE_GUESSING)  # fmt: skip
        axes.set(xlim=(-0.5, len(steps) - 0.5), ylim=(-2, 102), yticks=range(0, 101, 20))
        axes.set_xticks(range(len(steps)), [step.replace(" ", "\n", 1) for step, _ in steps])
        axes.set_ylabel(words.PICTURE_HEIGHT)
        axes.spines[["top", "right"]].set_visible(False)

    return draw(plot, height=3.4)


def describe_ladder(steps: Sequence[tuple[str, Right]]) -> str:
    """Say in words what `draw_ladder` shows, for those who cannot see it."""
    said = (
        words.PICTURE_STEP.format(
            step=step,
            share=show_share(one.share),
            low=show_share(one.low),
            high=show_share(one.high),
        )
        for step, one in steps
    )
    return words.PICTURE.format(
        level=show_share(LEVEL), chance=show_share(steps[0][1].chance), steps="; ".join(said)
    )
