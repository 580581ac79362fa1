"""The commands, a file each: `add` says how it is typed, `run` does it and returns the exit status.

What a command computes with is imported in its `run`, so that the others start without it. Beside them:
typed.py turns words into values, told.py says things, asked.py reads and plans what was asked for.
"""
