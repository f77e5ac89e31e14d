"""Amounts that are no ingredient's: of the whole ('of this mixture'), of a vessel ('in a pint bottle'), of a tool."""

from __future__ import annotations

from itertools import takewhile

from histkit.reading.measure import Measure
from histkit.reading.unit_words import begins_a_sentence, begins_clause
from histkit.reading.view import LOOK_AHEAD, View
from histkit.reading.vocabulary import OF, THE, direction_words, numbers, units, word_list

_IT, _OF_THIS, _PLANT_PARTS = map(word_list, ("it-or-them", "of-this", "part-of-a-plant"))
_THIS, _POINTING, _WHOLE = word_list("this"), word_list("this-or-the"), word_list("whole")
_TAKING, _VESSELS, _TOOLS, _STATES = map(word_list, ("takes-in", "vessel", "tool", "state-of-a-tool"))
_INTO, _THROUGH, _UPON = word_list("into-a-vessel"), word_list("through-a-tool"), word_list("onto-a-tool")
_NOT_A_NAME, _MAKING, _PUTTING = word_list("no-name"), word_list("makes-it"), word_list("takes-in")
_WEIGHING, _OFF, _DRAWING = map(word_list, ("tells-its-weight", "off-or-over", "draws"))
_COMING, _LOSS = word_list("comes-to"), word_list("what-is-boiled-away")
_BOILING, _UNTIL, _DOWN_TO = map(word_list, ("boils-down", "until", "down-to"))
_DIVIDING, _SIZED, _STUFF = word_list("divides"), word_list("sized-vessel"), word_list("stuff-of-a-vessel")
_RECEIPT, _FOR, _SOLUTION, _HOLDING = map(word_list, ("receipt", "for", "made-of-it", "lists-what-it-holds"))
_BEING, _HAVING, _SUPPOSING, _ONLY, _WITH = map(word_list, ("being", "having", "supposes", "only", "with"))
_STEEPED, _WEIGHT = word_list("steeped"), word_list("is-its-weight")
_DRAWN_WORDS, _SUPPOSED_WORDS, _STEEPED_WORDS = 5, 4, 9
"""Words at most before an amount in which 'draw off', 'if' and 'steep' speak of it: 'draw off at first full seven quarts'."""


def refers_to_whole(view: View, measure: Measure) -> bool:
    """'To 12 drachms of this mixture add': an amount of the whole, not of an ingredient."""
    j = view.solid[measure.last]
    article = view.solid[j + 1]
    noun = view.solid[article + 1]
    if view.words[j] in OF and view.words[article] in _IT and measure.kind == "plain":
        return True  # 'take a spoonful of it'
    says_this = view.words[j] in OF and view.words[article] in _THIS
    if says_this and (view.ends_clause(article + 1) or view.words[noun] in _TAKING):
        return True  # 'to 2 ounces of this add'
    of, this, whole, taking = (view.words[measure.first - back] if measure.first >= back else "" for back in (4, 3, 2, 1))
    if of in OF and this in _THIS and whole in _WHOLE and taking in _TAKING:
        return True  # 'of this solution add 1 ounce'
    if view.words[j] not in OF or view.words[article] not in _POINTING:
        return False
    following = view.next_word(noun + 1)
    goes_on = following and following not in _NOT_A_NAME and following not in direction_words()
    return view.words[noun] in _WHOLE and following not in OF and not goes_on  # but 'of the liquid storax'


def names_a_vessel(view: View, i: int, measure: Measure) -> bool:
    """'in a pint bottle', 'through a piece of lace'; the amount's figure stands at token i."""
    below = view.token(measure.last)
    if i and view.tokens[i - 1].kind == "gap" and below is not None and below.kind == "line":
        return False  # the amount ends the row of a column, whatever begins the next
    noun = view.solid[measure.last]
    while view.words[noun] in _STUFF:
        noun = view.solid[noun + 1]
    if measure.kind == "plain" and view.words[noun].rpartition("-")[2] in _SIZED:
        # 'a three quart saucepan', 'a half gallon stone jar'; but 'rhubarb, 3 drachms. Bottle, and cork'
        return view.next_word(noun + 1) not in OF and not (view.tokens[measure.last - 1].dot and view.tokens[noun].text.istitle())
    before = next((t for t in reversed(view.tokens[max(0, i - 2) : i]) if t.kind == "word"), None)
    if before is None or measure.kind not in ("plain", "some"):
        return False
    if before.word in OF and i > 1 and view.words[i - 2] in _VESSELS:
        return measure.unit != "piece"  # 'a kettle of five or six gallons'
    following = view.next_word(measure.last)
    put_in = i > 1 and view.words[i - 2] in _PUTTING and following not in _VESSELS  # 'put in a pound more sugar'
    if before.word in _WITH and measure.article and measure.unit != "piece" and not view.next_word(measure.last):
        return True  # 'with a table-spoon, a little at a time'
    if before.word in _INTO and measure.unit == "wineglassful":  # 'in a glass of water', but 'steep in a glass of brandy'
        return not put_in and _STEEPED.isdisjoint(_words_before(view, i, _STEEPED_WORDS))
    if before.word in _INTO and measure.article and not put_in:
        one = numbers().get(view.words[measure.first])
        if not following or (one is not None and one.language == "de"):  # German has no 'of': 'in einer Unze Wasser'
            return view.tokens[measure.last - 1].word in _VESSELS or following in _VESSELS
        return following not in OF  # 'in a pint saucepan'
    if measure.unit != "piece":
        return False
    return before.word in _THROUGH or (before.word in _UPON and following not in OF)  # 'to a stick'


def is_a_tool(view: View, measure: Measure) -> bool:
    """'rub with a small bit of sponge', 'stir with a stick': nothing that goes in."""
    if measure.unit != "piece" or not measure.article:
        return False
    j = view.solid[measure.last]
    noun = view.solid[j + 1] if view.words[j] in OF else j
    noun = view.solid[noun + 1] if view.words[noun] in _STATES else noun
    stick = noun == j and view.words[measure.first - 1] in _WITH and view.words[measure.last - 1] in _TOOLS
    behind = view.next_word(noun + 1)
    names_more = behind and behind not in _NOT_A_NAME and behind not in direction_words()  # 'a bit of stick liquorice'
    return stick or (view.words[noun] in _TOOLS and not names_more)


def boils_down(view: View, i: int) -> bool:
    """Whether a verb of boiling away stands in the clause before 'to' at token i: what follows is what is left."""
    clause = takewhile(lambda k: view.tokens[k].kind not in ("sep", "para"), range(i - 1, max(-1, i - LOOK_AHEAD), -1))
    return any(view.words[k] in _BOILING and not view.tokens[k].dot for k in clause)  # 'Decoct.' is a thing


def _heads_a_list(view: View, i: int) -> bool:
    """Whether the words from token i on end with a colon, before any other stop."""
    stop = next((t for t in view.tokens[i : i + LOOK_AHEAD] if t.kind in ("sep", "para", "num", "sign")), None)
    return stop is not None and stop.text == ":"


def is_made(view: View, start: int, measure: Measure) -> bool:
    """'Recipe for making ten gallons of ratafia', 'draw off three pints', 'a ball weighing two pounds', 'divide into four parts':
    how much comes of it, what it weighs, into how many it goes; the amount stands from token `start`."""
    if not start or measure.kind not in ("plain", "bare"):
        return False
    before = view.words[start - 1]
    if before in _UNTIL or (before in _DOWN_TO and view.next_word(measure.last) not in OF and boils_down(view, start - 1)):
        return True  # 'boil it in water to a pint', 'till six quarts be wasted'
    ahead = view.words[start - 2] if start > 1 else ""
    if before in _DOWN_TO and ahead in _COMING and view.next_word(measure.last) not in OF:
        return True  # 'till it comes to a quart'
    if before in OF and (ahead in _LOSS or ahead in _YIELD):
        return True  # 'to the consumption of a third part', 'a yield of about nine gallons'
    if _is_room(view, start):
        return True
    if before in _MAKING or (before in _FOR and start > 1 and view.words[start - 2] in _RECEIPT):
        return measure.unit != "piece"
    if before in _FOR and begins_clause(view, start - 1) and _heads_a_list(view, measure.last):
        return True  # 'For 5 lbs. of powder: starch 4 lbs.'
    noun = view.solid[view.solid[view.solid[measure.last] + 1] + 1]
    if view.words[noun] in _SOLUTION and view.next_word(noun + 1) in _HOLDING:
        return True  # 'a spoonful of a solution containing 2 ounces of'
    behind = view.solid[measure.last]
    if before in OF and view.words[behind] in _WEIGHT and view.next_word(behind + 1) not in OF:
        return True  # 'a leg of 7 lbs. weight'
    if before in _CONTAINING and _of_an_amount(view, start - 1):
        return True  # 'Ten grains contain one grain of opium.'
    if before in _WEIGHING and measure.unit not in ("piece", ""):
        return True
    sentence = _words_before(view, start, _LONGEST_SUBJECT)
    if _tells_the_yield(sentence):
        return True
    near = sentence[-_DRAWN_WORDS:]
    if any(word in _DRAWING and near[at + 1] in _OFF for at, word in enumerate(near[:-1])):
        return True
    ends = view.ends_clause(measure.last) or view.tokens[measure.last - 1].dot
    into_parts = ends and measure.unit in ("part", "piece") and before in _INTO  # 'cut into six sticks'
    return into_parts and any(word in _DIVIDING for word in view.words[max(0, start - LOOK_AHEAD) : start])


def _is_room(view: View, start: int) -> bool:
    """'a phial that will contain an ounce of water will hold an ounce and a half of the ley': what a vessel has room for."""
    *_, who, helping, verb = ["", "", "", *_words_before(view, start, _LONGEST_SUBJECT)]
    holds = verb in _ROOM_FOR and helping in _HELPING
    return holds and (who in _THAT or not _VESSELS.isdisjoint(_words_before(view, start, 2 * _LONGEST_SUBJECT)))


def _of_an_amount(view: View, verb: int) -> bool:
    """Whether a unit, and no name, stands before the verb at token `verb`: it tells what that amount holds."""
    unit = next((k for k in range(verb - 1, -1, -1) if view.tokens[k].kind == "word"), verb)
    return view.words[unit] in units() and view.words[unit] not in _VESSELS  # not 'a bottle containing two teaspoonfuls'


_CONTAINING, _ROOM_FOR, _THAT = word_list("tells-what-it-holds"), word_list("has-room-for"), word_list("that-or-which")
_YIELD = word_list("yield-noun")
_YIELDS_AFTER = word_list("yields-after")
_YIELDS_ALWAYS, _HELPING = word_list("yields-whatever-stands-before"), word_list("helping-verb")
_YIELDING = _YIELDS_AFTER | word_list("yields-alone")
_SAYS_YIELD = _YIELDING | word_list("yield-subject")
_LONGEST_SUBJECT = 9
"""Words at most of a verb of yielding and its subject."""


def _tells_the_yield(words: list[str]) -> bool:
    """'This will make' nine gallons, 'Makes' 2 lbs.: nothing but a verb of yielding and what yields; 'make' alone orders it.
    'The rest makes' a pound, 'water will yield' half a pint: whatever stands before such a verb."""
    if not words:
        return False
    *before, verb = words
    if verb in _YIELDS_ALWAYS and (verb not in _YIELDS_AFTER or (before and before[-1] in _HELPING)):
        return True
    return words[0] not in _YIELDS_AFTER and not _YIELDING.isdisjoint(words) and _SAYS_YIELD.issuperset(words)


def _words_before(view: View, start: int, many: int) -> list[str]:
    """The last words before token `start`, no more than `many`, of the clause in which it stands."""
    first = max(0, start - 2 * many)  # blanks and line ends stand between
    ends = (i + 1 for i in range(start - 1, first - 1, -1) if _parts_clauses(view, i))
    return [word for word in view.words[next(ends, first) : start] if word][-many:]


def _parts_clauses(view: View, i: int) -> bool:
    """Whether token i is a figure, a stop or a word with one before a capital: '6 quarts. This makes'."""
    token = view.tokens[i]
    return token.kind in ("sep", "para", "num") or (token.dot and begins_a_sentence(view, i + 1))


def is_supposed(view: View, start: int, measure: Measure) -> bool:
    """'till one gallon is lost', 'when there are two quarts', 'take thereof half a pint': what there is, not what goes in."""
    before = [word for word in _words_before(view, start, _SUPPOSED_WORDS) if word not in _ONLY and word not in THE]
    if measure.kind != "plain" or _SUPPOSING.isdisjoint(before):
        return False
    if before[-1] in _OF_THIS and not _PLANT_PARTS.isdisjoint(before[-2:-1]):
        return False  # 'the juice thereof two ounces'
    stands = before[-1] in _SUPPOSING and view.next_word(measure.last) in _BEING
    return stands or before[-1] in _HAVING or before[-1] in _BEING
