"""What the bench hands down to be shown."""

import invented_powder as ip

from histkit.base.descriptions import Bullets, Form, Heading, Notes, Paragraph, Ticked, WeighingList
from histkit.bench import describing
from histkit.bench.proposals import propose
from histkit.bench.trials import Trial, TrialLog


def test_the_sheet_goes_from_warnings_and_cautions_to_weighings_steps_and_notes():
    sheet = ip.made_batch().bench_sheet()
    blocks = describing.paper(sheet).blocks
    heads = [block.words for block in blocks if isinstance(block, Heading)]
    assert heads == ["Weigh", "Do, step by step", "How exact the dilutions are, and what is left over"]
    assert isinstance(blocks[0], Form) and isinstance(blocks[-1], Notes)
    (weighings,) = (block for block in blocks if isinstance(block, WeighingList))
    assert [(row.amount, row.name, row.note) for row in weighings.rows] == [
        (describing.unbroken(r.amount), r.name, describing.unbroken(r.note)) for r in sheet.rows
    ]
    (sequence,) = (block for block in blocks if isinstance(block, Ticked))
    assert sequence.steps == tuple(describing.unbroken(step.text()) for step in sheet.steps)
    assert blocks.index(weighings) < blocks.index(sequence)


def test_what_holds_always_stands_on_every_sheet():
    blocks = describing.paper(ip.made_batch().bench_sheet()).blocks
    caution, judged = (block.words for block in blocks if isinstance(block, Paragraph) and block.kind == "caution")
    assert judged.startswith("Judged as ") and "Not looked up" in judged
    assert "dust mask" in caution and "safety assessor" in caution
    warnings = [block.words for block in blocks if isinstance(block, Paragraph) and block.kind == "warning"]
    assert tuple(warnings) == tuple(map(describing.unbroken, ip.made_batch().warnings))
    (accounts,) = (block for block in blocks if isinstance(block, Bullets))
    assert all("May be off" in text for _, text in accounts.entries), "nothing of this powder has a caution of its own"


LOG = TrialLog(
    (Trial(1, 0.03, drops_survived=0, payoff=5), Trial(2, 0.05, drops_survived=5), Trial(3, 0.05, payoff=4), Trial(4, 0.2))
)


def test_results_are_points_full_where_it_held_and_without_height_where_payoff_was_not_tried():
    points = describing.trial_points(LOG, "binder", propose(LOG))
    assert [(p.x, p.y, p.mark) for p in points.points] == [(3, 5, "open"), (5, None, "full"), (5, 4, "cross")]
    assert 20 in points.reaching, "the scale holds the trial that is still to come"
    assert points.band[0].best == 100 * propose(LOG).share.best


def test_bars_stand_for_every_share_tried_and_for_the_one_suggested():
    bars = LOG.describe()
    assert [row.name for row in bars.rows] == [
        "3 %: trial 1: did not hold, gave off",
        "5 %: trial 2: held; trial 3: gave off; suggested next",
        "20 %: trial 4: no result",
    ]
    assert [row.bold for row in bars.rows] == [False, True, False]
    assert all(row.full == 1 for row in bars.rows), "chances run to one"
