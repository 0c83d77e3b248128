"""Coordinates for people."""

from __future__ import annotations


def coordinates(lat_deg: float, lon_deg: float) -> str:
    """Write a place in decimal degrees, WGS 84, to about ten metres, with N, S, E, W.

    >>> coordinates(-29.10303, 11.4), coordinates(0.0, -180.0)
    ('29.1030° S 11.4000° E', '0.0000° N 180.0000° W')
    >>> coordinates(1.0, 181.5)
    '1.0000° N 178.5000° W'
    """
    lon_deg = (lon_deg + 180.0) % 360.0 - 180.0
    north = "S" if lat_deg < 0.0 else "N"
    east = "W" if lon_deg < 0.0 else "E"
    return f"{abs(lat_deg):.4f}° {north} {abs(lon_deg):.4f}° {east}"
