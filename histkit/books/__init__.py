"""Whole books: from the plain text of digitised books to one table of lines and one of formulas, and questions put to them.

    pages, evidence, dividing     the text of a book → lines with what speaks for a formula
    titles, view, blocks,
    judging, edges, finding       → passages: title, ingredients, directions
    harvest, kinds                passage + source → rows, by way of `read` and `translate`
    rows, sheets, partfiles       rows → CSV, and the files in which finished parts are kept
    parts, crews, ledger,
    locking, running              a folder → parts, on one process, several, or Dask; stopped and taken up again at will
    assembling, parquet           parts → tables and their manifest
    verifying                     tables → whether they are what the run wrote
    tables, shares                tables → formulas with their lines, row by row
    questions, nearness, plots    → which hold lead, how a kind changed, which are nearest
    besides                       the nearest → one's own formula beside them

Nothing is imported here: each module is loaded by who uses it.
"""
