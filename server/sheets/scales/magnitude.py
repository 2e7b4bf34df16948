"""How many times as much as a reference."""

import math
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, Field

from server.blinding.plain import Number
from server.sheets.scales.base import N_, Analysis, InvalidValue, Json, Kind, Paper
from server.sheets.text import Label

POSITIVE = N_("Give a number above 0, such as 5 or 12.5; the reference says what it is against.")
PLAIN = re.compile(r"[0-9]{1,6}([.,][0-9]{1,3})?")
KEPT = re.compile(r"(0|[1-9][0-9]{0,5})(\.[0-9]{0,2}[1-9])?")


def write_plain(number: Decimal) -> str:
    """Return a decimal without exponent, leading or trailing zeros.

    Examples
    --------
    >>> write_plain(Decimal("1.50")), write_plain(Decimal("1E+2"))
    ('1.5', '100')
    """
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


class Magnitude(Kind):
    """A number in proportion to a reference: twice as strong, twice the number.

    A value is a decimal string above 0.

    Attributes
    ----------
    reference : str
        What stands for the reference.
    reference_value : Decimal
        Its number, above 0.

    Notes
    -----
    The analysis goes by the natural logarithm of the value over that of the reference,
    so that means are geometric.

    References
    ----------
    ISO 11056:1999, Sensory analysis - Methodology - Magnitude estimation method
    (known to us by its title alone).

    Examples
    --------
    >>> scale = Magnitude(reference="1 g of sugar in 100 g of water", reference_value=10)
    >>> scale.parse({"": "12,50"}, ()), scale.to_number("20")
    ('12.5', 0.6931471805599453)
    """

    TITLE: ClassVar[str] = "Number against a reference"
    ADVICE: ClassVar[str] = (
        "Everybody tastes the reference first and gives numbers in proportion to it. 0 cannot "
        "be given."
    )

    kind: Literal["magnitude"] = "magnitude"
    reference: Label
    reference_value: Annotated[
        Number,
        Field(gt=0, max_digits=9, decimal_places=3),
        AfterValidator(lambda number: Decimal(write_plain(number))),
    ]

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.NUMBERS

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        text = fields.get("", "")
        if not text:
            return None
        if not PLAIN.fullmatch(text):
            raise InvalidValue("", POSITIVE)
        return write_plain(Decimal(text.replace(",", ".")))

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse what is not a number above 0 in its shortest form."""
        del codes
        if type(value) is not str or not KEPT.fullmatch(value) or value == "0":
            raise InvalidValue("", POSITIVE)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {"": str(value)}

    def describe(self, value: Json) -> str:
        """Return the number beside the reference's."""
        return f"{value} : {self.reference_value}"

    def to_number(self, value: Json) -> float:
        """Return the logarithm of how many times the reference it is."""
        return math.log(Decimal(value) / self.reference_value)

    @property
    def paper(self) -> Paper:
        """Room for a number."""
        return Paper("number", (f"{self.reference} = {self.reference_value}",))
