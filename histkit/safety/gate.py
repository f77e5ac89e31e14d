"""The gate: what keeps a mixture from the bench, by its ingredients, all that was printed, and the law of its product."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from histkit.glossary.entries import ingredients, name_of
from histkit.glossary.nouns import Ingredient
from histkit.glossary.words import fold
from histkit.safety.constituents import constituent_findings, taken_apart
from histkit.safety.evidence import LEVELS, UNKNOWN, Declared, Finding, Printed
from histkit.safety.law import Region, law_findings
from histkit.safety.meanings import implausible, meaning_words
from histkit.safety.pairs import is_watery, pair_findings
from histkit.safety.poisons import Found, in_words, poisons_in
from histkit.safety.products import Product
from histkit.safety.within import forbidden_within, refusal_reason


@dataclass(frozen=True, slots=True)
class Mixture:
    """What the gate is asked about: shares of the mass (0–1), what was printed, what the maker said and replaced."""

    parts: tuple[tuple[Ingredient, float], ...]
    printed: tuple[Printed, ...] = ()
    declared: tuple[Declared, ...] = ()
    replaced: frozenset[str] = frozenset()
    """Ids that the maker has put something else in place of, or left out."""

    def share(self, key: str) -> float:
        return next((share for entry, share in self.parts if entry.id == key), 0.0)

    def reason(self, *words: str) -> str:
        """Why the maker vouches for one of these names or ids; '' where they don't."""
        wanted = {fold(word) for word in words if word}
        return next((d.reason for d in self.declared if fold(d.words) in wanted), "")


def findings(mixture: Mixture, product: Product, region: Region) -> tuple[Finding, ...]:
    """All that keeps a mixture from the bench or that its maker should know, the gravest first.

    `product` and `region` say whose law is asked.
    """
    found = [*_forbidden(mixture), *_unprinted_unknown(mixture)]
    masses = taken_apart(mixture.parts)
    whole = [(entry, share) for entry, share in mixture.parts if entry not in masses]
    lawful = [(entry, share) for entry, share in (*masses.items(), *whole) if not forbidden_within(entry)]
    limits = [*law_findings(lawful, product, region), *constituent_findings(masses, product, region)]
    found += [_vouched(finding, mixture) for finding in limits]
    found += pair_findings((entry for entry, _ in mixture.parts), is_watery(mixture.parts))
    lines = [p for p in mixture.printed if p.where == "line"]
    for printed in lines:
        found += _line(printed, mixture)
    named = [f for p in lines for f in _all_in(p)]
    for printed in mixture.printed:
        if printed.where != "line":
            found += _elsewhere(printed, named, lines, mixture)
            named += poisons_in(printed.searched[0])
    return sorted_findings(found)


def sorted_findings(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Each once, the gravest first."""
    return tuple(sorted(dict.fromkeys(found), key=lambda f: LEVELS.index(f.level)))


def _forbidden(mixture: Mixture) -> Iterator[Finding]:
    for entry, _ in mixture.parts:
        if inner := forbidden_within(entry):
            ids = tuple(dict.fromkeys((entry.id, *(i.id for i in inner))))
            yield Finding("refuse", "forbidden", refusal_reason(entry), ids)


def _vouched(finding: Finding, mixture: Mixture) -> Finding:
    """A limit that waits for its maker's word, with that word."""
    if finding.level != "ask" or not (reason := mixture.reason(finding.words)):
        return finding
    return Finding("note", "declared", f"{finding.words}: {reason} ({finding.text})", finding.ingredients, finding.words)


def _unprinted_unknown(mixture: Mixture) -> Iterator[Finding]:
    """Parts that nobody identified and of which no printed line tells."""
    told = {p.part for p in mixture.printed}
    for entry, _ in mixture.parts:
        if entry.id.startswith(UNKNOWN) and entry.id not in told:
            yield from _line(Printed(entry.name, "line", entry.id, False, entry.name), mixture)


def _all_in(printed: Printed) -> tuple[Found, ...]:
    words, name = printed.searched
    return tuple(dict.fromkeys((*poisons_in(words), *poisons_in(name))))


def _line(printed: Printed, mixture: Mixture) -> Iterator[Finding]:
    entry = next((e for e, _ in mixture.parts if e.id == printed.part), None)
    if printed.part in mixture.replaced or (printed.weighed and entry is None):
        return
    shown = " ".join(printed.words.split())
    reason = mixture.reason(printed.words, printed.name, printed.part)
    taken = entry or ingredients.get(printed.part)
    if taken is not None and forbidden_within(taken):
        if not printed.weighed and reason:  # what is weighed and forbidden is told by its part
            yield Finding("note", "declared", f"{shown!r} is not in it: {reason}", (), shown)
        elif not printed.weighed:
            text = f"{shown!r} has no weight, but must not be used. {refusal_reason(taken)}"
            yield Finding("refuse", "forbidden", text, (taken.id,), shown)
        return
    found = _all_in(printed)
    poison = [f for f in found if not f.contested]
    if poison:
        if not printed.weighed and reason:
            yield Finding("note", "declared", f"{shown!r} is not in it: {reason}", (), shown)
        else:
            yield _poisoned(shown, printed, taken, poison)
        return
    if taken is not None and fold(printed.name) == fold(taken.name) and printed.known:
        return  # today's own name of it has no other meaning
    others = [key for key in printed.others if not implausible(printed.part, key, mixture.share(printed.part))]
    if others or found:
        if reason:
            yield Finding("note", "declared", f"{shown!r} is taken for {name_of(printed.part)}: {reason}", (printed.part,), shown)
        else:
            yield _contested(shown, printed, taken, others, found)
    elif printed.weighed and (printed.strange or not printed.known):
        yield _unidentified(shown, printed, taken, reason)


def _unidentified(shown: str, printed: Printed, taken: Ingredient | None, reason: str) -> Finding:
    """What nobody has identified, wholly or in part, or the maker's word for it."""
    name = repr(printed.name or shown)
    if reason:
        return Finding("note", "declared", f"{name} is known to the maker: {reason}", (printed.part,), shown)
    what = f"what {name} is"
    if printed.known and taken is not None:
        what = f"what {printed.strange!r} means in {name}, which was taken for {taken.name}"
    text = f"Nobody has said {what}. Name it (it is kept as {printed.part}), or say why it is known to you."
    return Finding("ask", "unknown", text, (printed.part,), shown)


def _poisoned(shown: str, printed: Printed, taken: Ingredient | None, poison: list[Found]) -> Finding:
    held = f", which was taken for {taken.name}," if taken is not None and printed.known else ""
    told = "; ".join(dict.fromkeys(map(in_words, poison)))
    return Finding(
        "refuse",
        "poison",
        f"{shown!r}{held} holds the word of a poison: {told}. Put something else in its place"
        f"{f' (it is kept as {printed.part})' if printed.part else ''}, or name it rightly.",
        tuple(filter(None, (printed.part, *(f.ingredient for f in poison)))),
        shown,
    )


def _contested(shown: str, printed: Printed, taken: Ingredient | None, others: list[str], found: tuple[Found, ...]) -> Finding:
    meanings = [meaning_words(key, printed.name) for key in ([taken.id] if taken is not None else []) + others]
    meanings += [in_words(f) for f in found]
    return Finding(
        "ask",
        "contested",
        f"{shown!r} has two meanings, one of them poisonous; the poison counts until you choose: {'; '.join(meanings)}. "
        "Choose by replacing it, or say why it is the harmless one.",
        tuple(filter(None, (printed.part, *others))),
        shown,
        tuple(filter(None, (printed.part, *others))),
    )


def _elsewhere(printed: Printed, named: list[Found], lines: list[Printed], mixture: Mixture) -> Iterator[Finding]:
    """Poisons in the title, the directions, or what was left unread; not those that a line already speaks of."""
    groups = {f.group for f in named if f.group}
    ids = {f.ingredient for f in named if f.ingredient} | {p.part for p in lines if p.part}
    loose = printed.where in ("title", "directions")
    told = [f for f in poisons_in(printed.words, loose) if not f.contested]
    told = [f for f in told if (f.ingredient not in ids if f.ingredient else f.group not in groups)]
    told = [f for f in told if not any(_says_more(other, f) for other in told)]
    if not told:
        return
    each = dict.fromkeys(f.words for f in told)
    words = " ".join(each)
    reasons = dict.fromkeys(
        mixture.reason(one) for one in each
    )  # who vouches for one of two poisons has said nothing of the other
    if reason := mixture.reason(words, printed.words) or ("" if "" in reasons else "; ".join(reasons)):
        yield Finding("note", "declared", f"{words!r} in the {printed.where}: {reason}", (), words)
        return
    yield Finding(
        "ask",
        "poison",
        f"The {_PLACES[printed.where]} speaks of a poison that no line has: {'; '.join(dict.fromkeys(map(in_words, told)))}. "
        f"Look whether it belongs into the mixture; if it does not, say why {words!r} is none.",
        tuple(filter(None, (f.ingredient for f in told))),
        words,
    )


def _says_more(other: Found, found: Found) -> bool:
    """Whether another finding has the same words and more, or has them as the name of an ingredient: 'white lead' for 'lead'."""
    if other.words == found.words:
        return bool(other.ingredient) and not found.ingredient
    return found.words in other.words


_PLACES = {
    "title": "title",
    "directions": "text of the directions",
    "unread": "text that was left unread",
    "text": "text as a whole",
}
