"""A second opinion on which name belongs to which amount: the whole text arranged at once, by score.

A print is of a piece: amount first or name first, joined by 'of', by a comma, by a blank. The names between two amounts belong to
the one before, to the one behind, or to neither; for each such choice speak signs that a person can name, each with its weight
(`arranging.csv`, fitted by `tests/reading/fitted_arranging.py`). The best arrangement, and the best one in which an amount looks
the other way, are found exactly, by dynamic programming over the amounts: the time grows with the length of the text.

Where the best arrangement is far better than what was read it is taken instead; where it only differs, the line says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, lru_cache
from itertools import accumulate
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.reading.assigning import Entry
from histkit.reading.dividing import ends_sentence, ends_with_a_stop, only_modifies
from histkit.reading.measure import Measure
from histkit.reading.sides import LEFT, RIGHT, stands_behind_its_name
from histkit.reading.vocabulary import AND, OF, table, word_list
from histkit.reading.wording import Wording

JOINTS = ("stop", "verb", "comma", "joiner", "put in", "link", "gap", "line", "small word", "nothing")
"""What may stand between two names, or a name and an amount; of several the first of these counts."""
STOP, VERB, COMMA, JOINER, PUT_IN, LINK, GAP, LINE, SMALL_WORD, NOTHING = range(len(JOINTS))
_INSIDE = (LINK, SMALL_WORD, NOTHING)
"""What may stand within one name."""
_OF_KIND = {"para": STOP, "gap": GAP, "brace": GAP, "line": LINE}
_IN = word_list("with-or-in")
_WHERE = {LEFT: "before", RIGHT: "behind"}
"""Where the names of an amount stand, in the words of the table."""
_MOST = 20
"""Names at most that are tried for one 'each'."""
_FAR_BETTER = 1.5
"""How much better the best arrangement must be to be taken instead of what was read."""
_IMPOSSIBLE = -99.0


class Piece(NamedTuple):
    """Tokens `first` up to but not including `last` could be one name; `known` tells that the glossary knows one in it, `held`
    that it was read as the name of something that is not arranged here."""

    first: int
    last: int
    known: bool
    held: bool = False


class Stretch(NamedTuple):
    """The names between two amounts, and what stands before, between and behind them: one joint more than there are names."""

    pieces: list[Piece]
    joints: list[int]


class Shape(NamedTuple):
    """All of a stretch on which its score depends, so that each shape is scored once: of each name whether it is known, or None
    where it is held; and the joints."""

    names: tuple[bool | None, ...]
    joints: tuple[int, ...]


class Sums(NamedTuple):
    """Of a stretch, for each of its joints: how many known names stand before it, how many of them next to a stop or a verb, how
    many others; which stop or verb is the last up to it (-1 for none)."""

    known: list[int]
    apart: list[int]
    unknown: list[int]
    last: list[int]


class Choice(NamedTuple):
    """The names of an amount: on which side of it ("" where it has none), and how many, counted from the amount."""

    side: str
    many: int


class Arranged(NamedTuple):
    """A text as amounts with the names between them, what may be chosen for each amount, and what was read; None where that is
    no choice of these."""

    measures: list[Measure]
    stretches: list[Stretch]
    shapes: list[Shape]
    choices: list[tuple[Choice, ...]]
    read: list[Choice | None]


class Opinion(NamedTuple):
    """How much better the best arrangement in which an amount looks the way that was read is than the best in which it looks
    the other way; which way that is (as `sides.choose` calls it), and the name that the amount has there."""

    measure: Measure
    margin: float
    side: str
    other: Piece


def by_second_opinion(
    wording: Wording, measures: Sequence[Measure], entries: Callable[[Mapping[int, str]], list[Entry]]
) -> list[Entry]:
    """The entries of a text, with the doubts of the second opinion; `entries` reads them, given on which side some amounts look
    (by their first tokens, as `sides.choose` takes it)."""
    plain = entries({})
    opinions = opinions_of(arranged(wording, measures, plain))
    turned = {o.measure.first: o.side for o in opinions if o.margin < -_FAR_BETTER}
    if turned:
        other = entries(turned)
        if _named(plain) <= _named(other):  # nothing that had a name loses it
            plain = other
            taken = opinions_of(arranged(wording, measures, plain))
            opinions = [o if o.measure.first not in turned else o._replace(margin=-abs(o.margin)) for o in taken]
    _tell(wording, plain, [o for o in opinions if o.margin < 0])
    return plain


def _named(entries: Sequence[Entry]) -> set[int]:
    measures = (entry.measure for entry in entries if entry.names)
    return {m.first for m in measures if m and m.first < m.last}


def _tell(wording: Wording, entries: Sequence[Entry], opinions: Sequence[Opinion]) -> None:
    """The Doubt on the entries of each amount that may be that of the name on its other side."""
    by_first = {opinion.measure.first: opinion for opinion in opinions}
    for entry in entries if by_first else ():
        opinion = by_first.get(entry.measure.first) if entry.measure is not None and entry.names else None
        if opinion is None:
            continue
        m, name = opinion.measure, opinion.other
        text = f"The amount {wording.printed(m.first, m.last)!r} stands between two names, and may be that of either."
        meant = f"it is that of {wording.words_of(name.first, name.last)!r}"
        doubt = Doubt("group", text, (meant,), "Then this line has another amount: look at the page.")
        entry.doubts = (*entry.doubts, doubt)


# -- a text as amounts and names -----------------------------------------------------------------------------------------------


def arranged(wording: Wording, measures: Sequence[Measure], entries: Sequence[Entry]) -> Arranged:
    """The text as it was read; `measures` are all its amounts, also those of no entry."""
    settled = {entry.measure.first: entry.measure for entry in entries if entry.measure and entry.names}
    own = _in_order(measures, settled)
    owner, known = [-1] * len(wording.tokens), _known_at(wording)
    for entry in entries:
        if entry.measure:
            for first, last in entry.names:
                owner[first:last] = [entry.measure.first] * (last - first)
    places = zip([0, *(m.last for m in own)], [*(m.first for m in own), len(wording.tokens)], strict=True)
    stretches = [stretch_of(wording, known, a, b) for a, b in places]
    read = [
        _choice_read(owner, m, stretches[i], stretches[i + 1]) if m.first in settled else Choice("", 0) for i, m in enumerate(own)
    ]
    elsewhere = {m.first for m, choice in zip(own, read, strict=True) if choice is None}
    stretches = [_held(stretch, owner, elsewhere) for stretch in stretches] if elsewhere else stretches
    told = stands_behind_its_name(wording, own)
    choices = [
        (read[i] or Choice("", 0),) if told else _choices(m, stretches[i], stretches[i + 1], read[i]) for i, m in enumerate(own)
    ]
    return Arranged(own, stretches, list(map(_shape, stretches)), choices, read)


def _in_order(measures: Sequence[Measure], settled: Mapping[int, Measure]) -> list[Measure]:
    """The amounts of the entries, and the others that they leave room for."""
    own: list[Measure] = []
    for m in sorted([*settled.values(), *(m for m in measures if m.first not in settled)], key=lambda m: m.first):
        if m.first < m.last and (not own or m.first >= own[-1].last):
            own.append(m)
    return own


def _choice_read(owner: Sequence[int], m: Measure, before: Stretch, behind: Stretch) -> Choice | None:
    """The choice that was read; None where its names do not stand in one row beside the amount. `owner` is the first token of
    the amount whose name each token is."""
    left = [m.first in owner[piece.first : piece.last] for piece in reversed(before.pieces)]
    right = [m.first in owner[piece.first : piece.last] for piece in behind.pieces]
    rows = [(LEFT, left), (RIGHT, right)]
    taken = [Choice(side, row.count(True)) for side, row in rows if any(row)]
    return taken[0] if len(taken) == 1 else None


def _choices(m: Measure, before: Stretch, behind: Stretch, read: Choice | None) -> tuple[Choice, ...]:
    """What may be chosen for an amount: what was read alone, where its kind leaves nothing else."""
    if read is None or not read.side:
        return (Choice("", 0),)
    if m.kind != "plain":
        return (read,)
    most = _MOST if m.each else 1
    possible = [Choice(LEFT, n) for n in range(1, _reach(before.joints[-2:0:-1], before, most) + 1)]
    possible += [Choice(RIGHT, n) for n in range(1, _reach(behind.joints[1:-1], behind, most) + 1)]
    return tuple(possible) if read in possible else (*possible, read)


def _reach(between: Sequence[int], stretch: Stretch, most: int) -> int:
    """How many names may be taken from an end of a stretch: neither a stop nor a verb stands between them."""
    names = min(most, len(stretch.pieces))
    return next((n + 1 for n in range(names - 1) if between[n] <= VERB), names)


def _held(stretch: Stretch, owner: Sequence[int], elsewhere: set[int]) -> Stretch:
    """The stretch with the pieces marked that are names of what is not arranged here."""
    held = (not elsewhere.isdisjoint(owner[piece.first : piece.last]) for piece in stretch.pieces)
    return stretch._replace(pieces=[piece._replace(held=is_held) for piece, is_held in zip(stretch.pieces, held, strict=True)])


def _known_at(wording: Wording) -> list[int]:
    """For each token the number of the known name in which it stands, counted from 1, or 0."""
    at = [0] * len(wording.tokens)
    for number, name in enumerate(wording.known(), start=1):
        at[name.first : name.last] = [number] * (name.last - name.first)
    return at


def stretch_of(wording: Wording, known: Sequence[int], a: int, b: int) -> Stretch:
    """The names of tokens a…b and what joins them; what stands in brackets only explains. `known` is the number of the known name
    in which each token stands, 0 for none."""
    pieces: list[tuple[int, int]] = []
    joints: list[int] = []
    joint = NOTHING
    for first, last, joint in _rows_of_names(wording, a, b):
        if first == last:
            break
        across = pieces and 0 < known[first] == known[pieces[-1][1] - 1]
        if across or (pieces and joint != STOP and only_modifies(wording, first, last)):
            pieces[-1] = pieces[-1][0], last
        else:
            pieces.append((first, last))
            joints.append(joint)
    return Stretch([Piece(first, last, any(known[first:last])) for first, last in pieces], [*joints, joint])


def _rows_of_names(wording: Wording, a: int, b: int) -> Iterator[tuple[int, int, int]]:
    """The rows of words that could be one name in tokens a…b, each with what stands before it; an empty row at the end."""
    first = last = a
    joint = STOP if a < b and ends_with_a_stop(wording, a) else NOTHING
    before = NOTHING
    for i in range(a, b):
        if wording.view.depth[i]:
            continue
        if not wording.names[i]:
            joint = min(joint, _joint(wording, i))
            continue
        if first == last or joint not in _INSIDE:
            if first < last:
                yield first, last, before
            first, before = i, joint
        last = i + 1
        joint = STOP if wording.tokens[i].dot and ends_sentence(wording, i) else NOTHING
    if first < last:
        yield first, last, before
    yield b, b, joint


def _joint(wording: Wording, i: int) -> int:
    token = wording.tokens[i]
    if token.kind == "word":
        if wording.directions[i]:
            return VERB
        if token.word in AND:
            return JOINER
        if token.word in _IN:
            return PUT_IN
        return LINK if token.word in OF else SMALL_WORD
    if token.kind == "sep":
        return COMMA if token.text == "," or (token.text == ":" and wording.latin) else STOP
    return _OF_KIND.get(token.kind, SMALL_WORD)


# -- what speaks for a choice --------------------------------------------------------------------------------------------------


def _shape(stretch: Stretch) -> Shape:
    names = tuple([None if piece.held else piece.known for piece in stretch.pieces])
    return Shape(names, tuple(stretch.joints))


@lru_cache(maxsize=4096)
def _sums(shape: Shape) -> Sums:
    known = [name is True for name in shape.names]
    parts = [joint <= VERB for joint in shape.joints]
    apart = [name and (parts[k] or parts[k + 1]) for k, name in enumerate(known)]
    unknown = [name is False for name in shape.names]
    last = list(accumulate((k if part else -1 for k, part in enumerate(parts)), max))
    return Sums([0, *accumulate(known)], [0, *accumulate(apart)], [0, *accumulate(unknown)], last)


def own_signs(text: Arranged, i: int, choice: Choice) -> list[tuple[str, int]]:
    """The signs of the choice of amount i, by itself, and how often each."""
    if not choice.side:
        return []
    stretch = text.stretches[i + (choice.side == RIGHT)]
    if choice.side == RIGHT:
        pieces, joints = stretch.pieces[:1], stretch.joints[: choice.many + 1]
    else:
        pieces, joints = stretch.pieces[-1:], stretch.joints[: -choice.many - 2 : -1]
    where = _WHERE[choice.side]
    signs = [(f"{where}: {JOINTS[joints[0]]}", 1), (f"{where}: {'known' if pieces[0].known else 'unknown'}", 1)]
    if text.measures[i].each:
        signs.append((f"each {text.measures[i].each}: {where}", 1))
        signs += [(f"list: {JOINTS[joint]}", 1) for joint in joints[1 : choice.many]]
    return signs


def signs_between(text: Arranged, i: int, left: Choice | None, right: Choice | None) -> list[tuple[str, int]] | None:
    """The signs of the names before amount i, and how often each, given the choices of the amounts on both sides of them (None
    at the ends of the text); None where both cannot be."""
    return _signs_between(text.shapes[i], left, right)


def _signs_between(shape: Shape, left: Choice | None, right: Choice | None) -> list[tuple[str, int]] | None:
    names, joints = shape
    a = left.many if left and left.side == RIGHT else 0
    b = len(names) - (right.many if right and right.side == LEFT else 0)
    if a > b:
        return None
    known, apart, unknown, last = _sums(shape)
    signs: list[tuple[str, int]] = []
    if left is None:
        barrier = min(max(last[b], 0), b)
        signs += [("left out above", known[b] - known[barrier]), ("left out above apart", known[barrier])]
    elif right is None:
        signs.append(("left out below", known[b] - known[a]))
    else:
        if left.side != right.side:
            signs.append(("order changes apart" if min(joints) <= VERB else "order changes", 1))
        if 0 < a == b < len(names):
            signs.append((f"shared: {JOINTS[joints[a]]}", 1))
        by_verbs = apart[b] - apart[a]
        signs += [("left out between", known[b] - known[a] - by_verbs), ("left out between apart", by_verbs)]
        signs.append(("left out unknown", unknown[b] - unknown[a]))
    return signs


@lru_cache(maxsize=16384)
def scores_between(
    shape: Shape, lefts: tuple[Choice | None, ...], rights: tuple[Choice | None, ...]
) -> tuple[tuple[float, ...], ...]:
    """The score of the names of a stretch for each two choices of the amounts on both sides of them; the same shapes come again
    and again."""
    return tuple(tuple([_score(_signs_between(shape, left, right)) for right in rights]) for left in lefts)


def _score(signs: list[tuple[str, int]] | None) -> float:
    if signs is None:
        return _IMPOSSIBLE
    total = 0.0
    for sign, count in signs:
        if count:
            total += weights().get(sign, 0.0) * count
    return total


@cache
def weights() -> Mapping[str, float]:
    """Sign → how much it speaks for a choice."""
    return {row["sign"]: float(row["weight"]) for row in table("arranging")}


# -- the best arrangement ------------------------------------------------------------------------------------------------------


def opinions_of(text: Arranged) -> list[Opinion]:
    """An opinion on each amount that could look either way."""
    if not any(len({choice.side for choice in choices}) > 1 for choices in text.choices):
        return []
    found = []
    for i, (read, totals) in enumerate(zip(text.read, _totals(text), strict=True)):
        same = max((total for choice, total in totals.items() if read and choice.side == read.side), default=_IMPOSSIBLE)
        other = max((choice for choice in totals if read and choice.side != read.side), key=totals.__getitem__, default=None)
        if other is None or same < _IMPOSSIBLE / 2:
            continue
        piece = text.stretches[i].pieces[-1] if other.side == LEFT else text.stretches[i + 1].pieces[0]
        found.append(Opinion(text.measures[i], same - totals[other], other.side, piece))
    return found


def _totals(text: Arranged) -> list[dict[Choice, float]]:
    """For each amount and each of its choices the score of the best arrangement that holds it."""
    lists: list[tuple[Choice | None, ...]] = [(None,), *text.choices, (None,)]
    own = [[_score(own_signs(text, i, choice)) for choice in choices] for i, choices in enumerate(text.choices)] + [[0.0]]
    pairs = [scores_between(*of_stretch) for of_stretch in zip(text.shapes, lists[:-1], lists[1:], strict=True)]
    ahead = [[0.0]]
    for pair, values in zip(pairs, own, strict=True):
        ahead.append([value + max(a + row[j] for a, row in zip(ahead[-1], pair, strict=True)) for j, value in enumerate(values)])
    behind = [[0.0]]
    for pair, values in zip(reversed(pairs[1:]), reversed(own[1:]), strict=True):
        onward = [value + b for value, b in zip(values, behind[-1], strict=True)]
        behind.append([max(p + b for p, b in zip(row, onward, strict=True)) for row in pair])
    behind.reverse()
    return [
        {choice: a + b for choice, a, b in zip(choices, ahead[i + 1], behind[i], strict=True)}
        for i, choices in enumerate(text.choices)
    ]
