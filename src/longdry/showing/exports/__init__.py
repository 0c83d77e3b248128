"""Documents for other programs: JSON, CSV, GeoJSON, GPX, TOML.

May import `figures` and `words`.
"""
