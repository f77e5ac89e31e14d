"""Whole books: from the plain text of digitised books to one table of lines and one of formulas, and questions put to them.

    finding     the text of a book → passages: title, ingredients, directions
    harvest     passage + source → rows, by way of `read` and `translate`
    running     a folder → tables, on one process, several, or Dask; stopped and taken up again at will
    questions   tables → which hold lead, how a kind changed, which are nearest

Nothing is imported here: each module is loaded by who uses it.
"""
