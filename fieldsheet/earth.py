"""The Earth as a sphere, for whoever needs no more: landmarks in sight, the way to another spot."""

MEAN_RADIUS_M = 6_371_000.0  # the geodesists' mean radius, 6371.0088 km (IUGG), to a kilometre
