"""Questions put to the tables: poisons by decade, change over time, distance."""

import math

import numpy
import pytest
from drawn import pixels, sound
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit.base.errors import BadValue, TableError, UnknownName
from histkit.books.nearness import nearest
from histkit.books.plots import save_trend, trend_frames
from histkit.books.questions import metals, trend
from histkit.books.running import run
from histkit.books.tables import Tables
from histkit.composing.likeness import DELTA, LIMIT, aitchison, without_zeros
from histkit.display import palette

BOOKS = {
    # file: (year, formulas as (title, lines))
    "a.txt": (1798, [("Pearl Powder", "White lead      6 oz.\nFrench chalk    2 oz."), ("Face Powder", "Wheat starch    3 oz.\nOrris root      1 oz.")]),
    "b.txt": (1803, [("Face Powder", "White lead      1 oz.\nWheat starch    3 oz."), ("Cold Cream", "White wax       1 oz.\nAlmond oil      4 oz.")]),
    "c.txt": (1867, [("Face Powder", "Oxide of zinc   1 oz.\nFrench chalk    1 oz."), ("Face Powder", "French chalk    4 oz.\nRice starch     4 oz.\nCarmine         q. s.")]),
    "d.txt": (1868, [("Face Powder", "French chalk    1 oz.\nMystery beads   3 pieces"), ("Lip Salve", "Red lead        1 oz.\nWhite wax       1 oz.")]),
    "e.txt": (None, [("Face Powder", "White lead      1 oz.\nFrench chalk    1 oz.")]),
}  # fmt: skip
PROSE = "It rained for a week, and nobody came into the shop at all.\n\n"


@pytest.fixture(scope="module")
def tables(tmp_path_factory):
    folder = tmp_path_factory.mktemp("books")
    rows = ["file,title,year,country"]
    for file, (year, formulas) in BOOKS.items():
        text = "".join(f"{PROSE}{title}.\n\n{lines}\n\n" for title, lines in formulas)
        (folder / file).write_text(text + PROSE, encoding="utf-8")
        rows.append(f"{file},Invented {file},{year or ''},GB")
    (folder / "books.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    out = tmp_path_factory.mktemp("tables")
    assert run(folder, out).formulas == 9
    return Tables(out)


def words(answer):
    """The answer as text, whatever the width at which it is wrapped."""
    return " ".join(answer.to_text().split())


# -- metals --------------------------------------------------------------------------------------------------------------


def test_lead_by_decade(tables):
    history = metals(tables, "lead")
    assert [(d.decade, d.formulas, d.holding, d.books) for d in history.decades] == [
        (1790, 2, 1, 1),
        (1800, 2, 1, 1),
        (1860, 4, 1, 2),
    ]
    assert (history.first.title, history.first.year) == ("Pearl Powder", 1798)
    assert (history.last.title, history.last.year) == ("Lip Salve", 1868)
    assert history.first.share == pytest.approx(0.75)
    assert history.undated == 1 and len(history.seen) == 4
    assert "Last seen: Lip Salve (d.txt, 1868)" in words(history)
    assert "1 formula of books without a year" in words(history)


def test_lead_in_face_powders_alone(tables):
    history = metals(tables, "lead", "face powder")
    assert [(d.decade, d.formulas, d.holding) for d in history.decades] == [(1790, 1, 0), (1800, 1, 1), (1860, 3, 0)]
    assert history.last.year == 1803


def test_a_metal_that_is_nowhere(tables):
    history = metals(tables, "arsenic")
    assert history.seen == () and history.first is None
    assert "No formula here is known to hold arsenic." in words(history)


def test_a_name_that_has_meant_lead_is_perhaps(tmp_path):
    # 'flake white' or the like: whichever contested name the glossary lists with a lead compound as its other meaning
    name = next(
        n.name
        for entry in hk.glossary.ingredients.values()
        for n in entry.names
        if n.contested
        and n.language == "en"
        and (m := hk.glossary.find(n.name)) is not None
        and any(a.id == "lead-carbonate" for a in m.alternatives)
        and m.ingredient.id == "bismuth-subnitrate"
    )
    (tmp_path / "a.txt").write_text(
        f"{PROSE}Face White.\n\n{name.capitalize()}    4 oz.\nFrench chalk     2 oz.\n", encoding="utf-8"
    )
    (tmp_path / "books.csv").write_text("file,year\na.txt,1880\n", encoding="utf-8")
    run(tmp_path, tmp_path / "out")
    history = metals(Tables(tmp_path / "out"), "lead")
    (only,) = history.decades
    assert (only.holding, only.perhaps) == (0, 1)
    assert "Perhaps: a printed name that has also meant something with lead in it." in words(history)


def test_unknown_words_are_told_with_what_is_known(tables):
    with pytest.raises(UnknownName, match="lead"):
        metals(tables, "kryptonite")
    with pytest.raises(UnknownName, match="face powder"):
        metals(tables, "lead", "facepowder")
    with pytest.raises(UnknownName, match="pastille"):  # nothing near: all are named
        metals(tables, "lead", "zzzz")
    with pytest.raises(UnknownName, match="role"):
        trend(tables, by="colour")


def test_what_holds_a_metal_is_not_counted_as_perhaps_too(tmp_path):
    """'Flake white' beside red lead: the formula holds lead, whatever the other name meant."""
    (tmp_path / "a.txt").write_text(f"{PROSE}Face White.\n\nPearl white    4 oz.\nRed lead     2 oz.\n", encoding="utf-8")
    (tmp_path / "books.csv").write_text("file,year\na.txt,1880\n", encoding="utf-8")
    run(tmp_path, tmp_path / "out")
    lines = list(Tables(tmp_path / "out").lines())
    assert any("lead-carbonate" in line.perhaps.split(";") for line in lines), "the test needs a name that has also meant lead"
    (only,) = metals(Tables(tmp_path / "out"), "lead").decades
    assert (only.holding, only.perhaps) == (1, 0)


def test_traces_are_not_in_common(tmp_path):
    (tmp_path / "a.txt").write_text(f"{PROSE}Face Powder.\n\nTalc       100 oz.\nCarmine    1 grain\n", encoding="utf-8")
    run(tmp_path, tmp_path / "out")
    (near,) = nearest(Tables(tmp_path / "out"), {"talc": 0.5, "carmine": 0.5}).found
    assert near.common == ("talc",)


def test_a_folder_without_tables(tmp_path):
    with pytest.raises(TableError, match="corpus read"):
        metals(Tables(tmp_path))


def test_what_could_not_be_read_is_counted(tmp_path, monkeypatch):
    from histkit.books import harvest

    real = harvest.read
    monkeypatch.setattr(harvest, "read", lambda text, source: real("" if "Borax" in text else text, source))
    text = f"{PROSE}Face Powder.\n\nWhite lead    1 oz.\nTalc          3 oz.\n\n{PROSE}Face Powder.\n\nBorax    1 oz.\nTalc     3 oz.\n\n"
    (tmp_path / "a.txt").write_text(text, encoding="utf-8")
    (tmp_path / "books.csv").write_text("file,year\na.txt,1850\n", encoding="utf-8")
    summary = run(tmp_path, tmp_path / "out")
    assert summary.unreadable == 1 and "1 could not be read" in summary.text()
    for answer in (metals(Tables(tmp_path / "out")), trend(Tables(tmp_path / "out"))):
        assert answer.unreadable == 1 and "Left out: 1 formula that could not be read" in words(answer)


# -- trend ---------------------------------------------------------------------------------------------------------------


def test_trend_by_ingredient(tables):
    found = trend(tables, "face powder", by="ingredient")
    talc, starch, rice, zinc = (
        hk.glossary.find(n).ingredient.name for n in ("french chalk", "wheat starch", "rice starch", "oxide of zinc")
    )
    by_decade = {d.decade: dict(zip(found.groups, d.shares, strict=True)) for d in found.decades}
    # 1860s: the mean of (zinc 1/2, talc 1/2) and (talc 1/2, rice starch 1/2); the third has a line of unknown weight
    assert by_decade[1860][talc] == pytest.approx(0.5)
    assert by_decade[1860][zinc] == pytest.approx(0.25) and by_decade[1860][rice] == pytest.approx(0.25)
    assert by_decade[1790][starch] == pytest.approx(0.75)
    assert {d.decade: d.formulas for d in found.decades} == {1790: 1, 1800: 1, 1860: 2}
    assert all(sum(d.shares) == pytest.approx(1) for d in found.decades)
    assert (found.undated, found.to_taste) == (1, 1)
    text = words(found)
    assert "Fewer than 5 formulas" in text and "Left out: 1 formula of books without a year" in text


def test_a_line_of_unknown_weight_leaves_its_formula_out(tables):
    found = trend(tables, "face powder")
    assert found.incomplete == 1 and "Left out: 1 formula with a line of unknown weight" in words(found)


def test_only_the_largest_groups_stand_alone(tables):
    found = trend(tables, by="ingredient", most=3)
    assert len(found.groups) == 3 and found.groups[-1] == "others"
    assert all(sum(d.shares) == pytest.approx(1) for d in found.decades)


@pytest.mark.parametrize("by", ["role", "family"])
def test_other_ways_to_group(tables, by):
    found = trend(tables, by=by)
    assert all(sum(d.shares) == pytest.approx(1) for d in found.decades)
    assert len(found.groups) > 2


def test_no_formula_left(tables):
    with pytest.raises(BadValue, match=r"books\.csv"):
        trend(tables, "hair dye")


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920), (3840, 2160)])
def test_the_picture_says_what_the_table_says(tables, size, tmp_path):
    found = trend(tables, "face powder", by="ingredient")
    frames = trend_frames(found, size)
    words = " ".join(" ".join(f.text() for f in frames).split())
    assert "1860s" in words and "talc" in words and "50" in words
    assert "Fewer than 5 formulas" in words
    for frame in frames:
        assert (frame.width, frame.height) == size
        assert "1860s (2 formulas)" in frame.alt
        sound(frame)
    written = save_trend(found, tmp_path / "trend.png", size)
    assert written[0].name == "trend.png" and all(p.read_bytes()[:4] == b"\x89PNG" for p in written)


def test_columns_are_as_high_as_the_shares(tables):
    found = trend(tables, "face powder", by="ingredient")
    (frame,) = trend_frames(found, (3840, 2160))
    drawn = pixels(frame)[:, :, :3]
    look = palette.look("paper")
    bars = [tuple(int(look.colour(name)[i : i + 2], 16) for i in (1, 3, 5)) for name in ("was", "now")]
    filled = (drawn == bars[0]).all(axis=2) | (drawn == bars[1]).all(axis=2)
    edges = numpy.flatnonzero(filled.any(axis=0) & ~numpy.roll(filled.any(axis=0), 1))
    assert len(edges) == len(found.decades)
    heights = []
    for edge in edges:
        column = filled[:, edge + 4]
        starts, ends = (numpy.flatnonzero(column & ~numpy.roll(column, step)) for step in (1, -1))
        heights += [int(end - start) + 1 for start, end in zip(starts, ends, strict=True)]
    shares = [d.shares[i] for d in found.decades for i in range(len(found.groups)) if d.shares[i] >= 0.005]
    assert len(heights) == len(shares)
    unit = max(heights) / max(shares)
    assert sorted(high / unit for high in heights) == pytest.approx(sorted(shares), abs=0.02)


# -- distance ------------------------------------------------------------------------------------------------------------


def test_centred_log_ratio_against_a_published_example():
    # The documentation of scikit-bio, skbio.stats.composition.clr: x = (0.1, 0.3, 0.4, 0.2) has these centred log-ratios;
    # against the even composition, whose own are nought, the Aitchison distance is their Euclidean length.
    clr = (-0.79451346, 0.30409883, 0.5917809, -0.10136628)
    one = dict(zip("abcd", (0.1, 0.3, 0.4, 0.2), strict=True))
    even = dict.fromkeys("abcd", 0.25)
    assert aitchison(one, even) == pytest.approx(math.hypot(*clr), abs=1e-7)


def test_replacement_of_zeros_against_a_published_data_set():
    # Martín-Fernández et al. 2003, first row of the data as the documentation of the R package nexus prints them, with its
    # detection limit 0.02 and two thirds: the zero becomes 0.01333…, the others keep their ratios and all add to 1.
    row = (0.0, 0.1250, 0.1237, 0.7253, 0.0260)
    delta = 2 / 3 * 0.02
    replaced = without_zeros(row, delta)
    assert replaced[0] == pytest.approx(0.0133333, abs=1e-7)
    assert sum(replaced) == pytest.approx(1)
    total = sum(row)
    assert replaced[1:] == pytest.approx([x / total * (1 - delta) for x in row[1:]])
    assert replaced[3] / replaced[4] == pytest.approx(0.7253 / 0.0260)


def test_the_stated_figures():
    assert LIMIT == 0.001 and pytest.approx(0.00065) == DELTA


SHARES = st.dictionaries(st.sampled_from("abcdefgh"), st.floats(0.002, 1), min_size=1)


@settings(deadline=None)
@given(SHARES, SHARES)
def test_distance_against_two_independent_ways(one, two):
    """scipy's geometric mean, and the definition by all pairs of parts (Aitchison 1986): neither is how it is worked out."""
    import numpy
    from scipy.spatial.distance import euclidean
    from scipy.stats import gmean

    parts = sorted(set(one) | set(two))

    def closed(shares):
        total = sum(shares.values())
        kept = {k: v / total for k, v in shares.items() if v / total >= LIMIT}
        values = numpy.array([kept.get(p, 0.0) for p in parts if p in kept_in_either])
        values = values / values.sum()
        zero = values == 0
        return numpy.where(zero, DELTA, values * (1 - DELTA * zero.sum()))

    kept_in_either = {k for s in (one, two) for k, v in s.items() if v / sum(s.values()) >= LIMIT}
    x, y = closed(one), closed(two)
    expected = euclidean(numpy.log(x / gmean(x)), numpy.log(y / gmean(y)))
    pairs = math.sqrt(
        sum((math.log(x[i] / x[j]) - math.log(y[i] / y[j])) ** 2 for i in range(len(x)) for j in range(len(x))) / (2 * len(x))
    )
    assert aitchison(one, two) == pytest.approx(expected, abs=1e-9) == pytest.approx(pairs, abs=1e-9)
    assert aitchison(one, two) == pytest.approx(aitchison(two, one), abs=1e-12)


@given(SHARES, st.floats(0.1, 10))
def test_distance_to_itself_is_nought_whatever_the_batch(shares, factor):
    assert aitchison(shares, {k: factor * v for k, v in shares.items()}) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("bad", [[], [0.0, 0.0], [-0.1, 1.1], [math.inf, 1], [math.nan, 1.0]])
def test_shares_that_are_none(bad):
    with pytest.raises(BadValue):
        without_zeros(bad)


def test_too_many_zeros():
    with pytest.raises(BadValue, match="nothing is left"):
        without_zeros([1.0] + [0.0] * 10, 0.1)


def test_nearest(tables):
    own = hk.translate(hk.read("French chalk 4 oz.\nRice starch 4 oz.")).composition()
    found = nearest(tables, own, count=3)
    assert found.found[0].distance == pytest.approx(0, abs=1e-9)
    assert (found.found[0].book, found.found[0].title, found.found[0].year) == ("c.txt", "Face Powder", 1867)
    assert found.found[0].common == tuple(p.ingredient.id for p in own.parts)
    assert [n.distance for n in found.found] == sorted(n.distance for n in found.found) and len(found.found) == 3
    assert (found.compared, found.incomplete) == (8, 1)
    assert "8 formulas compared" in words(found) and "Left out: 1" in words(found)


def test_nearest_of_a_kind_and_from_plain_shares(tables):
    found = nearest(tables, {"lead-carbonate": 0.75, "talc": 0.25}, kind="face white")
    assert [(n.book, n.distance) for n in found.found] == [("a.txt", pytest.approx(0, abs=1e-9))]
    with pytest.raises(BadValue, match="1 or more"):
        nearest(tables, {"talc": 1.0}, count=0)
    with pytest.raises(BadValue, match="above 0"):
        nearest(tables, {})
