"""A warning that was closed: whether another plan opens it again, by what it then says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.web.conftest import page_at
from tests.web.host import Host

MINUTE_MS = 60_000
T_MS = 1_812_300_000_000  # what a warning is about; 12 minutes are to pass from when it was closed
# What was closed of one plan, asked of another: the page's own act, as it would have been kept at a moment.
ASK = """async ([before, after, closed_ms]) => {
  const [{isClosed, keptAs}, {say}] =
    await Promise.all(["list/chosen", "core/say"].map((name) => import(`/app/${name}.js`)));
  const of = ({id, level, args, night, needs}) => {
    const spans = [[0, 0, "UTC"]];
    const told = {...args, needs: needs.map(({said}) => said).join("; ")};
    const said = (part) => say(`${id}.${part}`, told, spans);
    const plan = {warnings: [{id, level, args}], needs, window: {night}, brief: {place: {zone: {spans}}}};
    return [plan, {warnings: [{head: said("head"), sum: said("sum")}]}, 0];
  };
  const closed = new Map([[keptAs(...of(before), closed_ms), {utc_ms: closed_ms, device: "A", key: "A:1"}]]);
  return isClosed(closed, ...of(after));
}"""

SUN = {"id": "warning.sun-in-frame", "args": {"frame": 80, "clock": T_MS, "altitude": 12.0}}
SHORT = {
    "id": "warning.interval-short-of-all",
    "level": "no-go",
    "args": {"short": 100, "interval": 18_000, "needed_ms": 18_100},
}
LEGS = {"id": "warning.own-legs", "args": {"leg": 1, "frame": 80, "clock": T_MS}}
LOAD = {"id": "warning.sags", "args": {"share": 0.2}}
FIXED = {"id": "warning.no-proof", "args": {"number": 2}}
NEEDS = {"id": "warning.need-unmet", "args": {"unmet": 1, "all": 2}}


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    """An empty page of a host that has the bare modules, words and all."""
    host = Host()
    host.sites["/"] = {"index.html": b"<!doctype html><title>words</title>"}
    yield from page_at(chromium, host.url("/"))
    host.kill()


def _need(id: str, met: bool, said: str) -> dict[str, Any]:
    return {"id": id, "met": met, "args": {}, "said": said}


CORE, MOON = _need("need.core-usable", False, "core 1 h"), _need("need.moon-down", True, "moon")


@pytest.mark.parametrize(
    ("warning", "then", "minutes", "stays"),
    [
        pytest.param(SUN, {}, -12, True, id="the same"),
        pytest.param(SUN, {"frame": 47, "clock": T_MS + 10 * MINUTE_MS}, -12, True, id="its moment shifts"),
        pytest.param(SUN, {"altitude": 3.0}, -12, True, id="what is but to be minded has another figure"),
        pytest.param(SUN, {"level": "no-go"}, -12, False, id="its weight rose"),
        pytest.param(SUN, {"night": "2027-06-06"}, -12, False, id="another night's figures"),
        pytest.param(FIXED, {"night": "2027-06-06"}, -12, True, id="on any night the same"),
        pytest.param(FIXED, {"number": 3}, -12, False, id="of another keyframe"),
        pytest.param(LEGS, {"leg": 2}, -12, False, id="another thing"),
        pytest.param(LOAD, {"share": 0.21}, -12, True, id="a figure that moves a little"),
        pytest.param(SHORT, {"short": 120, "needed_ms": 18_120}, -12, True, id="a no-go a little worse"),
        pytest.param(SHORT, {"short": 3000, "needed_ms": 21_000}, -12, False, id="a no-go far worse"),
        pytest.param(SUN, {"clock": T_MS + 14 * MINUTE_MS}, 10, True, id="it was over, and all but is"),
        pytest.param(
            SUN, {"clock": T_MS + 60 * MINUTE_MS}, 10, False, id="it was over, and is to come again"
        ),
        pytest.param(SUN, {"clock": T_MS - 60 * MINUTE_MS}, -12, True, id="it was to come, and is over"),
        pytest.param(NEEDS, {"needs": [CORE, MOON]}, -12, True, id="the same need"),
        pytest.param(NEEDS, {"needs": [CORE, {**MOON, "met": False}]}, -12, False, id="another need, too"),
    ],
)
def test_a_closed_warning_opens_where_it_matters_anew(
    page: Page, warning: dict[str, Any], then: dict[str, Any], minutes: int, stays: bool
) -> None:
    """minutes: when it was closed, after the moment that it is about."""
    before = {"level": "mind", "night": "2027-06-05", "needs": [CORE, MOON], **warning}
    other = {key: value for key, value in then.items() if key not in before}
    after = {**before, **{key: then[key] for key in then.keys() & before.keys()}}
    after["args"] = {**before["args"], **other}
    assert page.evaluate(ASK, [before, after, T_MS + minutes * MINUTE_MS]) == stays
