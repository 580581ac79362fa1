"""Every length of the paper, in mm and pt: the style sheet and the flow read the same ones.

Type follows what was published for checklists that are read in poor light, as far as a pocket takes it:

- CAP 676, Issue 3 (2006): body 12 pt, 10 at the least; headings 14, 12 at the least; judged at some 600 mm.
- Degani 1992 (NASA CR-177605), rule 7: an x-height of 0.10 in for what matters. Fira Sans has 0.527 of its
  size, so that this asks for 13.7 pt.
- The same, rule 9: between lines, 25 to 33 % of the type's size at the least. The reviews do not say from
  where to where. It is kept as space beside the size, which asks for more: lines of 10 pt are 12.5 pt apart,
  baseline to baseline. From the feet of the letters of one line to the heads of those of the next (p to b:
  0.96 of the size in Fira Sans, 0.98 in its semibold) are then 29 and 27 %. So it is on every paper.

On A6 and 4x6 in the least of CAP 676's body is kept and no more: 10 pt, headings 11.5, x-height 0.073 in.
On A5, A4 and letter all is drawn 1.37 times larger: body 13.7 pt, headings 15.7, x-height 0.100 in: both are
met. Larger paper than A5 takes more on a side, not larger type. All sources by way of reviews of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from fieldsheet.exchange.qr import READ_CM

SPACING = 1.25
"""Baseline to baseline in parts of the type's size: Degani 1992, rule 9, as told above."""
LARGER = 1.37
"""How much larger cards from A5 up are drawn: the least by which rule 7 is met."""


def _line(points: float) -> float:
    """What a line takes, mm, to the hundredth above."""
    return ceil(points * 25.4 / 72 * SPACING * 100) / 100


SEAL = 5.0
"""Free along every edge: a sealed edge takes 3 mm (common practice, no source)."""
HOLE_AT, HOLE_FREE = 7.0, 5.0
"""A punch hole of 6 mm: how far its middle is from the edge; what stays free around that, with a sealed rim
of 2 mm (common practice, no source).
"""
CODE_AIR = 2.0
"""How much farther from the edge than other ink the code keeps."""


@dataclass(frozen=True)
class Paper:
    """A kind of page: its size, its margins (left and right, top and bottom), the gap between two columns.

    `scale`: how much larger everything is drawn than it is laid out; `seal`: what no ink comes near, on every
    edge; `hole`: the end at which a front keeps room for one, "left", "right" or "none"; `mirrored`: whether
    a back has it at the other end; `sides`: 1 where each side is a card of its own; `read_cm`: from how far
    its codes are to be read. Size, margins and seal are mm of paper; width, height and column are in what
    the flow counts: one is drawn `scale` mm long.
    """

    name: str
    page: tuple[float, float]
    margin: tuple[float, float]
    gutter: float
    scale: float = 1.0
    seal: float = SEAL
    hole: str = "none"
    mirrored: bool = False
    sides: int = 2
    read_cm: float = READ_CM

    @property
    def is_card(self) -> bool:
        """Whether it is carried and sealed; the large sheet is not."""
        return self.name == "card"

    @property
    def width(self) -> float:
        """What may be printed on, across."""
        return (self.page[0] - 2 * self.margin[0] - self.bite) / self.scale

    @property
    def height(self) -> float:
        """What may be printed on, down."""
        return (self.page[1] - 2 * self.margin[1]) / self.scale

    @property
    def column(self) -> float:
        """Width of one of two columns."""
        return (self.width - self.gutter) / 2

    @property
    def code_most(self) -> float:
        """The widest code that opens a page: beside it stand words."""
        return max(CODE_MOST, self.column - CODE_BESIDE)

    @property
    def bite(self) -> float:
        """What a hole takes of a side beside the margin, in mm of paper."""
        return 0.0 if self.hole == "none" else max(0.0, HOLE_AT + HOLE_FREE + 0.5 - self.margin[0])

    def left(self, number: int) -> float:
        """Where print begins on side `number`, in mm of paper; 1 is the first front, 2 its back."""
        holed = (self.hole == "left") != (self.mirrored and number % 2 == 0)
        return self.margin[0] + (self.bite if holed else 0.0)

    def outside(self, clear: float) -> float:
        """How much of a code's clear zone of that width lies in the margin at the right."""
        return clear - max(0.0, self.seal + CODE_AIR - self.margin[0]) / self.scale


_PAGES = {
    "A6": (148.0, 105.0),
    "A5": (210.0, 148.0),
    "A4": (297.0, 210.0),
    "letter": (279.4, 215.9),
    "4x6 in": (152.4, 101.6),
}
"""Cards lie: ISO 216 for A6 to A4; 8.5 by 11 in, 4 by 6 in."""
_AS_LAID_OUT = ("A6", "4x6 in")


def card_of(
    size: str,
    seal: float = SEAL,
    hole: str = "none",
    mirrored: bool = False,
    sides: int = 2,
    read_cm: float = READ_CM,
) -> Paper:
    """A card of one of the sizes, with `seal` mm free along every edge and a hole at one end or none."""
    scale = 1.0 if size in _AS_LAID_OUT else LARGER
    margin = (seal + 1.0, seal + 0.2 * scale)
    return Paper("card", _PAGES[size], margin, 5.0, scale, seal, hole, mirrored, sides, read_cm)


CARD = card_of("A6")


def sheet_of(size: str, read_cm: float = READ_CM) -> Paper:
    """Large paper of one of the sizes that have room for it, "A4" or "letter", upright."""
    wide, high = _PAGES[size]
    return Paper("sheet", (high, wide), (12.0, 10.0), 8.0, read_cm=read_cm)


SHEET = sheet_of("A4")

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
SMALL_LINE, ITEM_LINE, HEAD_LINE, TITLE_LINE = (
    _line(points) for points in (SMALL_PT, ITEM_PT, HEAD_PT, TITLE_PT)
)

HEADER_GAP, HEADER_AIR, TITLE_LEFT = 0.2, 5.2, 2.7
"""Under the header; what keeps the title from letter and zero, on both sides together and at its left."""
HEADER_FIRST, TITLE_DROP, ZERO_LINE, LETTER = 6.06, 0.28, 5.34, 13.85
"""The header's first line; what sets title and zero on one baseline in it: the title's way down, the height
of the figure's line. Under them the lines are SMALL_LINE apart on both sides. The letter's block reaches from
the top of the figure down to the third baseline."""
ZERO_AIR, ZERO_USUAL, ZERO_SHARE = 2.0, 56, 0.49
"""Before the zero by compass; how wide the header's right is where nothing speaks against it, and what share
of the paper's width it takes at most."""
STOP_BAR, STOP_GAP = 5.6, 1.0

DUE_RULE, DUE_LINE, DUE_GAP, DUE_AIR, DUE_APART, DUE_WORD = 0.25, HEAD_LINE, 0.5, 2.5, 5.0, 1.1
"""Deadlines: rule above, line, gap below; between two at least, and where they take more than one line."""

CHIP_PAD, NAME_GAP = 1.2, 1.2
FACT_GAPS, WORDS_PAD = (2.0, 4.0), 1.5
FIGURE_GAP, BLANK_LEAST, STORED_WIDTH = 2.5, 11.0, 13.0
KEYS_HEAD, KEYS_RULE = SMALL_LINE, 0.25
FIGURE_LINE, KEY_PAD = 4.6, 0.15
BLANKS = (10.0, 9.0, 8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.6, 4.4, 4.0, 3.7)
BLANK_WANTED, BLANK_ROOMY, BLANK_FOOT = 7.5, 4.4, 0.4
"""Heights of a blank; nothing else gives way for more than the wanted one; from the roomy one on, a gloved
hand has 5 mm under the figure.
"""

PROGRAM_RULE, PROGRAM_PAD, PROGRAM_LABEL, PROGRAM_VALUE, PROGRAM_GAP = 0.6, 0.2, 3.9, 6.0, 0.6
PROGRAM_AIRS, MORE_LINE, MORE_FOOT, MORE_AIR, MORE_WORD = (3.0, 2.0), ITEM_LINE, 0.4, 3.2, 1.2
"""A label's last line is lower than others, since the value stands under it and no words."""

BAR, BAR_PAD, THIN_BAR = 1.8, 1.8, 0.6
"""The bar at the left of what stops a shot, the room after it, and the bar of what is only to be minded."""
ABORT_LINE, ABORT_PAD, ABORT_RULE, ABORT_GAP, ABORT_MOST = HEAD_LINE, 0.8, 0.5, 1.8, 45.0
BOX, BOX_GAP = 3.9, 1.4
"""A box takes the stroke of a grease pencil, some 2 mm (common practice, no source)."""
ITEM_PAD = 0.25
BLANK_ABOVE, WRITE_LEAST = 2.0, 14.0
"""A line to write on: what it has above it, and the shortest one that stands beside its words."""
SECTION_GAP, SECTION_RULE = 1.4, 0.5
AIR_MOST = 1.8
"""What a side whose columns end early gives each of their rows more, at most."""
WARNING_GAP = 1.6
VALUE_MOST = 30.0
VIEW_HIGHEST, VIEW_GAP = 75.0, 1.5
"""A frame as it will be seen: how high it may be on paper, and what follows it."""
LOG_ROW, LOG_AIR, LOG_GAP = 6.2, 1.5, 2.5
"""A line of the log; what follows each column that is printed, and each that is written in."""
CONTENTS_PAGE, CONTENTS_IN, CONTENTS_PAD = 14.0, 6.0, 1.4
"""The number of a page in the contents, how far a shot stands in under its date, what follows a line."""
RUNNING_GAP, RUNNING_LEFT, RUNNING_AIR = 1.2, 8.0, 4.0
CODE_MOST, CODE_BESIDE, CODE_CAPTION = 40.0, 22.0, 4.8
"""What a code that opens a page may always take, by which `catalog/values.py` bounds its address; where there
is more room, what its words beside it have at the least; the line under it."""
