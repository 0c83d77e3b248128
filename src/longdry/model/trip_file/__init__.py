"""The keys of a trip file: one row a key, which reader, schema and reference follow.

May import `trip` and below.
"""
