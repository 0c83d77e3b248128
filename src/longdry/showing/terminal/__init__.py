"""The answers printed in a terminal.

May import `words`.
"""
