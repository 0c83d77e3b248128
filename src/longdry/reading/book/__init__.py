"""Water books, and foreign layers that are brought into them.

May import `water`, `gpx` and `files`.
"""
