"""Which name belongs to which amount: the entries of one statement, a range of tokens."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

from histkit.base.nouns import Doubt
from histkit.glossary.lookup import ingredient, knows
from histkit.reading.dividing import cut_at_with, cuts_of, only_modifies, pieces_of, side_by_side, split
from histkit.reading.measure import OF_THE_WHOLE, Measure, fluid
from histkit.reading.naming import is_a_head
from histkit.reading.rates import tell_rates
from histkit.reading.sides import LEFT, RIGHT, between_interiors, choose, interior_start
from histkit.reading.trimming import Piece, ends_known, trim
from histkit.reading.vocabulary import AND, OF, TAKE, THE, TO, connectives, heads, modifiers, stems, word_list
from histkit.reading.wording import Cut, Wording

_ARTICLES, _PARTS_OF = word_list("article"), word_list("part-of-a-fruit-or-egg")
_WITH_OR_IN, _VESSELS = word_list("with-or-in"), word_list("vessel")
_WORKED_ON = THE | word_list("it-or-them")
"""Words that begin what a verb is done to, which is named before or elsewhere."""
_DONE = word_list("done-to-it")
"""Words such as 'wet' that say what is done to a name."""
_SEVERAL = 3
"""Known names beside one amount without 'each' that share it; of two in a column or behind it one may be made of the other."""
_PART_A_LIST = frozenset(";:")
_WHOLE_ENDINGS, _TELLS_HOW = stems("whole-ending"), word_list("how-it-is-worked")
_ADDING, _WORKED_ENDINGS = word_list("adding"), _WHOLE_ENDINGS + stems("worked-ending")
_LIKE_EACH = ("same", "some", "few")
"""Kinds of amount of which several names may each have one."""
_AFTERTHOUGHT_WORDS = 8
"""Words at most of something without an amount of its own."""
_ONE = Doubt("amount", "No amount is printed but 'a'; it is taken as one.", (), "Another size would change what is weighed.")
NO_AMOUNT = Doubt("amount", "No amount is printed for this.", (), "It is left out of the shares until an amount is given.")

_WORKED_WITH = Doubt(
    "group",
    "It may only be what the name before is worked with, and not weighed by itself.",
    ("the name before is worked with it",),
    "Look at the page: the amount may be none of its own.",
)


@dataclass(slots=True)
class Entry:
    """A name (one or more pieces) with its measure, before it becomes a line."""

    names: list[Piece]
    measure: Measure | None
    of_each: bool = False
    carried: str = ""
    doubts: tuple[Doubt, ...] = ()
    holds_measure: bool = True
    """False for the members of a group whose amount is printed beside another member."""


def entries_of(wording: Wording, measures: list[Measure], a: int, b: int, turned: Mapping[int, str] | None = None) -> list[Entry]:
    """Entries for all measures within tokens a…b, in printed order; `turned` as `sides.choose` takes it."""
    aside = [m for m in measures if m.kind in OF_THE_WHOLE]
    own = [m for m in measures if m.kind not in OF_THE_WHOLE]
    aside_first, aside_last = [m.first for m in aside], [m.last for m in aside]
    sides = choose(wording, own, a, b, turned)
    entries: list[Entry] = []
    for index, m in enumerate(own):
        before, following = own[index - 1] if index else None, own[index + 1] if index + 1 < len(own) else None
        passed, ahead = bisect_right(aside_last, m.first), bisect_left(aside_first, m.last)
        left = max(before.last if before else a, aside_last[passed - 1] if passed else a)
        right = min(following.first if following else b, aside_first[ahead] if ahead < len(aside) else b)
        if m.kind == "interior":
            if following is not None and following.kind == "interior":
                right = between_interiors(wording, m.last, following)  # 'the whites of two eggs, the juice of two lemons'
            elif following is not None and sides[index + 1] == LEFT:
                right = _shared_cut(wording, m.last, right, following).left  # 'juice of two lemons, oil of tartar 4 ounces'
            named = _around(wording, m, left, right)
            if entries and len(named[0].names) == 1:
                named[0].carried = _of_what(wording, entries[-1], named[0])
        elif sides[index] == LEFT:
            shared = before is not None and before.kind != "interior" and sides[index - 1] == RIGHT
            start, end = _left_piece(wording, left, m, shared=shared, parted=before is not None and left > before.last)
            if index or wording.view.words[start] in TAKE:
                alone, start = _alone(wording, (start, end), m)
                entries += alone
            named = _named(wording, (start, end), m, rightward=False)
        else:
            shared = following is not None and sides[index + 1] == LEFT
            named = _behind(wording, m, right, b, following, shared)
        entries += named
    tell_rates(wording, entries, [m for m in aside if wording.view.phrase(m.first, "rate")])
    return entries


def unmeasured(wording: Wording, name: Piece, begins: int | None = None, carried: str = "") -> Entry:
    """The entry of a name for which no amount is printed, unless an article says that it is one: 'a nutmeg', 'juice of a lemon'.

    `begins` is where its clause begins, if an article there counts.
    """
    first, last = name
    words = wording.view.words
    of_one = words[last - 2] in _ARTICLES and not OF.isdisjoint(words[last - 3 : last - 1]) and last - 3 >= first
    if of_one or any(words[i] in _ARTICLES for i in range(first if begins is None else begins, first)):
        measure = Measure(first, first, 1.0, "piece", article=True, doubts=(_ONE,))
    else:
        measure = Measure(first, first, None, "none", kind="some", doubts=(NO_AMOUNT,))
    return Entry([name], measure, carried=carried, holds_measure=False)


def _alone(wording: Wording, piece: Piece, m: Measure) -> tuple[list[Entry], int]:
    """'the white of an egg, camphor a drachm', 'of ginger, of mace two drachms': among names with their amounts those that have
    none, and where the one with its amount begins."""
    start = wording.view.solid[piece[0]]
    start += wording.tokens[start].text == ","
    commas = [cut for cut in cuts_of(wording, start, piece[1]) if cut.strength == 1 and wording.is_nominal(cut.right, piece[1])]
    if m.each or m.kind != "plain" or not commas:
        return [], piece[0]
    if alone := _alone_before_of(wording, start, commas, piece[1]):
        return alone, commas[-1].right
    name = trim(wording, start, commas[0].left)
    if len(commas) > 1 or not ends_known(wording, name) or not wording.known_in(commas[0].right, piece[1]):
        return [], piece[0]
    return [unmeasured(wording, name, start)], commas[0].right


def _alone_before_of(wording: Wording, start: int, commas: list[Cut], end: int) -> list[Entry]:
    """'of ginger, of zylo two drachms': known names, each before a comma and the next one's 'of', have no amount; none of them is
    the head of the next ('conserve, of roses, a pint'), nor does the 'of' say which is meant ('roses, of the red kind')."""
    if not all(wording.view.next_word(comma.right) in OF for comma in commas):
        return []
    bounds = [start, *(comma.right for comma in commas)]
    names = [trim(wording, a, comma.left) for a, comma in zip(bounds, commas, strict=False)]
    for (first, last), following in zip(names, bounds[1:], strict=True):
        article = wording.view.next_word(wording.view.solid[following] + 1)
        name, behind = wording.printed(first, last), wording.printed(*trim(wording, following, end))
        known = first < last and (ends_known(wording, (first, last)) or knows(name))
        if not known or article in THE or article in _ARTICLES or is_a_head(name) or knows(f"{name} of {behind}"):
            return []
    return [unmeasured(wording, name, begins) for name, begins in zip(names, bounds, strict=False)]


def _alone_behind(wording: Wording, piece: Piece, m: Measure) -> tuple[Piece, list[Entry]]:
    """'a drachm of borax, the white of an egg, camphor a drachm', '2 eggs, nutmeg, pepper': the names behind that of an amount
    have none of their own, nor those behind the 'and' of a list: '½ oz. each of caraway and mace, proof spirit'."""
    parts = split(wording, *piece) if m.kind in ("plain", "bare", "interior") else []
    joined = [wording.tokens[a - 1].word in AND or wording.view.next_word(a) in AND for a, _ in parts]
    listed = 1 if not m.each else (joined.index(True) + 1 if True in joined else len(parts))
    own, others = parts[:listed], parts[listed:]
    counts = m.kind == "bare" and len(others) > 1  # then 'and' before the last says no more than the commas
    commas = all(wording.tokens[a - 1].text == "," for a, _ in others) and not any(joined[listed:])
    if not others or not (counts or commas) or not all(ends_known(wording, trim(wording, *name)) for name in (*own, *others)):
        return piece, []
    return (piece[0], own[-1][1]), [unmeasured(wording, trim(wording, *name), name[0]) for name in others]


def _around(wording: Wording, m: Measure, left: int, right: int) -> list[Entry]:
    """'the whites of two eggs': the name stands on both sides of its figure."""
    before = trim(wording, interior_start(wording, left, m), m.first)
    right = m.last if m.last < right and wording.has_stop(m.last, m.last + 1) else right  # 'the whites of five;'
    piece, more = _afterthought(wording, _right_piece(wording, m.last, right), m)
    if not more:
        piece, more = _alone_behind(wording, piece, m)  # 'the whites of 2 eggs, salt'
    behind = trim(wording, *piece)
    return [Entry([name for name in (before, behind) if name[0] < name[1]], m), *more]


def _of_what(wording: Wording, above: Entry, entry: Entry) -> str:
    """'the rind of one lemon and the juice of three': the thing of which the entry above names a part, for one that names a part
    alone; "" where either does not."""
    (first, last), *_ = entry.names
    part_alone = all(wording.view.words[i] in _PARTS_OF or wording.view.words[i] in THE for i in range(first, last))
    if not part_alone or above.measure is None or above.measure.kind != "interior" or len(above.names) != 2:
        return ""
    return wording.words_of(*above.names[1])


def _behind(wording: Wording, m: Measure, right: int, b: int, following: Measure | None, shared: bool) -> list[Entry]:
    """The entries whose names stand behind their measure; `shared` tells that the last words before `right` are not theirs."""
    if m.reach > 0:
        return _named(wording, (m.last, m.reach), m._replace(last=m.reach), rightward=True)
    if following is not None and shared:
        end = _shared_cut(wording, m.last, right, following).left
        piece, alone = _alone_behind(wording, _right_piece(wording, m.last, end), m)
        return [*_named(wording, piece, m, rightward=True), *alone]
    begin = wording.view.solid[m.last]
    begin += begin < b and wording.tokens[begin].text == ":"  # '1 oz. each: chalk, orris'
    if following is not None and following.kind == "interior":  # '…, the whites of two eggs'
        right = min(right, interior_start(wording, m.last, following))
    piece, more = _afterthought(wording, _right_piece(wording, begin, right), m)
    if m.each or not (more or _implies_each(wording, piece, m, rightward=True)):
        piece, more = _alone_behind(wording, piece, m)  # '3 eggs, nutmeg, 2 cups of flour'
    return [*_named(wording, piece, m, rightward=True), *more]


def _afterthought(wording: Wording, piece: Piece, m: Measure) -> tuple[Piece, list[Entry]]:
    """'half an ounce of loaf sugar, and the juice of a lemon', 'two ounces of cloves, a nutmeg': things without an amount."""
    if m.each or m.reach:
        return piece, []
    a_list = len(pieces_of(wording, *piece)) > 2  # then 'and' before the last name says nothing
    looked_at = piece[0]
    for cut in cuts_of(wording, *piece):
        if cut.right < looked_at:
            continue  # only small words stand between: the name would be the one just looked at
        joined = cut.strength == 1 and wording.view.next_word(cut.right) in AND and not a_list
        if not joined and not _has_an_article(wording, cut.right, piece[1]):
            continue
        rest, more = _afterthought(wording, (cut.right, piece[1]), m._replace(kind="plain"))
        name = trim(wording, *rest)
        looked_at = name[0]
        if not wording.is_nominal(*name) or wording.words_between(*name) > _AFTERTHOUGHT_WORDS or only_modifies(wording, *name):
            continue
        return (piece[0], cut.left), [unmeasured(wording, name, cut.right), *more]
    return piece, []


def _has_an_article(wording: Wording, a: int, b: int) -> bool:
    """Whether 'a' or 'an' and a known name stand at the head of a…b, or 'the' and one with 'of': 'the juice of a lemon'."""
    first = wording.view.solid[a]
    word = wording.view.words[first]
    end = next((cut.left for cut in cuts_of(wording, a, b) if cut.strength and cut.left > first), b)
    known = wording.known_in(first, end) if word in _ARTICLES or word in THE else ()
    of_something = (t.word in OF for name in known for t in wording.tokens[name.first : name.last])
    return bool(known) and (word in _ARTICLES or any(of_something))


# -- where a name begins and ends --------------------------------------------------------------------------------------------


def _shared_cut(wording: Wording, a: int, b: int, right: Measure) -> Cut:
    """Where the words between a rightward and a leftward measure are divided."""
    cuts = cuts_of(wording, a, b)
    usable = [cut for cut in cuts if wording.is_nominal(a, cut.left) and wording.is_nominal(cut.right, b)]
    usable = [cut for cut in usable if not cut.tail] or usable  # 'liquor, of sugar searced in a coarse sieve one dram'
    if not usable:
        return Cut(b, b, 0)
    if strong := [cut for cut in usable if cut.strength >= 3]:
        return strong[-1]
    lefts = [cut.left for cut in cuts]
    ends = ((cut, bisect_right(lefts, cut.right)) for cut in usable)  # behind ', then take of' are two cuts in a row
    plain = [cut for cut, end in ends if not only_modifies(wording, cut.right, lefts[end] if end < len(lefts) else b)]
    listed = [cut for cut in plain if cut.strength >= 1] or plain or usable
    if right.each and (put_with := cut_at_with(wording, a, listed[0].left)):
        return put_with
    return listed[0] if right.each or right.kind == "qs" else listed[-1]


def _right_piece(wording: Wording, a: int, b: int) -> Piece:
    """From the measure to where its name ends: a sentence end, a semicolon, a direction."""
    for cut in cuts_of(wording, a, b):
        if wording.is_nominal(a, cut.left) and (cut.strength >= 2 or _tells_what_is_done(wording, cut, b)):
            b = cut.left
            break
    for i in range(a + 1, b):
        if wording.view.words[i] in _WITH_OR_IN and (end := _before_what_it_is_put_in(wording, a, i, b)):
            return a, end
        if wording.view.words[i] in TO and wording.view.next_word(i + 1) in _WORKED_ON and wording.known_in(a, i):
            return a, i  # 'a quart of water to the barley'
    return a, b


def _before_what_it_is_put_in(wording: Wording, a: int, i: int, b: int) -> int:
    """'four ounces of blue vitriol in water', 'anchovies dissolved in wine', 'flour mixed to a paste with water': where the first
    of two known names ends that 'in' or 'with' at token i and what is done part; 0 where it does not part two."""
    before = wording.known_in(a, i)
    first = behind = wording.joined[wording.view.solid[i + 1]]
    while wording.view.words[behind] in connectives() or wording.view.words[behind] in modifiers():
        behind += 1
    again = wording.view.next_word(i + 1) in THE and wording.view.words[behind] in wording.view.words[:a]  # 'with the oil'
    if not before or not (again or any(first <= name.first <= behind for name in wording.known_in(first, b))):
        return 0
    end = before[-1].last
    while end - 1 > before[-1].first and wording.view.words[end - 1].endswith(_WHOLE_ENDINGS):
        end -= 1  # 'alum dissolved' in warm water
    done = [k for k in range(end, i) if wording.tokens[k].kind == "word"]
    if wording.has_stop(end, i - (wording.tokens[i - 1].text == ",")):
        return 0
    worked = not done or wording.view.words[done[0]].endswith(_WHOLE_ENDINGS) or wording.view.words[done[0]] in _DONE
    return end if worked else 0


def _tells_what_is_done(wording: Wording, cut: Cut, b: int) -> bool:
    """'gold size, thinned with spirits of turpentine': behind a comma a participle and a known name."""
    verb = wording.joined[wording.view.solid[cut.right]]
    first = wording.view.words[verb]
    goes_on = wording.view.next_word(verb + 1) in _TELLS_HOW  # 'boiled with a little water'
    participle = cut.strength == 1 and first.endswith(_WORKED_ENDINGS) and (goes_on or first not in modifiers())
    behind = wording.known_in(cut.right, b)
    return participle and bool(behind) and behind[0].first != verb  # not ', red sage'


def _left_piece(wording: Wording, a: int, m: Measure, shared: bool, parted: bool) -> Piece:
    """The name before a leftward measure, without what only says whereby: 'quicksilver strained through leather, four ounces'.

    `shared` tells that words before it may be the name of the measure before, `parted` that a rate stands between the two.
    """
    cut = _shared_cut(wording, a, m.first, m) if shared else None
    a = cut.right if cut is not None and not (parted and cut.right == m.first) else a
    cuts = [cut for cut in cuts_of(wording, a, m.first) if wording.is_nominal(cut.right, m.first)]
    if cuts and cuts[-1].tail:
        name = (max([a, *(cut.right for cut in cuts[:-1] if cut.strength >= 1)]), cuts[-1].left)
        if wording.known_in(*name):
            return name
    return _left_start(wording, a, m), m.first


def _left_start(wording: Wording, a: int, m: Measure) -> int:
    """Where the name before a leftward measure begins."""
    start = _behind_measure_of_all(wording, a, m.first)
    cuts = [cut for cut in cuts_of(wording, start, m.first) if wording.is_nominal(cut.right, m.first)]
    parting = [cut for cut in cuts if cut.strength >= 2 and not _tells_which(wording, start, cut, m)]
    start = max([start, *(cut.right for cut in parting if not _goes_on_listing(wording, start, cut, m))])
    for cut in cuts:  # 'of each one dram, bruised small, juice of celandine'
        if (
            cut.strength == 1
            and cut.left > start
            and only_modifies(wording, start, cut.left)
            and not wording.known_in(start, cut.left)
        ):
            start = cut.right
    first_word = wording.joined[wording.view.solid[start]]
    if wording.is_direction(first_word) and wording.view.words[first_word] not in TAKE:
        if not m.each:  # 'pick out the moats, dates half a pound'
            start = max([start, *(cut.right for cut in cuts if cut.strength == 1)])
        return _past_object(wording, start, first_word, m)
    verb = next((i for i in range(m.first - 1, start, -1) if wording.is_direction(i) or wording.view.words[i] in _ADDING), start)
    if not wording.known_in(start, verb) and wording.known_in(verb, m.first):
        return verb + (wording.view.words[verb] in _ADDING)  # 'in the working put thereto rose water, a spoonful'
    return start


def _tells_which(wording: Wording, start: int, cut: Cut, m: Measure) -> bool:
    """'aqua fortis that you can get, a pound', 'sage, gathered in their prime': whether a clause only tells of the thing."""
    clause = cut.strength == 2 and (cut.tail or wording.is_direction(cut.left))
    ends = m.first
    if clause and m.each:  # 'myrrh beaten into powder, of aloes, of each'
        ends = next((k for k in range(cut.right, m.first) if wording.tokens[k].text == ","), m.first)
    return clause and bool(wording.known_in(start, cut.left)) and not wording.known_in(cut.right, ends)


def _goes_on_listing(wording: Wording, start: int, cut: Cut, m: Measure) -> bool:
    """'Take rue, sage: rosemary, of each': whether a colon or semicolon only parts the names of a list that one amount serves."""
    first = wording.view.solid[start]
    if not m.each or wording.view.words[first] not in TAKE or wording.tokens[cut.left].text not in _PART_A_LIST:
        return False
    names = [trim(wording, *piece) for piece in split(wording, first + 1, cut.left)]
    return len(names) > 1 and 2 * sum(bool(wording.known_in(*name)) for name in names) >= len(names)


def _behind_measure_of_all(wording: Wording, a: int, b: int) -> int:
    """'Take, by wine measure, of rose water two pints': where the name begins behind a measure that is the whole list's."""
    view = wording.view
    i = view.solid[a]
    if view.words[i] in TAKE:
        i = view.solid[i + 1]
        i = view.solid[i + 1] if view.tokens[i].text == "," else i
    said = view.phrase(i, "system") if i < b else None
    end = view.solid[said[1]] if said else b
    return end if end < b else a


def _past_object(wording: Wording, start: int, verb: int, m: Measure) -> int:
    """'melt the sugar in rose water, two ounces': behind what is worked on and 'in' or 'with'; `start` where that is not said."""
    view = wording.view
    if view.next_word(verb + 1) not in _WORKED_ON:
        return start
    joins = (i for i in range(verb + 1, m.first) if view.words[i] in _WITH_OR_IN)
    return next((i + 1 for i in joins if wording.known_in(i + 1, m.first)), start)


# -- from pieces to entries --------------------------------------------------------------------------------------------------


def _named(wording: Wording, piece: Piece, m: Measure, rightward: bool) -> list[Entry]:
    """The entries of one measure: one, or several where it speaks of each."""
    with_it = m.reach == -1  # 'flavour with nutmeg and cinnamon'
    in_list = m.kind == "qs" and m.reach <= 0 and _lists(wording, piece, rightward != with_it)
    several = bool(m.each) or m.kind == "equal" or in_list
    implied = not several and _implies_each(wording, piece, m, rightward)
    pieces = split(wording, *piece) if several or implied else [piece]
    names = [name for name in (trim(wording, *part) for part in pieces) if name[0] < name[1]]
    parted: dict[Piece, tuple[Doubt, ...]] = {}
    if m.each:
        names, parted = _with_commas(wording, names)
        names = [name for name in names if wording.known_in(*name) or wording.view.words[name[1] - 1] not in _VESSELS] or names
        parted |= {name: (_WORKED_WITH,) for name in names[1:] if _says_what_is_done(wording, name)}
    head = _trailing_head(wording, m) if m.each == "after" and not rightward else ""
    shared = len(names) > 1
    doubts: tuple[Doubt, ...] = ()
    if implied and shared and m.kind not in ("some", "few"):
        stands = "before" if rightward else "behind"
        text = f"The amount stands {stands} several names without 'each'; it is taken for each of them."
        together = "All together, each would be a share of it."
        doubts = (Doubt("group", text, ("the amount is for all together",), together),)
    if implied and rightward and m.kind == "plain" and not _of_one_kind(wording, names):
        return [Entry([names[0]], m), *(unmeasured(wording, name) for name in names[1:])]
    if rightward and len(names) == 1 and m.kind == "plain":
        names[0], m = _with_its_system(wording, names[0], m)
    owner = 0 if rightward else len(names) - 1
    return [
        Entry([name], m, shared or bool(m.each), head, (*doubts, *parted.get(name, ())), holds_measure=index == owner)
        for index, name in enumerate(names)
    ]


def _says_what_is_done(wording: Wording, name: Piece) -> bool:
    """'turpentine washed in rose water, and wax, of each': whether a name begins with what is done to the one before."""
    view = wording.view
    return view.words[name[0]].endswith(_WHOLE_ENDINGS) and view.next_word(name[0] + 1) in _WITH_OR_IN


def _with_its_system(wording: Wording, name: Piece, m: Measure) -> tuple[Piece, Measure]:
    """'25 oz. of sulphuric acid, liquid measure', '2 oz. of sugar by weight': the name, and its amount as is said behind it."""
    for i in range(name[0] + 1, name[1]):
        said = wording.view.phrase(i, "system")
        if said is not None and said[1] == name[1] and wording.known_in(name[0], i):
            fluids = said[0].value == "measure" and m.unit in ("ounce", "drachm")
            unit = fluid(m.unit) if fluids else m.unit
            return trim(wording, name[0], i), m._replace(unit=unit, system=said[0].value)
    return name, m


def _with_commas(wording: Wording, names: list[Piece]) -> tuple[list[Piece], dict[Piece, tuple[Doubt, ...]]]:
    """The names of a list, those that lack the comma between them apart, and a doubt for each of these."""
    out: list[Piece] = []
    doubts: dict[Piece, tuple[Doubt, ...]] = {}
    for name in names:
        parts = side_by_side(wording, *name)
        out += parts
        if len(parts) > 1:
            printed = wording.words_of(*name)
            text = f"'{printed}' is printed without a comma; it is taken for {len(parts)} names, each with the amount."
            doubts |= dict.fromkeys(parts, (Doubt("group", text, ("it is one name",), "One line would stand for all of them."),))
    return out, doubts


def _of_one_kind(wording: Wording, names: list[Piece]) -> bool:
    """Whether the known names of a list are things of one kind, herbs or spices, of which each may have the amount printed once;
    'a gill of broth, salt and pepper' is a gill of broth."""
    if any(wording.tokens[i].word in heads("plural of each") for i in range(*names[0])):
        return True  # 'the oils of rose and mint'
    known = (wording.known_in(*name) for name in names)
    return len({ingredient(spots[0].ingredients[0]).kind for spots in known if spots}) < 2


def _lists(wording: Wording, piece: Piece, behind: bool) -> bool:
    """Whether the names before 'to taste' are several: more than two, or two that are both known, 'salt and pepper'; `behind` 'a
    sufficient quantity of' they are where all are known."""
    pieces = pieces_of(wording, *piece)
    return (len(pieces) > 2 and not behind) or (len(pieces) == 2 and all(wording.known_in(*part) for part in pieces))


def _implies_each(wording: Wording, piece: Piece, m: Measure, rightward: bool) -> bool:
    """'seven drops of oils of rosemary, lavender and cassia', 'the same of rose and musk', 'a few cloves, mace and pepper'; of
    these a name counts too that is not looked for in sentences: 'dates'."""
    a, b = trim(wording, *piece)
    if a < b and wording.tokens[a].word in heads("plural of each"):
        return True
    pieces = split(wording, *piece) if m.kind in _LIKE_EACH or m.kind == "plain" else []
    if m.kind == "same":
        return len(pieces) > 1
    likely = m.kind in _LIKE_EACH
    known = sum(bool(wording.known_in(*part)) or (likely and knows(wording.printed(*trim(wording, *part)))) for part in pieces)
    in_prose = not rightward and wording.tokens[m.first - 1].kind != "gap"
    if likely or (in_prose and len(pieces) == 2):
        return known == len(pieces) > 1
    return known >= _SEVERAL and 2 * known > len(pieces)


def _trailing_head(wording: Wording, m: Measure) -> str:
    """'orange, lemon and bergamot, one drachm each of the oil': the head noun follows the amount."""
    view = wording.view
    i = view.solid[m.last]
    if view.words[i] not in OF or view.next_word(i + 1) not in THE:
        return ""
    noun = view.next_word(view.solid[i + 1] + 1)
    return f"{noun} of" if noun else ""


def companions(wording: Wording, ranges: list[Piece], measure: Measure, doubts: tuple[Doubt, ...]) -> list[Entry]:
    """The entries of lines that share an amount printed beside another."""
    names = (trim(wording, *name) for a, b in ranges for name in split(wording, a, b))
    return [Entry([name], measure, True, doubts=doubts, holds_measure=False) for name in names if name[0] < name[1]]
