"""Which entries are ingredients, and which only speak of one again, of the whole, or of nothing that goes in.

An amount that weighs nothing by itself ('some', 'the same', 'a sufficient', 'a bit of', 'equal portions') is taken for that of an
ingredient only where its name is known, or where nothing else can be meant. What is not taken stays in the directions or unread.
"""

from __future__ import annotations

from bisect import bisect, bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from histkit.base.nouns import Doubt
from histkit.glossary.words import singular
from histkit.reading.again import is_some_of, says_for_example, tells_of_a_rest
from histkit.reading.asides import sentence_around, sentence_ends
from histkit.reading.assigning import Entry
from histkit.reading.figures import figure_at
from histkit.reading.known import Known
from histkit.reading.measure import Measure, exceeds
from histkit.reading.view import phrases_that_begin
from histkit.reading.vocabulary import AND, OF, THE, TO, stems, units, word_list
from histkit.reading.wording import Wording

_WEAK_KINDS, _OF_THE = ("some", "few", "same", "equal"), OF | THE
_COMES, _DONE = word_list("comes-to"), stems("whole-ending")
_NOTHING, _GIVEN_TO = word_list("names-nothing"), word_list("given-to")
_BEING, _TOOLS, _NOT_A_NAME, _DOING = word_list("being"), word_list("tool"), word_list("no-name"), stems("doing-ending")
_STRENGTH, _MORE, _WITH = map(word_list, ("strength-of-the-whole", "or-more", "with"))
_LOOSELY, _OF_A_VESSEL = word_list("loosely-enough"), stems("covers-or-fills")
_QUANTITY, _ARTICLES = word_list("quantity"), word_list("article")
_USE, _INTO, _MADE_OF = word_list("word-of-use"), word_list("into-a-vessel"), word_list("made-of")
_IN, _PUTS = word_list("in"), word_list("puts-in")
_OF_THE_BEST = word_list("of-the-best")
_DRENCHES, _COATED = word_list("drenching-tool"), word_list("tool") | word_list("vessel")
_THROUGH = word_list("with-or-in") | word_list("through-a-tool")
_USING, _SIZES, _ALONGSIDE = word_list("verb-of-use"), word_list("size"), word_list("alongside-a-verb")
FARTHEST = 14
"""Tokens at most between a verb and what it is done with."""
_POINTING, _IF_POINTED = word_list("points-at-the-mixture"), word_list("verb-if-pointed-at")


@dataclass(frozen=True, slots=True)
class Mentioned:
    """The names so far, by each of their words."""

    by_word: dict[str, list[frozenset[str]]]

    def add(self, words: frozenset[str]) -> None:
        for word in words:
            self.by_word.setdefault(word, []).append(words)

    def has(self, words: frozenset[str]) -> bool:
        """Whether a name holds all of `words`."""
        rarest = min((self.by_word.get(word, []) for word in words), key=len, default=[])
        return any(words <= name for name in rarest)


@lru_cache(maxsize=16384)
def _singulars(word: str) -> frozenset[str]:
    """A word in the singular, and so the parts of one with a hyphen."""
    return frozenset(map(singular, (word, *word.split("-"))))


class Named:
    """What some stretches of tokens and the title name: the ids of the known ones, and the words of each.

    The title are the tokens before `title_ends`; all before the first stretch where nothing is said.
    """

    def __init__(self, wording: Wording, spans: Sequence[tuple[int, int]], title_ends: int | None = None) -> None:
        self.wording = wording
        self.ids: set[str] = {name.ingredients[0] for a, b in spans for name in wording.known_in(a, b)}
        title = (0, min((first for first, _ in spans), default=0) if title_ends is None else title_ends)
        self.mentioned = Mentioned({})
        self.not_yet_mentioned = [*spans, title]

    def add(self, spans: Sequence[tuple[int, int]]) -> None:
        """Further stretches that name something."""
        self.ids.update(name.ingredients[0] for a, b in spans for name in self.wording.known_in(a, b))
        self.not_yet_mentioned += spans

    def _words(self, a: int, b: int) -> frozenset[str]:
        return frozenset().union(*[_singulars(token.word) for token in self.wording.tokens[a:b] if token.kind == "word"])

    def again(self, name: Known) -> bool:
        """Whether a name only names again what is named there, in full or in part: 'the extract' of 'extract of orris'."""
        if not self.ids.isdisjoint(name.ingredients):
            return True
        while self.not_yet_mentioned:
            self.mentioned.add(self._words(*self.not_yet_mentioned.pop()))
        return self.mentioned.has(self._words(name.first, name.last)) or self._again_of_the(name)

    def _again_of_the(self, name: Known) -> bool:
        """Whether a name is that of a part of what is named there: 'the whites of the eggs'."""
        words = self.wording.view.words
        if name.first == 0 or words[name.first - 1] not in THE:
            return False
        whole = next((k + 2 for k in range(name.first, name.last - 2) if words[k] in OF and words[k + 1] in THE), name.last)
        return whole < name.last and self.mentioned.has(self._words(whole, name.last))


def one_clause(wording: Wording, a: int, b: int) -> bool:
    """Whether no sentence, no clause before a semicolon and no entry ('Opium ℥j. Soap') ends in tokens a…b."""
    ends = sentence_ends(wording)
    return bisect_left(ends, a) >= bisect_left(ends, b) and not any(_ends_an_entry(wording, i) for i in range(a, b))


def _ends_an_entry(wording: Wording, i: int) -> bool:
    """Whether a numeral with its stop stands at token i behind its sign, and no 'of' behind it."""
    stopped = i > 0 and wording.tokens[i].dot and wording.tokens[i - 1].kind == "sign"
    return stopped and wording.view.next_word(i + 1) not in OF


def is_of_use(wording: Wording, i: int) -> bool:
    """Whether the clause around token i tells of using the thing made: 'wash the face with warm water'."""
    first, last = max(0, i - FARTHEST), min(len(wording.tokens), i + FARTHEST)
    if _USE.isdisjoint(wording.view.words[first:last]):
        return False
    end = next((k for k in range(i, last) if wording.tokens[k].text == ","), last)
    is_put_in = wording.view.words[i] in _IN and i > 0 and wording.view.words[i - 1] in _PUTS
    return any(
        wording.view.words[k] in _USE
        and one_clause(wording, min(k, i), max(k, i))
        and not _tells_another_step(wording, k, i)
        and not (k > i and wording.view.words[k - 1] in AND and is_put_in)  # 'put in a lemon and strain it'
        and not any(wording.is_direction(j) and wording.view.words[j] not in _USE for j in range(i + 1, k))  # '℥iv. mix. Dose …'
        and _MADE_OF.isdisjoint(wording.view.words[k:i])  # 'a drink composed of ether, one ounce'
        and not _measures(wording, k)
        and not wording.known_in(k, k + 1)  # 'tobacco dust'
        and not (wording.view.words[k].endswith(_DONE) and wording.known_in(k + 1, k + 2))  # 'washed antimony'
        for k in range(first, end)
    )


def _measures(wording: Wording, k: int) -> bool:
    """'one-half cup stock': whether the word at token k is the unit of an amount, and no vessel that is drunk from."""
    words = wording.view.words
    if k == 0 or words[k] not in units():
        return False
    before = k - 1 - (words[k - 1] in _SIZES)
    return before >= 0 and (wording.tokens[before].kind == "num" or figure_at(wording.view, before) is not None)


def _is_taken(wording: Wording, m: Measure) -> bool:
    """'Use 2 lb. Thioflavine', 'wipe off 1½ pounds of okra': a verb of use or cleaning stands before the amount of a name."""
    words, before = wording.view.words, m.first - 1
    while before >= 0 and (words[before] in _ALONGSIDE or wording.tokens[before].kind in ("line", "gap")):
        before -= 1
    behind = wording.view.solid[m.last]
    behind = wording.view.solid[behind + 1] if words[behind] in OF else behind
    return before >= 0 and words[before] in _USING and wording.is_name(behind) and words[behind] not in _POINTING


def _tells_another_step(wording: Wording, a: int, b: int) -> bool:
    """Whether a comma and a verb close behind it stand in tokens a…b: 'well washed, season them with', 'strain, to which add'."""
    commas = (k for k in range(a, b - 1) if wording.tokens[k].text == ",")
    return any(wording.is_direction(wording.joined[i]) for k in commas for i in range(k + 1, min(k + 1 + _FAR_FROM_COMMA, b)))


_FAR_FROM_COMMA = 3


def ingredients_of(wording: Wording, entries: Sequence[Entry]) -> list[Entry]:
    """The entries that name an ingredient, in their order."""
    if not any(entry.measure is not None and _is_weak(wording, entry) for entry in entries):
        return list(entries)
    weighed: dict[str, list[Measure]] = {}
    shared: set[int] = set()
    for entry in entries:
        m, known = entry.measure, _known(wording, entry)
        if m is not None and not _weighs_nothing(m):
            for name in known:
                weighed.setdefault(name.ingredients[0], []).append(m)
        elif m is not None and m.kind == "equal" and known:
            shared.add(m.first)
    return [
        entry
        for entry in entries
        if entry.measure is None
        or not _is_weak(wording, entry)
        or _counts(wording, entry, weighed)
        or (entry.measure.first in shared and _could_be_a_thing(wording, entry))  # 'equal parts of rust and lard'
    ]


def _could_be_a_thing(wording: Wording, entry: Entry) -> bool:
    """Whether the name of an entry is of other words than those that name nothing, point or tell what to do."""
    words = any(wording.is_name(i) for a, b in entry.names for i in range(a, b))
    return words and not _names_nothing(wording, entry) and not _points(wording, entry)


def without_repeated_rows(wording: Wording, entries: Sequence[Entry]) -> list[Entry]:
    """Without what the directions name again, with its amount, from the list above: 'boil it in four quarts of water', 'pour the
    three pints of water over', and without what is some of it: 'with the remainder of the water' behind."""
    kept: list[Entry] = []
    rows: dict[tuple[object, ...], int] = {}
    paragraphs = wording.view.by_kind["para"]
    amounts = [_printed_amount(entry) for entry in entries if entry.measure is not None]
    if not paragraphs and len(set(amounts)) == len(amounts) and not tells_of_a_rest(wording):
        return list(entries)
    told: dict[str, list[Measure]] = {}
    for entry in entries:
        m, known = entry.measure, _known(wording, entry)
        if m is not None and m.kind == "plain" and known and not m.each:
            above = [other for other in told.get(known[0].ingredients[0], ()) if other.first < m.first]
            if above and is_some_of(wording, m, known[0], above):
                continue
            told.setdefault(known[0].ingredients[0], []).append(m)
        if m is not None and m.kind == "plain" and len(known) == 1 and not m.each:
            first, key = min(m.first, entry.names[0][0]), (known[0].ingredients[0], m.amount, m.unit, m.plus)
            if first == 0 or wording.tokens[first - 1].kind in ("line", "para", "gap"):
                rows.setdefault(key, first)
            elif key in rows and bisect(paragraphs, rows[key]) < bisect(paragraphs, first):
                continue
        kept.append(entry)
    return kept


def without_repeated_sentences(wording: Wording, entries: Sequence[Entry]) -> list[Entry]:
    """Without a sentence of two or more amounts, each of them printed before with its name: 'Six pounds of sulfate of copper
    dissolved in fifty gallons of water will prevent …'."""
    measured = [entry for entry in entries if entry.measure is not None and entry.names]
    amounts = [_printed_amount(entry) for entry in measured]
    repeated = {id(entry) for entry in _of_examples(wording, entries)}
    if not repeated and len(amounts) - len(set(amounts)) < 2:
        return list(entries)
    ends = sentence_ends(wording)
    sentences: dict[int, list[Entry]] = {}
    for entry, m in ((entry, entry.measure) for entry in measured):
        sentences.setdefault(bisect(ends, m.first if m else 0), []).append(entry)
    told: dict[tuple[object, ...], Named] = {}
    for sentence in sorted(sentences):
        of_it = sentences[sentence]
        plain = all(entry.measure is not None and entry.measure.kind == "plain" and not entry.of_each for entry in of_it)
        if plain and len(of_it) > 1 and all(_is_repeated(wording, entry, told) for entry in of_it):
            repeated.update(map(id, of_it))
            continue
        for entry in of_it:
            amount = _printed_amount(entry)
            if amount not in told:
                told[amount] = Named(wording, (), 0)
            told[amount].add(entry.names)
    return [entry for entry in entries if id(entry) not in repeated]


def _of_examples(wording: Wording, entries: Sequence[Entry]) -> list[Entry]:
    """The entries behind 'for example' in its sentence, where all that they name is named before it."""
    begin = phrases_that_begin("example")
    if begin.isdisjoint(wording.view.words):
        return []
    found: list[Entry] = []
    for at in (k for k, word in enumerate(wording.view.words[: len(wording.tokens)]) if word in begin):
        if not says_for_example(wording, at):
            continue
        _, ends = sentence_around(wording, at)
        before = {name.ingredients[0] for entry in entries if _begins(entry) < at for name in _known(wording, entry)}
        behind = [entry for entry in entries if at < _begins(entry) < ends]
        if behind and before.issuperset(name.ingredients[0] for entry in behind for name in _known(wording, entry)):
            found += behind
    return found


def _begins(entry: Entry) -> int:
    return entry.names[0][0] if entry.names else entry.measure.first if entry.measure is not None else -1


def _printed_amount(entry: Entry) -> tuple[object, ...]:
    m = entry.measure
    return () if m is None else (m.amount, m.unit, m.plus)


def _is_repeated(wording: Wording, entry: Entry, told: dict[tuple[object, ...], Named]) -> bool:
    """Whether the known names of an entry were told before with its amount."""
    named, known = told.get(_printed_amount(entry)), _known(wording, entry)
    return named is not None and bool(known) and all(map(named.again, known))


def _weighs_nothing(m: Measure) -> bool:
    return m.kind in _WEAK_KINDS or m.amount is None


def _known(wording: Wording, entry: Entry) -> list[Known]:
    return [name for a, b in entry.names for name in wording.known_in(a, b)]


def _is_weak(wording: Wording, entry: Entry) -> bool:
    """Whether more is asked of an entry than that it stands beside an amount."""
    m = entry.measure
    if m is None or not entry.names:
        return False
    if m.reach:
        return wording.view.words[m.first].startswith(_OF_A_VESSEL)  # 'covered with thick leather'
    return (
        _weighs_nothing(m)
        or m.article
        or _names_nothing(wording, entry)
        or m.unit == "per cent"
        or _points(wording, entry)
        or _said_to_be(wording, m)
        or _is_spoken_of(wording, entry)
        or (is_of_use(wording, m.first) and not _is_taken(wording, m))
    )


def _said_to_be(wording: Wording, m: Measure) -> bool:
    """'there should be half a gallon of water', 'till it come to a pint': what there is in the end, not what goes in."""
    words, i = wording.view.words, m.first - 1
    if i >= 0 and words[i] in _BEING:
        return True
    to = m.first if words[m.first] in TO else i
    return to > 0 and words[to] in TO and words[to - 1] in _COMES


def is_of_the(wording: Wording, m: Measure) -> bool:
    """'in two ounces of the water': an amount of something that is spoken of as known."""
    behind = wording.view.solid[m.last]
    article = wording.view.solid[behind + 1]
    known = wording.view.words[behind] in OF and wording.view.words[article] in THE
    return known and wording.view.next_word(article + 1) not in _OF_THE_BEST  # 'of the best bole'


def _is_spoken_of(wording: Wording, entry: Entry) -> bool:
    """'in two ounces of the water', 'the nitrate of silver in the other 4 ounces': whether it is spoken of as known."""
    first, m, words = min(a for a, _ in entry.names), entry.measure, wording.view.words
    if m is None or m.kind == "interior" or not _MORE.isdisjoint(words[m.first : first]):
        return False  # 'four gallons more of the cider'
    return is_of_the(wording, m) or (first > 0 and words[first - 1] in THE and words[first] not in _OF_THE_BEST)


def _points(wording: Wording, entry: Entry) -> bool:
    """Whether the name holds a word that points at the mixture and names nothing: 'temper all', 'it with a stick'."""
    words = [(wording.view.words[i], wording.is_direction(i)) for a, b in entry.names for i in range(a, b)]
    return any(word in _POINTING and (directs or word not in _IF_POINTED) for word, directs in words)  # not 'whole swallows'


def _is_of_its_own(wording: Wording, m: Measure, ids: Sequence[str], weighed: dict[str, list[Measure]]) -> bool:
    """Whether 'ninety pounds of the sugar' is no part of the sugar that stands above: it is more, the sentence begins another
    receipt, what stands beside it is weighed again too, or what stands above is no more than another part of the same."""
    if not is_of_the(wording, m):
        return False
    above = [other for i in ids for other in weighed.get(i, ()) if other.first < m.first]
    if all(is_of_the(wording, other) for other in above) or all(exceeds(m, other) for other in above):
        return True
    begins, ends = sentence_around(wording, m.first)
    if wording.view.phrase(wording.view.solid[begins], "another receipt"):
        return True
    beside = [(i, other) for i, others in weighed.items() if i not in ids for other in others if begins <= other.first < ends]
    return any(other.first < begins for i, _ in beside for other in weighed[i])


def _counts(wording: Wording, entry: Entry, weighed: dict[str, list[Measure]]) -> bool:
    """Whether a weak entry is an ingredient; `weighed` holds the amounts of each of the known ones."""
    m, names = entry.measure, _known(wording, entry)
    assert m is not None
    if any(wording.view.words[i] in _STRENGTH for a, b in entry.names for i in range(a, b)):
        return False  # 'absolute alcohol content about 80 per cent.'
    if _begins_a_title(wording, entry) or _names_nothing(wording, entry) or _is_a_tool(wording, entry, m):
        return False
    listed = m.kind == "plain" and not m.article and _stands_in_a_list(wording, entry)  # 'one pint salt, one pint washing fluid'
    of_use = not listed and not m.to_make and is_of_use(wording, m.first)  # but "Aqua to ℥i for a dose"
    if not names and (of_use or _said_to_be(wording, m)):
        return False  # 'use one pint to a barrel'
    if entry.of_each and m.kind != "equal" and not _points(wording, entry):
        return True
    ids = [name.ingredients[0] for name in names]
    some = m.kind == "some" and wording.view.words[m.first] not in _ARTICLES
    if some and names and all(_last_place(weighed.get(i, ())) > m.first * entry.holds_measure for i in ids):
        return False  # 'some fine lard' in the preface of 'lard 1 pound', 'the lard' without an amount anywhere
    if names:
        of_above = _said_to_be(wording, m) or _is_spoken_of(wording, entry)
        if not of_above or not all(any(other.first < m.first for other in weighed.get(i, ())) for i in ids):
            return True
        if not _is_of_its_own(wording, m, ids, weighed):
            return False
        entry.doubts = (*entry.doubts, _counted_beside(wording, entry, m))
        return True
    ends = [wording.view.words[i] for a, b in entry.names for i in (a, b - 1)]
    if not _TOOLS.isdisjoint(ends) or (_weighs_nothing(m) and any(word.endswith(_DOING) for word in ends)):
        return False
    if wording.view.words[min(a for a, _ in entry.names)] in _NOT_A_NAME:
        return m.kind == "plain" and wording.view.next_word(m.last) in OF  # 'a handful of Time'
    if m.kind == "qs" and (m.reach or _is_loosely_put(wording, m)):
        return False
    if m.kind == "equal" and not _is_a_list(entry, wording):
        return False  # 'divide it into equal portions'
    if m.kind == "qs" and _is_a_heading(wording, entry):
        return False  # 'A good ointment for the same.'
    if _points(wording, entry) or all(_directs(wording, a, b) for a, b in entry.names):
        return False
    return m.kind not in ("same", "equal", "some") or entry.of_each or _stands_in_a_list(wording, entry)


def _is_a_tool(wording: Wording, entry: Entry, m: Measure) -> bool:
    """'a stick covered over with brimstone', 'with a little horn': whether a tool is coated with it, or it is one."""
    words = wording.view.words
    if m.reach:
        return m.first > 0 and words[m.first - 1] in _COATED
    of_a_tool = m.kind == "some" and words[entry.names[-1][1] - 1] in _DRENCHES
    return of_a_tool and m.first > 0 and words[m.first - 1] in _THROUGH


def _last_place(measures: Sequence[Measure]) -> int:
    return max((m.first for m in measures), default=-1)


def _counted_beside(wording: Wording, entry: Entry, m: Measure) -> Doubt:
    """The doubt about an amount of what is spoken of as known, which is counted."""
    printed = wording.printed(m.first, entry.names[-1][1])
    text = f"{printed!r} is taken for an amount beside the one above, and not for a part of it."
    return Doubt("group", text, ("it is part of what stands above",), "Counted twice, it would weigh too much.")


def _names_nothing(wording: Wording, entry: Entry) -> bool:
    """'10 lb. of the latter', 'cattle, 1 to 2 oz.': whether the name is of words that name no thing or of those who are dosed."""
    words = [t.word for a, b in entry.names for t in wording.tokens[a:b] if t.kind == "word" and t.word not in _OF_THE]
    given = not entry.of_each and _GIVEN_TO.issuperset(words)  # but 'hogs and bears grease, of each'
    return bool(words) and (_NOTHING.issuperset(words) or given)


def _directs(wording: Wording, a: int, b: int) -> bool:
    """Whether a name is nothing but words that tell what to do: 'and hold'."""
    return not any(wording.is_name(i) for i in range(a, b))


def _stands_in_a_list(wording: Wording, entry: Entry) -> bool:
    """Whether an entry of an unknown name begins or ends a printed line, a clause or follows 'of'."""
    m = entry.measure
    assert m is not None
    a, b = min(first for first, _ in entry.names), max(last for _, last in entry.names)
    view = wording.view
    first = min(a, m.first)
    while first > 1 and (view.words[first - 1] in AND or view.words[first - 1] in OF):
        first -= 1  # ', and of saffron, one pennyworth'
    begins = first == 0 or view.words[first - 1] in _WITH or view.tokens[first - 1].kind in ("line", "para", "sep")
    return begins and view.ends_clause(max(b, m.last)) and not any(wording.is_direction(i) for i in range(a, b))


def _is_loosely_put(wording: Wording, m: Measure) -> bool:
    """'soft enough', 'a sufficient guarantee', 'any sort of sauce': enough of something, but of no quantity."""
    words = wording.view.words[m.first : m.last]
    return any(word in _LOOSELY for word in words) and not any(word in _QUANTITY for word in words)


def _is_a_list(entry: Entry, wording: Wording) -> bool:
    """Whether the equal parts of an entry follow a list of names: a comma stands right before or behind its name."""
    first, last = entry.names[0]
    beside = [wording.tokens[i].text for i in (first - 1, last) if 0 <= i < len(wording.tokens)]
    m = entry.measure
    assert m is not None
    return (
        "," in beside
        and not any(wording.is_direction(i) for i in range(first, last))
        and wording.view.words[m.first - 1] not in _INTO
    )


def _begins_a_title(wording: Wording, entry: Entry) -> bool:
    """'To perfume hair powder. Take …': whether the text begins with 'to' and an entry, and goes on behind a stop."""
    m, first = entry.measure, wording.first_word()
    if m is None or m.kind != "qs" or m.first != first or wording.view.words[first] not in TO:
        return False
    stops = (i for i in range(first, len(wording.tokens)) if wording.tokens[i].text in (".", ":", "—") or wording.tokens[i].dot)
    return wording.has_name(next(stops, len(wording.tokens)), len(wording.tokens))


def _is_a_heading(wording: Wording, entry: Entry) -> bool:
    """Whether an entry is all of the first paragraph."""
    m = entry.measure
    assert m is not None
    last = max(m.last, *(last for _, last in entry.names))
    behind = next((token for token in wording.tokens[last:] if token.text not in (".", ":")), None)
    return behind is not None and behind.kind == "para" and not any(t.kind == "para" for t in wording.tokens[:last])
