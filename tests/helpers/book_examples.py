"""A water book that somebody else has had their hands in. Invented: not for navigation."""

from __future__ import annotations

from longdry.model.water.book import WaterBook
from longdry.reading.book.book_file import book_from_text

EDITED_BOOK = """{
  "type": "FeatureCollection",
  "name": "invented: not for navigation",
  "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}},
  "features": [
    { "type": "Feature", "id": 7, "bbox": [131.0, -25.50, 131.0, -25.50],
      "geometry": {"type": "Point", "coordinates": [131.00, -25.50, 412.70]},
      "properties": {"name": "Old Bore", "Grade": "treat-before-drinking", "kind": "bore",
        "owner": "nobody \\u00fc", "depth_m": 45.50, "big": 12345678901234567890, "e": 1e2,
        "visits": [{"on": "2026-05-02", "found": "flowing", "by": "R", "litres": 20.0}]},
      "styled": {"colour": "none"} },
    {"type":"Feature","geometry":{"type":"LineString","coordinates":[[131,-25.5],[131.1,-25.5]]},
     "properties":{"name":"fence"}},
    {"type":"Feature","geometry":{"type":"Point","coordinates":[131.20,-25.60]},"properties":{"id":"fork","name":"Fork","certainty":"likely"}},
    {"type":"Feature","geometry":null,"properties":null}
  ],
  "made": {"by": ["hand", 1.50]}
}
"""


def edited_book() -> WaterBook:
    """Return the book as read from its text."""
    return book_from_text(EDITED_BOOK, origin="book.geojson")
