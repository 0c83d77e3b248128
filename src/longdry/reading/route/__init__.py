"""The line to be travelled, from GPX and from line layers.

May import `gpx` and `files`.
"""
