"""The desk: a page of this computer's own for one folder; the page lies in ``assets``.

May import `doing`, and what lies below it. Nothing is kept but in the files of the folder.
"""
