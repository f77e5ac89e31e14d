"""The marked page over a desk: what a click can do, and what is kept of it."""

from panels_without_browser import fields, page_in, put_right, shown

from histkit import records
from histkit.keeping.records import Record
from histkit.panels import reading
from histkit.panels.changes import set_aside
from histkit.panels.page import page_at_rest

WRAPPED = "Rice starch, 4 oz.\nFrench chalk, 2 oz.\nWheat starch, 1 oz."


def test_white_lead_is_replaced_on_the_page_and_taken_back(own):
    panel = reading.build(own)
    page = page_in(panel)
    (card,) = page.grave
    assert card["title"] == "Lead carbonate must not be used" and "POISON" in page.html
    page.handle({"does": "replace", "key": card["key"], "option": card["options"][0]})
    assert records.load(own.path).replacements[0].removed == "lead-carbonate"
    assert records.load(own.path).replacements[0].reason.startswith("Lead poisons"), "the caution is the reason where none was given"
    assert "POISON" not in page.html and "replaced by zinc oxide and titanium dioxide" in page.html
    assert page.grave[0]["taken"] == "For each gram: 0.7 g zinc oxide, 0.3 g titanium dioxide."
    page.handle({"does": "take_back", "key": "lead-carbonate"})
    assert own.record.replacements == () and "POISON" in page.html


def test_white_lead_is_left_out(own):
    page = page_in(reading.build(own))
    page.handle({"does": "replace", "key": "lead-carbonate", "option": "leave out"})
    assert own.record.replacements[0].parts == () and "left out" in page.html
    assert "lead-carbonate" not in own.record.composition()


def test_a_name_that_meant_two_things_is_settled_by_a_choice(desk):
    desk.begin(Record(text="Talc, 4 ounces.\nPearl white, 2 ounces."))
    panel = reading.build(desk)
    form = page_in(panel).lines[1]
    other = next(key for key, _ in form["meanings"] if key != form["meaning"])
    put_right(panel, 2, meaning=other)
    assert desk.record.translation().lines[1].ingredient.id == other


def test_a_line_that_goes_on_with_the_one_above(desk):
    desk.begin(Record(text=WRAPPED))
    page = page_in(reading.build(desk))
    page.handle({"does": "join", "line": 2})
    _, second, third = desk.record.formula().lines
    assert second.plus == ((1.0, "ounce"),) and third.set_aside == "belongs to the line above"
    assert "belongs to the line above" in page.html
    assert records.load(desk.path).corrections[0].joins_above


def test_poison_in_a_joined_line_still_keeps_it_from_the_bench():
    record = Record(text="Rice starch, 4 oz.\nTalc, 1 oz.\nWhite lead, 1 oz.")
    joined = set_aside(record, 2, joins_above=True)
    assert any("lead" in f.text.lower() and f.holds for f in joined.findings()), [f.text for f in joined.findings()]


def test_a_line_left_out_is_no_line_to_add_by_hand(own):
    """Fault: the table said of a line that the maker had left out 'no amount is printed … add it by hand'."""
    own.edit(lambda record: set_aside(record, 1))
    told = own.record.table().to_text() + own.record.translation().to_text() + own.summary()
    assert "by hand" not in told and "not an ingredient" in told and "Not in the glossary" not in told
    assert own.record.composition().omitted == ()


def test_typed_words_are_escaped_alive_and_at_rest(desk):
    desk.begin(Record(text="<img src=x onerror=alert(1)> Talc, 4 oz.\n<b>Kaolin</b>, 2 oz."))
    panel = reading.build(desk)
    put_right(panel, 2, name="<script>x</script>")
    for html in (shown(panel), page_at_rest(desk.record)):
        assert "<img" not in html and "<script" not in html and "<b>" not in html
    assert "<script" not in page_in(panel).handle({"does": "explain", "line": 1})["closer"]


def test_the_saved_notebook_has_the_same_marks(own):
    html = reading.noun(own.record).to_html()
    assert "POISON" in html and "<script" not in html and "<strong" in html and "226.8 g" not in html
    assert page_at_rest(Record()) and "no formula" in page_at_rest(Record())


def test_nothing_readable_is_told_on_the_page(desk):
    panel = reading.build(desk)
    fields(panel)["Formula"].value = "Good morning"
    assert "no ingredient line" in page_in(panel).html and page_in(panel).lines == []


def test_the_page_needs_nothing_from_elsewhere():
    from histkit.panels.page import PageWidget

    for source in (str(PageWidget._esm), str(PageWidget._css)):
        assert "http" not in source and "import " not in source.replace("!important", "") and "@import" not in source
