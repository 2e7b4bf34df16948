"""Words in figures: made printable, measured, and broken into lines that fit."""

from functools import lru_cache

SIZE = 10.5  # points; a figure is about as wide as a small phone, so a point is a pixel there
LEADING = 1.2
ELLIPSIS = "…"


def clean(words: str) -> str:
    r"""Return words on one line, without what no picture can hold.

    Examples
    --------
    >>> clean("Lantern\nRow\x00 9")
    'Lantern Row 9'
    """
    spaced = " ".join(words.split())
    return "".join(letter for letter in spaced if letter.isprintable())


@lru_cache(maxsize=4096)
def measure(words: str, size: float = SIZE, bold: bool = False) -> float:
    """Return the width of words in points, as wide as any common font sets them.

    Examples
    --------
    >>> measure("") == 0, measure("ii") < measure("mm"), measure("茶") == SIZE
    (True, True, True)
    """
    from matplotlib.font_manager import FontProperties, findfont, get_font
    from matplotlib.textpath import text_to_path

    font = FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")
    has = get_font(findfont(font)).get_char_index
    known = "".join(letter for letter in words if has(ord(letter)))
    lacking = size * (len(words) - len(known))  # as wide as high, as letters of the East are
    if not known:
        return lacking
    width, _, _ = text_to_path.get_text_width_height_descent(known, font, False)
    return float(width) + lacking


def wrap(
    words: str, width: float, size: float = SIZE, bold: bool = False, most: int = 3
) -> tuple[str, ...]:
    """Break words into lines no wider than `width`, an ellipsis ending the last if cut.

    Examples
    --------
    >>> wrap("washed lot from the hill", 70)
    ('washed lot', 'from the hill')
    >>> wrap("unbreakable", 30, most=1)
    ('un…',)
    """
    lines = [""]
    for word in clean(words).split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if measure(longer, size, bold) <= width:
            lines[-1] = longer
            continue
        parts = _break_word(word, width, size, bold)
        lines = [*lines, *parts] if lines[-1] else parts
    if len(lines) > most:
        lines = [*lines[: most - 1], _cut(lines[most - 1], width, size, bold)]
    return tuple(lines)


def _break_word(word: str, width: float, size: float, bold: bool) -> list[str]:
    parts = [""]
    for letter in word:
        if parts[-1] and measure(parts[-1] + letter, size, bold) > width:
            parts.append("")
        parts[-1] += letter
    return parts


def _cut(line: str, width: float, size: float, bold: bool) -> str:
    while line and measure(line + ELLIPSIS, size, bold) > width:
        line = line[:-1]
    return line + ELLIPSIS
