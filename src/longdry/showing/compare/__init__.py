"""Many plans laid side by side, as page, short answer, JSON, CSV and GeoPackage.

May import `page`, `terminal` and `exports` and what lies below them.
"""
