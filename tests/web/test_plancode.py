"""A plan's code is the same digits in both languages, and comes back as the same brief."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from playwright.sync_api import Page, Route

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.carrycode import brief_of, carried, digits_of
from fieldsheet.site.build import FIELDS, modules
from fieldsheet.templates import templates
from tests.exchange.test_carrycode import SEED, hostile
from tests.long import tries
from tests.random_briefs import random_brief

BOTH_WAYS = """async (briefs) => {
  const {digitsOf, briefOf} = await import("/app/codes/plancode.js");
  return briefs.map((brief) => {
    const digits = digitsOf(brief);
    return [digits, briefOf(digits)];
  });
}"""
REFUSED = """async (codes) => {
  const {briefOf} = await import("/app/codes/plancode.js");
  const {CodeError} = await import("/app/codes/digits.js");
  return codes.map((digits) => {
    try {
      return briefOf(digits);
    } catch (error) {
      if (!(error instanceof CodeError)) throw error;
      return error.message;
    }
  });
}"""


@pytest.fixture
def coding(pure: Page) -> Page:
    """A page that has the table of fields as a module, as a site has it."""
    table = modules(templates() / "app")[FIELDS]

    def fields(route: Route) -> None:
        route.fulfill(body=table, content_type="text/javascript")

    pure.route(f"**/app/{FIELDS}", fields)
    return pure


def test_both_languages_write_the_same_digits_and_read_them_back(coding: Page, demo: Catalog) -> None:
    dice = Random(SEED)
    briefs: list[dict[str, Any]] = [demo.brief(shot) for shot in demo.shots]
    briefs += [random_brief(dice) for _ in range(tries(30))]
    for brief, (digits, read) in zip(briefs, coding.evaluate(BOTH_WAYS, briefs), strict=True):
        assert digits == digits_of(brief)
        assert read == carried({"revision": None, **brief})


def test_what_is_damaged_or_from_the_future_is_refused_by_both(coding: Page, demo: Catalog) -> None:
    codes = list(hostile(digits_of(demo.brief("slipway"))))
    for digits, told in zip(codes, coding.evaluate(REFUSED, codes), strict=True):
        try:
            assert told == brief_of(digits)
        except ValueError as error:
            words = str(error).replace(
                "version 1 is read here: update Fieldsheet", "this page reads version 1: update it"
            )
            assert told == words
