"""Trip files: tables, checks, defaults, and the files that they name.

May import `files`.
"""
