"""Every length of the paper, in mm and pt: the style sheet and the flow read the same ones."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Paper:
    """A kind of page: its size, its margins (left and right, top and bottom), the gap between two columns."""

    name: str
    page: tuple[float, float]
    margin: tuple[float, float]
    gutter: float

    @property
    def width(self) -> float:
        """What may be printed on, across."""
        return self.page[0] - 2 * self.margin[0]

    @property
    def height(self) -> float:
        """What may be printed on, down."""
        return self.page[1] - 2 * self.margin[1]

    @property
    def column(self) -> float:
        """Width of one of two columns."""
        return (self.width - self.gutter) / 2

    def outside(self, clear: float) -> float:
        """How much of a code's clear zone of that width lies in the margin at the right."""
        return clear - max(0.0, CODE_EDGE - self.margin[0])


CARD = Paper("card", (148.0, 105.0), (6.0, 5.2), 5.0)
"""A6 landscape. A sealed edge takes 3 mm; 5 stay free (common practice, no source)."""
SHEET = Paper("sheet", (210.0, 297.0), (12.0, 10.0), 8.0)
"""A4 portrait."""

SMALL_PT, ITEM_PT, HEAD_PT, TITLE_PT, FIGURE_PT, VALUE_PT, ZERO_PT, LETTER_PT = (
    10,
    10,
    11.5,
    14,
    14,
    17,
    20,
    34,
)
"""Nothing under 10 pt: the least of CAP 676, Issue 3 (2006), which asks for 12 and judges at some 600 mm."""
SMALL_LINE, ITEM_LINE, HEAD_LINE, TITLE_LINE = 4.1, 4.2, 4.9, 5.05

HEADER_GAP, HEADER_AIR, TITLE_LEFT = 0.4, 5.2, 2.7
"""Under the header; what keeps the title from letter and zero, on both sides together and at its left."""
HEADER_FIRST, TITLE_DROP, ZERO_LINE, LETTER = 5.9, 0.85, 5.34, 13.2
"""The header's first line; what sets title and zero on one baseline in it: the title's way down, the height
of the figure's line. Under them the lines are SMALL_LINE apart on both sides. The letter's block reaches from
the top of the figure down to the third baseline."""
ZERO_AIR, ZERO_USUAL, ZERO_SHARE = 2.0, 56, 0.49
"""Before the zero by compass; how wide the header's right is where nothing speaks against it, and what share
of the paper's width it takes at most."""
STOP_BAR, STOP_GAP = 5.6, 1.0

DUE_RULE, DUE_LINE, DUE_GAP, DUE_AIR, DUE_APART, DUE_WORD = 0.25, 4.8, 0.9, 2.5, 5.0, 1.1
"""Deadlines: rule above, line, gap below; between two at least, and where they take more than one line."""

CHIP_PAD, NAME_GAP = 1.2, 1.2
FACT_GAPS, WORDS_PAD = (2.0, 4.0), 1.5
FIGURE_GAP, BLANK_LEAST, STORED_WIDTH = 2.5, 11.0, 13.0
KEYS_HEAD, KEYS_RULE = 4.4, 0.25
FIGURE_LINE, KEY_PAD = 4.8, 0.2
BLANKS, BLANK_ROOMY, BLANK_FOOT = (7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.6, 4.3, 4.0, 3.7), 4.6, 0.4
"""Heights of a blank, the first that fits; from the roomy one on, a gloved hand has 5 mm under the figure."""

PROGRAM_RULE, PROGRAM_PAD, PROGRAM_LABEL, PROGRAM_VALUE, PROGRAM_GAP = 0.7, 0.5, 3.9, 6.0, 1.0
PROGRAM_AIRS, MORE_LINE, MORE_FOOT, MORE_AIR, MORE_WORD = (3.0, 2.0), 4.6, 0.5, 3.2, 1.2

BAR, BAR_PAD, THIN_BAR = 1.8, 1.8, 0.6
"""The bar at the left of what stops a shot, the room after it, and the bar of what is only to be minded."""
ABORT_LINE, ABORT_PAD, ABORT_RULE, ABORT_GAP, ABORT_MOST = 4.8, 0.8, 0.5, 1.8, 45.0
BOX, BOX_GAP = 3.9, 1.4
ITEM_PAD = 0.35
BLANK_ABOVE, WRITE_LEAST = 2.0, 14.0
"""A line to write on: what it has above it, and the shortest one that stands beside its words."""
SECTION_GAP, SECTION_RULE = 1.4, 0.5
WARNING_GAP = 1.6
VALUE_MOST = 30.0
VIEW_HIGHEST, VIEW_GAP = 75.0, 1.5
"""A frame as it will be seen: how high it may be on paper, and what follows it."""
LOG_ROW, LOG_AIR, LOG_GAP = 6.2, 1.5, 2.5
"""A line of the log; what follows each column that is printed, and each that is written in."""
RUNNING_GAP, RUNNING_LEFT, RUNNING_AIR = 1.2, 8.0, 4.0
CODE_MOST, CODE_CAPTION, CODE_EDGE = 40.0, 4.8, 7.0
"""The widest code; the line under it; how far its ink keeps from the edge of the page, for the seal."""
