"""The bench sheet on paper and the bench's pictures: everything is on them, nothing is cut off, nothing lies over something else."""

import re
import zlib

import pytest
from bench_ingredients import as_glossary
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit.bench.batching import Balance, batch
from histkit.bench.pressing import press
from histkit.bench.trials import Trial, TrialLog, likelihoods, propose
from histkit.composing.composition import Composition
from histkit.display import papers, pictures
from histkit.display.frames import Bar, Words
from histkit.glossary.nouns import Ingredient
from histkit.telling.files import save_sheet


@pytest.fixture(autouse=True, scope="module")
def _glossary():
    with as_glossary():
        yield


def powder(name="invented tinted powder"):
    return Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)], name)


def made(name="invented tinted powder", **more):
    pressed = press(powder(name), wetting="alcohol")
    return batch(pressed, 60, Balance(0.01, 0.2), **more)


def words_of(frames):
    return " ".join(" ".join(frame.text() for frame in frames).split())


def inside(frame, margin):
    for item in frame.items:
        left, top, right, bottom = (
            item.box() if isinstance(item, Words) else (item.x, item.y, item.x + item.width, item.y + item.height)
        )
        assert margin - 1 <= left and right <= frame.width - margin + 1, item
        assert margin - 1 <= top and bottom <= frame.height - margin + 20, item


def apart(frame):
    """No two lines of words cross each other."""
    boxes = [w.box() for w in frame.words if w.text.strip()]
    for n, (left, top, right, bottom) in enumerate(boxes):
        middle = (top + bottom) / 2
        for left2, top2, right2, bottom2 in boxes[n + 1 :]:
            middle2 = (top2 + bottom2) / 2
            if left < right2 and left2 < right and abs(middle - middle2) < 0.5 * min(bottom - top, bottom2 - top2):
                raise AssertionError(f"words lie over each other on {frame.title}")


@pytest.mark.parametrize("paper", ["a4", "letter", "A4"])
def test_everything_of_the_sheet_is_on_the_pages(paper):
    one = made(number="7b", prices={"talc": 0.02}, currency="EUR", pans=4)
    sheet = one.bench_sheet()
    pages = papers.pages(sheet.describe(), paper)
    words = words_of(pages)
    for row in sheet.rows:
        assert row.amount in words and row.ingredient.name in words
    wanted = [w for name, steps in sheet.aliquots for w in (name, *steps)] + [sheet.step_text(s) for s in sheet.steps]
    wanted += [sheet.price, *sheet.mixing, "7b", "60.00 g", "Notes", "Balance showed", "Cautions", "page 1 of", "Wet with"]
    for text in (*wanted, *(w for _, w in sheet.caution_lines())):
        assert " ".join(text.split()) in words, text
    for page in pages:
        inside(page, papers.MARGIN)
        apart(page)
        assert page.title


def test_the_size_is_that_of_the_paper():
    page = papers.pages(made().bench_sheet().describe(), "letter")[0]
    assert page.width / 256 == pytest.approx(8.5, abs=0.01) and page.height / 256 == pytest.approx(11, abs=0.01)
    with pytest.raises(hk.BadValue, match="a4, letter"):
        papers.pages(made().bench_sheet().describe(), "vellum")


def test_boxes_to_tick_and_lines_to_write_on():
    sheet = made().bench_sheet()
    bars = [bar for page in papers.pages(sheet.describe()) for bar in page.items if isinstance(bar, Bar)]
    boxes = [b for b in bars if b.width == papers.BOX]
    count = len(sheet.rows) + len(sheet.mixing) + len(sheet.steps) + sum(len(steps) for _, steps in sheet.aliquots)
    assert len(boxes) == 2 * count
    last = papers.pages(sheet.describe())[-1]
    notes = next(w for w in last.words if w.text == "Notes")
    assert sum(1 for b in last.items if isinstance(b, Bar) and b.y > notes.y and b.height < 3 and b.width > last.width / 2) >= 4


@settings(max_examples=15, deadline=None)
@given(st.text(min_size=1, max_size=120), st.integers(1, 30))
def test_long_and_strange_names_are_never_cut_off(name, count):
    parts = [(Ingredient(f"earth-{n}", f"{name} {n}" if n else "talc", state="powder"), 1.0 + n) for n in range(count)]
    one = batch(Composition.of(parts, name), 30 + 5 * count, number=name[:10])
    for page in papers.pages(one.bench_sheet().describe()):
        inside(page, papers.MARGIN)
        apart(page)


def test_the_pdf_is_one_with_as_many_pages_and_the_same_each_time():
    one = made()
    data = one.to_pdf()
    assert data.startswith(b"%PDF-") and data == one.bench_sheet().to_pdf()
    assert len(re.findall(rb"/Type /Page\b", data)) == len(papers.pages(one.bench_sheet().describe()))
    assert any(
        b"Tj" in zlib.decompress(m) or b"TJ" in zlib.decompress(m)
        for m in re.findall(rb"stream\r?\n(x.*?)\r?\nendstream", data, re.S)[:3]
    )


def test_it_is_written_by_its_ending(tmp_path):
    one = made()
    for ending, start in ((".pdf", b"%PDF"), (".html", b"<!DOCTYPE html>"), (".md", b"# Bench sheet")):
        assert save_sheet(tmp_path / f"sheet{ending}", one).read_bytes().startswith(start)
    with pytest.raises(hk.BadValue, match=r"\.pdf, \.html or \.md"):
        save_sheet(tmp_path / "sheet.docx", one)
    with pytest.raises(hk.HistkitError, match="folder"):
        save_sheet(tmp_path / "none" / "sheet.pdf", one)


def test_effects_as_bars(tmp_path):
    effects = powder().effects(powder().replace("zinc-oxide", {"titanium-dioxide": 1.0}), {"talc": 0.02})
    frames = pictures.draw(effects.describe(), (1920, 1080))
    words = words_of(frames)
    for row in effects.rows:
        if row.before.value is not None and row.before.value.high > 0:
            assert row.heading in words and str(row.before.value) in words and str(row.after.value) in words
    assert "carmine" in words, "what has no value is named"
    for frame in frames:
        inside(frame, 0)
        apart(frame)
        assert "before" in frame.alt
    assert effects.to_picture(tmp_path / "e.png", (1920, 1080))[0].stat().st_size > 1000
    nothing = Composition.of([(Ingredient("unknown", "unknown"), 1)])
    with pytest.raises(hk.BadValue, match="nothing to draw"):
        nothing.effects(nothing).describe()


def test_the_longer_bar_is_the_greater_value():
    before, after = Composition.of([("talc", 1)]), Composition.of([("talc", 3), ("rice-starch", 1)])
    frame = pictures.draw(before.effects(after).describe(), (3840, 2160))[0]
    y = next(w.y for w in frame.words if w.text == "oil absorption")
    bars = sorted(
        (b for b in frame.items if isinstance(b, Bar) and abs(b.y - y) < 160 and b.height > 40 and b.width > 100),
        key=lambda b: b.y,
    )
    assert len(bars) == 2
    effect = before.effects(after)["oil-absorption"]
    assert bars[0].width / bars[1].width == pytest.approx(effect.before.value.best / effect.after.value.best, rel=1e-6)


def test_trials_as_bars(tmp_path):
    log = TrialLog(
        (Trial(1, 0.02, 0.03, drops_survived=0, payoff=5), Trial(2, 0.06, 0.03, drops_survived=5, payoff=4), Trial(3, 0.09, 0.03, crumbles=False, glazes=True), Trial(4, 0.05)),
        "invented",
    )  # fmt: skip
    frames = pictures.draw(log.describe(), (1920, 1080))
    for frame in frames:
        inside(frame, 0)
        apart(frame)
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
