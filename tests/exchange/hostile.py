"""Names that formats break on: each is what somebody could write, or paste, into a title."""

HOSTILE = [
    'a;b,c\\n"d":e',
    "BEGIN:VEVENT\r\nSUMMARY:another\r\nEND:VEVENT",
    "one\rtwo\x85three\u2028four",
    "]]><!-- & <wpt lat='0'> &#0; -->",
    "\x00\x07\x1b[2J\x7f",
    "\ud800 half a pair, \ufffe no sign",
    "\u202eback to front\u202c",
    "=1+1",
    "סלע ליד הים",
    "é" * 60 + "👩\u200d🚀" * 30,
    "x" * 2000,
    " ",
]
