#!/usr/bin/env python3
"""Two checks that CI makes on finished things.

check.py demo FOLDER   what `histkit demo` wrote: kinds of files, sizes of the pictures, nothing that loads from the network
check.py wheel FILE    the wheel holds every file of histkit/, glossary/ and notebooks/ in this checkout, and no other
"""

import re
import struct
import sys
import zipfile
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
FRAMES = {(1920, 1080), (3840, 2160), (1080, 1920)}
WANTED_ENDINGS = {".html", ".xlsx", ".png"}
# An address that a page loads by itself; a link that a reader may click is no fault.
FETCHED = re.compile(
    r"""(?:\bsrc\s*=\s*|url\(\s*|@import\s+|<link[^>]*\bhref\s*=\s*)["']?\s*(?:https?:)?//[^\s"')>]+""", re.IGNORECASE
)
# Where the folders of the checkout are found in the wheel.
PLACES = {"histkit": "histkit", "glossary": "histkit/_glossary", "notebooks": "histkit/_notebooks"}


def png_size(path: Path) -> tuple[int, int]:
    """Width and height in pixels, from the header (W3C, PNG specification, 11.2.1 IHDR)."""
    head = path.read_bytes()[:24]
    if head[:8] != b"\x89PNG\r\n\x1a\n":
        raise ValueError(f"{path}: not a PNG")
    width, height = struct.unpack(">II", head[16:24])
    return width, height


def demo_faults(folder: Path) -> list[str]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    faults = [f"{path}: empty" for path in files if path.stat().st_size == 0]
    faults += [f"no file ending in {ending}" for ending in sorted(WANTED_ENDINGS - {path.suffix for path in files})]
    if not any("bench" in path.name for path in files):
        faults.append("no bench sheet (a file with 'bench' in its name)")
    sizes = {path: png_size(path) for path in files if path.suffix == ".png"}
    faults += [f"no picture of {width}×{height}" for width, height in sorted(FRAMES - set(sizes.values()))]
    for path, size in sizes.items():
        named = re.search(r"(\d{3,})[x×](\d{3,})", path.name)
        if named and (int(named[1]), int(named[2])) != size:
            faults.append(f"{path}: is {size[0]}×{size[1]}, not the size in its name")
    for path in files:
        if path.suffix in {".html", ".svg"}:
            faults += [f"{path}: loads from the network: {address}" for address in FETCHED.findall(path.read_text("utf-8"))]
        if path.suffix == ".xlsx" and not zipfile.is_zipfile(path):
            faults.append(f"{path}: not a workbook")
    return faults


def project_files(folder: str) -> list[str]:
    """All files of a folder but what Python and Jupyter leave behind."""
    paths = (path.relative_to(CHECKOUT) for path in (CHECKOUT / folder).rglob("*") if path.is_file())
    return [path.as_posix() for path in paths if not {"__pycache__", ".ipynb_checkpoints"} & set(path.parts)]


def wheel_faults(wheel: Path) -> list[str]:
    expected = {place + name.removeprefix(folder) for folder, place in PLACES.items() for name in project_files(folder)}
    held = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    return [f"not in the wheel: {name}" for name in sorted(expected - held)] + [
        f"only in the wheel: {name}" for name in sorted(held - expected)
    ]


def main() -> int:
    what, path = sys.argv[1], Path(sys.argv[2])
    faults = {"demo": demo_faults, "wheel": wheel_faults}[what](path)
    for fault in faults:
        print(f"{path}: {fault}", file=sys.stderr)
    print(f"check {what} {path}: {f'{len(faults)} faults' if faults else 'as it should be'}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
