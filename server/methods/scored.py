"""Methods served as a scored table of one question; a new one is a file and a registry line."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Asked = Literal["control", "ranking"]
"""Kind of the scale on which the one question is answered."""


@dataclass(frozen=True)
class ScoredMethod:
    """A method whose cups, codes and answers are those of a scored table.

    Attributes
    ----------
    name : str
        Key in the registry, sealed with a table.
    title, purpose : str
        For leaders: what it is called, and what it tells.
    standard : str
        Published standard that describes the method.
    asked : {"control", "ranking"}
        Kind of scale of the question that counts.
    starter : str
        Name of the sheet to start from.
    decides : str
        What the analysis decides by, in a sentence.
    needs : tuple of str
        What it asks of the table, in sentences.
    fewest, most : int
        How many samples, a control among them.
    question, instruction : str
        What every assessor is asked, and how; neutral as to the samples; to be translated.
    suggested : mapping of str to str
        Fields of the plan's form, filled in.

    Examples
    --------
    >>> from server.methods.ranking import RANKING
    >>> RANKING.fewest, RANKING.most, RANKING.has_control
    (3, 8, False)
    """

    name: str
    title: str
    purpose: str
    standard: str
    asked: Asked
    starter: str
    decides: str
    needs: tuple[str, ...]
    fewest: int
    most: int
    question: str
    instruction: str
    suggested: Mapping[str, str] = field(default_factory=dict)

    @property
    def has_control(self) -> bool:
        """Whether one sample stands open as a control, and blind among the others."""
        return self.asked == "control"
