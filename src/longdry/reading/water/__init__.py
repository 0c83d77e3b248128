"""Water layers in every format, into sources.

May import `gpx` and `files`.
"""
