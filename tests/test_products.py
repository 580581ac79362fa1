"""What stands beside the pages: all that goes into a file is its key, and every problem comes at once."""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.making import check_layout, made
from fieldsheet.press import Planned, plan_catalog, press
from fieldsheet.problems import CatalogProblems, NoRoom
from fieldsheet.products import Job, Product, products_of
from fieldsheet.site.content import bytes_of
from fieldsheet.site.kept import unkept

Change = Callable[[Job], Job]


@pytest.fixture(scope="module")
def job(demo: Catalog, demo_planned: Planned) -> Job:
    return Job(demo, demo_planned, everything=True)


@pytest.fixture(scope="module")
def before(job: Job) -> dict[str, str]:
    return keys(job)


def titled(job: Job, shot_id: str, title: str) -> Job:
    """The same with another title in a shot's plan and on its sheet."""
    plan = job.planned.plans[shot_id]
    plans = {**job.planned.plans, shot_id: {**plan, "shot": {**plan["shot"], "title": title}}}
    sheets = {**job.planned.sheets, shot_id: {**job.planned.sheets[shot_id], "title": title}}
    return dataclasses.replace(job, planned=dataclasses.replace(job.planned, plans=plans, sheets=sheets))


def keys(job: Job) -> dict[str, str]:
    return {product.path: product.key for product in products_of(job)}


def undrawn(key: str, make: Callable[[], bytes]) -> bytes:
    return key.encode()


def test_every_product_has_a_path_of_its_own_and_is_of_a_known_shot(job: Job) -> None:
    products = products_of(job)
    assert len({product.path for product in products}) == len(products)
    assert {product.shot for product in products} - {None} == set(job.planned.plans)


def test_the_file_of_all_cards_is_made_on_demand_and_in_order_of_night(job: Job) -> None:
    assert "files/all-cards.pdf" not in keys(dataclasses.replace(job, everything=False))
    product = next(product for product in products_of(job) if product.path == "files/all-cards.pdf")
    title, shots, *_ = product.inputs
    plans = job.planned.plans
    starts = {
        plans[shot_id]["shot"]["title"]: plans[shot_id]["window"]["start"]["utc_ms"] for shot_id in plans
    }
    assert title == job.catalog.title
    assert [sheet["title"] for sheet, _ in shots] == sorted(starts, key=lambda one: starts[one])


@pytest.mark.parametrize("count, said", [(40, ""), (41, "41 shots, and one file holds 40")])
def test_more_shots_than_one_file_holds_are_said_and_not_left_out_in_silence(
    job: Job, count: int, said: str
) -> None:
    plan = job.planned.plans["slipway"]
    many = dataclasses.replace(job.planned, plans={f"shot-{n}": plan for n in range(count)})
    asked = dataclasses.replace(job, planned=many)
    assert asked.combines == (not said)
    assert asked.left_out.endswith(said) and bool(asked.left_out) == bool(said)
    unasked = dataclasses.replace(asked, everything=False)
    assert (unasked.combines, unasked.left_out) == (False, "")


def test_all_sheets_carry_the_codes_that_each_sheet_has(job: Job) -> None:
    inputs = {product.path: product.inputs for product in products_of(job)}
    codes = inputs["files/everything.pdf"][2]
    assert codes.keys() == job.planned.plans.keys()
    for shot_id, (link, carry) in codes.items():
        _, own_link, _, own_carry = inputs[f"sheets/{shot_id}.pdf"]
        assert (link, carry) == (own_link, own_carry)


def test_a_change_of_one_shot_changes_the_keys_of_its_own_products_and_of_those_of_all(
    job: Job, before: dict[str, str]
) -> None:
    after = keys(titled(job, "slipway", "Slipway again"))
    of_others = {product.path for product in products_of(job) if product.shot not in ("slipway", None)}
    own = {product.path for product in products_of(job) if product.shot == "slipway"}
    assert own and of_others
    changed = {path for path in before if before[path] != after[path]}
    assert own <= changed and not of_others & changed


def test_paper_opens_the_page_of_its_shot_at_its_revision_and_hangs_on_its_address(
    job: Job, before: dict[str, str]
) -> None:
    revision = job.planned.sheets["slipway"]["revision"]
    assert job.link("slipway") == f"https://example.org/saltings/shots/slipway/#r={revision}"
    moved = dataclasses.replace(
        job, catalog=dataclasses.replace(job.catalog, base_url="https://example.net/")
    )
    card = next(product for product in products_of(moved) if product.path == "cards/slipway.pdf")
    assert card.key != before["cards/slipway.pdf"]


def test_a_key_holds_dataclasses_by_their_fields_and_refuses_what_has_none() -> None:
    @dataclasses.dataclass(frozen=True)
    class Size:
        mm: float

    def key(value: object) -> str:
        return Product("a.pdf", "A", None, None, str, (value,), is_paper=True).key

    assert key(Size(5.0)) == key({"mm": 5.0}) != key(Size(6.0))
    with pytest.raises(TypeError, match="set"):
        key({1})


def test_texts_that_fit_on_no_paper_are_problems_of_their_shots_all_at_once(job: Job) -> None:
    products = [
        Product("a.pdf", "", "slipway", None, too_long, ("a sighting",), is_paper=True),
        Product("b.pdf", "", "slipway", None, too_long, ("a sighting",), is_paper=True),
        Product("c.pdf", "", None, None, too_long, ("a role",), is_paper=True),
    ]
    for act in (
        lambda: check_layout(products, job.catalog),
        lambda: made(products, job.catalog, lambda key, make: make()),
    ):
        with pytest.raises(CatalogProblems) as raised:
            act()
        found = [(problem.file, problem.found.rpartition(": ")[2]) for problem in raised.value.problems]
        assert found == [("shots/slipway.toml", "a sighting"), ("catalog.toml", "a role")]


def no_number(text: str) -> bytes:
    return bytes(int(text))


def too_long(text: str) -> bytes:
    raise NoRoom(f"does not fit on a card, in one piece: {text}")


def worded(text: str) -> bytes:
    return text.encode()


def deadly(status: int) -> bytes:
    os._exit(status)


def test_what_is_wrong_with_the_program_is_not_blamed_on_the_texts(job: Job) -> None:
    product = Product("a.pdf", "", "slipway", None, no_number, ("a sighting",), is_paper=True)
    for act in (lambda: check_layout([product], job.catalog), lambda: made([product], job.catalog, unkept)):
        with pytest.raises(ValueError, match="invalid literal for int"):
            act()


def test_paper_that_several_processes_draw_is_the_same_byte_for_byte(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fieldsheet.making.SHARE", 1)
    few = [one for one in products_of(job) if one.path.startswith("cards/")][:2]
    assert made(few, job.catalog, unkept, 2) == made(few[::-1], job.catalog, unkept)[::-1]


@pytest.mark.parametrize("processes", [1, 2])
def test_two_papers_alike_in_all_take_nothing_of_the_next(
    job: Job, monkeypatch: pytest.MonkeyPatch, processes: int
) -> None:
    monkeypatch.setattr("fieldsheet.making.SHARE", 1)
    papers = [
        Product(path, "", None, None, worded, (text,), is_paper=True)
        for path, text in (("a.pdf", "one"), ("b.pdf", "one"), ("c.pdf", "another"))
    ]
    drawn: dict[str, bytes] = {}

    def keep(key: str, make: Callable[[], bytes]) -> bytes:
        if key not in drawn:
            drawn[key] = make()
        return drawn[key]

    files = made(papers, job.catalog, keep, processes)
    assert [bytes_of(file.data) for file in files] == [b"one", b"one", b"another"]


def test_what_some_processes_find_wrong_is_told_as_if_one_had(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fieldsheet.making.SHARE", 1)
    narrow = [
        Product("a.pdf", "", "slipway", None, too_long, ("a sighting",), is_paper=True),
        Product("b.pdf", "", None, None, too_long, ("a role",), is_paper=True),
    ]
    raised = []
    for processes in (1, 2):
        with pytest.raises(CatalogProblems) as problems:
            made(narrow, job.catalog, unkept, processes)
        raised.append(problems.value.problems)
    assert raised[0] == raised[1] and len(raised[0]) == 2


def test_a_process_that_dies_is_told_in_words(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fieldsheet.making.SHARE", 1)
    some = [Product(f"{n}.pdf", "", None, None, deadly, (3,), is_paper=True) for n in range(2)]
    with pytest.raises(ChildProcessError, match=r"ended \(status 3\); if memory is short: --processes 1"):
        made(some, job.catalog, unkept, 2)


def test_what_is_made_stands_in_the_site_at_its_path(one_shot: Path) -> None:
    catalog = read_catalog(one_shot)
    job = Job(catalog, plan_catalog(catalog), everything=True)
    products = products_of(job)
    files = press(job.catalog, job.planned, made(products, job.catalog, undrawn))
    assert all(files[product.path] == product.key.encode() for product in products)
    page = bytes_of(files["shots/slipway/index.html"]).decode()
    assert 'href="../../cards/slipway.pdf"' in page and 'href="../../sheets/slipway.pdf"' in page
