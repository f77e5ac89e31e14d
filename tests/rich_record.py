"""An invented record with something in every entry, for the tests of records and of their history."""

from dataclasses import replace

from histkit.base.nouns import Source
from histkit.bench.trials import Trial
from histkit.keeping import example as demo
from histkit.keeping.photograph import Frame, SeenDoubt, SeenWord
from histkit.keeping.records import (
    AddedScent,
    Companion,
    Compared,
    Correction,
    Pack,
    Photograph,
    Pressing,
    Record,
    Scenting,
    TakenExtension,
    Weighing,
)
from histkit.keeping.shades import GroundIn, KeptCard, KeptSwatch


def rich() -> Record:
    """An invented record with something in every entry."""
    made = replace(
        demo.record("complexion"),
        convention="avoirdupois-gb",
        title="Another title",
        notes="a note — with ℥ in it",
        corrections=(Correction(0, amount=4.0, unit="ounce"), Correction(4, amount=(0.25, 0.5)), Correction(5, leave_out=True), Correction(6, ingredient="lavender oil")),
        pressing=Pressing(
            "magnesium-stearate", 0.04, "jojoba-oil", 0.02, (("zinc-stearate", 0.02),), (("squalane", 0.01),), wetting="rectified-spirit",
            wetting_share=0.15, cake="face powder", press="clamp",
        ),
        weighing=Weighing(40, 0.01, 0.2, 3, pan_width_mm=20, pan_length_mm=30, below_rim_mm=0.4, repeatability=0.004, balance="kitchen", number="7", together=True),
        trials=(Trial(1, 0.03, 0.03, 4.0, 1, True, 5, False, "crumbs"), Trial(2, 0.06, drops_survived=6, payoff=4)),
        batches=(Weighing(60, number="5"), Weighing(25, number="6", notes="too pale", make="pans", pans=2, density_g_cm3=1.2), Weighing(make="cupboard", cupboard=(("talc", 11.0),), number="6b")),
        prices=(("talc", 0.02), ("rose-oil", 9.5)),
        currency="EUR",
        beside=(Companion("Talc 1 oz.", source=Source(year=1890)), Companion("Talc, Mica", "list", "a tin", one_percent_from="Mica")),
        swatches=(KeptSwatch("base", "base", (0.8, 0.8, 0.78)), KeptSwatch("red", "tint", (0.6, 0.4, 0.3), (("iron-oxide-red", 0.02),)), KeptSwatch("now", "powder", (0.7, 0.6, 0.5), (("iron-oxide-red", 0.01),), 0.02, (GroundIn("iron-oxide-red", 0.5, 0.2), GroundIn("talc", 1.0)), 20.0)),
        extensions=(TakenExtension("iron-oxide-red", "talc", 0.2, 3.0),),
        card=KeptCard("white, 96, 0, 2\nred, 51, 48, 16\nblue, 40, 10, -45\nlime, 72, -23, 57\nsea, 71, -33, 0\ngrey, 50, 0, 0", 3, "D50"),
        packs=(Pack("talc", "lot 7", sizes=(100.0, 500.0)),),
        scenting=Scenting(0.5, (("rose-oil", 2.0),), "scent", (AddedScent("sandalwood-oil", 3, "drop"),), 50.0),
        viewers="spoons",
        photograph=Photograph(
            "page.jpg", "Talc 2 oz", (SeenWord("Talc", 0, 8, 9, 32, 13, 0.9), SeenWord("x", -1, 0, 0, 5, 5)), (SeenDoubt(5, 6, "amount", "2", "½"),), 90, 60,
            ("one",), 2, Frame(4, 4, 76, 46), "talc/photograph.jpg", "0" * 64, (Compared("Talc 2 oz", "2 ounce", 8, 9),),
        ),
    )  # fmt: skip
    return made.with_compared(range(len(made.formula().lines)))
