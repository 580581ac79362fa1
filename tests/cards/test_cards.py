"""The printed card: what is on it and where, and that nothing is cut, covered or too small."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence

import numpy as np
import pypdfium2
import pytest

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.flow import FAST
from fieldsheet.cards.sizes import CARD, LETTER, SMALL_LINE
from tests.cards.cases import (
    Sheet,
    days_on_both_clocks,
    everything,
    five_keys,
    long_words,
    many_items,
    one_key,
    plain,
    slope,
    still,
    stopped,
    unbroken,
)
from tests.cards.pdf import Char, card_pdf, chars, codes, made, picture, sheet_pdf, side_of, words
from tests.cards.sample import LINK, sample
from tests.cards.sample_list import item, section


@pytest.fixture(scope="module", params=[plain, five_keys, many_items, still], ids=lambda case: case.__name__)
def card(request: pytest.FixtureRequest) -> tuple[str, Sheet, pypdfium2.PdfDocument]:
    sheet = copy.deepcopy(sample())
    request.param(sheet)
    return request.param.__name__, sheet, made(card_pdf, sheet)


Card = tuple[str, Sheet, pypdfium2.PdfDocument]


def test_white_paper_lies_between_the_columns_of_a_checklist() -> None:
    sheet = sample()
    many_items(sheet)
    unbroken(sheet)
    sheet["notes"] = []
    document = made(card_pdf, sheet)
    left, right = CARD.margin[0] + CARD.column, CARD.page[0] - CARD.margin[0] - CARD.column
    below = [char for number in range(2, len(document)) for char in chars(document, number) if char.top > 20]
    assert len(below) > 500
    assert not [char for char in below if char.right > left + 0.1 and char.left < right - 0.1]


def test_keyframes_stand_in_the_order_in_which_they_are_set(card: Card) -> None:
    _, sheet, document = card
    printed = words(document)
    at = [
        printed.index(f"{sheet['keyframes'][n]['key']}{sheet['keyframes'][n]['name']}")
        for n in sheet["set_order"]
    ]
    assert at == sorted(at)


def test_the_program_stands_in_the_order_of_the_rigs_menu() -> None:
    sheet = sample() | {"program": ["frames", "ease", "hold", "dwell", "interval"]}
    printed = words(made(card_pdf, sheet))
    assert (
        "frames766ease40frhold1frdwell14sinterval18sfirstframe19:30lateststart19:42lastshutter23:20"
        in printed
    )


def test_further_cards_are_numbered(card: Card) -> None:
    _, sheet, document = card
    cards = (len(document) + 1) // 2
    for number in range(2, len(document)):
        side = side_of(document, number)
        assert f"card{number // 2 + 1}of{cards}" in side and sheet["revision"] in side


def test_the_first_front_says_revision_and_card(card: Card) -> None:
    """So that the cards of two nights are not mixed up."""
    _, sheet, document = card
    front = side_of(document, 0)
    assert f"{sheet['revision']}card1of{(len(document) + 1) // 2}" in front


def test_the_number_on_the_front_costs_no_line() -> None:
    """It stands on a line that is there anyway: the set note's first, or the rail's third."""
    for case in (plain, slope, long_words, still):
        sheet = sample()
        case(sheet)
        document = made(card_pdf, sheet)
        found = chars(document, 0)
        number = next(n for n in range(len(found)) if _from(found, n).startswith("K3F7Q2card1of"))
        neighbours = [one for one in found if abs(one.bottom - found[number].bottom) < 0.6 and one.left < 90]
        assert len(neighbours) > 10, case


def _from(found: Sequence[Char], n: int) -> str:
    return "".join(one.char for one in found[n : n + 20])


FLAT = set("AEFHIKLMNRTXZhiklmnrxz1247")
"""Characters whose ink ends on the baseline."""


@pytest.mark.parametrize("case", [plain, one_key, still, everything, stopped, slope])
def test_both_sides_of_the_header_stand_on_the_same_lines(case: Callable[[Sheet], None]) -> None:
    """The title beside the zero's figure, and the rows under them; the right ones begin under each other."""
    sheet = sample()
    case(sheet)
    found = chars(made(card_pdf, sheet), 0)
    zero = next(n for n in range(len(found)) if _from(found, n).startswith("panzero,true"))
    edge = found[zero].left
    # Down to the third baseline, where the letter's block ends.
    header = [one for one in found if one.bottom < CARD.margin[1] + LETTER + 1.2 and one.left > 20]
    left, right = ([one for one in header if (one.left < edge - 1) == side] for side in (True, False))
    title = next(one.bottom for one in left if one.points > 13.9 and one.char in FLAT)
    rows = title + SMALL_LINE * np.arange(3)
    for part in (left, right):
        bottoms = np.array([one.bottom for one in part if one.char in FLAT])
        apart = np.abs(np.subtract.outer(bottoms, rows))
        assert apart.min(axis=1).max() < 0.12 and apart.min(axis=0).max() < 0.12
    for row in rows:
        begins = min(one.left for one in right if -0.12 < one.bottom - row < 1.0)
        assert begins == pytest.approx(edge, abs=0.6)
    assert any(one.points > 19 and abs(one.bottom - title) < 0.12 for one in right)


def test_what_stops_the_shot_is_said_on_the_front_in_a_black_bar() -> None:
    sheet = sample()
    stopped(sheet)
    document = made(card_pdf, sheet)
    assert "NOGO:2open,seeback" in side_of(document, 0)
    found = chars(document, 0)
    letter = next(one for n, one in enumerate(found) if _from(found, n).startswith("NOGO:2"))
    note = next(one for n, one in enumerate(found) if _from(found, n).startswith("SetK3"))
    assert 18 < letter.top < letter.bottom < note.top
    dpi = 150
    y, left, right = ((mm * dpi / 25.4) for mm in (letter.top - 0.8, 7.5, 140.5))
    row = picture(document, 0, dpi).crop((int(left), int(y), int(right), int(y) + 1))
    assert max(row.tobytes()) < 40


def test_the_back_names_the_level_of_a_warning_and_what_stops_comes_first() -> None:
    sheet = sample()
    stopped(sheet)
    document = made(card_pdf, sheet)
    assert all(text in side_of(document, 1) for text in ("Nogo:Theinterval", "Nogo:K3isoutside"))
    assert "Mind:Thelast40frames" not in side_of(document, 0) + side_of(document, 1)
    printed = words(document)
    assert printed.index("Nogo:Theinterval") < printed.index("Nogo:K3is") < printed.index("Mind:Thelast40")


def test_the_strip_stays_on_the_front_where_its_lowest_drawing_fits() -> None:
    sheet = sample()
    slope(sheet)
    front = side_of(made(card_pdf, sheet), 0)
    assert "sunset19:10" in front and "frame31civil19:11" in front


def test_a_rig_with_three_axes_three_keyframes_a_swap_and_tides_has_its_strip_on_the_front() -> None:
    sheet = sample()
    everything(sheet)
    front = side_of(made(card_pdf, sheet), 0)
    assert "sunset20:45" in front and "wetline21:33" in front
    assert "swap20:06–21:00frames121–301" in front


def test_what_is_waited_for_stands_on_the_front_or_else_where_the_keyframe_is_stored() -> None:
    said = "at18:10,whenitisset:sun13°left,16°aboveitsplace"
    roomy, crowded = sample(), sample()
    everything(crowded)
    front, back = (made(card_pdf, sheet) for sheet in (roomy, crowded))
    assert said in side_of(front, 0)
    (number,) = (n for n in range(len(back)) if said in side_of(back, n))
    assert number > 1 and "K1STARTstored" in side_of(back, number) and words(back).count(said) == 1


def test_the_front_says_what_its_zero_is_and_what_it_is_sighted_on() -> None:
    """A rig without pan has none to set: its lens looks there."""
    for label in ("pan zero, true", "lens looks, true"):
        sheet = sample() | {"zero_label": label}
        front = side_of(made(card_pdf, sheet), 0)
        assert "".join(label.split()) + "225°226°magharbourlight" in front
        assert ("panzero" in front) == (label == "pan zero, true")


def test_the_sighting_of_the_zero_costs_no_line_of_a_crowded_front() -> None:
    sheet = sample() | {"zero_sighting": "the second chimney from the left of the old cannery, white band"}
    roomy = sheet | {"rail": "", "rail_short": ""}
    assert "whiteband" in side_of(made(card_pdf, roomy), 0)
    everything(sheet)
    assert "whiteband" not in side_of(made(card_pdf, sheet), 0)


def test_a_rig_that_keys_the_gap_has_the_interval_among_its_further_figures() -> None:
    sheet = sample() | {"program": ["dwell", "gap", "frames"]}
    sheet["numbers"]["gap"] = "4 s"
    for pdf in (card_pdf, sheet_pdf):
        document = made(pdf, sheet)
        side = side_of(document, 0)
        assert "gap" in side and "interval18s" in side
        found = chars(document, 0)
        at = next(n for n in range(len(found)) if _from(found, n).startswith("interval18s"))
        assert found[at].points < 10.1


def test_a_rig_without_tilt_has_its_tilt_on_the_front() -> None:
    """Set by hand: it stands in no column of the keyframes."""
    sheet = sample()
    assert "sunat294°" not in side_of(made(card_pdf, sheet), 0)
    sheet["axes"] = [axis for axis in sheet["axes"] if axis["name"] != "tilt"]
    for key in sheet["keyframes"]:
        key |= {"aim": "looks at 075°, +8.0°", "waits": ""}
    front = side_of(made(card_pdf, sheet), 0)
    assert front.count("looksat075°,+8.0°") == 3 and "sunovertheendofthewall" in front


@pytest.mark.parametrize("case", [plain, slope, days_on_both_clocks, unbroken, everything])
def test_a_gloved_hand_has_five_millimetres_under_each_figure(case: Callable[[Sheet], None]) -> None:
    sheet = sample()
    case(sheet)
    document = made(card_pdf, sheet)
    dpi = 300
    page = picture(document, 0, dpi)
    large = [char for char in chars(document, 0) if 13.9 < char.points < 14.1 and char.top > 25]
    figures = [char for char in large if char.char in "0123456789.+−"]
    assert len(figures) > 15
    for char in figures:
        box = (char.left, char.bottom + 0.2, char.right, char.bottom + 4.9)
        left, top, right, bottom = (int(mm * dpi / 25.4) for mm in box)
        assert min(page.crop((left, top, right, bottom)).tobytes()) > 200, char


def test_a_rig_without_dwell_has_none_on_the_front() -> None:
    sheet = sample() | {"program": ["interval", "frames", "hold", "ease"]}
    assert "dwell" not in side_of(made(card_pdf, sheet), 0)


def test_long_labels_of_the_program_break_rather_than_cost_a_row() -> None:
    sheet = sample()
    days_on_both_clocks(sheet)
    found = chars(made(card_pdf, sheet), 0)
    values = [char for char in found if 16.9 < char.points < 17.1]
    bottoms = [char.bottom for char in values if char.char.isdigit()]
    assert max(bottoms) - min(bottoms) < 0.5


def test_a_strip_that_the_front_cannot_hold_stands_on_the_first_back() -> None:
    sheet = sample()
    five_keys(sheet)
    document = made(card_pdf, sheet)
    first, second = (side_of(document, n) for n in (0, 1))
    assert "sunset20:45" not in first and "sunset20:45" in second


def test_the_first_card_alone_runs_the_shot() -> None:
    """Numbers and strip on its front; on its back limits, notes, deadlines and what is done while it runs."""
    sheet = sample()
    everything(sheet)
    document = made(card_pdf, sheet)
    front, back = side_of(document, 0), side_of(document, 1)
    assert "swap20:06–21:00" in front and "leave16:40" in back and "go19:20" in back
    assert back.startswith("Stopif:gusts") and "00:30turnback·01:00gatecloses·23:45checkinwithM." in back
    assert "permit:harbour" in back and "withtherig:Ida" in back and "operator:Ida·assistant:Jon" in back
    assert back.index("Note:Thecarriageleaves") < back.index("leave16:40") < back.index("Rolling")
    assert "Pack(1of2)" not in back and "Pack(1of2)" in side_of(document, 2)


def test_sections_stand_in_working_order_with_who_does_them() -> None:
    sheet = sample()
    everything(sheet)
    printed = words(made(card_pdf, sheet))
    done = ["Pack(1of2)assistant", "Railandheadassistant", "Powerassistant", "Cablesassistant"]
    done += ["Levelandzerooperator", "Firstdriveoperator", "Cameraoperator", "Programoperator"]
    at = [printed.index(f"{title}·read,thendo") for title in done]
    assert at == sorted(at)


def _dots(
    document: pypdfium2.PdfDocument, number: int, box: tuple[float, float, float, float]
) -> list[float]:
    """Where (mm) there is ink in a stretch of the page."""
    dpi = 300
    left, top, right, bottom = (int(mm * dpi / 25.4) for mm in box)
    image = np.asarray(picture(document, number, dpi).crop((left, top, right, bottom)))
    return [float(x) for x in np.flatnonzero(image.min(axis=0) < 128) / dpi * 25.4]


def test_an_item_to_write_on_has_a_dotted_line_before_its_unit() -> None:
    sheet = sample()
    sheet["checklist"] = [section("camera", "Camera", "", item("Camera − phone", False, blank="s"))]
    document = made(card_pdf, sheet)
    number = next(n for n in range(len(document)) if "Camera−phone" in side_of(document, n))
    found = chars(document, number)
    first = next(n for n in range(len(found)) if _from(found, n).startswith("Camera−phones"))
    start, unit = found[first + len("Camera−phone") - 1], found[first + len("Camera−phone")]
    inked = _dots(document, number, (start.right + 1, unit.bottom - 0.6, unit.left - 1, unit.bottom + 0.6))
    assert inked[-1] - inked[0] > 14
    gaps = np.diff(inked)
    assert 0.2 < gaps.max() < 1.0 and (gaps > 0.2).sum() > 20


def test_what_a_keyframe_is_set_to_is_written_in_one_place() -> None:
    sheet = sample()
    everything(sheet)
    printed = words(made(card_pdf, sheet))
    assert "K3ENDstored,tapemarked" in printed and "S1060mm·P−81.2°" not in printed


def test_the_log_has_two_lines_to_write_on_for_every_count() -> None:
    document = made(card_pdf, sample())
    number = next(n for n in range(len(document)) if "Counts" in side_of(document, n))
    found = chars(document, number)
    at = next(n for n in range(len(found)) if _from(found, n).startswith("20:30201+200"))
    row = found[at + len("20:30201+200") - 1]
    column = row.left > CARD.margin[0] + CARD.column
    end = CARD.margin[0] + CARD.column + column * (CARD.column + CARD.gutter)
    inked = _dots(document, number, (row.right + 2, row.bottom - 0.6, end, row.bottom + 0.8))
    gaps = np.diff(inked)
    assert (gaps > 2.0).sum() == 1 and inked[-1] - inked[0] - gaps.max() > 22


@pytest.mark.parametrize("case", [plain, everything, many_items, still, one_key, slope])
def test_the_code_stands_in_the_lower_right_corner_of_the_first_back(case: Callable[[Sheet], None]) -> None:
    sheet = sample()
    case(sheet)
    (code,) = codes(made(card_pdf, sheet), 1, 150)
    corner = code.position.bottom_right
    right, bottom = (n / 150 * 25.4 for n in (corner.x, corner.y))
    assert right == pytest.approx(CARD.page[0] - 7.0, abs=0.4)
    assert CARD.page[1] - CARD.margin[1] - 8.0 < bottom < CARD.page[1] - CARD.margin[1]


def test_the_list_before_frame_1_is_never_parted_by_the_edge_of_aside() -> None:
    """However the lists before it fill their sides."""
    for count in range(1, 12):
        sheet = sample()
        ready = section("ready", "Ready to roll", "", *(item(f"Look {n}", note="first") for n in range(7)))
        jobs = (item(f"Job {n}", note="seated, locked, tugged") for n in range(count))
        sheet["checklist"] = [section("cables", "Cables", "", *jobs), ready]
        sheet["access"] = ["By the lifeboat house"] * 9
        kept = [
            any(piece.text.startswith("Look") for column in side.columns for piece in column)
            for side in card_sides(sheet, LINK, CARD)
        ]
        assert kept.count(True) == 1


def test_the_parts_of_a_checklist_are_torn_only_to_save_a_card(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three of them on eight sides; whole, they would take ten."""
    sheet = sample()
    everything(sheet)
    document = made(card_pdf, sheet)
    torn = [n for n in range(len(document)) if "continued·" in side_of(document, n)]
    assert len(document) == 8 and len(torn) == 3
    monkeypatch.setattr("fieldsheet.cards.groups.WHOLE", FAST)
    assert len(card_sides(sheet, LINK, CARD)) == 10


def test_a_text_taller_than_a_card_is_refused_in_words() -> None:
    sheet = sample()
    sheet["checklist"][0]["items"][0]["text"] = "a very long job " * 100
    with pytest.raises(ValueError, match="a very long job.* does not fit on one side of the paper"):
        card_pdf(sheet, LINK)


def test_a_link_too_long_for_the_code_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="shorten base_url"):
        card_pdf(sample(), "https://example.org/" + "a" * 300)
