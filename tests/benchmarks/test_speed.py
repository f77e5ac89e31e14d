"""Speeds as ratios within one run (`make bench`): machines are noisy, so nothing here is a pass or fail by the clock.

Each group pairs what histkit does with a yardstick of the same machine. The budget is written in DEVELOPERS.md.
"""

import subprocess
import sys

import pytest

import histkit as hk
from histkit.glossary.index import shipped
from histkit.glossary.stages import identified
from histkit.keeping import example as demo
from histkit.reading import read

LINES = 200
FORMULA = "\n".join(
    f"{name:<34}{amount} {unit}"
    for name, amount, unit in [("Powdered talc", 4, "oz."), ("Rice starch", "1-1/2", "lb."), ("Carmine", 20, "grains"), ("Otto of rose", 10, "drops")] * (LINES // 4)
)


@pytest.mark.benchmark(group="a printed line")
def test_read_and_identify_and_weigh(benchmark):
    """200 printed lines read, identified and converted; divide by 200 for one line."""
    benchmark(lambda: hk.translate(read(FORMULA)))


@pytest.mark.benchmark(group="a printed line")
def test_read_only(benchmark):
    benchmark(lambda: read(FORMULA))


@pytest.mark.benchmark(group="a printed line")
def test_names_not_met_before(benchmark):
    """The same with 200 names that this process has not read or looked up yet, each time others."""
    everything = sorted({n.name for entry in hk.glossary.ingredients.values() for n in entry.names if n.name.replace(" ", "").isalpha()})
    hk.translate(read(FORMULA))  # the tables are loaded
    fresh = iter(range(0, len(everything) - LINES, LINES))

    def next_names():
        start = next(fresh)
        return ("\n".join(f"{name:<44}{3} oz." for name in everything[start : start + LINES]),), {}

    benchmark.pedantic(lambda text: hk.translate(read(text)), setup=next_names, rounds=40)


@pytest.mark.benchmark(group="a printed line")
def test_sentences(benchmark):
    """200 ingredients in running sentences, as cookery books print them (an invented receipt)."""
    receipt = (
        "Take four ounces of rice starch, half an ounce of orris root in fine powder, and two drachms of carmine; mix them well, "
        "and add ten drops of otto of rose, and of oil of cloves and oil of neroli, each five drops. Sift the whole twice.\n\n"
    )
    texts = [receipt] * (LINES // 6)
    benchmark(lambda: [hk.translate(read(text)) for text in texts])


@pytest.mark.benchmark(group="a printed line")
def test_yardstick_pint_parses_200_expressions(benchmark):
    import pint

    registry = pint.UnitRegistry()
    benchmark(lambda: [registry.parse_expression("3 ounce") for _ in range(LINES)])


@pytest.mark.benchmark(group="look-up")
def test_exact_name(benchmark):
    benchmark(identified, "oil of bergamot", shipped())


@pytest.mark.benchmark(group="look-up")
def test_abbreviated_latin(benchmark):
    benchmark(identified, "pulv. rad. irid. flor.", shipped())


@pytest.mark.benchmark(group="look-up")
def test_damaged_spelling(benchmark):
    benchmark(identified, "precipitaled chalk", shipped())


@pytest.mark.benchmark(group="one step of a slider")
def test_press_batch_table(benchmark):
    """Press → batch → table frame, as a panel does when its slider moves."""
    record = demo.record("complexion")
    translation, composition = record.translation(), record.composition()

    def step():
        pressed = hk.press(composition, binder_share=0.05, oil_share=0.03)
        batch = hk.batch(pressed.composition, grams=60, balance=hk.Balance(readability=0.01, minimum=0.2))
        return hk.compare(translation, batch).to_html()

    step()
    benchmark(step)


def _start(code):
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)


@pytest.mark.benchmark(group="start of a process", min_rounds=5)
@pytest.mark.parametrize("code", ["pass", "import histkit", "import pint"])
def test_import(benchmark, code):
    benchmark(_start, code)


@pytest.mark.benchmark(group="start of a process", min_rounds=5)
def test_find_zinc_as_a_whole_process(benchmark):
    benchmark(lambda: subprocess.run([sys.executable, "-m", "histkit.shell.main", "find", "zinc oxide"], check=True, capture_output=True))


@pytest.mark.benchmark(group="a 4K picture", min_rounds=3)
def test_table_picture(benchmark, tmp_path):
    table = demo.record("complexion").table()
    benchmark(lambda: table.to_picture(tmp_path / "table.png", size=(3840, 2160)))


@pytest.mark.benchmark(group="a 4K picture", min_rounds=3)
def test_yardstick_bare_matplotlib_table(benchmark, tmp_path):
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    rows = [[str(cell) for cell in row] for row in demo.record("complexion").table().to_frame().to_numpy().tolist()]

    def draw():
        figure = Figure(figsize=(38.4, 21.6), dpi=100)
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0, 0, 1, 1))
        axes.axis("off")
        axes.table(cellText=rows, loc="center")
        figure.savefig(tmp_path / "bare.png")

    benchmark(draw)
