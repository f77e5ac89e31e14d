"""On which line stands the doubt about a rate, so much to each of something else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.nouns import Doubt
from histkit.reading.measure import Measure
from histkit.reading.unit_words import begins_a_sentence
from histkit.reading.vocabulary import AND
from histkit.reading.wording import Wording

if TYPE_CHECKING:
    from histkit.reading.assigning import Entry


def tell_rates(wording: Wording, entries: list[Entry], rates: list[Measure]) -> None:
    """The Doubt on the entry before 'to every pound of salve', or on the one behind where it leads to that: its amount is a rate,
    and the rest says of what."""
    before = len(entries) - 1
    doubts: list[tuple[int, Doubt]] = []
    for rate in reversed(rates):
        while before >= 0 and not ((measure := entries[before].measure) is not None and measure.last <= rate.first):
            before -= 1
        at = before + 1 if _leads_to_the_next(wording, entries, rate, before) else before
        if at < 0:
            break
        words = " ".join(t.text for t in wording.tokens[rate.first : rate.last] if t.kind in ("word", "num", "sign"))
        text = f"The amount is printed as a rate ({words!r}); it is taken once, as printed."
        doubts.append((at, Doubt("amount", text, (), "For a larger batch it grows with it.")))
    for at, doubt in reversed(doubts):
        entries[at].doubts = (*entries[at].doubts, doubt)


def _leads_to_the_next(wording: Wording, entries: list[Entry], rate: Measure, before: int) -> bool:
    """'nutmegs an ounce, to every ounce of them put half a pint of vinegar': whether a stop or 'and' parts a rate from the entry
    before, and nothing but a comma from the amount behind, whose name follows it."""
    following = entries[before + 1] if before + 1 < len(entries) else None
    if following is None or following.measure is None or not following.names:
        return False
    measure = entries[before].measure if before >= 0 else None
    ends = measure.last if measure is not None else 0
    parted = before < 0 or wording.has_stop(ends, rate.first) or wording.tokens[rate.first - 1].word in AND
    begins = following.measure.first
    if wording.tokens[rate.last - 1].dot and begins_a_sentence(wording.view, rate.last):
        return False  # 'in the proportion of 1 oz. to 2 pints. Add two ounces of sugar'
    if not parted or not rate.last <= begins < following.names[0][0]:
        return False
    between = wording.tokens[rate.last : begins]
    return all(token.kind in ("word", "gap", "line") or token.text == "," for token in between) and not any(
        token.dot or token.word in AND for token in between
    )
