"""Bars of values before and after, and of test presses."""

import pytest
from bench_ingredients import as_glossary
from drawn import letters, pixels, sound, words_of

import histkit as hk
from histkit.bench.proposals import likelihoods, propose
from histkit.bench.trials import Trial, TrialLog
from histkit.composing.composition import Composition
from histkit.display import palette, pictures
from histkit.glossary.nouns import Ingredient


@pytest.fixture(autouse=True, scope="module")
def _glossary():
    with as_glossary():
        yield


def powder():
    parts = [("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)]
    return Composition.of(parts, "invented tinted powder")


def test_effects_as_bars(tmp_path):
    effects = powder().effects(powder().replace("zinc-oxide", {"titanium-dioxide": 1.0}), {"talc": 0.02})
    frames = pictures.draw(effects.describe(), (1920, 1080))
    words = letters(words_of(frames))
    for row in effects.rows:
        if row.before.value is not None and row.before.value.high > 0:
            assert all(letters(text) in words for text in (row.heading, str(row.before.value), str(row.after.value)))
    assert "carmine" in words, "what has no value is named"
    for frame in frames:
        sound(frame)
        assert "before" in frame.alt
    assert effects.to_picture(tmp_path / "e.png", (1920, 1080))[0].stat().st_size > 1000
    nothing = Composition.of([(Ingredient("unknown", "unknown"), 1)])
    with pytest.raises(hk.BadValue, match="nothing to draw"):
        nothing.effects(nothing).describe()


def bar_lengths(frame, colour):
    """The lengths of the bars of that colour from the top, in pixels."""
    rgb = tuple(int(palette.look("paper").colour(colour)[i : i + 2], 16) for i in (1, 3, 5))
    rows = (pixels(frame)[:, :, :3] == rgb).all(axis=2).sum(axis=1)
    starts = [n for n in range(1, len(rows)) if rows[n] and not rows[n - 1]]
    return [int(rows[n : n + 30].max()) for n in starts]


def test_the_longer_bar_is_the_greater_value():
    before, after = Composition.of([("talc", 1)]), Composition.of([("talc", 3), ("rice-starch", 1)])
    effects = before.effects(after)
    bars = effects.describe()
    frame = pictures.draw(bars, (3840, 2160))[0]
    for which, colour in enumerate(("was", "now")):
        drawn = bar_lengths(frame, colour)[1:]  # the first is the legend's
        values = [row.lengths[which].value for row in bars.rows]
        wanted = [
            value.best / row.full for value, row in zip(values, bars.rows, strict=True) if value is not None and value.high > 0
        ]
        assert len(drawn) == len(wanted) > 1
        longest = max(wanted)
        for bar, value in zip(drawn, wanted, strict=True):
            assert bar / max(drawn) == pytest.approx(value / longest, abs=0.02)


def test_trials_as_bars(tmp_path):
    log = TrialLog(
        (Trial(1, 0.02, 0.03, drops_survived=0, payoff=5), Trial(2, 0.06, 0.03, drops_survived=5, payoff=4), Trial(3, 0.09, 0.03, crumbles=False, glazes=True), Trial(4, 0.05)),
        "invented",
    )  # fmt: skip
    frames = pictures.draw(log.describe(), (1920, 1080))
    for frame in frames:
        sound(frame)
    spoken = " ".join(frame.alt for frame in frames)
    for text in (
        "trial 1: did not hold, gave off",
        "trial 2: held, gave off",
        "trial 3: held, gave off badly",
        "trial 4: no result",
        "suggested next",
        "common practice",
    ):
        assert text in spoken, text
    ((hold, give),) = likelihoods(log, [propose(log).share.best])
    assert (hold, give) == (pytest.approx(propose(log).holds), pytest.approx(propose(log).gives))
    assert f"{100 * hold:.0f} %" in spoken and f"{100 * give:.0f} %" in spoken
    assert likelihoods(TrialLog((Trial(1, 0.05, payoff=4),)), [0.05])[0][0] is None
    assert log.to_picture(tmp_path / "t.png", (1920, 1080))[0].stat().st_size > 1000
    with pytest.raises(hk.BadValue, match="no trial"):
        TrialLog().describe()
