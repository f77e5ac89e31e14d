"""Search for bytes that break what `harnesses` says must hold, led by which lines of histkit they reach.

`make fuzz` searches each harness for two minutes; `make fuzz ARGS="cli pages --seconds 600"` those two for ten. Whatever is found
is kept in .fuzz/ and searched from again: `NAME/` the bytes that reached something new, `faults/` those that broke something,
each with what it broke. `make fuzz ARGS="--again .fuzz/faults/NAME-1"` tries one of them once more.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import time
import traceback
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).parents[2]
KEPT = ROOT / ".fuzz"
FAULTS = KEPT / "faults"
NAMES = ("reading", "lookup", "records", "glossary_tables", "exports", "pictures", "pages", "cli")
LACKING = """The search needs Atheris, which is not installed in this environment (it has wheels for Linux and some Pythons):
  {python} -m pip install -e '.[fuzz]'
The same harnesses are tried with a few examples, without it, by every run of the tests (tests/fuzz/test_harnesses.py)."""


def search(name: str, seconds: int) -> None:
    """Search one harness in this process, which ends with it: libFuzzer does not return."""
    import atheris

    with atheris.instrument_imports(include=["histkit"]):
        from fuzz import harnesses
    harness = harnesses.HARNESSES[name]
    known: set[str] = set()

    def tried(data: bytes) -> None:
        try:
            harness(data)
        except Exception as error:  # kept, and the search goes on: one fault must not hide the next
            place = traceback.extract_tb(error.__traceback__)[-1]
            where = f"{type(error).__name__} at {place.filename}:{place.lineno}"
            if where not in known:
                known.add(where)
                path = FAULTS / f"{name}-{sha256(where.encode()).hexdigest()[:8]}"
                path.write_bytes(data)
                path.with_suffix(".txt").write_text(traceback.format_exc()[-6000:], encoding="utf-8", errors="backslashreplace")
                print(f"FAULT {where}: {path.relative_to(ROOT)}", flush=True)

    seeds, reached = KEPT / f"{name}-seeds", KEPT / name
    for folder in (seeds, reached, FAULTS):
        folder.mkdir(parents=True, exist_ok=True)
    for seed in harnesses.beginnings(name):
        (seeds / sha256(seed).hexdigest()[:16]).write_bytes(seed)
    options = [f"-max_total_time={seconds}", "-timeout=60", "-rss_limit_mb=4000", "-max_len=4096", "-print_final_stats=1"]
    atheris.Setup([sys.argv[0], *options, f"-artifact_prefix={FAULTS}/{name}-", str(reached), str(seeds)], tried)
    atheris.Fuzz()


def again(path: Path) -> int:
    from fuzz import harnesses

    name = next(n for n in sorted(NAMES, key=len, reverse=True) if path.name.startswith(f"{n}-"))
    harnesses.HARNESSES[name](path.read_bytes())
    print(f"{path}: nothing is broken any more")
    return 0


def main() -> int:
    parser = argparse.ArgumentParser(description="Search for bytes that break histkit.")
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"which harnesses: {', '.join(NAMES)}; all, where none is named")
    parser.add_argument("--seconds", type=int, default=120, help="how long each is searched")
    parser.add_argument("--again", type=Path, help="a file of .fuzz/faults to try once more")
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    wanted = parser.parse_args()
    if unknown := [name for name in wanted.names if name not in NAMES]:
        parser.error(f"no harness is called {unknown[0]!r}; there are {', '.join(NAMES)}")
    sys.path.insert(0, str(ROOT / "tests"))
    if wanted.again:
        return again(wanted.again)
    try:
        import atheris  # noqa: F401
    except ImportError:
        print(LACKING.format(python=Path(sys.executable)), file=sys.stderr)
        return 2
    if wanted.here:
        search(wanted.names[0], wanted.seconds)
    faults = 0
    for name in wanted.names or NAMES:
        began = time.monotonic()
        call = [sys.executable, __file__, "--here", name, "--seconds", str(wanted.seconds)]
        done = subprocess.run(call, capture_output=True, text=True, errors="replace", check=False)
        tries = re.search(r"number_of_executed_units: (\d+)", done.stderr)
        covered = re.findall(r"cov: (\d+)", done.stderr)
        found = [line for line in done.stdout.splitlines() if line.startswith("FAULT")]
        if done.returncode:  # ended before its time: too slow, too large, or Python itself gave up
            found.append(f"FAULT ended with {done.returncode}: " + " | ".join(done.stderr.strip().splitlines()[-3:]))
        print(
            f"{name:16} {int(tries[1]) if tries else 0:>9,} tries in {(time.monotonic() - began) / 60:.1f} min,"
            f" {covered[-1] if covered else '?'} places reached, {len(found)} faults",
            flush=True,
        )
        for line in found:
            print(f"  {line}", flush=True)
        faults += len(found)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
