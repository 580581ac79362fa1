"""Field sheets for motion-control time-lapse: from a catalog of shot plans to a phone and a card."""

__version__ = "0.5.0"
