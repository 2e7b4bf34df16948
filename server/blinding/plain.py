"""Plain data that is sealed: it never changes, and grows without touching older texts."""

from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import (
    BaseModel,
    ConfigDict,
    PlainSerializer,
    SerializerFunctionWrapHandler,
    StringConstraints,
    model_serializer,
)

Number = Annotated[Decimal, PlainSerializer(str, return_type=str, when_used="json")]
"""A number that matters: a decimal string in the sealed text, so no program rounds it."""

SlotName = Annotated[str, StringConstraints(pattern=r"^[A-Z][1-9][0-9]*$")]
"""A sample's level and the running number of the brew, such as ``A1``."""


class Frozen(BaseModel):
    """Plain data that never changes and knows no extra members."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Growing(Frozen):
    """Sealed data with members that older sealed texts do not know.

    A member of ``ADDED`` stays out of the text while it holds its default, so that
    whatever was sealed before it existed still has one and the same canonical text.
    """

    ADDED: ClassVar[frozenset[str]] = frozenset()

    @model_serializer(mode="wrap")
    def _leave_out_defaults(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        fields = type(self).model_fields
        unsaid = {one for one in self.ADDED if getattr(self, one) == fields[one].default}
        return {name: value for name, value in write(self).items() if name not in unsaid}
