"""What heat asks people to drink, by published standards.

May import `needs`, `clock` and below.
"""
