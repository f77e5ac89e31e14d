"""Fits the weights of histkit/reading/arranging.csv on labelled formulas, and judges them on books left out.

    python tests/reading/fitted_arranging.py FILE.jsonl …             the table by kind of print, each book read with weights of the others
    python tests/reading/fitted_arranging.py --write FILE.jsonl …     writes arranging.csv, fitted on all of them

A file has one formula a line, labelled as those of `judge.py` (the name as printed in `name` or `ingredient_raw`). What the reader
makes of a labelled line, where amount and name are right, is the right arrangement; where not, any arrangement may be (its amounts
are left free). The weights make the right arrangements likely among all (a conditional random field over the amounts of a text,
with a small penalty on large weights); weights below `SMALLEST` are left out.

The table: of the read lines how many are right; how many of the others have the doubt of the second opinion ("told") and how many
right ones have it ("needless"); of the lines without any doubt about what is printed ("sure"), how many are right.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections import Counter
from difflib import SequenceMatcher
from pathlib import Path

import numpy as np
from judge import read_doubts, settled, words
from scipy.optimize import minimize
from scipy.special import logsumexp

import histkit as hk
from histkit.reading import arranging

TABLE = Path(arranging.__file__).with_suffix(".csv")
PENALTY, SMALLEST, ALIKE = 0.5, 0.1, 0.6
IMPOSSIBLE = -1e9


def read_with(weights, formula):
    """The formula as it is read with these weights, and its arrangement as first read."""
    seen = []
    kept = arranging.arranged, arranging.weights
    arranging.arranged = lambda wording, *rest: seen.append((wording, kept[0](wording, *rest))) or seen[-1][1]
    arranging.weights = lambda: weights
    arranging.scores_between.cache_clear()
    source = hk.Source(title=formula["book"], author=formula["author"], year=formula["year"], country=formula["country"])
    try:
        return hk.reading.reader.read_closely(formula["text"], source), *seen[0]
    except hk.ReadingError:
        return None, None, None
    finally:
        arranging.arranged, arranging.weights = kept
        arranging.scores_between.cache_clear()


def right_lines(formula, reading):
    """For each read line whether a labelled one, not yet used, has its amount and a name much like its own."""
    left = list(formula["lines"])
    verdicts = []
    for line in reading.lines:
        mine = [settled(line.amount, line.unit), *(settled(*part) for part in line.plus)]
        match = next((label for label in left if agrees(label, line, mine)), None)
        verdicts.append(match is not None)
        if match is not None:
            left.remove(match)
    return verdicts


def agrees(label, line, mine):
    name, total = label.get("name") or label["ingredient_raw"], label.get("to_make")
    wanted = [settled(label["amount"], label["unit"]), *(settled(*part) for part in label.get("plus") or ())]
    also = [settled(*other) for other in (*(label.get("also") or ()), *line.also)]
    right = settled(*total) == settled(*line.to_make) if total and line.to_make else wanted == mine or wanted[0] in also
    one, other = sorted(words(name)), sorted(words(line.full_name) | words(line.modifier))
    return right and (bool(set(one) & set(other)) or SequenceMatcher(None, " ".join(one), " ".join(other)).ratio() >= ALIKE)


def rights(formula, reading, wording, text):
    """For each amount of a text the choice that was read where it is right, None where it is not."""
    verdicts = right_lines(formula, reading)
    printed = hk.reading.cleaning.clean(formula["text"]).printed_span
    found = []
    for m, choice in zip(text.measures, text.read, strict=True):
        a, b = printed(wording.tokens[m.first].start, wording.tokens[m.last - 1].end)
        own = [right for line, right in zip(reading.lines, verdicts, strict=True) if a < line.span[1] and line.span[0] < b]
        found.append(choice if own and all(own) else None)
    return found


def lists_of(text):
    return [[None], *text.choices, [None]]


def signs_of(text, i, left, right):
    """All signs of stretch i and of the amount behind it; None where the choices cannot both be."""
    between = arranging.signs_between(text, i, left, right)
    return None if between is None else [*between, *(arranging.own_signs(text, i, right) if right else ())]


def counted(text, right, index):
    """For each stretch: the signs of each pair of choices, which pairs cannot be, and which the labels speak against."""
    tables = []
    lists = lists_of(text)
    for i in range(len(text.stretches)):
        lefts, behind = lists[i], lists[i + 1]
        signs = np.zeros((len(lefts), len(behind), len(index)))
        barred = np.zeros((len(lefts), len(behind)))
        for a, left in enumerate(lefts):
            for b, choice in enumerate(behind):
                found = signs_of(text, i, left, choice)
                barred[a, b] = IMPOSSIBLE if found is None else 0.0
                for sign, count in found or ():
                    if sign in index:
                        signs[a, b, index[sign]] += count
        wanted = right[i] if i < len(right) else None
        against = np.array([0.0 if wanted is None or choice == wanted else IMPOSSIBLE for choice in behind])
        tables.append((signs.reshape(-1, len(index)), barred, against))
    return tables


def likelihood(tables, weights, labelled):
    """The logarithm of the sum over all arrangements (those the labels allow where `labelled`), and its slope."""
    ahead, scores = [np.zeros(1)], []
    for signs, barred, against in tables:
        score = (signs @ weights).reshape(barred.shape) + barred + against * labelled
        scores.append(score)
        ahead.append(logsumexp(ahead[-1][:, None] + score, axis=0))
    total, slope, behind = ahead[-1][0], np.zeros(len(weights)), np.zeros(1)
    for (signs, _, _), score, before in zip(reversed(tables), reversed(scores), reversed(ahead[:-1]), strict=True):
        slope += np.exp(before[:, None] + score + behind - total).ravel() @ signs
        behind = logsumexp(score + behind, axis=1)
    return total, slope


def fitted(all_tables, begin, steps=60):
    def loss(weights):
        value, slope = PENALTY * weights @ weights, 2 * PENALTY * weights
        for tables in all_tables:
            (every, one), (allowed, other) = (likelihood(tables, weights, labelled) for labelled in (False, True))
            value, slope = value + every - allowed, slope + one - other
        return value, slope

    return minimize(loss, begin, jac=True, method="L-BFGS-B", options={"maxiter": steps}).x


def verdict(formula, weights):
    """The counts of the table for one formula."""
    reading = read_with(weights, formula)[0]
    result = Counter()
    for line, right in zip(reading.lines, right_lines(formula, reading), strict=True) if reading else ():
        told = any("stands between two names" in doubt.text for doubt in line.doubts)
        result.update(lines=1, right=right, told=told and not right, needless=told and right)
        if not read_doubts(line):
            result.update(sure=1, sure_right=right)
    return result


def main():
    paths = [word for word in sys.argv[1:] if not word.startswith("-")]
    formulas = [json.loads(line) for path in paths for line in Path(path).read_text(encoding="utf-8").splitlines()]
    texts = []
    for formula in formulas:
        reading, wording, text = read_with({}, formula)
        if text is not None and any(len(choices) > 1 for choices in text.choices):
            texts.append((formula["book"], text, rights(formula, reading, wording, text)))
    found = (
        signs_of(text, i, left, right) or ()
        for _, text, _ in texts
        for i in range(len(text.stretches))
        for left in lists_of(text)[i]
        for right in lists_of(text)[i + 1]
    )
    names = sorted({sign for signs in found for sign, count in signs if count})
    index = {name: i for i, name in enumerate(names)}
    tables = [(book, counted(text, right, index)) for book, text, right in texts]
    whole = fitted([table for _, table in tables], np.zeros(len(names)))
    if "--write" in sys.argv:
        out = io.StringIO()
        rows = ((name, f"{weight:.2f}") for name, weight in zip(names, whole, strict=True) if abs(weight) >= SMALLEST)
        csv.writer(out, lineterminator="\n").writerows([("sign", "weight"), *rows])
        TABLE.write_text(out.getvalue(), encoding="utf-8")
        return
    groups = {}
    for book in dict.fromkeys(formula["book"] for formula in formulas):
        others = fitted([table for title, table in tables if title != book], whole, steps=10)
        weights = dict(zip(names, others, strict=True))
        for formula in formulas:
            if formula["book"] == book:
                for group in (formula.get("print", "no group"), "all"):
                    groups.setdefault(group, Counter()).update(verdict(formula, weights))
    print("".join(f"{head:>12}" for head in ("print", "lines", "right", "told", "needless", "sure", "sure right")))
    for group, counts in sorted(groups.items()):
        row = (group, *(counts[key] for key in ("lines", "right", "told", "needless", "sure", "sure_right")))
        print("".join(f"{cell:>12}" for cell in row))


if __name__ == "__main__":
    main()
