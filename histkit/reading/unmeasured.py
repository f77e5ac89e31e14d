"""Ingredients without an amount: 'in alcohol', 'with syrup and water', 'thinned with turpentine', 'beat up with rose water'.

They are known names that no entry holds, and that the words before them say go in: a verb of mixing with 'with' or 'in' in the
same clause, 'add', or a list of measured things that goes on. What is only used beside it ('wash with warm water'), named again,
or named in the title is none.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

from histkit.base.nouns import Doubt
from histkit.reading.assigning import Entry, unmeasured
from histkit.reading.choices import span_of, tell_choices
from histkit.reading.counting import are_counted
from histkit.reading.known import Known
from histkit.reading.mentions import FARTHEST, Named, is_of_use, one_clause
from histkit.reading.naming import distributed_head, is_a_head
from histkit.reading.vocabulary import AND, OF, OR, TAKE, THE, TO, modifiers, numbers, stems, word_list
from histkit.reading.wording import Wording

_GOES_IN, _WITH_OR_IN, _ADDING = word_list("verb-of-mixing"), word_list("with-or-in"), word_list("takes-in")
_SMALL = word_list("before-an-unmeasured-name")
_POURING, _UPON, _VERB_BEHIND = word_list("put-upon"), word_list("upon"), 5
"""Verbs of putting something on what is there, and the words for it; tokens at most from a German name to the verb behind it."""
_NOT_PUT_IN = word_list("tool") | word_list("vessel") | word_list("strength-of-the-whole") | word_list("bath")
_OFF = word_list("taken-off")
_ONE_NAME_GOES_ON = OF | AND | THE | word_list("made-from")
"""Words between two known names that are one print: 'mucilage of tragacanth', 'lemon or orange peel'."""
_WORKED = stems("whole-ending") + stems("worked-ending")
_ARTICLES, _SIZES = word_list("article"), word_list("size") | word_list("light")
_STATES, _SIZE_WORDS = word_list("worked-to"), 5
_COVERS = stems("covers-or-fills")
_NOT_SO = word_list("denies-or-supposes")
_TAKEN, _BEING, _POINTS, _ITSELF = map(word_list, ("taken-as-a-dose", "being", "it-or-them", "itself"))
_MIXES = _GOES_IN | _ADDING | TAKE | word_list("made-of") | word_list("made-of-it")
_FEWEST, _MOST_WORDS = 2, 80
"""Words that mix, or say what a thing is made of; fewest names, and most words, of a receipt that prints no amount."""
_NO_PART = word_list("no-name") | word_list("after-a-known-name")


def with_unmeasured(wording: Wording, entries: Sequence[Entry]) -> list[Entry]:
    """The entries with those of ingredients for which no amount is printed, not yet in printed order."""
    spans = sorted(span_of(entry) for entry in entries if entry.names)
    if not spans:
        return list(entries)
    firsts, ends = {first for first, _ in spans}, {last for _, last in spans}
    named = Named(wording, [name for entry in entries for name in entry.names])
    added: list[Entry] = []
    before: Known | None = None
    heading = ""
    for name in _loose(wording, spans):
        goes_on = before is not None and _only_joins(wording, before.last, name.first)
        ways = (
            _fills_a_row(wording, name, firsts, ends),
            _is_taken_first(wording, name),
            _is_the_one_before(wording, name, firsts),
        )
        row = next((begins for begins in ways if begins is not None), None)
        again = named.again(name) if row is None else name.ingredients[0] in named.ids  # a row stands in no title
        if not again and (goes_on or row is not None or _goes_in(wording, name, ends)):
            first, last = _whole_name(wording, name)
            first += first == row and wording.view.words[first] in _ARTICLES
            if any(wording.view.words[k] in _NOT_PUT_IN for k in range(first, last)):
                continue  # 'a silver spoon', 'absolute alcohol content', 'set it in horse dung'
            printed = wording.words_of(first, last)
            heading = heading if goes_on else printed
            added.append(unmeasured(wording, (first, last), row, distributed_head(heading, printed) if goes_on else ""))
            ends.update((row is not None and [last]) or ())
            named.ids.add(name.ingredients[0])
            before = Known(first, last, name.ingredients, name.exact)
        else:
            before = None
    _tell_second_names(wording, entries)
    tell_choices(wording, entries)
    return [*entries, *added]


def named_alone(wording: Wording) -> list[Entry]:
    """The entries of a receipt that prints no amount at all, 'Boil mint and camomile in water': one for each thing it names.

    None where fewer than two are named, where nothing says that they are mixed, and for a text longer than such receipts are.
    """
    view = wording.view
    if _MIXES.isdisjoint(view.words) or sum(token.kind == "word" for token in wording.tokens) > _MOST_WORDS:
        return []
    named: dict[str, Known] = {}
    for name in _loose(wording, []):
        if _NOT_PUT_IN.isdisjoint(view.words[name.first : name.last]):
            named.setdefault(name.ingredients[0], name)
    if len(named) < _FEWEST:
        return []
    return [unmeasured(wording, _whole_name(wording, name)) for name in named.values()]


def _tell_second_names(wording: Wording, entries: Sequence[Entry]) -> None:
    """The Doubt on each entry in which more than one known name stands, and neither a choice nor what one is made of.

    Where a line holds nothing but a name and its amount, it is one thing whatever it is called.
    """
    for entry in entries:
        if _is_a_row(wording, entry):
            continue
        pairs = (pair for a, b in entry.names for pair in pairwise(wording.known_in(a, b)))
        apart = next((pair for pair in pairs if _are_apart(wording, *pair)), None)
        if apart is not None:
            one, other = (wording.words_of(name.first, name.last) for name in apart)
            text = f"{other!r} is named together with {one!r}; both are read as one ingredient."
            others = (f"{other!r} is an ingredient of its own",)
            entry.doubts = (*entry.doubts, Doubt("group", text, others, "Look at the page: it may be weighed too."))


def _is_a_row(wording: Wording, entry: Entry) -> bool:
    """Whether an entry is the whole of its printed line."""
    if entry.measure is None or not entry.names:
        return False
    first, last = span_of(entry)
    begins = first == 0 or wording.tokens[first - 1].kind in ("line", "para", "gap")
    return begins and last == entry.measure.last and wording.view.ends_clause(last) and not wording.has_break(first, last)


def _are_apart(wording: Wording, before: Known, behind: Known) -> bool:
    """Whether the words between two known names neither leave a choice nor say what one of them is made of or worked with."""
    words = [token.word for token in wording.tokens[before.last : behind.first] if token.kind == "word"]
    worked = any(one.endswith(_WORKED) and other in _WITH_OR_IN for one, other in pairwise(words))  # 'gold dissolv'd in'
    explains = wording.view.depth[behind.first] or worked or not OR.isdisjoint(words)
    choice = wording.view.next_word(behind.last + 1) in OR  # 'laurel, peach, or nectarine leaves'
    listed = not words and wording.tokens[before.last].text == "," and not choice  # 'raisins of the sun, sugar, spice'
    return not explains and (listed or not _ONE_NAME_GOES_ON.issuperset(words))


def _loose(wording: Wording, spans: list[tuple[int, int]]) -> list[Known]:
    """The known names behind the first entry, or in its sentence, that no entry holds; those in brackets only explain, those
    behind 'the size of' are compared."""
    firsts = [first for first, _ in spans]
    loose: list[Known] = []
    for name in wording.known():
        at = bisect_right(firsts, name.first) - 1
        inside = at >= 0 and name.first < spans[at][1]
        if inside or wording.view.depth[name.first]:
            continue
        if any(wording.view.phrase(k, "sized") for k in range(max(0, name.first - _SIZE_WORDS), name.first)):
            continue
        if loose and wording.view.solid[name.first - 1] == loose[-1].last and wording.view.words[name.first - 1] in OF:
            loose[-1] = Known(loose[-1].first, name.last, loose[-1].ingredients, exact=False)  # 'jelly of isinglass' is one thing
        else:
            loose.append(name)
    return loose


def _goes_in(wording: Wording, name: Known, ends: set[int]) -> bool:
    """Whether the words before a name say that it goes in; `ends` are the tokens behind the entries."""
    view, i = wording.view, name.first - 1
    while i >= 0 and (view.tokens[i].kind in ("gap", "line") or view.words[i] in _SMALL or _may_belong(wording, i)):
        i -= 1
    word = view.words[i]
    joined = word in _WITH_OR_IN or word in AND
    poured = word in _UPON and i > 0 and view.words[i - 1] in _POURING  # 'pour on spirit of wine'
    if not joined and not poured and word not in _ADDING:
        return False
    if view.next_word(i + 1) in _OFF:
        return False  # 'take off the curd'
    if word in _WITH_OR_IN and _is_taken_or_moves(wording, i):
        return False
    if is_of_use(wording, i):
        return False
    if poured or word in _ADDING:
        return True
    if _follows_an_entry(wording, i, ends) or (word in _WITH_OR_IN and view.words[i - 1] in _STATES):
        return True  # 'to a paste with water'
    if word not in _WITH_OR_IN:
        return False
    if any(view.words[k] in _GOES_IN for k in range(max(0, i - FARTHEST), i) if one_clause(wording, k, i)):
        return True
    behind = range(name.last, min(name.last + _VERB_BEHIND, len(view.tokens))) if wording.german else ()
    return any(view.words[k] in _GOES_IN and one_clause(wording, i, k) for k in behind)  # 'mit Wasser angerührt'


def _is_taken_or_moves(wording: Wording, i: int) -> bool:
    """'to be taken with milk', 'which will mix itself with the water': whether what stands before 'with' at token i takes the
    thing made, names nothing that somebody mixes, or is a tool that is covered."""
    before = [word for word in wording.view.words[max(0, i - _VERB_BEHIND) : i] if word]
    while before and before[-1] in _POINTS:
        before.pop()
    if before and before[-1] in _ITSELF:
        return True
    if len(before) > 2 and before[-1] in _UPON:
        before.pop()
    if len(before) > 1 and before[-1].startswith(_COVERS) and before[-2] in _NOT_PUT_IN:
        return True  # 'with a stick covered over with brimstone'
    return len(before) > 1 and before[-1] in _TAKEN and (before[-2] in _BEING or before[-2] in TO)


def _fills_a_row(wording: Wording, name: Known, firsts: set[int], ends: set[int]) -> int | None:
    """Where a printed line, or what stands between semicolons, begins of which a name is all, with an article and what modifies
    it ('A beaten egg.'), behind an entry, and before one unless it has an article; None where it is none, or a heading in
    capitals."""
    tokens, words = wording.tokens, wording.view.words
    begins, below = name.first, name.last
    while begins > 0 and (words[begins - 1] in modifiers() or words[begins - 1] in _SIZES):
        begins -= 1
    begins -= begins > 0 and words[begins - 1] in THE
    article = words[begins] in _ARTICLES or (begins > 0 and words[begins - 1] in _ARTICLES)
    begins -= article and words[begins] not in _ARTICLES
    article = article or not _ARTICLES.isdisjoint(words[name.first : name.last])  # 'the yolk of an egg'
    above = begins
    while above > 0 and tokens[above - 1].kind in ("gap", "sep", "line"):
        above -= 1
    while below < len(tokens) and tokens[below].kind in ("gap", "sep", "line"):
        below += 1
    broken = _parts(wording, name.last, below) or below == len(tokens)
    alone = _parts(wording, above, begins) and broken and not tokens[name.first].text.isupper()
    return begins if alone and above in ends and (article or below in firsts) else None


def _is_taken_first(wording: Wording, name: Known) -> int | None:
    """Where 'an ox gall' begins in 'Take an ox gall, honey half a pint': a clause that takes one thing and says no more of it."""
    words, begins = wording.view.words, name.first
    while begins > 0 and wording.is_name(begins - 1) and words[begins - 1] not in TAKE | _ARTICLES:
        begins -= 1
    begins -= begins > 0 and words[begins - 1] in _ARTICLES | THE
    taken = begins > 0 and words[begins - 1] in TAKE and (begins == 1 or wording.view.ends_clause(begins - 2))
    one = not _ARTICLES.isdisjoint(words[begins : name.last])
    return begins if taken and one and (wording.view.ends_clause(name.last) or words[name.last] in AND | OR) else None


def _is_the_one_before(wording: Wording, name: Known, firsts: set[int]) -> int | None:
    """'a beaten egg, a pint of milk': the article before a counted thing which nothing but 'and' or a comma parts from the entry
    behind it; None where it is none."""
    begins = name.first - (wording.view.words[name.first] not in _ARTICLES)
    while begins > 0 and (wording.view.words[begins] in modifiers() or wording.view.words[begins] in _SIZES):
        begins -= 1
    before = wording.view.words[begins - 1] if begins > 0 else ""
    if wording.view.words[begins] not in _ARTICLES or before in OF or not are_counted([name]):
        return None  # 'the rind of a lemon'
    near = (k for k in range(name.last + 1, min(name.last + _SIZE_WORDS, len(wording.tokens))) if k in firsts)
    return begins if any(_only_joins(wording, name.last, k) for k in near) else None


def _parts(wording: Wording, a: int, b: int) -> bool:
    """Whether tokens a…b hold the end of a line or a semicolon."""
    return wording.has_break(a, b) or any(token.text == ";" for token in wording.tokens[a:b])


def _follows_an_entry(wording: Wording, i: int, ends: set[int]) -> bool:
    """Whether nothing but a comma, or with it 'and', stands between an entry and token i."""
    k = i - (wording.view.words[i - 1] in AND)
    while k > 0 and (wording.tokens[k - 1].kind in ("gap", "line") or wording.tokens[k - 1].text == ","):
        k -= 1
    return k in ends or k - 1 in ends


def _only_joins(wording: Wording, a: int, b: int) -> bool:
    """Whether tokens a…b only join two names of a list."""
    joins = [t for t in wording.tokens[a:b] if t.kind not in ("gap", "line")]
    return 0 < len(joins) <= 4 and all(t.text == "," or t.word in AND or t.word in _WITH_OR_IN or t.word in _SMALL for t in joins)


def _whole_name(wording: Wording, name: Known) -> tuple[int, int]:
    """The name with the words set before and behind it that belong to it: 'white Lilly-water', 'alkanet chips'."""
    first, last = name.first, name.last
    while first > 0 and _may_belong(wording, first - 1) and not wording.tokens[first - 1].dot:
        first -= 1
    if first > 1 and wording.view.words[first - 1] in OF and is_a_head(wording.view.words[first - 2]):
        first -= 2  # 'aromatize it with powder of cinnamon'
    while _may_belong(wording, last) and not wording.tokens[last - 1].dot:
        last += 1
    return first, last


def _may_belong(wording: Wording, i: int) -> bool:
    """Whether token i, beside a known name, can be a word of it."""
    word = wording.view.words[i]
    return wording.is_name(i) and word not in _NO_PART and word not in _NOT_SO and word not in numbers()
