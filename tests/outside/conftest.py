"""The solvers the program is held against."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.fixture(scope="session")
def coolprop() -> Any:
    """Water by IAPWS-95; its library needs three seconds to load, so what asks for it is deep."""
    return pytest.importorskip("CoolProp.CoolProp")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "coolprop" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.deep)
