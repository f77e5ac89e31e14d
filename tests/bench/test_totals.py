"""All binders together: what is in the powder already, two of a sort, oils together, none at all."""

from __future__ import annotations

import pytest

from histkit.bench.pressing import press
from histkit.bench.totals import binder_totals
from histkit.composing.composition import Composition


def powder(**more: float) -> Composition:
    return Composition.of([("talc", 90), ("titanium-dioxide", 10), *((k.replace("_", "-"), v) for k, v in more.items())])


def test_two_stearates_and_much_oil() -> None:
    """9 % of each stearate lies inside its own level (to 12 and to 10 %), 18 % does not; 16 % of oil is more than the 8 % known."""
    pressed = press(powder(), {"magnesium-stearate": 0.09, "zinc-stearate": 0.09}, oil="sweet-almond-oil", oil_share=0.16)
    soaps, oils = pressed.warnings[-2:]
    assert (
        "metal soaps" in soaps and "18 %" in soaps and "magnesium stearate 9 % and zinc stearate 9 %" in soaps and "12 %" in soaps
    )
    assert "oils and fats come to 16 %" in oils and "to 8 %" in oils


def test_what_the_powder_holds_counts() -> None:
    pressed = press(powder(zinc_stearate=10), "magnesium-stearate", 0.08, None)
    assert pressed.composition.share("zinc-stearate") + pressed.composition.share("magnesium-stearate") > 0.12
    assert any("metal soaps" in warning and "magnesium stearate 8 %" in warning for warning in pressed.warnings)


def test_oils_together() -> None:
    """5 % jojoba and 5 % squalane are each inside 3 to 8 %, together they are not."""
    (warning,) = press(powder(), None, oil={"jojoba-oil": 0.05, "squalane": 0.05}).warnings
    assert "oils and fats come to 10 %" in warning and "sweat oil" in warning
    assert press(powder(), None, oil={"jojoba-oil": 0.03, "squalane": 0.03}).warnings == ()


def test_the_sort_of_cake_narrows_the_range() -> None:
    """6 % of soaps are usual in an eye shadow and more than a translucent face powder takes (3 %)."""
    cake = Composition.of([("talc", 92), ("zinc-stearate", 3), ("magnesium-stearate", 3), ("jojoba-oil", 2)])
    assert binder_totals(cake) == ()
    (warning,) = binder_totals(cake, "translucent face powder")
    assert "6 % of a translucent face powder" in warning and "1.5 to 3 %" in warning


def test_one_binder_is_not_told_twice() -> None:
    warnings = press(powder(), "zinc-stearate", 0.3, None).warnings
    assert len(warnings) == 1 and "sticky" in warnings[0]


def test_no_binder_at_all() -> None:
    (warning,) = press(powder(), None, oil=None).warnings
    assert "Nothing in it binds" in warning and "4 % of dry binder and 4 % of oil" in warning


@pytest.mark.parametrize("held", ["kaolin", "corn-starch", "gum-arabic", "magnesium-stearate", "jojoba-oil", "lanolin"])
def test_a_binder_that_is_there_already(held: str) -> None:
    assert not any("Nothing" in warning for warning in press(powder(**{held: 3}), None, oil=None).warnings)


def test_wet_pressing_does_without() -> None:
    assert press(powder(), None, oil=None, wetting="alcohol").warnings == ()


def test_a_little_of_each_of_two_oils_is_enough_together() -> None:
    """3 % of jojoba and 2 % of squalane are 5 % of oil: neither is told to be too little; 1 % alone is."""
    powder = Composition.of([("talc", 80), ("kaolin", 20)])
    both = press(powder, oil={"jojoba-oil": 0.03, "squalane": 0.02})
    assert not any("crumble" in warning for warning in both.warnings)
    assert any("squalane at 1 %" in warning and "crumble" in warning for warning in press(powder, oil={"squalane": 0.01}).warnings)


def test_what_the_powder_holds_of_a_binder_of_another_sort_is_told() -> None:
    noted = press(Composition.of([("talc", 95), ("gum-arabic", 5)]), binder_share=0.05, oil=None)
    assert "The powder binds by itself with gum arabic 4.75 % of the cake: count it in when you choose the binder" in noted.notes
    assert not any("binds by itself" in note for note in press(Composition.of([("talc", 95), ("kaolin", 5)])).notes)
