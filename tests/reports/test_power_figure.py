from xml.etree import ElementTree

from server.reports.power_figure import PowerCurve, describe_power, draw_power

ONE = PowerCurve("Triangle test", (0.0, 1.0, 2.0), (0.05, 0.4, 0.9))
OTHER = PowerCurve("Tetrad test", (0.0, 1.0, 2.0), (0.05, 0.6, 1.0))


def test_the_bytes_depend_on_the_numbers_alone():
    drawn = draw_power([ONE, OTHER], 1.5, 18)
    assert ElementTree.fromstring(drawn).get("width") == "360pt"
    assert draw_power([ONE, OTHER], 1.5, 18) == drawn
    assert draw_power([ONE], 1.5, 18) != drawn


def test_lines_differ_without_colour():
    drawn = draw_power([ONE, OTHER], 1.5, 18).decode()
    alike = draw_power([ONE, ONE], 1.5, 18).decode()
    assert drawn.count("stroke-dasharray") > draw_power([ONE], 1.5, 18).decode().count(
        "stroke-dasharray"
    )
    assert alike != drawn


def test_the_picture_is_told_best_method_first():
    assert describe_power([ONE, OTHER], 1.5, 18) == (
        "Chance to find a difference with 18 answers, rising with d′, a line a method. "
        "At d′ 1.50: Tetrad test 80 of 100; Triangle test 65 of 100."
    )
