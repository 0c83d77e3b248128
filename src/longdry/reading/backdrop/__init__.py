"""Backdrops for the map: tile archives and line layers.

May import `files`.
"""
