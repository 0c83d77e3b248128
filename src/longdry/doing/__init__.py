"""What command line and desk both do: plan as asked, make the files, change a water book.

May import `api`, and what lies below it.
"""
