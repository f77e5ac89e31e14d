"""Where the words between two amounts can be divided, and which of the pieces have a name of their own."""

from __future__ import annotations

from bisect import bisect_left
from functools import cache
from itertools import takewhile

from histkit.glossary import ingredients
from histkit.glossary.compounds import names_a_preparation
from histkit.glossary.lookup import in_its_letters
from histkit.glossary.words import fold, words_of_kind
from histkit.reading.figures import amount_at, figure_at
from histkit.reading.numerals import roman
from histkit.reading.tokens import Token
from histkit.reading.view import LOOK_AHEAD, phrases_that_begin
from histkit.reading.vocabulary import (
    OF,
    TAKE,
    THE,
    TO,
    connectives,
    direction_words,
    heads,
    modifiers,
    numbers,
    other_units,
    stems,
    units,
    word_list,
)
from histkit.reading.wording import Cut, Wording

_CHOICE, _LIST_AND, _IN, _FOR = word_list("choice"), word_list("list-and"), word_list("in"), word_list("for")
_AFTER_IN, _MADE_OF, _A = word_list("article-or-which"), word_list("made-of-it"), word_list("a")
_COMPOSED = word_list("made-of")
_FORMS = word_list("form-of-medicine") - word_list("shortened")
_PUTS_IN = word_list("puts-in") | word_list("steeped")
_ADD, _DO, _HELPING = word_list("add"), word_list("do"), word_list("helping-verb")
_SHORTENED, _WHOLE_WORDS, _WHOLE_ENDINGS = word_list("shortened"), word_list("whole-word"), stems("whole-ending")
_OPENS_MODIFIER, _WORKED, _WORKED_ALONE = word_list("opens-a-modifier"), word_list("worked"), word_list("worked-alone")
_GERMAN_LINKS = word_list("german-link")
_WITH = word_list("with")
_SHORTENED_UNITS = word_list("shortened-unit")
_NUMBERING, _HOW_OFTEN, _WHOLE = word_list("numbering"), word_list("how-often"), word_list("whole")
_AFTER_A_NAME, _WORKED_ENDINGS = word_list("after-a-known-name"), stems("worked-ending")
_SORTS = word_list("sort-of-a-thing")
_ARTICLES, _STATES, _WORDS_OF_STATE = word_list("article"), word_list("worked-to"), 5
_SHORTEST_WORD = 4
"""Letters of a word before a stop that ends its sentence; shorter ones are abbreviations."""
_END_OF_TEXT = 3
_TITLE_WORDS = 8
"""Words at most of a title on a line of its own."""


def cuts_of(wording: Wording, a: int, b: int) -> list[Cut]:
    """All places where the words a…b may be divided, in order."""
    cuts = wording.cuts.get((a, b))
    if cuts is None:
        if not wording.parting:
            wording.parting.extend(_parting(wording))
        places = wording.parting[bisect_left(wording.parting, a) : bisect_left(wording.parting, b)]
        cuts = wording.cuts[a, b] = [cut for i in places if (cut := _cut_at(wording, i, a, b)) is not None]
    return cuts


def _parting(wording: Wording) -> list[int]:
    """The tokens outside of brackets at which a stretch may be divided; most words part nothing, wherever they stand."""
    view, tokens = wording.view, wording.tokens
    places = [*view.by_kind["sep"], *view.by_kind["sign"], *view.listing]
    words = view.by_kind["word"]
    if wording.speaks_of_time or wording.german:
        places += [*words, *view.by_kind["num"]]
    else:
        parts = _parting_words()
        places += [i for i in words if view.words[i] in parts or wording.directions[i] or tokens[i].dot]
    return sorted({i for i in places if not view.depth[i]})


@cache
def _parting_words() -> frozenset[str]:
    """The words at which a stretch may be divided, whatever the text speaks of."""
    return TAKE.union(TO, _IN, _FOR, _AFTER_A_NAME, _MADE_OF, _COMPOSED, _LIST_AND, phrases_that_begin("sized"))


def _cut_at(wording: Wording, i: int, a: int, b: int) -> Cut | None:
    """The cut at token i of the stretch a…b."""
    token = wording.tokens[i]
    if token.kind == "word":
        return _cut_at_word(wording, i, a, b, token)
    if token.text == "." and i > 1 and wording.tokens[i - 1].kind == "num" and wording.view.words[i - 2] in _NUMBERING:
        return None  # 'No. 8.'
    if token.text == "℞" and i > a:
        return Cut(i, i + 1, 3)  # 'mix for a clyster. Or thus: ℞ roots of'
    if token.kind == "num" and i > a and _times(wording, i):
        return Cut(i, i, 2, tail=True)
    if i in wording.view.listing:
        return Cut(i, i + 1, 3)  # 'a gargle (honey one ounce, …)'
    if token.text in (";", "—", ".") or (token.text == ":" and not wording.latin):
        return Cut(i, i + 1, 3)
    if token.text == ",":
        if wording.view.next_word(i + 1) in _CHOICE:
            return None  # a choice, not a list
        if wording.view.words[a] not in OF and _worked_before_its_amount(wording, wording.view.solid[i + 1], b):
            return None
        after = wording.joined[wording.view.solid[i + 1]]
        return Cut(i, i + 1, 2 if wording.is_direction(after) else 1)
    return None


def _cut_at_word(wording: Wording, i: int, a: int, b: int, token: Token) -> Cut | None:
    view, word, behind = wording.view, token.word, wording.view.solid[i + 1]
    if word in TAKE and (token.text[0].isupper() or wording.german) and i > a:
        return Cut(i, i + 1, 3)  # 'An Astringent Take of fresh roses': the heading has lost its stop; 'zu dem Wasser nimm'
    leads_on = i > a and (_leads_on(wording, i, b, word, behind) or _ends_a_known_name(wording, i, word) or _times(wording, i))
    if leads_on or (i > a and view.phrase(i, "sized")):  # 'a piece of butter the size of an egg'
        return Cut(i, i, 2, tail=True)
    if word in _MADE_OF and view.words[i + 1] in OF and view.words[i - 1] in _A:
        return Cut(max(a, i - 1), i + 2, 2)
    if word in _COMPOSED and view.words[behind] in OF:
        return Cut(i, behind + 1, 2)  # 'a liniment consisting of ammonia, four ounces'
    if token.dot and ends_sentence(wording, i):
        return Cut(i + 1, i + 1, 3)
    if word in TO and _is_added_to(wording, i, behind):
        return Cut(i, i + 1, 2)
    if word in _LIST_AND:
        if _inside_a_poison(wording, i):
            return None  # 'gold and sodium chloride' is no gold with salt
        return Cut(i, i + 1, 2 if wording.is_direction(behind) else 0)
    if i > a and wording.is_direction(i):
        if word in _ADD and wording.is_name(i - 1):
            return Cut(i, i + 1, 2)  # 'to a pint of the petals add powdered orris'
        if direction_words().get(word) == "clause" or _is_told(wording, i, word, behind):
            return Cut(i, i, 2)
    return None


def _worked_before_its_amount(wording: Wording, i: int, b: int) -> bool:
    """', washed in rose water, an ounce': whether token i begins what was done to the thing before it, up to the comma at which
    the stretch ends, before the amount."""
    worked = wording.view.words[i].endswith(_WHOLE_ENDINGS + _WORKED_ENDINGS) and wording.view.next_word(i + 1) in _WITH | _IN
    runs_on = worked and wording.tokens[b - 1].text == "," and all(t.kind in ("word", "line") for t in wording.tokens[i : b - 1])
    return runs_on and bool(wording.known_in(i, b - 1))


def _is_added_to(wording: Wording, i: int, behind: int) -> bool:
    """'an ounce of iodine to simple ointment four ounces': whether 'to' at token i stands between two names, the second of which
    has its amount behind it."""
    names = wording.known_beginning(behind) if wording.known_before(i) else ()
    return any(amount_at(wording.view, wording.view.solid[name.last]) is not None for name in names)


def _is_told(wording: Wording, i: int, word: str, behind: int) -> bool:
    """'into a gallon of spirit put of camphor': whether a verb stands at token i behind a known name and before another."""
    if word not in _PUTS_IN or not wording.known_before(i):
        return False
    first = wording.view.solid[behind + 1] if wording.view.words[behind] in OF else behind
    return bool(wording.known_beginning(first))


def _inside_a_poison(wording: Wording, i: int) -> bool:
    """Whether the name of something that must not be used, in the glossary's own letters, goes on across token i."""
    return any(ingredients[key].forbidden for name in wording.known_in(i, i + 1) for key in name.ingredients)


def _ends_a_known_name(wording: Wording, i: int, word: str) -> bool:
    """Whether 'into', 'until' or their like stands at token i behind a known name: 'oxide of zinc into a plate'."""
    if word in _AFTER_A_NAME:
        return any(name.last <= i for name in wording.known_in(max(0, i - 2), i))
    if not wording.german or not wording.tokens[i].text.islower() or word in connectives() or word in _GERMAN_LINKS:
        return False
    before = wording.tokens[i - 1]
    if i < 2 or wording.tokens[i - 2].kind in ("line", "para", "sep", "ditto"):
        return bool(wording.known_before(i))  # a capital at the head of a line makes no noun
    across = any(name.first < i < name.last for name in wording.known_in(i - 1, i + 1))  # 'Foenum graecum'
    return before.text[:1].isupper() and not before.dot and wording.is_name(i - 1) and not across


def _leads_on(wording: Wording, i: int, b: int, word: str, behind: int) -> bool:
    """Whether 'in a …', 'to dissolve …' or 'for two hours' begins at token i, which names nothing more."""
    if word in _IN:
        return wording.view.words[behind] in _AFTER_IN
    if word in TO:
        view = wording.view
        noun = view.solid[behind + 1]
        whole = view.words[behind] in THE and view.words[noun] in _WHOLE and view.ends_clause(noun + 1)
        return whole or _tells_what_comes_of_it(wording, behind) or (i < b - 1 and wording.is_direction(behind))
    return word in _FOR and _tells_time(wording, i + 1)


def _tells_what_comes_of_it(wording: Wording, i: int) -> bool:
    """Whether 'a paste', 'a stiff smooth paste' stand at token i, behind 'to': what is made of the name before."""
    words = wording.view.words
    described = takewhile(lambda k: words[k] and words[k] not in OF, range(i + 1, i + _WORDS_OF_STATE))
    return words[i] in _ARTICLES and any(words[k] in _STATES for k in described)


def _times(wording: Wording, i: int) -> bool:
    """'butter three minutes', 'boiling water 38 minutes', 'tincture every four hours': how long or how often, behind a known
    name."""
    if not wording.speaks_of_time:
        return False
    view = wording.view
    often = view.words[i] in _HOW_OFTEN
    figure = amount_at(view, view.solid[i + 1] if often else i)
    if figure is None or other_units().get(view.next_word(figure.after)) != "time":
        return False
    named = figure.flavour != "article" and not often and wording.is_name(i - 1)  # 'a pottle of sack twelve hours'
    return named or bool(wording.known_before(i))


def _tells_time(wording: Wording, i: int) -> bool:
    """Whether a length of time stands at token i: '2 hours', 'a week', 'some days', 'the space of a day'."""
    if not wording.speaks_of_time:
        return False
    view = wording.view
    if (space := view.phrase(view.solid[i], "space")) is not None:
        i = space[1]
    figure = figure_at(view, view.solid[i])
    after = figure.after if figure else view.solid[i] + 1
    after += view.token(after) is not None and view.tokens[after].text == "."
    return other_units().get(view.next_word(after)) == "time"


_LONGEST_SHORTENED = 6
"""Letters of an unknown word that may be an abbreviation at the head of an entry."""


def ends_sentence(wording: Wording, i: int) -> bool:
    """Whether the full stop after token i ends a sentence and no abbreviation: a capital follows, and the word is a whole one."""
    view, tokens, token = wording.view, wording.tokens, wording.tokens[i]
    following = view.token(view.solid[i + 1])
    if following is None or tokens[i + 1].kind == "para" or ends_title(wording, i):
        return True
    if following.kind == "open" and token.text.isupper():  # 'ROUGE. (No. 3.) Carmine …'
        following = _past_bracket(wording, view.solid[i + 1])
    if token.word in _DO and view.words[i - 1] in _HELPING:
        return True
    if token.word in _FORMS and following.kind == "word" and following.text[:1].isupper():
        return True  # 'Cordial Julep. Penny-royal water': a heading that the page sets beside its receipt
    known = wording.known_in(i, i + 1)
    a_word = len(token.word) >= _SHORTEST_WORD or _is_a_head(token.word) or any(n.last == i + 1 and n.exact for n in known)
    if following.text[:1].isupper() and wording.is_direction(view.solid[i + 1]) and a_word:
        return True  # 'a pint of proof spirit. Shake well', 'a slice of ham. Simmer'
    if any(name.first <= i < name.last - 1 and (following.dot or name.exact) for name in known):
        return False  # 'Butyr. Antim.', 'Croc. Mart.', 'Sal. Prunellae'
    if following.dot and following.word in modifiers() and any(name.last == i + 1 for name in known):
        return False  # 'Pulv. e Chel. cancror. Simp.'
    if following.text[:1].isupper() and any(name.first < i == name.last - 1 and name.exact for name in known):
        return not wording.latin  # 'half a gallon linseed oil. Elevate'
    whole = token.word in _WHOLE_WORDS or token.word.endswith(_WHOLE_ENDINGS)  # 'pulverized' is as whole a word as 'powdered'
    shortened = (not whole and modifiers().get(token.word, token.word) != token.word) or token.word in _SHORTENED
    runs_on = i > 1 and tokens[i - 1].kind == "line" and tokens[i - 2].word in connectives()  # 'sugar to the / taste. Rind'
    heads = (not i or tokens[i - 1].kind in ("sep", "line")) and not (token.text.isupper() or runs_on)
    unknown = heads and (i > 0 or following.dot) and len(token.word) <= _LONGEST_SHORTENED and not wording.known_in(i, i + 1)
    if unknown or (heads and shortened):
        return False  # 'Spt. Ætheris', 'Tinet. Camphoræ' for 'Tinct.'
    if not wording.latin and _begins_a_known_name(wording, view.solid[i + 1]):
        return True  # 'a stronger spirit. Rectified spirit 1 pint'
    if shortened:
        return False
    if i and tokens[i - 1].kind == "sep" and not token.text.isupper():
        return False  # 'Powd. Orris', 'Oil. Lemon': an abbreviation
    starts_new = following.kind == "para" or following.text == "[" or (following.kind == "word" and following.text[:1].isupper())
    titled = (
        i > 0 and tokens[i - 1].kind == "word" and not tokens[i - 1].dot and _is_a_head(token.word)
    )  # 'Hair Oil. Elder flowers'
    return starts_new and (len(token.word) >= _SHORTEST_WORD or titled) and not wording.latin


def ends_title(wording: Wording, i: int) -> bool:
    """Whether the first line of the text ends with token i and its stop, each of its words with a capital: 'Cold Cream.'"""
    tokens = wording.tokens
    if not 0 < i < min(_TITLE_WORDS, len(tokens) - 1) or tokens[i + 1].kind != "line" or not tokens[i].dot:
        return False
    line = tokens[: i + 1]
    return all(token.kind == "word" and (token.text[:1].isupper() or token.word in connectives()) for token in line)


def ends_with_a_stop(wording: Wording, i: int) -> bool:
    """Whether an amount that ends before token i has the stop of its entry at its numeral or its whole unit: '℥ij. Gum Guajaci',
    '10 gallons. Ferment', 'unc. xij. spirit. vini', not '℥ij. of'."""
    before, following = wording.tokens[i - 1], wording.view.token(wording.view.solid[i])
    if not i or following is None or before.kind != "word" or not before.dot:
        return False
    whole = before.word in units() and len(before.word) >= _SHORTEST_WORD and before.word not in _SHORTENED_UNITS
    numeral = before.word in numbers() or roman(before.word) is not None
    abbreviated = wording.latin and numeral and following.word not in OF
    return abbreviated or ((whole or numeral) and following.text[:1].isupper())


def _begins_a_known_name(wording: Wording, i: int) -> bool:
    """Whether a known name of several words begins at token i with a capital, and none goes on across it."""
    names = wording.known_in(i, i + 1) if wording.tokens[i].text[:1].isupper() else ()
    return bool(names) and names[0].first == i and names[0].last > i + 1


def _past_bracket(wording: Wording, i: int) -> Token:
    """The token behind the bracket that opens at i, or behind its first token where it closes nowhere near."""
    tokens = wording.tokens
    closing = next((k for k in range(i, min(i + LOOK_AHEAD, len(tokens))) if tokens[k].kind == "close"), i)
    return tokens[min(closing + 1, len(tokens) - 1)]


def pieces_of(wording: Wording, a: int, b: int) -> list[tuple[int, int]]:
    """Pieces of a…b up to the first strong cut that name something of their own (not 'dried', 'in fine powder')."""
    pieces = wording.pieces.get((a, b))
    if pieces is not None:
        return pieces
    pieces = wording.pieces[a, b] = []
    start = a
    for cut in (*cuts_of(wording, a, b), Cut(b, b, _END_OF_TEXT)):
        if wording.is_nominal(start, cut.left) and not only_modifies(wording, start, cut.left):
            pieces.append((start, cut.left))
        if cut.strength >= 2:
            break
        start = cut.right
    return pieces


def cut_at_with(wording: Wording, a: int, b: int) -> Cut | None:
    """'two quarts of water with borage, endive, hops, of each a handful': the list begins behind 'with' between two names."""
    joins = (i for i in range(a + 1, b) if wording.view.words[i] in _WITH)
    return next((Cut(i, i + 1, 1) for i in joins if _parts_two_names(wording, i)), None)


def _parts_two_names(wording: Wording, i: int) -> bool:
    """Whether a known name ends right before token i and another begins right behind it."""
    names = wording.known_in(i - 1, i + 2)
    return any(name.last == i for name in names) and any(name.first == wording.view.solid[i + 1] for name in names)


@cache
def _light_words() -> frozenset[str]:
    """Words that may stand between modifiers without naming anything."""
    return connectives() | word_list("light")


@cache
def _modifying_words() -> frozenset[str]:
    """Words that only modify where nothing else stands beside them: 'prepared', 'gestossen', 'washed' of 'lead burnt'."""
    return _WORKED_ALONE.union(modifiers(), words_of_kind("de"), words_of_kind("fr"))


@cache
def _words_of_a_state() -> frozenset[str]:
    return _modifying_words().union(words_of_kind("free"))


def _says_how(word: str, modifying: frozenset[str]) -> bool:
    return word in modifying or word.endswith(_WORKED_ENDINGS) or fold(word) in modifying


def only_modifies(wording: Wording, a: int, b: int) -> bool:
    """'dried', 'in fine powder', 'finely powdered', 'free from stalk', 'cut small': no name of its own."""
    words = [token.word for token in wording.tokens[a:b] if token.kind == "word"]
    if not words or words[0] in _OPENS_MODIFIER:
        return True
    modifying, light = _modifying_words(), _light_words()
    if all(word in light or _says_how(word, modifying) for word in words):  # "dry'd"
        named = any(name.last - name.first == len(words) for name in wording.known_in(a, b))  # 'Stärke' is starch
        return any(_says_how(word, modifying) for word in words) and not named
    if words[0] not in _WORKED or not OF.isdisjoint(words):
        return False
    begins = next(i for i in range(a, b) if wording.tokens[i].kind == "word")
    starts = {begins, wording.view.solid[begins + 1]}  # 'sage, grated nutmeg', 'sage, dried roses' are two
    return not any(name.first in starts for name in wording.known_in(a, b))


def split(wording: Wording, a: int, b: int) -> list[tuple[int, int]]:
    """Several names: at commas, 'and', line ends after a comma; what only modifies stays with the name before it."""
    start, behind_tail = a, False
    pieces: list[tuple[int, int]] = []
    divisions = [cut for cut in cuts_of(wording, a, b) if wording.is_nominal(cut.right, b)]
    for cut in (*divisions, Cut(b, b, _END_OF_TEXT)):
        if not wording.is_nominal(start, cut.left):
            continue
        of_the_last = behind_tail and not wording.known_in(start, cut.left)  # 'mit Rosenwasser gelöschet, und'
        if pieces and (of_the_last or only_modifies(wording, start, cut.left)):
            pieces[-1] = (pieces[-1][0], cut.left)
        else:
            pieces.append((start, cut.left))
        start, behind_tail = cut.right, cut.tail
    return pieces


def side_by_side(wording: Wording, a: int, b: int) -> list[tuple[int, int]]:
    """The names of a stretch that is nothing but several known names, one behind the other: 'Cloves Nutmegs Saffron' of a list
    without commas. One piece where a word is of none of them, or where one says what is made of another: 'mint water'."""
    names = [name for name in wording.known_in(a, b) if not wording.view.depth[name.first]]
    things = _things(wording, a, b)
    words = wording.view.words
    between = [i for i in things if not any(name.first <= i < name.last for name in names)]
    how = {i for i in between if _says_how(words[i], _words_of_a_state())}  # 'Hordei contus. Passularum'
    short = _cut_short(wording, [i for i in between if i not in how])
    stretches = sorted([*((name.first, name.last) for name in names), *((i, i + 1) for i in short)])
    heading = any(last - first == 1 and _is_a_head(words[first]) for first, last in stretches)
    heading = heading or any(names_a_preparation(words[last - 1]) for _, last in stretches[:-1])
    heading = heading or any(
        words[last - 2] in OF and words[last - 1] in _SORTS for _, last in stretches[:-1]
    )  # 'salt of white' Tartar
    doubled = len({name.ingredients[0] for name in names}) < len(names)
    named = {i for stretch in stretches for i in range(*stretch)}
    if heading or doubled or not stretches or any(i not in named and i not in how for i in things):
        return [(a, b)]
    behind = [*(first for first, _ in stretches[1:]), b]  # a bracket stands with the name before: 'Arum (or Cuckow-pint) Briony'
    return [(first, end) for first, end in zip((a, *behind[:-1]), behind, strict=True)]


def _cut_short(wording: Wording, between: list[int]) -> list[int]:
    """Of the words between the known names of a prescription those that are names by themselves: 'Alth.', 'Dauci' are too short
    to be looked for in sentences."""
    if not wording.latin:
        return []
    tokens = wording.tokens
    return [i for i in between if tokens[i].kind == "word" and in_its_letters(tokens[i].text + "." * tokens[i].dot)]


def _things(wording: Wording, a: int, b: int) -> list[int]:
    """The tokens outside of brackets, without blanks."""
    return [i for i in range(a, b) if wording.tokens[i].kind not in ("gap", "line") and not wording.view.depth[i]]


def _is_a_head(word: str) -> bool:
    return word in heads("head") or names_a_preparation(word)
