"""Every length of the card, in mm and pt: the style sheet and the flow read the same ones."""

PAGE = (148.0, 105.0)
MARGIN = (7.0, 5.2)
"""Left and right, top and bottom. A sealed edge takes 3 mm; 5 stay free (common practice, no source)."""
WIDTH, HEIGHT = PAGE[0] - 2 * MARGIN[0], PAGE[1] - 2 * MARGIN[1]

SMALL_PT, ITEM_PT, HEAD_PT, TITLE_PT, FIGURE_PT, VALUE_PT, ZERO_PT, LETTER_PT = (
    10,
    10,
    11.5,
    14,
    14,
    17,
    21,
    34,
)
SMALL_LINE, ITEM_LINE, HEAD_LINE, TITLE_LINE = 4.1, 4.3, 5.0, 5.4

HEADER_GAP, HEADER_AIR = 1.2, 5.0
LETTER = 13.6
ZERO_LINE, ZERO_WIDTHS = 5.6, range(46, 66)
STOP_BAR, STOP_GAP = 5.6, 1.0

CHIP_PAD, NAME_GAP = 1.2, 1.2
FACT_GAPS, WORDS_PAD = (2.0, 4.0), 1.5
FIGURE_GAP, BLANK_LEAST, STORED_WIDTH = 2.5, 11.0, 13.0
KEYS_HEAD, KEYS_RULE = 4.6, 0.25
FIGURE_LINE, KEY_PAD = 4.8, 0.3
BLANKS, BLANK_ROOMY, BLANK_FOOT = (7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.6, 4.2, 3.7), 4.6, 0.4
"""Heights of a blank, the first that fits; from the roomy one on, a gloved hand has 5 mm under the figure."""

PROGRAM_RULE, PROGRAM_PAD, PROGRAM_LABEL, PROGRAM_VALUE, PROGRAM_GAP = 0.9, 0.5, 4.1, 6.0, 1.4
PROGRAM_AIR = 3.0

GUTTER = 6.0
COLUMN = (WIDTH - GUTTER) / 2
BAR, BAR_PAD, THIN_BAR = 1.8, 1.8, 0.6
"""The bar at the left of what stops a shot, the room after it, and the bar of what is only to be minded."""
ABORT_LINE, ABORT_PAD, ABORT_RULE, ABORT_GAP, ABORT_MOST = 4.8, 0.8, 0.5, 1.8, 45.0
BOX, BOX_GAP = 4.0, 1.6
ITEM_PAD = 0.45
SECTION_GAP, SECTION_RULE = 1.6, 0.5
WARNING_GAP = 1.6
VALUE_MOST = 30.0
RUNNING_TITLE, RUNNING_GAP = 70.0, 2.4
CODE_MOST, CODE_CAPTION = 40.0, 4.8
