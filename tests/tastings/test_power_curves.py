import pytest

from server.methods.purposes import Known
from server.tastings.contending import list_contenders
from server.tastings.power_curves import SHOWN, draw_power_picture, picture_power, trace_power
from server.tastings.wishing import Wish


def test_the_published_number_of_answers_has_the_published_power():
    # Ennis & Jesionka (2011), abstract: 202 triangles find d' = 1 at alpha 0.05 with power 0.80.
    curve = trace_power(["triangle"], 202, [0.0, 1.0])[0]
    assert 0.04 < curve.powers[0] <= 0.05
    assert curve.powers[1] == pytest.approx(0.80, abs=0.005)


def test_a_curve_rises():
    powers = trace_power(["2-afc"], 18, SHOWN)[0].powers
    assert list(powers) == sorted(powers)


def test_methods_with_one_model_share_a_curve():
    assert len(trace_power(["duo-trio", "duo-trio-constant"], 18, SHOWN)) == 1


def test_the_address_of_a_picture_holds_no_words():
    wish = Wish(difference="a secret", known=Known.DIRECTION)
    picture = picture_power(list_contenders(wish), wish)
    assert picture.address.startswith("/plans/power.svg?n=18&d=1.5&m=")
    assert "secret" not in picture.address + picture.words


def test_without_a_distance_there_is_no_picture():
    wish = Wish(alone=True)
    found = [one for one in list_contenders(wish) if one.model.without_d_prime]
    assert found
    assert picture_power(found, wish) is None
    assert draw_power_picture(["sniff"], 18, 1.0) is None
