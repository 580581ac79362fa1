"""Pieces in columns: all of them, in order, within their rooms, on the fewest sides, evenly."""

from __future__ import annotations

from itertools import accumulate, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.cards.flow import FAST, LOOSE, WHOLE, Group, Piece, flow
from tests.long import tries

HEAD, AGAIN = Piece("heading", "head", 5.0), Piece("heading", "again", 5.0)


def group(name: str, count: int, height: float = 10.0, bound: int = LOOSE) -> Group:
    """A group of equal items under a heading of 5 mm."""
    return Group(HEAD, AGAIN, tuple(Piece("item", f"{name}{n}", height) for n in range(count)), bound)


def items(columns: list[list[Piece]]) -> list[list[str]]:
    """The items of each column, without headings."""
    return [[piece.data for piece in column if piece.kind == "item"] for column in columns]


def counts(columns: list[list[Piece]]) -> list[int]:
    return [len(column) for column in items(columns)]


groups_of = st.lists(
    st.builds(group, st.sampled_from("abc"), st.integers(1, 7), st.floats(4, 30), st.integers(0, 2)),
    min_size=0,
    max_size=6,
)


@settings(max_examples=tries(100))
@given(groups_of, st.floats(40, 90), st.floats(40, 90), st.integers(1, 2), st.integers(1, 2))
def test_every_piece_stands_once_in_order_within_its_column(
    groups: list[Group], first: float, later: float, across: int, least: int
) -> None:
    def room(column: int) -> float:
        return later if column else first

    columns = flow(groups, room, across, least)
    assert [piece for column in columns for piece in column if piece.kind == "item"] == [
        piece for each in groups for piece in each.pieces
    ]
    for n, column in enumerate(columns):
        assert sum(piece.height for piece in column) <= room(n) + 1e-6
        assert not column or column[-1].kind == "item"
        assert not column or column[0].kind == "heading"


def test_the_list_of_a_thousand_shots_fills_its_columns() -> None:
    columns = flow([group("a", 3000)], lambda column: 250 if column > 1 else 235, 2, 1)
    assert counts(columns)[:-2] == [23, 23, *[24] * (len(columns) - 4)] and sum(counts(columns)) == 3000


def test_a_group_that_fits_nowhere_as_a_whole_goes_on_under_its_second_heading() -> None:
    columns = flow([group("a", 6)], lambda _: 50, 2, 1)
    assert [column[0].data for column in columns] == ["head", "again"]


def test_columns_of_a_side_are_evened_out() -> None:
    """All six would fit into the left column, and leave the right one empty."""
    columns = flow([group("a", 3), group("b", 3)], lambda _: 80, 2, 1)
    assert items(columns) == [["a0", "a1", "a2"], ["b0", "b1", "b2"]]


def test_no_side_is_left_with_one_item_and_a_hole() -> None:
    """Filled to the brim, the first side would take all but one."""
    columns = flow([group("a", 4), group("b", 5)], lambda _: 46, 1, 1)
    assert min(counts(columns)) >= 2


def test_a_group_is_not_split_for_a_little_evenness() -> None:
    assert counts(flow([group("a", 4), group("b", 3)], lambda _: 50, 2, 1)) == [4, 3]


def test_a_group_is_split_rather_than_a_side_added() -> None:
    """Kept whole, the second would open a third column, and that a second side."""
    columns = flow([group("a", 3), group("b", 4), group("c", 2)], lambda _: 65, 2, 1)
    assert len(columns) == 2


def test_a_whole_group_is_torn_only_to_save_a_side() -> None:
    """Loose, it is torn for a more even side."""
    loose, whole = ([group("a", 2), group("b", 6, bound=bound)] for bound in (LOOSE, WHOLE))
    assert counts(flow(loose, lambda _: 90, 2, 1)) == [4, 4]
    assert counts(flow(whole, lambda _: 90, 2, 1)) == [2, 6]
    assert counts(flow(whole, lambda _: 50, 2, 1)) == [4, 4]


Ends = tuple[int, ...]


def price(groups: list[Group], ends: Ends, across: int) -> tuple[int, int, int, int]:
    """FAST groups torn over an edge, sides, others torn over an edge, groups torn in sight."""
    run = [(one, n) for one in groups for n in range(len(one.pieces))]
    fast = turned = seen = 0
    for column, end in enumerate(ends[:-1], start=1):
        one, n = run[end]
        if n and one.bound:
            fast += column % across == 0 and one.bound == FAST
            turned += column % across == 0 and one.bound == WHOLE
            seen += column % across != 0
    return fast, -(-len(ends) // across), turned, seen


def every_way(groups: list[Group], room: float) -> list[Ends]:
    """Every way to set the pieces in columns of that height, by the columns' ends."""
    run = [(one, n) for one in groups for n in range(len(one.pieces))]
    ways: list[Ends] = []
    for count in range(len(run)):
        for inner in combinations(range(1, len(run)), count):
            ends = (*inner, len(run))
            heights = [
                sum(
                    run[at][0].pieces[0].height + 5.0 * (at == first or run[at][1] == 0)
                    for at in range(first, end)
                )
                for first, end in zip((0, *inner), ends, strict=True)
            ]
            ways += [ends] * (max(heights) <= room)
    return ways


few = st.lists(
    st.builds(
        group, st.just("a"), st.integers(1, 4), st.floats(8, 20), st.sampled_from([LOOSE, WHOLE, FAST])
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=tries(60))
@given(few, st.floats(35, 70), st.integers(1, 2))
def test_no_other_way_to_set_them_tears_less_on_as_few_sides(
    groups: list[Group], room: float, across: int
) -> None:
    """By trying every way."""
    columns = flow(groups, lambda _: room, across, 1)
    ends = tuple(accumulate(counts(columns)))
    assert price(groups, ends, across) == min(price(groups, way, across) for way in every_way(groups, room))


def test_a_fast_group_takes_a_further_side_rather_than_be_torn_over_an_edge() -> None:
    runs = [group("a", 4), group("b", 5, bound=FAST)]
    assert counts(flow(runs, lambda _: 55, 1, 1)) == [4, 5]
    two = [group("a", 2), group("b", 4, bound=FAST), group("c", 2)]
    assert items(flow(two, lambda _: 50, 1, 2))[1] == ["b0", "b1", "b2", "b3"]
    assert len(flow([group("a", 1), group("b", 9, bound=FAST)], lambda _: 55, 1, 1)) == 3


def test_what_keeps_a_heading_from_the_piece_above_takes_nothing_at_the_head_of_a_column() -> None:
    head = Piece("heading", "head", 7.0, 2.0)
    one = Group(head, head, tuple(Piece("item", n, 10.0) for n in range(3)))
    assert counts(flow([one], lambda _: 35.0, 1, 1)) == [3]
    assert counts(flow([one, one], lambda _: 71.9, 1, 1)) == [3, 3]
    assert counts(flow([one, one], lambda _: 72.1, 1, 1)) == [6]


def test_a_piece_waits_for_a_column_that_can_take_it() -> None:
    columns = flow([group("a", 1, 60)], lambda column: 80 if column > 1 else 20, 2, 1)
    assert counts(columns) == [0, 0, 1]


def test_a_piece_taller_than_every_column_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'b0' does not fit on one side of the paper"):
        flow([group("a", 2), group("b", 1, 90)], lambda _: 80, 2, 1)
