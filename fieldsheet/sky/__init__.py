"""Where the sun, the moon and the core of the galaxy are, and when they rise, set and leave the dark."""
