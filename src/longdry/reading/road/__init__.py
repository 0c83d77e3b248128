"""What a party writes down on its way: the tally file, and the same words on the command line.

May import `water` and `files`.
"""
