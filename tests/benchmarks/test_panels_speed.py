"""One step of a slider in the kernel (`make bench`): the budget is 50 ms, so that the result follows the hand."""

import itertools

import pytest
from panels_without_browser import page_in, widgets_in

from histkit.bench.trials import Trial
from histkit.keeping import example as demo
from histkit.panels import batch, pictures, pressing, reading, substitutes
from histkit.panels.state import Desk


@pytest.fixture
def desk(tmp_path):
    shared = Desk(tmp_path / "my-formula.json")
    shared.keep(demo.record("complexion"))
    return shared


def stepper(panel):
    """Moves the first slider of a panel one step to and fro."""
    track = next(w for w in widgets_in(panel) if type(w).__name__ == "FloatSlider")

    def step():
        track.value = 5.0 if track.value != 5.0 else 5.25

    return step


@pytest.mark.benchmark(group="one step of a slider")
def test_binder_with_the_pressing_panel_alone(benchmark, desk):
    benchmark(stepper(pressing.build(desk)))


@pytest.mark.benchmark(group="one step of a slider")
def test_binder_with_pressing_batch_and_table_at_once(benchmark, desk):
    """Cake, pans, bench sheet and table drawn anew, the record saved, as where one page shows them all."""
    panels = [build(desk) for build in (pressing.build, batch.build, pictures.build)]
    benchmark(stepper(panels[0]))


@pytest.mark.benchmark(group="one step of a slider")
def test_binder_with_test_presses_in_the_log(benchmark, desk):
    tried = tuple(Trial(n, 0.02 + n / 100, 0.03, drops_survived=n, payoff=6 - n) for n in range(1, 6))
    desk.change(trials=tried)
    benchmark(stepper(pressing.build(desk)))


@pytest.mark.benchmark(group="one step of a slider")
def test_another_option_looked_at_in_the_substitutes(benchmark, desk):
    desk.keep(demo.record("complexion", replaced=False))
    panel = substitutes.build(desk)
    option = next(w for w in widgets_in(panel) if getattr(w, "description", "") == "In place of lead carbonate")

    def look():
        option.value = 1 - option.value

    benchmark(look)


@pytest.mark.benchmark(group="one step of a slider")
def test_a_line_put_right_in_the_reading(benchmark, desk):
    page, amounts = page_in(reading.build(desk)), itertools.cycle("97")

    def put_right():
        page.handle({"does": "put_right", "line": 0, "values": {"amount": next(amounts)}})

    benchmark(put_right)
