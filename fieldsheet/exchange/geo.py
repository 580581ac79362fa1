"""A place as an address that a phone opens in its map. Source: RFC 5870, sections 3.3 and 3.4."""

from __future__ import annotations

DECIMALS = 6  # 0.1 m


def geo_uri(latitude_deg: float, longitude_deg: float) -> str:
    """The address of a place in WGS 84, such as "geo:37.08,-8.67".

    Without a height: the standard asks for the one above the ellipsoid, and people know that above the sea.
    """
    at_pole = abs(round(latitude_deg, DECIMALS)) == 90  # where every longitude is the same: then 0
    return f"geo:{_number(latitude_deg)},{_number(0.0 if at_pole else longitude_deg)}"


def _number(value: float) -> str:
    """No exponent, no idle zeros, no minus before nothing: the standard's `num`."""
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
