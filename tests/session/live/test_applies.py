"""What the bench offers follows what stands on the heat."""

from __future__ import annotations

import pytest

from studio.session import commands as c
from studio.session.live.applies import CONDITIONS, Here
from studio.session.step_rules import gate_digit


def offered(session, name: str) -> bool:  # type: ignore[no-untyped-def]
    return CONDITIONS[name](Here(session.state, session.clock.now()))


@pytest.mark.parametrize(
    ("step_id", "hot"), [("steam.on", False), ("steam.hold", True), ("steam.off", True), ("cool.wait", False)]
)
def test_water_is_poured_into_a_pot_that_is_on_the_heat(exactly_at, step_id: str, hot: bool) -> None:
    assert offered(exactly_at(step_id), "pot") is hot


@pytest.mark.parametrize(("step_id", "hot"), [("bath.in", False), ("heat.hold", True), ("cool.wait", False)])
def test_acid_goes_into_a_bath_that_is_on_the_heat(exactly_at, sheet_of, step_id: str, hot: bool) -> None:
    assert offered(exactly_at(step_id, None, sheet_of(method="kettle")), "acid") is hot


def test_a_closed_session_offers_nothing_that_would_change_it(worked_at) -> None:
    session = worked_at("record.close")
    session.do(c.PassGate("record.close", gate_digit(session.state, "record.close")))
    assert offered(session, "undo") and offered(session, "takes_back")
    session.do(c.Finish())
    assert session.state.closed
    assert [name for name in CONDITIONS if offered(session, name)] == ["ended"]


@pytest.mark.parametrize(
    ("step_id", "painted", "page"),
    [("paint.wrap", False, "bands"), ("steam.hold", True, "packets"), ("cool.wait", True, "bands"),
     ("rinse.dry", True, "bands"), ("rinse.dry", False, ""), ("ready.weight", False, "")],
)  # fmt: skip
def test_the_jar_of_a_band_is_put_right_whenever_the_goods_lie_open(
    exactly_at, walk, step_id: str, painted: bool, page: str
) -> None:
    session = exactly_at("paint.apply" if painted else step_id)
    if painted:
        session.do(c.PaintBand(1))
        walk(session, step_id)
    assert [name for name in ("bands", "packets") if offered(session, name)] == ([page] if page else [])
