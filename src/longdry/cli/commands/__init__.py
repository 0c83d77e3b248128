"""One file per command.

May import all that lies below `cli`, and of `cli` all but `main`.
"""
