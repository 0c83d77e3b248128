"""Sources, their passes, and the water book.

May import `words` and `arrays` of the model.
"""
