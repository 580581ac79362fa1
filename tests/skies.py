"""Years of the sky, each fitted once for all tests of a process: half a second, the same bytes each time."""

from __future__ import annotations

import functools

from fieldsheet.sky import fit

fit_year = functools.cache(fit.fit_year)
