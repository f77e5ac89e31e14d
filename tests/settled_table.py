"""A table of the tests that is made from the project's own: read back, and written anew where a change is meant."""

import csv


def written(file):
    """The rows of a settled table."""
    with file.open(encoding="utf-8", newline="") as settled:
        return list(csv.DictReader(settled))


def write(file, columns, rows):
    """Make a settled table anew."""
    with file.open("w", encoding="utf-8", newline="") as out:
        table = csv.DictWriter(out, columns, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
