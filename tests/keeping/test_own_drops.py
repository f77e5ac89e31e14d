"""The maker's own dropper is kept in the record and used on the sheet."""

from dataclasses import replace

from histkit.keeping.files import load, save
from histkit.keeping.records import Pressing, Record, Weighing


def test_the_own_dropper_is_kept_and_used(tmp_path):
    record = Record(
        text="Talc 10 oz.\nZinc oxide 1 oz.",
        pressing=Pressing(oil_share=0.01),
        weighing=Weighing(own_drops=(("jojoba-oil", 0.5),)),
    )
    save(record, tmp_path / "own.json")
    again = load(tmp_path / "own.json")
    assert again.weighing.own_drops == (("jojoba-oil", 0.5),)
    assert again.batch().weighing("jojoba-oil").note == "0.60 g is about 24 drops of your dropper"
    bare = replace(record, weighing=Weighing())
    assert "standard dropper" in bare.batch().weighing("jojoba-oil").note
