"""A list of tokens with quick looks ahead: the next word, the next token that counts, a phrase of the tables."""

from __future__ import annotations

from functools import cache

from histkit.reading.tokens import Token
from histkit.reading.vocabulary import Phrase, phrases

LOOK_AHEAD = 64
"""How far beyond the last token a look ahead may reach: more than the words of the longest amount."""


@cache
def phrases_by_first_word() -> dict[str, tuple[Phrase, ...]]:
    """The phrases in a plain dict, which answers faster than a read-only view of one."""
    return dict(phrases())


class Looking:
    """Holds no state but the tokens and what is plain from each of them."""

    def __init__(self, tokens: list[Token]) -> None:
        self.tokens = tokens
        beyond = range(len(tokens), len(tokens) + LOOK_AHEAD)
        self.words: list[str] = [*(token.word if token.kind == "word" else "" for token in tokens), *("" for _ in beyond)]
        """The word of each token, "" where it is none."""
        self.solid: list[int] = [*self._solid(), *beyond]
        """For each token, the first at or after it that is neither gap nor line end."""
        self.depth: list[int] = self._depth()
        """In how many brackets each token stands; a bracket that is never closed counts for nothing."""
        self._phrases: dict[int, list[tuple[Phrase, int]]] = {}
        """The phrases that stand at a token, the longest first, once they have been looked for: each place is asked often."""

    def _solid(self) -> list[int]:
        following, found = len(self.tokens), []
        for i in range(len(self.tokens) - 1, -1, -1):
            following = following if self.tokens[i].kind in ("gap", "line") else i
            found.append(following)
        return found[::-1]

    def _depth(self) -> list[int]:
        level, found = 0, []
        for token in self.tokens:
            if token.kind == "close":
                level = max(0, level - 1)
            found.append(level + (token.kind == "close"))
            if token.kind == "open":
                level += 1
                found[-1] = level
            if token.kind == "para":
                level = 0
        return [0] * len(self.tokens) if level else found  # an unclosed bracket must not swallow the rest of the text

    def skip(self, i: int, kinds: tuple[str, ...] = ()) -> int:
        """The first token at or after i that is none of `kinds`; as a rule, neither gap nor line end."""
        if not kinds:
            return self.solid[i]
        while i < len(self.tokens) and self.tokens[i].kind in kinds:
            i += 1
        return i

    def word(self, i: int) -> str:
        return self.words[i]

    def ends_clause(self, i: int) -> bool:
        """Whether a clause ends at token i: with the text, its line, or a stop."""
        return i >= len(self.tokens) or self.tokens[i].kind in ("line", "para") or self.tokens[i].text in (";", ".", ",")

    def phrase(self, i: int, *kinds: str) -> tuple[Phrase, int] | None:
        """The longest known phrase of one of `kinds` that begins at token i, and the token after it."""
        first = self.words[i]
        if not first or (known := phrases_by_first_word().get(first)) is None:
            return None
        found = self._phrases.get(i)
        if found is None:
            found = self._phrases[i] = [(phrase, after) for phrase in known if (after := self._after(phrase, i))]
        for phrase, after in found:
            if not kinds or phrase.kind in kinds:
                return phrase, after
        return None

    def _after(self, phrase: Phrase, i: int) -> int:
        """The token after a phrase that stands at token i; 0 where it does not."""
        j = i + 1
        for wanted in phrase.words[1:]:
            j = self.solid[j]
            if self.words[j] != wanted:
                return 0
            j += 1
        return j
