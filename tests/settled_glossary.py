"""What the glossary's tables say in short, one line to an ingredient: a guard against a value that changes unseen.

`settled.csv` is made from the tables themselves by `python tests/settled_glossary.py`; it proves nothing about the world. Where a
change of the tables is meant, make it anew and look at the difference.
"""

from pathlib import Path

import settled_table

from histkit import glossary

FILE = Path(__file__).parent / "glossary" / "settled.csv"
COLUMNS = ("ingredient", "cautions", "roles", "values", "stand_ins", "made_of", "holds")


def settled():
    """Levels with their region, form and limit; roles, the chief ones with a star; values; stand-ins; parts; constituents."""
    held: dict[str, list[str]] = {}
    for row in glossary.rows("constituents"):
        held.setdefault(row["ingredient"], []).append(f"{row['constituent']} {row['low']}-{row['high']} %")
    for entry in glossary.load(glossary.folder()).values():
        cautions = sorted(
            " ".join(filter(None, (c.level, c.region, c.form, "" if c.limit is None else f"{c.limit:g}"))) for c in entry.cautions
        )
        yield {
            "ingredient": entry.id,
            "cautions": "; ".join(cautions),
            "roles": "; ".join(sorted(f"{r.role}{'*' * r.main}" for r in entry.roles)),
            "values": "; ".join(sorted(f"{p.property} {p.low:g}-{p.high:g} {p.unit}" for p in entry.properties)),
            "stand_ins": "; ".join(" + ".join(f"{share:g} {key}" for key, share in s.parts) or "leave out" for s in entry.stands),
            "made_of": " + ".join(f"{share:g} {key}" for key, share in entry.made_of),
            "holds": "; ".join(held.get(entry.id, ())),
        }


def written():
    return settled_table.written(FILE)


if __name__ == "__main__":
    settled_table.write(FILE, COLUMNS, settled())
