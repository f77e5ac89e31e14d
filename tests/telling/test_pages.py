"""The table of old and new as HTML and as a page: escaped, accessible, self-contained, complete."""

import json
import re
from html.parser import HTMLParser

import invented_powder as ip
import pytest

from histkit.base.errors import BadValue
from histkit.display import html
from histkit.telling import pages
from histkit.telling.comparing import compare


class Reading(HTMLParser):
    """Counts tags, collects attributes and text, and notices tags that were not closed."""

    VOID = frozenset({"meta", "br", "img", "hr", "input", "link"})

    def __init__(self, source: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(source)
        assert self.open == [], f"not closed: {self.open}"

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.tags if name == tag]


def test_the_table_has_caption_scopes_and_totals():
    read = Reading(ip.table().to_html())
    assert len(read.all("caption")) == 1
    assert [h["scope"] for h in read.all("th")][:6] == ["col"] * 6
    assert all("scope" in h for h in read.all("th"))
    assert len(read.all("tbody")) == len(ip.table().blocks())
    assert len(read.all("tfoot")) == 1
    assert [h["rowspan"] for h in read.all("th") if h["scope"] == "rowgroup"] == ["3"]
    assert "".join(read.words).count("100.0") == 2


def test_the_table_shows_every_cell_every_doubt_and_the_source():
    table = ip.table()
    words = "".join(Reading(table.to_html()).words)
    for row in table.rows:
        for cell in (row.printed, row.today, row.change, *table.figures(row)):
            assert cell in words
    for note in table.all_notes():
        assert note in words


HOSTILE = ("<script>alert(1)</script>", "</table><img src=x onerror=alert(1)>", '"><b>', "&amp;", "\u202egnp.exe")


def hostile():
    return ip.translation(extra=HOSTILE)


def test_everything_is_escaped():
    translation = hostile()
    table = compare(translation, composition=translation.composition())
    for source in (table.to_html(), pages.page(table, translation=translation)):
        read = Reading(source)
        assert read.all("script") == ([] if "<!DOCTYPE" not in source else [{"type": "application/ld+json"}])
        assert read.all("img") == read.all("b") == []
        assert "\u202e" not in source
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in source


def test_linked_data_cannot_end_its_script():
    table = compare(hostile())
    data = {"name": "</script><script>alert(1)</script>", **pages.how_to(table)}
    source = html.document("x", "<p>x</p>", data)
    assert source.count("</script>") == 1
    inside = re.search(r'<script type="application/ld\+json">\n(.*?)\n</script>', source, re.DOTALL).group(1)
    assert json.loads(inside) == data


def test_the_page_is_whole_and_loads_nothing():
    made = ip.made_batch()
    source = pages.page(ip.table(), batch=made, translation=ip.translation())
    read = Reading(source)
    assert source.startswith("<!DOCTYPE html>")
    assert read.all("html") == [{"lang": "en"}]
    assert len(read.all("h1")) == 1
    assert not any(a.get("src", "").startswith("http") or "href" in a for _, a in read.tags)
    assert "prefers-color-scheme: dark" in source
    assert "@media print" in source
    assert "@media screen and (max-width: 40rem)" in source and source.count('data-head="weigh, g"') == len(ip.table().rows) + 1
    words = "".join(read.words)
    assert "Mix and sift." in words  # the book's directions
    assert "Bench sheet" in words
    assert "safety assessor" in words
    assert "@book{larkspur1871," in words and '"type": "book"' in words
    assert f"{ip.SOURCE.citation()}." in read.words
    assert len(read.all("details")) == 7 + 2


def test_linked_data_names_supplies_steps_and_book():
    made = ip.made_batch()
    data = pages.how_to(ip.table(), made, ip.translation())
    assert data["@type"] == "HowTo"
    assert {s["name"] for s in data["supply"]} == {w.ingredient.name for w in made.weighings}
    assert data["isBasedOn"]["datePublished"] == "1871"
    assert [s["position"] for s in data["step"]] == list(range(1, len(data["step"]) + 1))


def test_pictures_go_into_the_page(tmp_path):
    path = ip.table(reason="poison").to_picture(tmp_path / "t.png", size=(640, 360))[0]
    source = pages.page(ip.table(), pictures=[path])
    image = Reading(source).all("img")[0]
    assert image["src"].startswith("data:image/png;base64,")
    assert "wheat starch" in image["alt"]
    (tmp_path / "no.png").write_text("no picture")
    with pytest.raises(BadValue, match="no PNG"):
        pages.page(ip.table(), pictures=[tmp_path / "no.png"])
    with pytest.raises(BadValue, match="cannot be read"):
        pages.page(ip.table(), pictures=[tmp_path / "absent.png"])


def test_the_bench_page_is_the_bench_sheet():
    source = pages.bench_page(ip.made_batch())
    assert "Bench sheet" in source
    assert source.startswith("<!DOCTYPE html>")
    Reading(source)
