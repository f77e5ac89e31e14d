"""The stages of a look-up, over an index of names: by name, by Latin name, without its modifiers, by its spelling."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.agreement import disagreements, heads, senses
from histkit.glossary.candidates import candidates
from histkit.glossary.compounds import in_general, of_another_make, of_its_mother
from histkit.glossary.entries import ingredients
from histkit.glossary.index import Hits, NameIndex
from histkit.glossary.inside import Inside, known_inside
from histkit.glossary.latin import latin_hits
from histkit.glossary.meanings import match_of
from histkit.glossary.nouns import Ingredient, Match
from histkit.glossary.scanned import LAST_TRY, SHORTEST_ALONE, mended_names
from histkit.glossary.spelling import Guess, beside, by_spelling, letters_apart, shortened
from histkit.glossary.stretches import SHORTEST_HALF, respelled, two_words
from histkit.glossary.words import (
    fold,
    german_key,
    idle_with,
    key_of,
    kinds,
    peeled,
    restated,
    set_of_kind,
    strangers,
    words_in_order,
)

_SURE = ("exact", "latin", "modifier")
_DOTTED = re.compile(r"(\b\w++)\.")


class Hit(NamedTuple):
    """The ingredients that a name stands for, the likeliest first; how it was found and how surely (0–1)."""

    meanings: Hits
    via: str
    score: float
    words: str
    """The folded words that were found."""
    modifier: str = ""
    doubts: tuple[Doubt, ...] = ()


def identified(name: str, index: NameIndex) -> Match | None:
    """What a printed name means by the names of `index`, whatever the book; None where none of them is near."""
    hit = without_guessing(name, index)
    if hit is None or hit.doubts:  # all words in an old spelling tell more than some of them
        hit = _respelled(name, index) or otherwise_joined(name, hit, index) or hit
    elif fold(name) != hit.words and (whole := _all_respelled(name, index)):
        hit = whole  # 'Betonie flowers' are no betony herb
    elif any(_contradictions(name, hit)):  # 'cypres nuts' are no cypress, 'straw-berries' no straw
        other = _respelled(name, index) or otherwise_joined(name, hit, index)
        hit = other if other and not (other.doubts or any(_contradictions(name, other))) else hit
    if hit is None or hit.doubts or any(_contradictions(name, hit)):
        finer = _of_its_mother(name, hit, index)
        if not (finer or hit) and (match := _by_likeness(name, index)) is not None:
            return match
        hit = finer or _in_general(name, hit, index) or hit
    if hit and not (graver := _poison_dropped(name, hit, index)):
        doubts = (*hit.doubts, *_contradictions(name, hit), *_perhaps_two(name, hit, index))
        match = match_of(name, hit.meanings, hit.via, hit.score, hit.modifier, doubts)
        return match if hit.words == fold(name) else _or_a_letter_off(match, name, index)
    if part := graver if hit else known_inside(name, index):
        match = match_of(name, part.meanings, "inside", part.score, part.dropped, part.doubts)
        beside = [*part.beside, *(key for key, _ in (hit.meanings if hit else ()))]
        others = dict.fromkeys((*match.alternatives, *(ingredients[key] for key in beside)))
        return replace(match, alternatives=tuple(other for other in others if other is not match.ingredient))
    return None


def _contradictions(name: str, hit: Hit) -> Iterator[Doubt]:
    return disagreements(fold(name), hit.words, ingredients[hit.meanings[0][0]], said_already=bool(hit.doubts))


def _perhaps_two(name: str, hit: Hit, index: NameIndex) -> Iterator[Doubt]:
    """A doubt where a comma may part two ingredients: 'sugar, milk', which a price list prints for sugar of milk.

    'Starch, wheat' is a starch, and 'water, rose' a water: the second word only says which.
    """
    sides = name.split(",")
    if len(sides) != 2 or hit.words in index.exact or not (first := by_words(fold(sides[0]), index)):
        return
    second, meant = by_words(fold(sides[1]), index), {key for key, _ in hit.meanings}
    if second and meant.isdisjoint(key for key, _ in (*first, *second)) and fold(sides[0]) not in heads():
        both = (ingredients[first[0][0]].name, ingredients[second[0][0]].name)
        yield Doubt(
            "ingredient", f"{name!r} may be two ingredients, {both[0]} and {both[1]}.", both, "It changes what is weighed."
        )


def _poison_dropped(name: str, hit: Hit, index: NameIndex) -> Inside | None:
    """A poison that the print names and the hit left out ('lard, with white lead'), before what the hit means."""
    if any(ingredients[key].forbidden for key, _ in hit.meanings):
        return None
    kept = (hit.words.split(), kinds().free, kinds().doubtful, kinds().small, heads())
    if all(any(word in words for words in kept) for word in fold(name).split()):
        return None
    part = known_inside(name, index)
    return part if part and ingredients[part.meanings[0][0]].forbidden else None


def all_its_words(name: str, index: NameIndex) -> Hits:
    """The ingredients that all words of a name together mean by themselves, as any age spelled them, or as a preparation of what
    they name: no word is left out, and no letter guessed."""
    if hits := by_words(fold(name), index):
        return hits
    if hit := _all_respelled(name, index):
        return hit.meanings
    found = of_its_mother(name, _surely(index), lambda words: index.exact.get(words, ()))
    return found[0] if found else ()


def _all_respelled(name: str, index: NameIndex) -> Hit | None:
    """The whole name as another age spelled it."""
    keys = respelled(name.split(), index)
    return Hit(tuple((key, len(keys) > 1) for key in keys), "respelled", 0.9, fold(name)) if keys else None


def _respelled(name: str, index: NameIndex) -> Hit | None:
    """The name as another age spelled it, whole or without its free words."""
    for words in _whole_and_without_free_words(name):
        keys = [key for key in respelled(words.split(), index) if not of_another_make(words, ingredients[key])]
        if keys and not (words != name and _names_another(name, peeled(fold(name), kinds().free)[1], set(keys), index)):
            return Hit(tuple((key, len(keys) > 1) for key in keys), "respelled", 0.9, fold(words))
    return None


def otherwise_joined(name: str, found: Hit | None, index: NameIndex) -> Hit | None:
    """The name with a blank that the print left out ('bolearmoniack'), or without a hyphen or a blank that it set ('master-wort',
    'milk weed'); with a doubt only where nothing was `found` as it is printed."""
    folded = fold(name)
    parted = " ".join([two_words(word, index) or word for word in folded.split()])
    for said in (parted, fold(name.replace("-", "")), *_with_one_blank_less(folded, index)):
        if said != folded:
            hit = without_guessing(said, index)
            if hit is None or hit.doubts:
                hit = _respelled(said, index) or hit
            if hit and not (hit.doubts and found):
                return hit
    return None


def _with_one_blank_less(folded: str, index: NameIndex) -> Iterator[str]:
    """The name with two of its words made one that the glossary has: 'milkweed roots' of 'milk weed roots'."""
    words = folded.split()
    for at, (first, second) in enumerate(pairwise(words)):
        if min(len(first), len(second)) >= SHORTEST_HALF and first + second in index.vocabulary:
            yield " ".join([*words[:at], first + second, *words[at + 2 :]])


def _by_likeness(name: str, index: NameIndex) -> Match | None:
    """The name with worn letters mended, or the known name that is nearest to it: what has fewer letters changed, and the other
    beside it."""
    scanned, spelled = _as_scanned(name, index), by_spelling(name, index)
    if not (scanned and spelled):
        match = scanned or spelled or _as_scanned(name, index, LAST_TRY)
        return match.match if match else None
    if spelled.letters < scanned.letters and not (scanned.match.ingredient.forbidden and not spelled.match.ingredient.forbidden):
        scanned, spelled = spelled, scanned
    return beside(scanned.match, (spelled.match.ingredient, *spelled.match.alternatives))


def _or_a_letter_off(match: Match, name: str, index: NameIndex) -> Match:
    """What a part of a name means, or the whole name where that has a word of no name and is one letter off a known one: 'casa
    bark' is cassia bark rather than cheese."""
    if all(word in index.near_words.words or word.isdigit() for word in fold(name).split()):
        return match
    spelled = by_spelling(name, index)
    if spelled is None or spelled.letters > 1 or spelled.match.ingredient in (match.ingredient, *match.alternatives):
        return match
    if match.ingredient.forbidden and not spelled.match.ingredient.forbidden:
        return beside(match, (spelled.match.ingredient,))
    return beside(spelled.match, (match.ingredient, *match.alternatives))


def _as_scanned(name: str, index: NameIndex, shortest_alone: int = SHORTEST_ALONE) -> Guess | None:
    """The name with the shapes of its letters mended, with what else it may be among the alternatives; a poison first."""
    mended_so = mended_names(name, index, shortest_alone)
    found = [(hit, doubt) for mended, doubt in mended_so if (hit := without_guessing(mended, index))]
    if not found:
        return None
    hit, doubt = min(found, key=lambda pair: (not ingredients[pair[0].meanings[0][0]].forbidden, len(pair[0].doubts)))
    match = match_of(name, hit.meanings, "spelling", hit.score - 0.15, hit.modifier, (doubt, *hit.doubts))
    others = (ingredients[key] for other, _ in found for key, _ in other.meanings)
    return Guess(beside(match, others), min(letters_apart(text, hit.words) for text in shortened(name)))


def _of_its_mother(name: str, otherwise: Hit | None, index: NameIndex) -> Hit | None:
    """A preparation that no row names so, by the English names of what it is made of; said otherwise where it is no name."""
    forms = _whole_and_without_free_words if otherwise and otherwise.via == "exact" else _in_every_form
    for words in forms(name):
        if found := of_its_mother(words, _surely(index), lambda words: index.exact.get(words, ())):
            return Hit(found[0], "compound", 0.88, found[1])
    return None


def _in_general(name: str, otherwise: Hit | None, index: NameIndex) -> Hit | None:
    """The entry for all preparations of a sort, where what it would be `otherwise` is no such preparation."""
    taken = ingredients[otherwise.meanings[0][0]] if otherwise else None
    for words in _in_every_form(name):
        if general := in_general(words, _surely(index), taken):
            return Hit(((general[0], False),), "compound", 0.7, fold(words), doubts=(_of_no_entry(name, *general),))
    return None


def _whole_and_without_free_words(name: str) -> Iterable[str]:
    return dict.fromkeys((name, peeled(fold(name), kinds().free)[0]))


def _in_every_form(name: str) -> Iterable[str]:
    """The whole name, without its free words, and said otherwise: 'fluid extract of' is 'extract of'."""
    return dict.fromkeys((*_whole_and_without_free_words(name), *restated(fold(name))))


def _surely(index: NameIndex) -> Callable[[str], Hits]:
    """What finds the ingredients that are surely meant by a name."""

    def known(thing: str) -> Hits:
        hit = without_guessing(thing, index)
        return hit.meanings if hit and not hit.doubts and hit.via in _SURE else ()

    return known


def _of_no_entry(name: str, general: str, of: Ingredient) -> Doubt:
    text = f"{name!r} has no entry of its own: it is taken for {ingredients[general].name}, made of {of.name}."
    return Doubt("ingredient", text, (of.name,), "What it is made of decides what it does and whether it may be used.")


def without_guessing(name: str, index: NameIndex) -> Hit | None:
    """The name or a part of it by every way but a likeness of letters."""
    dotted = frozenset(fold(word) for word in _DOTTED.findall(name))
    for candidate in candidates(name, index):
        if candidate.words in set_of_kind("whole") and candidate.words != fold(name):
            continue
        if hit := _by_name(candidate.words, dotted, index):
            if _names_another(name, candidate.modifier, {key for key, _ in hit.meanings}, index):
                continue
            via = "modifier" if candidate.modifier and hit.via == "exact" else hit.via
            doubts = () if _says_nothing_new(candidate.modifier, hit.meanings) else candidate.doubts
            return Hit(hit.meanings, via, hit.score - candidate.cost, candidate.words, candidate.modifier, doubts)
    return None


def _names_another(name: str, modifier: str, meant: set[str], index: NameIndex) -> bool:
    """Whether a word taken away makes with the next one the name of another thing: 'ground' of 'ground ivy leaves'.

    Not where the next one says a part or preparation: in 'fresh flowers of elder' it belongs to what follows.
    """
    lost = modifier.split()
    for word, following in pairwise(fold(name).split()) if lost else ():
        if word in lost and following not in lost and following not in heads():
            together = {key for key, _ in by_words(f"{word} {following}", index)} or set(respelled([word, following], index))
            if together and together.isdisjoint({*meant, *(key for key, _ in by_words(following, index))}):
                return True
    return False


def _says_nothing_new(modifier: str, meanings: Hits) -> bool:
    """Whether all words taken away that may make another substance change nothing in this one: 'distilled' of a water."""
    lost = [word for word in modifier.split() if word in kinds().doubtful]
    kind = ingredients[meanings[0][0]].kind
    return bool(lost) and all(kind in idle_with().get(word, ()) for word in lost)


def _by_name(folded: str, dotted: frozenset[str], index: NameIndex) -> Hit | None:
    if hits := by_words(folded, index):
        return Hit(hits, "exact", 1.0 if folded in index.exact else 0.97, folded)
    if hits := latin_hits(folded, dotted, index):
        return Hit(hits, "latin", 0.93, folded)
    if folded in strangers():
        return None
    hits = index.german.get(german_key(folded), ())
    if not hits and folded.count(" ") == 1:  # 'Rosen-Blätter'
        hits = index.german.get(german_key(folded.replace(" ", "")), ())
    return Hit(hits, "exact", 0.95, folded) if hits else None


def by_words(folded: str, index: NameIndex) -> Hits:
    """The ingredients of this very name, or of its words in another order or number."""
    if hits := index.exact.get(folded):
        return hits
    hits = index.keys.get(key_of(folded), ()) if folded else ()
    hits = tuple(hit for hit in hits if _may_be_so_ordered(folded, hit[0]))
    return hits if len(hits) < 2 else _in_printed_order(folded, hits)


def _may_be_so_ordered(folded: str, key: str) -> bool:
    """Whether an ingredient has a name of these words in an order that means the same: 'water of mint' is no water mint, a water
    lily no lily water, yellow lemons no lemon yellow, and soda in powder no soda powder; but 'vitriol white' is white vitriol.
    """
    words, leads, coloured, joined = key_of(folded), _leads(folded), _ends_in_a_colour(folded), _joiners(folded)
    names = (fold(name) for name in (ingredients[key].name, *(name.name for name in ingredients[key].names)))
    same = [name for name in names if key_of(name) == words and _joiners(name) == joined and _parts_as(name, folded)]
    return any(_leads(name) == leads and (coloured or not _ends_in_a_colour(name)) for name in same)


def _parts_as(name: str, folded: str) -> bool:
    """Whether a name has two things beside each other where the print has: 'oil and butter' is no butter oil."""
    return set_of_kind("between").isdisjoint(set(folded.split()) - set(name.split()))


def _joiners(folded: str) -> frozenset[str]:
    return set_of_kind("joiner").intersection(folded.split())


def _leads(folded: str) -> bool:
    """Whether a word that begins names of plants stands before one: 'water mint', but not 'water of mint' or 'rose water red'."""
    leading, others = set_of_kind("leading"), (set_of_kind("link"), kinds().free_or_doubtful)
    beside = pairwise(folded.split())
    return any(word in leading and not any(following in words for words in others) for word, following in beside)


def _ends_in_a_colour(folded: str) -> bool:
    return "colour" in senses(folded.rpartition(" ")[2])


def _in_printed_order(folded: str, hits: Hits) -> Hits:
    """Those that have a name with all the words in this order: 'salts tartar' is salt of tartar, and no essential salt of it."""
    printed = words_in_order(folded)
    same = tuple(hit for hit in hits if any(words_in_order(fold(name.name)) == printed for name in ingredients[hit[0]].names))
    return same or hits
