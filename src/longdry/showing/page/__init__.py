"""The page: one section a file.

May import every other room of `showing` but `compare`, `terminal` and `exports`.
"""
