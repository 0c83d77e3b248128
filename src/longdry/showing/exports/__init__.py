"""Documents for other programs: JSON, CSV, GeoJSON, GPX, TOML.

May import `words`.
"""
