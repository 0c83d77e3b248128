"""Opening files of the user, and saying in one sentence what is wrong with them.

May import nothing of `reading`.
"""
