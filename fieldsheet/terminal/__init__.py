"""What a terminal shows: text that moves no cursor, lines no wider than it is, the sheet of a shot."""
