"""What a form offers that asks what two samples differ in."""

from server.reports import contrast_words


class ContrastChoices:
    """The contrasts to choose from; a view of such a form has it."""

    @property
    def contrasts(self) -> tuple[tuple[str, str], ...]:
        """What two samples may differ in, from what leaves the fewest other causes on."""
        return tuple((one, contrast_words.CHOICES[one]) for one in contrast_words.IN_ORDER)

    @property
    def contrast_advice(self) -> str:
        """Where to begin with a suspected part."""
        return contrast_words.ADVICE
