"""`python -m fieldsheet`: the same as the command `fieldsheet`."""

import sys

from fieldsheet.cli import main

if __name__ == "__main__":
    sys.exit(main())
