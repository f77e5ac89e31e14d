"""What must not be used, itself or inside a preparation, and why, in words."""

from __future__ import annotations

from collections.abc import Iterator

from histkit.glossary.nouns import Ingredient


def within(ingredient: Ingredient) -> Iterator[Ingredient]:
    """An ingredient and all that it is made of, however deep, each once."""
    from histkit import glossary

    seen: set[str] = set()
    waiting = [ingredient]
    while waiting:
        current = waiting.pop()
        if current.id not in seen:
            seen.add(current.id)
            yield current
            waiting += [glossary.ingredient(part) for part, _ in current.made_of]


def forbidden_within(ingredient: Ingredient) -> tuple[Ingredient, ...]:
    """The forbidden ingredients in this one: itself, or what it is made of, however deep. Empty where there is none."""
    made_up = within(ingredient) if ingredient.made_of else (ingredient,)
    return tuple(inner for inner in made_up if inner.forbidden)


def refusal_reason(ingredient: Ingredient, ids: bool = True) -> str:
    """Why this ingredient may not be used and what stands in for it, in words; names what hides in a preparation.

    With `ids` each name is followed by the id that a script would take.
    """

    def named(which: Ingredient) -> str:
        return f"{which.name} ({which.id})" if ids else which.name

    reasons = []
    for culprit in forbidden_within(ingredient):
        what = named(ingredient) if culprit.id == ingredient.id else f"{named(ingredient)} holds {named(culprit)}"
        why = " ".join(c.text for c in culprit.cautions if c.level == "forbidden")
        reasons.append(f"{what}: {why}")
    stands = ingredient.stands or tuple(s for culprit in forbidden_within(ingredient) for s in culprit.stands)
    options = [s.option for s in stands]
    in_place = f" In its place: {'; '.join(options)}." if options else ""
    return " ".join(reasons) + in_place
