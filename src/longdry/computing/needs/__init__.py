"""What a party needs of each use over a time and a length.

May import `clock` and below.
"""
