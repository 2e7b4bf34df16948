import pytest

from server.reports.table_figures.themes import THEMES


def find_light(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def find_contrast(one: str, other: str) -> float:
    low, high = sorted((find_light(one), find_light(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(("grey", "ratio"), [("#000000", 21), ("#767676", 4.54), ("#949494", 3.03)])
def test_contrast_is_measured_as_the_guidelines_do(grey, ratio):
    # #767676 and #949494: the lightest greys on white that pass 4.5 and 3 (from memory).
    assert find_contrast(grey, "#ffffff") == pytest.approx(ratio, abs=0.006)


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
@pytest.mark.parametrize("role", ["ink", "soft", "accent", "alarm"])
def test_marks_stand_out_from_the_ground(theme, role):
    # WCAG 2.2, success criterion 1.4.11: 3 to 1 for graphical objects.
    assert find_contrast(getattr(theme, role), theme.paper) >= 3
    assert find_contrast(getattr(theme, role), theme.wash) >= 3


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
@pytest.mark.parametrize(
    ("role", "ground"), [("ink", "paper"), ("soft", "paper"), ("alarm", "paper"), ("ink", "wash")]
)
def test_words_can_be_read(theme, role, ground):
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text.
    assert find_contrast(getattr(theme, role), getattr(theme, ground)) >= 4.5


def test_print_is_black_and_white():
    theme = THEMES["print"]
    colours = [
        theme.paper,
        theme.ink,
        theme.soft,
        theme.line,
        theme.accent,
        theme.alarm,
        theme.wash,
    ]
    assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours)


def test_every_theme_answers_to_its_name():
    assert [theme.name for theme in THEMES.values()] == list(THEMES)
