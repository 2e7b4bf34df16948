from collections.abc import Callable
from typing import Any

import pytest

from server.blinding.plans import Plan, Pots, Pourer


@pytest.fixture
def make_plan() -> Callable[..., Plan]:
    def make(**changed: Any) -> Plan:
        given: dict[str, Any] = {
            "question": "?", "difference": "the caddy", "method": "triangle",
            "standard": "ISO 4120:2021", "alpha": "0.05", "size_d_prime": None,
            "size_share": "0.5", "assessors": 1, "rounds": 3, "spare_seats": 0,
            "pourer": Pourer.ALONE, "swallow": True, "cup_ml": "40", "pot_ml": "500",
            "pots": Pots.BLEND, "tds_limit": "0.05", "temperature_limit": "2",
        }  # fmt: skip
        return Plan(**(given | changed))

    return make
