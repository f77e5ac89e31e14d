"""How well photographed pages are read: invented formulas are set in many faces, worn or photographed, read, and compared with
what was set.

    python tests/photo/judge.py                 # 3 pages of each sort, state and face that this machine has, other faces
    python tests/photo/judge.py --tuning        # than those the rules were made on; --tuning: those
    python tests/photo/judge.py --pages 2 --fonts FOLDER --states clean worn phone --sorts list prose stacked signs -v

A line counts as right where the reader gives it the amount and the unit that were set. `caught`: wrong amounts that a doubt of the
picture or of the reader marks; `needless`: right lines that the picture's doubts mark. `lost`: set lines of which nothing was
made, and of how many the words are shown as unread or unused.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

import printed_pages as pages  # noqa: E402
from photographed import Judged, judged  # noqa: E402

from histkit import photo  # noqa: E402


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:4.0f} %" if whole else "    –"


def table(results: dict[tuple[str, str], list[Judged]], rows: list[tuple[str, list[tuple[str, str]]]]) -> str:
    """The figures as a table."""
    out = [f"{'':20}{'lines':>6} {'right':>7} {'wrong caught':>14} {'by photo':>9} {'needless':>9} {'lost':>5} {'of them shown or marked':>24}"]
    for name, cells in rows:
        all_of = [line for cell in cells for line in results.get(cell, ())]
        fates = Counter(line.fate for line in all_of)
        wrong = [line for line in all_of if line.fate == "wrong"]
        right = [line for line in all_of if line.fate == "right"]
        lost = [line for line in all_of if line.fate == "lost"]
        caught, by_photo = sum(line.by_photo or line.by_reader for line in wrong), sum(line.by_photo for line in wrong)
        shown = sum(line.shown or line.by_photo for line in lost)
        out.append(
            f"{name:20}{len(all_of):>6} {_share(fates['right'], len(all_of)):>7} {f'{caught} of {len(wrong)}':>8} {_share(caught, len(wrong)):>6}"
            f"{_share(by_photo, len(wrong)):>9} {_share(sum(line.by_photo for line in right), len(right)):>9} {len(lost):>5} {shown:>24}"
        )
    return "\n".join(out)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pages", type=int, default=3)
    parser.add_argument("--first", type=int, default=100, help="seed of the first page")
    parser.add_argument("--tuning", action="store_true")
    parser.add_argument("--fonts", type=Path)
    parser.add_argument("--states", nargs="*", default=list(pages.STATES), choices=pages.STATES)
    parser.add_argument("--sorts", nargs="*", default=list(pages.SORTS), choices=pages.SORTS)
    parser.add_argument("--faces", nargs="*")
    parser.add_argument("-v", action="store_true")
    chosen = parser.parse_args()
    faces = pages.faces_there(tuple(chosen.faces or (pages.TUNING if chosen.tuning else pages.JUDGING)), chosen.fonts)
    results: dict[tuple[str, str], list[Judged]] = {}
    count, spent = 0, 0.0
    for sort in chosen.sorts:
        for state in chosen.states:
            for n in range(chosen.pages):
                for f, face in enumerate(faces):
                    seed = chosen.first + n * len(faces) + f
                    image, page = pages.rendered(sort, seed, face, state, chosen.fonts)
                    begins = time.process_time()
                    seen = photo.read_photo(photo.Picture(image, "", 1, 1))
                    spent, count = spent + time.process_time() - begins, count + 1
                    lines = judged(seen, page.keys)
                    results.setdefault((sort, state), []).extend(lines)
                    if chosen.v:
                        _tell(sort, state, face, seed, lines, seen)
    print(f"faces: {', '.join(faces)}; {count} pages, {spent / max(1, count):.1f} s of processor time each")
    rows = [(f"{sort}, {state}", [(sort, state)]) for sort in chosen.sorts for state in chosen.states]
    rows += [(f"all, {state}", [(sort, state) for sort in chosen.sorts]) for state in chosen.states]
    print(table(results, rows))


def _tell(sort: str, state: str, face: str, seed: int, lines: list[Judged], seen: photo.PhotoText) -> None:
    faults = [line for line in lines if line.fate != "right" or line.by_photo]
    if not faults:
        return
    print(f"-- {sort} {state} {face} {seed}")
    for line in faults:
        marks = "photo" * line.by_photo, "reader" * line.by_reader, "shown" * line.shown
        print(f"   {line.fate:6} {line.key.amount:g} {line.key.unit} {line.key.name} -> {line.read} [{' '.join(filter(None, marks))}]")
    print("   " + " / ".join(f"{d.kind}: {d.reading!r} {d.other!r}" for d in seen.doubts))
    if any(line.fate == "lost" for line in lines):
        print("   " + repr(seen.text))


if __name__ == "__main__":
    main()
