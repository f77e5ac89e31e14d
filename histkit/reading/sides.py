"""On which side of each amount its name stands.

Old books put the amount before the name ('two ounces of borax') or after it ('borax, two ounces') and change their
mind within a sentence. For a run of measures with words between them, each measure looks either left or right for its
name; the best-scoring set of choices is found by dynamic programming over the run, so the time grows with its length.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from histkit.reading.dividing import cuts_of, ends_sentence, ends_with_a_stop, pieces_of
from histkit.reading.figures import DASHES
from histkit.reading.measure import Measure
from histkit.reading.unit_words import begins_clause
from histkit.reading.vocabulary import OF, TAKE, THE, connectives, direction_words, word_list
from histkit.reading.wording import Cut, Wording

SIDES = LEFT, RIGHT = "L", "R"
IMPOSSIBLE = -9.0
_PIECES_COUNTED = 2
"""Names between two amounts beyond which more of them say nothing: 'one cup sugar, cinnamon, cloves, nutmeg, two spoonfuls …'."""
_TAKEN_NAME = 3.0
"""What it costs to give no amount to what stands right behind 'take'."""
_PARTS_NAME_AND_AMOUNT = frozenset({":", *DASHES})
_NAME_FIRST = 6.0
"""What it is worth that a run shows by its print that its names stand before their amounts."""
_PARTS, _WITH, _LEFT_OUT = word_list("part-of-a-fruit-or-egg"), word_list("with"), word_list("left-out")
_WITH_OR_IN, _OF_ANY = word_list("with-or-in"), word_list("any-ingredient")
_ALL_OF_IT, _LINKS, _ARTICLES = word_list("all-of-it"), word_list("links"), word_list("definite-or-not")


def interior_start(wording: Wording, a: int, m: Measure) -> int:
    """Where the name around a figure begins: 'the whites of' before 'two eggs'."""
    words = wording.view.words

    def begins_anew(cut: Cut) -> bool:  # 'some salt and the yolks of', but not 'the white and the yolk of'
        anew = words[cut.right] in THE or words[cut.right] in _PARTS  # 'the peel of one lemon and juice of two'
        return cut.strength > 0 or (anew and words[cut.left - 1] not in _PARTS)

    begins = max([a, *(cut.right for cut in cuts_of(wording, a, m.first) if begins_anew(cut))])
    verbs = (k for k in range(m.first - 1, begins, -1) if wording.is_direction(k))
    verb = next((k for k in verbs if wording.view.next_word(k + 1) in _ARTICLES), None)
    if verb is not None:
        return verb + 1  # 'into a punch bowl put the rinds of 5 lemons'
    joins = (k for k in range(m.first - 1, begins, -1) if words[k] in _WITH and words[k - 1] not in _PARTS)
    return next((k + 1 for k in joins if wording.view.next_word(k + 1) in THE), begins)  # 'beat it up with the yolks of 5 eggs'


def between_interiors(wording: Wording, a: int, m: Measure) -> int:
    """Where the name around a figure begins behind another of its kind: 'the rinds of 5 lemons and the juice of 12 lemons'."""
    return next((cut.left for cut in cuts_of(wording, a, m.first) if wording.is_nominal(a, cut.left)), a)


def choose(wording: Wording, measures: list[Measure], a: int, b: int, turned: Mapping[int, str] | None = None) -> list[str]:
    """`LEFT` or `RIGHT` for each measure of tokens a…b: the best path. `turned` gives the side of some, by their first tokens."""
    if not measures:
        return []
    own, between = _own_scores(wording, measures, a, b), _pair_scores(wording, measures)
    for m, scores in zip(measures, own, strict=True):
        if turned and m.first in turned:
            scores[turned[m.first]] -= IMPOSSIBLE
    here = own[0]
    onward = [here]  # the best path up to each measure, by the side of that one
    for value, pair in zip(own[1:], between, strict=True):
        here = {side: value[side] + max(here[before] + pair[before + side] for before in SIDES) for side in SIDES}
        onward.append(here)
    sides = [max(SIDES, key=onward[-1].__getitem__)]
    for pair, upto in zip(reversed(between), reversed(onward[:-1]), strict=True):
        leading = {before: upto[before] + pair[before + sides[-1]] for before in SIDES}
        sides.append(max(SIDES, key=leading.__getitem__))
    return sides[::-1]


def _own_scores(wording: Wording, measures: list[Measure], a: int, b: int) -> list[dict[str, float]]:
    """For each measure how well the words on either side of it are its name, by themselves."""
    scores = []
    end_before = a
    name_first = _NAME_FIRST if stands_behind_its_name(wording, measures) else 0.0
    for index, m in enumerate(measures):
        named_before = wording.is_nominal(end_before, m.first)
        leftward, rightward = _leftward(wording, m, a), _rightward(wording, m, b, named_before)
        scores.append({LEFT: leftward + name_first, RIGHT: rightward})
        if not index:
            scores[0][LEFT] += 0.0 if named_before else IMPOSSIBLE
            scores[0][RIGHT] -= (_TAKEN_NAME if _takes_a_name(wording, a, m) else 0.3) * named_before
        end_before = m.last
    for index in _taken_of_names(wording, measures, a):
        scores[index][LEFT] += _NAME_FIRST
    if not wording.is_nominal(measures[-1].last, b):
        scores[-1][RIGHT] += IMPOSSIBLE
    return scores


def stands_behind_its_name(wording: Wording, measures: Sequence[Measure]) -> bool:
    """Whether the print of a run shows that each amount stands behind its name."""
    return _are_parted(wording, measures) or _begins_a_list(wording, measures)


def _taken_of_names(wording: Wording, measures: Sequence[Measure], a: int) -> list[int]:
    """'take of that decoction. lb. j. of honey. ℥.ss. of salt. ʒ.j. mix them': the places of the amounts of a run behind
    'take of' and a name, up to the first that has no 'of' behind it; each stands behind its name, or the last had none."""
    run: list[int] = []
    pending: list[int] = []
    end_before = a
    for index, m in enumerate(measures):
        if not pending and not _takes_of_a_name(wording, end_before, m.first):
            end_before = m.last
            continue
        pending.append(index)
        if wording.view.next_word(m.last) not in OF:
            run += pending if len(pending) > 1 and not m.each else []
            pending = []
        end_before = m.last
    return run


def _takes_of_a_name(wording: Wording, a: int, b: int) -> bool:
    """Whether 'take of' and what may be a name stand in tokens a…b."""
    words = wording.view.words
    taken = next((i for i in range(b - 1, a - 1, -1) if words[i] in TAKE), None)
    of = None if taken is None else wording.view.solid[taken + 1]
    return of is not None and words[of] in OF and wording.is_nominal(of + 1, b)


def _are_parted(wording: Wording, measures: Sequence[Measure]) -> bool:
    """'Borax: 2 oz., wax: 1 oz.', 'Borax — 2 oz.; wax — 1 oz.': whether the same sign parts each amount from a name before it,
    most of them known."""
    before = {wording.tokens[m.first - 1].text if m.first else "" for m in measures}
    if len(measures) < 2 or len(before) > 1 or not before <= _PARTS_NAME_AND_AMOUNT:
        return False
    known = [m for m in measures if wording.known_before(m.first - 1)]
    return 2 * len(known) > len(measures)


def _takes_a_name(wording: Wording, a: int, m: Measure) -> bool:
    """'Take sage, one ounce': whether all that stands between 'take' and an amount is a known name and what joins it."""
    i = wording.joined[wording.view.solid[a]]
    end = m.first - (wording.tokens[m.first - 1].text == ",")
    if wording.view.words[i] not in TAKE:
        return False
    return not wording.has_stop(i, end) and bool(wording.known_in(i + 1, end))


def _begins_a_list(wording: Wording, measures: Sequence[Measure]) -> bool:
    """'Starch 3 oz. Honey 1 oz. White of egg.': whether a clause of nothing but a known name stands before the first amount, and
    each amount has a capital behind it, as the next entry begins."""
    first = measures[0].first if measures else 0
    following = (wording.view.token(wording.view.solid[m.last]) for m in measures)
    if not first or not all(token is not None and token.text[:1].isupper() for token in following):
        return False
    end = first - (wording.tokens[first - 1].text == ",")
    if wording.tokens[end - 1].dot:
        return False  # 'Cold cream. 3 oz. Lard'
    names = wording.known_before(end)
    return any(begins_clause(wording.view, name.first) or wording.view.words[name.first - 1] in TAKE for name in names)


def _pair_scores(wording: Wording, measures: list[Measure]) -> list[dict[str, float]]:
    """For each two neighbours how well the words between them go with the sides of both."""
    return [
        {sides: _between(wording, left, right, sides) for sides in (LEFT + LEFT, LEFT + RIGHT, RIGHT + LEFT, RIGHT + RIGHT)}
        for left, right in pairwise(measures)
    ]


def _rightward(wording: Wording, m: Measure, b: int, named_before: bool) -> float:
    """How well the words after the measure begin a name; `named_before` tells whether its name could stand before it."""
    if m.each == "before":
        return IMPOSSIBLE if named_before else 0.0
    if m.reach:
        return 8.0
    tokens = wording.tokens
    i = m.last
    while i < b and tokens[i].kind in ("gap", "line", "other"):
        i += 1
    if i >= b or tokens[i].kind in ("para", "brace", "ditto", "close"):
        return IMPOSSIBLE
    token = tokens[i]
    if token.text == ":" and m.each == "after":
        return 6.0  # '1 oz. each: chalk, orris, myrrh'
    if token.kind == "sep":
        if m.each == "after" and wording.view.next_word(i + 1) in OF:
            return 1.0  # 'six drams a piece, of juniper berries and orange peel'
        return -3.5 if token.text == "," and m.kind != "qs" else IMPOSSIBLE
    if ends_with_a_stop(wording, m.last):
        return IMPOSSIBLE if token.word in THE else -3.5  # 'will be about a pint. The gum having dissolved'
    if m.each == "after":
        if token.word in OF:
            return -4.0 if wording.view.next_word(i + 1) in THE else 6.0
        return -4.0 if _tells_of_each(wording, i, named_before) else 1.0
    return _begins_name(wording, m, i)


def _tells_of_each(wording: Wording, i: int, named_before: bool) -> bool:
    """'belladonna and opium, an ounce of each drug', 'of each dissolved in': whether the word at token i speaks of the names
    before."""
    word = wording.view.words[i]
    worked = direction_words().get(word) is not None and wording.view.words[i + 1] in _WITH_OR_IN
    return named_before and (word in _OF_ANY or worked)


def _begins_name(wording: Wording, m: Measure, i: int) -> float:
    """How well the word at token i, the first after the measure, begins a name."""
    token = wording.tokens[i]
    if m.kind == "same" and token.word in OF and wording.view.next_word(i + 1) in _ALL_OF_IT:
        return -4.0  # 'lard, twice the quantity of both'
    if token.word in _LINKS:
        return -4.0 if wording.view.next_word(i + 1) in _ALL_OF_IT else 4.0  # 'amber ʒss. of all which make'
    without = token.word in _LEFT_OUT and wording.view.next_word(i + 1) not in OF  # 'a handful without the stalks'
    return -4.0 if without or wording.is_direction(i) or token.word in connectives() else 1.5


def _leftward(wording: Wording, m: Measure, a: int) -> float:
    """How well the words before the measure end a name."""
    i = m.first - 1
    while i >= a and wording.tokens[i].kind == "line":
        i -= 1
    if m.reach or i < a:
        return IMPOSSIBLE
    token = wording.tokens[i]
    if token.kind == "gap":
        return 2.5
    if token.kind == "para":
        return IMPOSSIBLE
    if token.kind not in ("sep", "word"):
        return 1.5
    behind = wording.view.ungapped[m.last]
    # '1 oz. orris' looks right even where a comma stands before it
    runs_on = (wording.is_name(behind) or wording.view.words[behind] in OF) and not m.each
    if token.kind == "sep":
        if token.text == ",":
            return 0.0 if runs_on else 1.5
        if token.text == ":":
            return 0.5 if wording.latin else -2.5
        return {"—": -1.0, "-": -1.0, "–": -1.0, ".": -3.0}.get(token.text, -6.0)
    if token.word in connectives() or wording.is_direction(i):
        return -5.0
    if token.dot and not wording.latin and ends_sentence(wording, i):
        return -3.0
    return 1.2 - runs_on


def _between(wording: Wording, left: Measure, right: Measure, sides: str) -> float:
    """The score of the words between two measures, given the sides on which they look for their names."""
    a, b = left.last, right.first
    if right.kind == "interior":  # 'roses, 2 oz. the juice of half a lemon': its own words begin before it
        return 0.0
    if sides == RIGHT + LEFT:
        return _shared(wording, a, b)
    if sides == LEFT + RIGHT:
        return -0.4 if any(wording.directions[a:b]) else -2.5
    named = wording.is_nominal(a, b)
    if sides == RIGHT + RIGHT:
        return -0.8 * min(_PIECES_COUNTED, max(0, len(pieces_of(wording, a, b)) - 1)) if named else IMPOSSIBLE
    return 0.0 if named else IMPOSSIBLE


def _shared(wording: Wording, a: int, b: int) -> float:
    """The score of words of which the first are the left measure's and the last the right one's: that of the best cut."""
    worth = {3: 0.0, 2: -1.0, 1: -0.7, 0: -1.6}
    usable = (cut for cut in cuts_of(wording, a, b) if wording.is_nominal(a, cut.left) and wording.is_nominal(cut.right, b))
    return max((worth[cut.strength] for cut in usable), default=IMPOSSIBLE)
