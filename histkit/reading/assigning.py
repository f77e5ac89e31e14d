"""Which name belongs to which amount.

Old books put the amount before the name ('two ounces of borax') or after it ('borax, two ounces') and change their
mind within a sentence. For a run of measures with words between them, each measure looks either left or right for its
name; the best-scoring set of choices is found by dynamic programming over the run, so the time grows with its length.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from itertools import accumulate
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.reading.looking import LOOK_AHEAD
from histkit.reading.measure import OF_THE_WHOLE, Measure
from histkit.reading.measuring import Scanner
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import direction_words, modifiers, other_units, table, word_list

IMPOSSIBLE = -9.0
_OBJECTS = word_list("after-verb")


@cache
def connectives() -> frozenset[str]:
    return frozenset(row["word"] for row in table("connectives"))


@cache
def _lengths_of_time() -> frozenset[str]:
    """'days', 'hours', 'fortnight': 'minute' and 'second' may speak of other things."""
    return frozenset(
        w for w, kind in other_units().items() if kind == "time" and w not in ("second", "minute", "time", "night", "morning")
    )


@cache
def _light_words() -> frozenset[str]:
    """Words that may stand between modifiers without naming anything."""
    more = "small thin thinly well finely out up colour color quality kind all"
    return connectives().union(more.split())


class Cut(NamedTuple):
    """A place where a gap between two measures may be divided: `left` tokens end before it, `right` ones begin after it."""

    left: int
    right: int
    strength: int
    """3 sentence or semicolon, 2 the start of a direction, 1 comma, 0 'and'."""


@dataclass(slots=True)
class Entry:
    """A name (one or more ranges of tokens) with its measure, before it becomes a line."""

    names: list[tuple[int, int]]
    measure: Measure | None
    of_each: bool = False
    carried: str = ""
    doubts: tuple[Doubt, ...] = ()
    holds_measure: bool = True
    """False for the members of a group whose amount is printed beside another member."""


@dataclass(slots=True)
class Assigner:
    """Assigns names to measures within one statement, a range of tokens."""

    scanner: Scanner
    latin: bool = False
    """In prescriptions a colon ends an abbreviation and separates nothing."""
    tokens: list[Token] = field(init=False)
    _directions: list[bool] = field(init=False)
    _names: list[bool] = field(init=False)
    _nominal_before: list[int] = field(init=False)
    """How many tokens before each place could name something: whether a stretch names anything is one subtraction."""
    _cuts: dict[tuple[int, int], list[Cut]] = field(init=False)
    _chunks: dict[tuple[int, int], list[tuple[int, int]]] = field(init=False)
    _joined: list[int] = field(init=False)

    def __post_init__(self) -> None:
        self.tokens = self.scanner.tokens
        small, lengths = connectives(), _lengths_of_time()
        self._directions = [token.kind == "word" and self._directs(i, token) for i, token in enumerate(self.tokens)]
        self._names = [
            token.kind == "word" and not directs and token.word not in small and len(token.word) > 1 and token.word not in lengths
            for token, directs in zip(self.tokens, self._directions, strict=True)
        ]
        nominal = (
            not depth and (names or token.kind == "ditto")
            for token, names, depth in zip(self.tokens, self._names, self.scanner.depth, strict=True)
        )
        self._nominal_before = [0, *accumulate(nominal)]
        self._cuts, self._chunks, self._joined = {}, {}, []

    # -- what kind of word is this -------------------------------------------------------------------------------------

    def is_name_word(self, i: int) -> bool:
        return i < len(self._names) and self._names[i]

    def nominal(self, a: int, b: int) -> bool:
        """Whether tokens a…b hold a word that could name something."""
        return a < b and self._nominal_before[b] > self._nominal_before[a]

    def is_direction(self, i: int) -> bool:
        return i < len(self._directions) and self._directions[i]

    def _directs(self, i: int, token: Token) -> bool:
        kind = direction_words().get(token.word) or (direction_words().get(token.text) if len(token.text) == 1 else None)
        if kind is None:
            return False
        if token.word == "whole":  # 'the whole is sifted', but 'a whole lemon'
            return self.scanner.word(i - 1) in ("the", "this") if i else False
        if token.word in ("colour", "color", "perfume", "scent") and self.scanner.word(self.scanner.skip(i + 1)) == "and":
            return False  # 'colour and perfume, q.s.'
        if self.scanner.phrase(self.scanner.skip(i + 1), "qs"):
            return False  # 'perfume to suit'
        if token.word in modifiers() or kind == "participle" or token.word in ("perfume", "scent", "colour", "color", "stand"):
            following = self.scanner.word(self.scanner.skip(i + 1))
            return following in _OBJECTS and not (token.word in modifiers() and following == "and")
        return True

    def cuts(self, a: int, b: int) -> list[Cut]:
        """All places where the words a…b may be divided, in order."""
        known = self._cuts.get((a, b))
        if known is None:
            known = self._cuts[a, b] = self._divide(a, b)
        return known

    def _divide(self, a: int, b: int) -> list[Cut]:
        found: list[Cut] = []
        i = a
        while i < b:
            token = self.tokens[i]
            if self.scanner.depth[i] and token.kind != "para":
                i += 1
                continue
            after = self._past_joining(i + 1)
            leads_to_direction = after < b and self.is_direction(after)
            if token.kind == "para" or (
                (token.kind == "sep" and token.text in (";", "—", ".")) or (token.text == ":" and not self.latin)
            ):
                found.append(Cut(i, i + 1, 3))
            elif token.kind == "sep" and token.text == ",":
                if self.scanner.word(self.scanner.skip(i + 1)) not in ("or", "seu", "vel"):  # a choice, not a list
                    found.append(Cut(i, i + 1, 2 if leads_to_direction else 1))
            elif (
                (
                    token.kind == "word"
                    and token.word == "in"
                    and i > a
                    and self.scanner.word(self.scanner.skip(i + 1)) in ("a", "an", "the", "which")
                )
                or (a < i < b - 1 and token.kind == "word" and token.word == "to" and self.is_direction(self.scanner.skip(i + 1)))
                or (token.word == "for" and a < i and self.tells_time(i + 1))
            ):
                found.append(Cut(i, i, 2))
            elif (
                token.kind == "word"
                and token.word in ("mixture", "solution")
                and self.scanner.word(i + 1) == "of"
                and self.scanner.word(i - 1) == "a"
            ):
                found.append(Cut(max(a, i - 1), i + 2, 2))
            elif token.word == "take" and token.text[0].isupper() and i > a:
                found.append(Cut(i, i + 1, 3))  # 'An Astringent Take of fresh roses': the heading has lost its stop
            elif token.kind == "word" and token.dot and self.ends_sentence(i):
                found.append(Cut(i + 1, i + 1, 3))
            elif token.kind == "word" and token.word in ("and", "et", "und", "&"):
                following = self.scanner.skip(i + 1)
                found.append(Cut(i, i + 1, 2 if following < b and self.is_direction(following) else 0))
            elif token.word == "add" and i > a and self.is_direction(i) and self.is_name_word(i - 1):
                found.append(Cut(i, i + 1, 2))  # 'to a pint of the petals add powdered orris'
            elif token.kind == "word" and self.is_direction(i) and i > a and direction_words().get(token.word) == "clause":
                found.append(Cut(i, i, 2))
            i += 1
        return found

    def _past_joining(self, i: int) -> int:
        """The first token at or after i that counts and only joins nothing: past 'and then'."""
        if not self._joined:
            self._joined = list(range(len(self.tokens) + LOOK_AHEAD))
            for k in range(len(self.tokens) - 1, -1, -1):  # from the end, so that a long row of them is passed over once
                if self.tokens[k].kind == "word" and self.tokens[k].word in ("and", "then", "also", "et"):
                    self._joined[k] = self._joined[self.scanner.skip(k + 1)]
        return self._joined[self.scanner.skip(i)]

    def tells_time(self, i: int) -> bool:
        """Whether a length of time stands at token i: '2 hours', 'a week', 'some days'."""
        found = self.scanner.number(self.scanner.skip(i))
        after = found[1] if found else self.scanner.skip(i) + 1
        return other_units().get(self.scanner.word(self.scanner.skip(after))) == "time"

    def ends_sentence(self, i: int) -> bool:
        """A full stop that ends a sentence and not an abbreviation: a capital follows, and the word is a whole one."""
        token = self.tokens[i]
        following = self.scanner.skip(i + 1)
        if following >= len(self.tokens):
            return True
        if self.tokens[i + 1].kind == "para" if i + 1 < len(self.tokens) else False:
            return True
        next_token = self.tokens[following]
        if next_token.kind == "open" and token.text.isupper():  # 'ROUGE. (No. 3.) Carmine …'
            closing = next((k for k in range(following, len(self.tokens)) if self.tokens[k].kind == "close"), following)
            next_token = self.tokens[min(closing + 1, len(self.tokens) - 1)]
        if token.word == "do" and self.scanner.word(i - 1) in ("will", "may", "can", "would", "should"):
            return True
        starts_new = next_token.kind == "para" or (next_token.kind == "word" and next_token.text[:1].isupper())
        whole = token.word == "powder" or token.word.endswith("ed")  # 'pulverized' is as whole a word as 'powdered'
        shortened = not whole and modifiers().get(token.word, token.word) != token.word
        if shortened or token.word in word_list("shortened"):
            return False
        if i and self.tokens[i - 1].kind == "sep" and not token.text.isupper():
            return False  # 'Powd. Orris', 'Oil. Lemon': an abbreviation
        return starts_new and len(token.word) > 3 and not self.latin

    # -- left or right -------------------------------------------------------------------------------------------------

    def rightward(self, m: Measure, b: int) -> float:
        """How well the words after the measure begin a name."""
        i = m.last
        while i < b and (self.tokens[i].kind in ("gap", "line") or (self.tokens[i].kind == "other")):
            i += 1
        if m.each == "before":
            return IMPOSSIBLE if self.left_has_name else -2.0
        if m.reach == -1:
            return 6.0
        if m.reach > 0:
            return 8.0
        if i >= b or self.tokens[i].kind in ("para", "brace", "ditto", "close"):
            return IMPOSSIBLE
        token = self.tokens[i]
        if token.text == ":" and m.each == "after":
            return 6.0  # '1 oz. each: chalk, orris, myrrh'
        if token.kind == "sep":
            return -3.5 if token.text == "," else IMPOSSIBLE
        if m.each == "after":
            if token.word == "of":
                head = self.scanner.skip(i + 1)
                return -4.0 if self.tokens[min(head, len(self.tokens) - 1)].word == "the" else 6.0
            return 1.0 if token.kind == "word" and self.is_name_word(i) else -3.0
        if token.kind != "word":
            return -2.0
        if m.kind == "qs" and self.tokens[m.last - 1].dot and token.text[0].isupper():
            return -4.0  # 'alkanet, quantity sufficient. Proceed as before'
        if m.kind in OF_THE_WHOLE:
            return IMPOSSIBLE
        if m.kind == "same" and token.word == "of" and self.scanner.word(self.scanner.skip(i + 1)) in word_list("all-of-it"):
            return -4.0  # 'lard, twice the quantity of both'
        if token.word in ("of", "de", "d'", "du", "des") or (m.kind == "same" and token.word == "in"):
            return 4.0
        if self.is_direction(i):
            return -4.0
        if token.word in connectives():
            return -4.0 if token.word not in ("the", "a", "an") else 0.5
        return 1.5

    left_has_name: bool = True

    def leftward(self, m: Measure, a: int) -> float:
        """How well the words before the measure end a name."""
        i = m.first - 1
        while i >= a and self.tokens[i].kind == "line":
            i -= 1
        if m.reach:
            return IMPOSSIBLE
        if i < a:
            return IMPOSSIBLE
        token = self.tokens[i]
        following = self.scanner.skip(m.last, ("gap",))
        # '1 oz. orris' looks right even where a comma stands before it
        runs_on = (
            following < len(self.tokens) and (self.is_name_word(following) or self.scanner.word(following) == "of") and not m.each
        )
        if token.kind == "gap":
            return 2.5
        if token.kind == "para":
            return IMPOSSIBLE
        if token.kind == "sep":
            if token.text == ",":
                return 1.5 - 1.5 * runs_on
            if token.text == ":":
                return 0.5 if self.latin else -2.5
            return {"—": -1.0, "-": -1.0, "–": -1.0, ".": -3.0}.get(token.text, -6.0)
        if token.kind in ("close", "brace", "ditto"):
            return 1.5
        if token.kind == "word":
            if m.each == "before":
                return 2.0
            if token.word in connectives() or self.is_direction(i):
                return -5.0
            if token.dot and self.ends_sentence(i) and not self.latin:
                return -3.0
            return 1.2 - runs_on
        return -1.0

    def between(self, left: Measure, right: Measure, states: tuple[str, str]) -> float:
        """The score of the words between two measures, given who claims them."""
        a, b = left.last, right.first
        if right.kind == "interior":  # 'roses, 2 oz. the juice of half a lemon': its own words begin before it
            return 0.0 if states[0] == "L" or self.nominal(a, self.interior_start(a, right)) else IMPOSSIBLE
        has_name = self.nominal(a, b)
        if states in (("R", "R"), ("L", "L")):
            if not has_name:
                return IMPOSSIBLE if states == ("R", "R") or right.kind not in OF_THE_WHOLE else 0.0
            chunks = self.chunks(a, b)
            if states == ("R", "R"):
                return -0.8 * max(0, len(chunks) - 1)
            strong = any(c.strength == 3 and self.nominal(a, c.left) and c.right < b for c in self.cuts(a, b))
            return -0.8 if strong else 0.0
        if states == ("R", "L"):
            best = IMPOSSIBLE
            for cut in self.cuts(a, b):
                if self.nominal(a, cut.left) and self.nominal(cut.right, b):
                    worth = {3: 0.0, 2: -1.0, 1: -0.3 if right.each else -0.7, 0: -1.6}[cut.strength]
                    best = max(best, worth)
            return best
        if not has_name:
            return 0.5
        directed = any(self.is_direction(i) for i in range(a, b))
        return -0.4 if directed else -2.5

    def chunks(self, a: int, b: int) -> list[tuple[int, int]]:
        """Pieces between cuts up to the first strong one that name something of their own (not 'dried', 'in fine powder')."""
        known = self._chunks.get((a, b))
        if known is None:
            known = self._chunks[a, b] = self._pieces(a, b)
        return known

    def _pieces(self, a: int, b: int) -> list[tuple[int, int]]:
        pieces: list[tuple[int, int]] = []
        start = a
        for cut in [*self.cuts(a, b), Cut(b, b, 3)]:
            if cut.left >= start and self.nominal(start, cut.left) and not self.only_modifies(start, cut.left):
                pieces.append((start, cut.left))
            if cut.strength >= 2:
                break
            start = cut.right
        return pieces

    def only_modifies(self, a: int, b: int) -> bool:
        """'dried', 'in fine powder', 'finely powdered', 'free from stalk', 'cut small': no name of its own."""
        words = [self.tokens[i].word for i in range(a, b) if self.tokens[i].kind == "word"]
        if not words:
            return True
        if words[0] in ("in", "free", "part", "when", "each", "to", "not", "as", "from", "with", "tied", "stuck", "just"):
            return True
        known = modifiers()
        light = _light_words()
        if not all(w in known or w in light for w in words):
            return (
                words[0] in ("dried", "cut", "pounded", "beaten", "sliced", "bruised", "broken", "shaved") and "of" not in words
            )
        return any(w in known for w in words) and words[-1] not in ("white",)

    def choose(self, measures: list[Measure], a: int, b: int) -> list[str]:
        """'L' or 'R' for each measure: the best path."""
        if len(measures) == 1 and self.stands_after_its_name(measures[0], a, b):
            return ["L"]
        best: dict[str, tuple[float, list[str]]] = {}
        for index, m in enumerate(measures):
            self.left_has_name = self.nominal(measures[index - 1].last if index else a, m.first) or bool(index)
            own = {"L": self.leftward(m, a), "R": self.rightward(m, b)}
            if m.each == "before" and not self.nominal(measures[index - 1].last if index else a, m.first) and not index:
                own["R"] = max(own["R"], 0.0)
            scores: dict[str, tuple[float, list[str]]] = {}
            for state, value in own.items():
                if not index:
                    start = 0.0
                    if state == "L" and not self.nominal(a, m.first):
                        start = IMPOSSIBLE
                    elif state == "R" and self.nominal(a, m.first):
                        start = -0.3
                    scores[state] = (value + start, [state])
                    continue
                options = [
                    (total + self.between(measures[index - 1], m, (previous, state)) + value, [*path, state])
                    for previous, (total, path) in best.items()
                ]
                scores[state] = max(options, key=lambda option: option[0])
            best = scores
        if measures and not self.nominal(measures[-1].last, b):
            total, path = best["R"]
            best["R"] = (total + IMPOSSIBLE, path)
        return max(best.values(), key=lambda option: option[0])[1] if best else []

    def stands_after_its_name(self, m: Measure, a: int, b: int) -> bool:
        """'Talc ..... 4 oz.' and no word after it: nothing to choose."""
        if m.kind != "plain" or m.each or m.reach or m.first <= a or self.tokens[m.first - 1].kind != "gap":
            return False
        return self.nominal(a, m.first) and not self.nominal(m.last, b)

    # -- claims --------------------------------------------------------------------------------------------------------

    def assign(self, measures: list[Measure], a: int, b: int) -> list[Entry]:
        """Entries for all measures within tokens a…b, in printed order."""
        aside = [m for m in measures if m.kind in OF_THE_WHOLE]
        told = [m for m in measures if m.kind == "rate" and self.scanner.phrase(m.first, "rate")]
        measures = [m for m in measures if m.kind not in OF_THE_WHOLE]
        states = self.choose(measures, a, b)
        entries: list[Entry] = []
        for index, (m, state) in enumerate(zip(measures, states, strict=True)):
            left_edge = max([measures[index - 1].last if index else a, *(o.last for o in aside if o.last <= m.first)])
            right_edge = measures[index + 1].first if index + 1 < len(measures) else b
            right_edge = min([right_edge, *(o.first for o in aside if o.first >= m.last)])
            if m.kind == "interior":
                left = self.trim(self.interior_start(left_edge, m), m.first)
                piece, extra = self.afterthought(self.right_piece(m.last, right_edge), m)
                right = self.trim(*piece)
                entries.append(Entry([n for n in (left, right) if n[0] < n[1]], m))
                entries += extra
                continue
            if state == "R":
                shared = index + 1 < len(measures) and states[index + 1] == "L"
                if m.reach > 0:
                    piece = (m.last, m.reach)
                    m = replace(m, last=m.reach)
                elif shared:
                    piece = self.right_piece(m.last, self.shared_cut(m.last, right_edge, measures[index + 1]).left)
                else:
                    begin = self.scanner.skip(m.last)
                    begin += begin < b and bool(m.each) and self.tokens[begin].text == ":"  # '1 oz. each: chalk, orris'
                    following = measures[index + 1] if index + 1 < len(measures) else None
                    if following is not None and following.kind == "interior":  # '…, the whites of two eggs'
                        right_edge = min(right_edge, self.interior_start(m.last, following))
                    piece = self.right_piece(begin, right_edge)
                    piece, extra = self.afterthought(piece, m)
                    entries += self.named(piece, m, rightward=True)
                    entries += extra
                    continue
                entries += self.named(piece, m, rightward=True)
            else:
                start = left_edge
                if index and states[index - 1] == "R":
                    start = self.left_start(self.shared_cut(left_edge, m.first, m).right, m)
                elif not (m.each and not index and self.latin):
                    start = self.left_start(left_edge, m)
                entries += self.named((start, m.first), m, rightward=False)
        for rate in told:
            self.tell_rate(entries, rate)
        return entries

    def tell_rate(self, entries: list[Entry], rate: Measure) -> None:
        """The Doubt on the entry before 'to every pound of salve': its amount is a rate, and the rest says of what."""
        before = [e for e in entries if e.measure is not None and e.measure.last <= rate.first]
        if before:
            words = " ".join(t.text for t in self.tokens[rate.first : rate.last] if t.kind in ("word", "num", "sign"))
            text = f"The amount is printed as a rate ({words!r}); it is taken once, as printed."
            doubt = Doubt("amount", text, (), "For a larger batch it grows with it.")
            before[-1].doubts = (*before[-1].doubts, doubt)

    def interior_start(self, a: int, m: Measure) -> int:
        """Where the name around a figure begins: 'the whites of' before 'two eggs'."""
        return max([a, *(c.right for c in self.cuts(a, m.first) if c.strength >= 1)])

    def afterthought(self, piece: tuple[int, int], m: Measure) -> tuple[tuple[int, int], list[Entry]]:
        """'half an ounce of loaf sugar, and the juice of a lemon': a second thing without an amount of its own."""
        if m.each or m.kind in ("equal", "same") or m.reach or len(self.chunks(*piece)) > 2:
            return piece, []  # of more than two names the last is no afterthought
        for cut in self.cuts(*piece):
            if cut.strength != 1 or self.scanner.word(self.scanner.skip(cut.right)) != "and":
                continue
            name = self.trim(cut.right, piece[1])
            words = sum(self.tokens[i].kind == "word" for i in range(*name))
            if self.nominal(piece[0], cut.left) and self.nominal(*name) and not self.only_modifies(*name) and words <= 8:
                doubt = Doubt(
                    "amount", "No amount is printed for this.", (), "It is left out of the shares until an amount is given."
                )
                bare = Measure(name[0], name[0], None, "none", kind="some", doubts=(doubt,))
                return (piece[0], cut.left), [Entry([name], bare, holds_measure=False)]
        return piece, []

    def shared_cut(self, a: int, b: int, right: Measure) -> Cut:
        """Where the words between a rightward and a leftward measure are divided."""
        usable = [c for c in self.cuts(a, b) if self.nominal(a, c.left) and self.nominal(c.right, b)]
        if not usable:
            return Cut(b, b, 0)
        strongest = max(c.strength for c in usable)
        if strongest >= 3:
            return [c for c in usable if c.strength == strongest][-1]
        plain = [c for c in usable if not self.only_modifies(c.right, self.next_cut(c, a, b))]
        if right.each:
            firsts = [c for c in plain if c.strength >= 1] or plain or usable
            return firsts[0]
        lasts = [c for c in plain if c.strength >= 1] or plain or usable
        return lasts[-1]

    def next_cut(self, cut: Cut, a: int, b: int) -> int:
        return next((c.left for c in self.cuts(a, b) if c.left > cut.left), b)

    def right_piece(self, a: int, b: int) -> tuple[int, int]:
        """From the measure to where its name ends: a sentence end, a semicolon, a direction."""
        for cut in self.cuts(a, b):
            if cut.strength >= 2 and self.nominal(a, cut.left):
                return a, cut.left
        return a, b

    def left_start(self, a: int, m: Measure) -> int:
        """Where the name before a leftward measure begins."""
        start = a
        for cut in self.cuts(a, m.first):
            if cut.strength >= 2 and self.nominal(cut.right, m.first):
                start = cut.right
        return start

    def trim(self, a: int, b: int) -> tuple[int, int]:
        """Without leading and trailing connectives, separators, 'take', braces."""
        while a < b:
            token = self.tokens[a]
            leading_verb = token.kind == "word" and self.is_direction(a) and self.nominal(a + 1, b)
            if (
                token.kind in ("gap", "line", "para", "brace", "other", "sign", "close")
                or (token.kind == "sep")
                or (token.kind == "word" and (token.word in connectives() or leading_verb) and a + 1 < b)
                or (token.word == "very" and a + 1 < b and self.tokens[a + 1].word in connectives())
            ):
                a += 1
            else:
                break
        while b > a:
            token = self.tokens[b - 1]
            if (
                token.kind in ("gap", "line", "para", "brace", "sep", "other", "ditto", "sign")
                or (token.kind == "word" and (token.word in connectives() or token.word == "take"))
                or token.kind == "open"
                or (token.kind == "word" and token.text == "M" and b - 1 > a)
            ):
                b -= 1
            elif b - 1 > a and self.is_direction(b - 1) and self.scanner.number(b) is not None:
                b -= 1  # 'in one pint of alcohol dissolve 1 ounce of borax'
            elif b - 2 > a and self.tokens[b - 2].word == "to" and token.word in direction_words():
                b -= 2  # 'attar of rose to perfume'
            else:
                break
        return a, b

    def named(self, piece: tuple[int, int], m: Measure, rightward: bool) -> list[Entry]:
        """The entries of one measure: one, or several where it speaks of each."""
        a, b = piece
        head = ""
        if m.each == "after" and not rightward:
            head = self.trailing_head(m)
        several = (
            bool(m.each)
            or m.kind == "equal"
            or (m.kind == "qs" and not rightward and m.reach == 0 and len(self.chunks(a, b)) > 2)
        )
        implied = rightward and not several and (self.plural_head(a, b) or (m.kind == "same" and len(self.split(a, b)) > 1))
        pieces = self.split(a, b) if several or implied else [(a, b)]
        names = [self.trim(*n) for n in pieces]
        names = [n for n in names if n[0] < n[1]]
        if not names:
            return [Entry([], m)] if m.kind not in ("same", "qs", "some", "few", "bare") else []
        owner = 0 if rightward else len(names) - 1
        entries = []
        for index, name in enumerate(names):
            doubts: tuple[Doubt, ...] = ()
            if implied and len(names) > 1:
                doubts = (
                    Doubt(
                        "group",
                        "The amount stands before several names without 'each'; it is taken for each of them.",
                        ("the amount is for all together",),
                        "All together, each would be a share of it.",
                    ),
                )
            entry = Entry([name], m, (several and len(names) > 1) or bool(m.each) or (implied and len(names) > 1), doubts=doubts)
            entry.holds_measure = index == owner
            entry.carried = head
            entries.append(entry)
        return entries

    def plural_head(self, a: int, b: int) -> bool:
        """'seven drops of oils of rosemary, lavender and cassia'."""
        a, b = self.trim(a, b)
        return (
            a < b and self.tokens[a].word in ("oils", "ottos", "essences", "extracts", "tinctures") and len(self.split(a, b)) > 1
        )

    def trailing_head(self, m: Measure) -> str:
        """'orange, lemon and bergamot, one drachm each of the oil': the head noun follows the amount."""
        i = self.scanner.skip(m.last)
        if self.scanner.word(i) == "of" and self.scanner.word(self.scanner.skip(i + 1)) == "the":
            noun = self.scanner.skip(self.scanner.skip(i + 1) + 1)
            if self.scanner.word(noun):
                return self.scanner.word(noun) + " of"
        return ""

    def split(self, a: int, b: int) -> list[tuple[int, int]]:
        """Several names: at commas, 'and', line ends after a comma; what only modifies stays with the name before it."""
        pieces: list[tuple[int, int]] = []
        start = a
        last_strong = [
            c.right for c in self.cuts(a, b) if c.strength == 3 and self.nominal(c.right, b) and self.nominal(a, c.left)
        ]
        if last_strong:
            start = last_strong[-1]
        divisions = [c for c in self.cuts(start, b) if self.nominal(c.right, b)] + [Cut(b, b, 3)]
        for cut in divisions:
            if cut.left <= start:
                continue
            if not self.nominal(start, cut.left):
                continue
            if pieces and self.only_modifies(start, cut.left):
                pieces[-1] = (pieces[-1][0], cut.left)
            else:
                pieces.append((start, cut.left))
            start = cut.right
        return pieces
