"""Options that several commands of the shell share, and the record that they and a file make together.

An option that is not given is None: it then keeps what a record file says, or the default of the record.
"""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import typer

from histkit.base.errors import BadValue

if TYPE_CHECKING:  # records load the reader and more: `histkit find` needs none of it
    from histkit.keeping.records import Known, Pressing, Record, Replacement, Weighing


def with_options(command: Callable[..., None]) -> Callable[..., None]:
    """A command whose parameters may be groups of options, as a function that takes each option of the groups by itself.

    Typer is given nothing but what it asks of any function: keyword parameters, each with its Annotated type. Both ways to ask
    for them, `inspect.signature` and `typing.get_type_hints`, give the same.
    """
    groups: dict[str, type] = {}
    parameters: list[inspect.Parameter] = []
    hints = get_type_hints(command, include_extras=True)
    for parameter in inspect.signature(command).parameters.values():
        hint = hints[parameter.name]
        if isinstance(hint, type) and is_dataclass(hint):
            groups[parameter.name] = hint
            parameters += _parameters_of(hint)
        else:
            parameters.append(parameter.replace(annotation=hint, kind=inspect.Parameter.KEYWORD_ONLY))

    def ungrouped(**values: Any) -> None:
        filled = {name: group(**{f.name: values.pop(f.name) for f in fields(group)}) for name, group in groups.items()}
        command(**filled, **values)

    ungrouped.__name__, ungrouped.__doc__ = command.__name__, command.__doc__
    ungrouped.__annotations__ = {p.name: p.annotation for p in parameters} | {"return": None}
    ungrouped.__signature__ = inspect.Signature(parameters, return_annotation=None)  # type: ignore[attr-defined]
    return ungrouped


def _parameters_of(group: Any) -> list[inspect.Parameter]:
    """The options of a group as keyword parameters."""
    hints = get_type_hints(group, include_extras=True)
    return [
        inspect.Parameter(
            field.name,
            inspect.Parameter.KEYWORD_ONLY,
            default=inspect.Parameter.empty if field.default is MISSING else field.default,
            annotation=hints[field.name],
        )
        for field in fields(group)
    ]


Loose = Annotated[bool, typer.Option("--loose", help="Leave it a loose powder.")]
Text = Annotated[
    str,
    typer.Argument(help="A file with the formula as printed, a record (.json), or - for standard input.", show_default=False),
]


@dataclass(frozen=True)
class FormulaOptions:
    """Where the formula comes from, and which stand-ins are put in."""

    file: Text = "-"
    book: Annotated[str | None, typer.Option("--book", help="Title of the book.")] = None
    author: Annotated[str | None, typer.Option(help="Author of the book.")] = None
    year: Annotated[int | None, typer.Option(help="Year of printing.")] = None
    country: Annotated[str | None, typer.Option(help="Country of printing: GB, US, FR, DE …")] = None
    kind: Annotated[
        str | None,
        typer.Option(help="pharmacopoeia, prescription, trade receipt book, household receipt book or perfumery manual."),
    ] = None
    said: Annotated[
        str | None,
        typer.Option("--book-says", help="What the book says of its own measures: 'wine measure', 'sixteen ounces to the pint'."),
    ] = None
    measures: Annotated[
        str | None,
        typer.Option("--measures", help="Id of the convention of measures, if you know better than the choice from the source."),
    ] = None
    instead: Annotated[
        list[str] | None,
        typer.Option(
            "--instead",
            help="A stand-in, as removed=stand-in:grams[,stand-in:grams]; "
            "e.g. lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3. May be given again.",
        ),
    ] = None

    product: Annotated[
        str | None,
        typer.Option("--product", help="Sort of product whose law counts: face-powder, rouge, tooth-powder … Default: by title."),
    ] = None
    law: Annotated[str | None, typer.Option("--law", help="Whose law counts: EU (default), GB, US or CA.")] = None
    known: Annotated[
        list[str] | None,
        typer.Option(
            "--known",
            help="An unknown or contested name that you vouch for, as name=reason; the reason is printed on the sheet. "
            "May be given again.",
        ),
    ] = None

    def record(self) -> Record:
        """The record of the file, or a new one from its text, with what these options say."""
        from histkit.keeping.records import Record, load

        start = (
            load(self.file) if self.file.endswith(".json") and Path(self.file).is_file() else Record(text=read_text(self.file))
        )
        country = self.country.upper() if self.country else self.country
        source = {"title": self.book, "author": self.author, "year": self.year, "country": country, "kind": self.kind}
        source["measures"] = self.said
        stated: dict[str, Any] = {key: value for key, value in source.items() if value is not None}
        return replace(
            start,
            source=replace(start.source, **stated) if stated else start.source,
            convention=self.measures or start.convention,
            replacements=(*start.replacements, *map(_replacement, self.instead or ())),
            constraints=replace(
                start.constraints,
                product=start.constraints.product if self.product is None else self.product,
                market=start.constraints.market if self.law is None else self.law.strip().upper(),
            ),
            known=(*start.known, *map(_known, self.known or ())),
        )


@dataclass(frozen=True)
class PressOptions:
    """How it is pressed."""

    binder: Annotated[str | None, typer.Option(help="Id of the dry binder, or 'none'. Default: magnesium-stearate.")] = None
    binder_share: Annotated[
        float | None, typer.Option("--binder-share", help="Its share of the finished cake. Default: 0.05, for 5 per cent.")
    ] = None
    oil: Annotated[str | None, typer.Option(help="Id of the oil, or 'none'. Default: jojoba-oil.")] = None
    oil_share: Annotated[float | None, typer.Option("--oil-share", help="Its share of the finished cake. Default: 0.03.")] = None
    also: Annotated[list[str] | None, typer.Option("--also", help="A further dry binder, as id=share. May be given again.")] = (
        None
    )
    also_oil: Annotated[list[str] | None, typer.Option("--also-oil", help="A further oil, as id=share. May be given again.")] = (
        None
    )
    of: Annotated[str | None, typer.Option("--of", help="What the shares are of: cake (default) or powder.")] = None
    oil_drops: Annotated[str | None, typer.Option("--oil-drops", help="The oil by drops, as drops/grams of powder: 12/50.")] = (
        None
    )
    oil_from_absorption: Annotated[
        bool, typer.Option("--oil-from-absorption", help="Propose the oil from what the powder takes up.")
    ] = False
    wet: Annotated[
        str | None,
        typer.Option("--wet", help="Id of a liquid for wet pressing (it dries off), as id or id=grams for 1 g of powder."),
    ] = None
    cake: Annotated[str | None, typer.Option(help="Sort of cake whose published levels are shown: 'face powder'.")] = None
    press: Annotated[str | None, typer.Option("--press", help="How it is pressed: thumb, dowel, clamp or arbor.")] = None
    pressure: Annotated[float | None, typer.Option("--pressure", help="Pressure in MPa, if you know it.")] = None

    def pressing(self, start: Pressing) -> Pressing:
        """A choice of pressing with what these options say; 'none' leaves the binder or the oil out, and its share with it."""
        changes: dict[str, Any] = {"binder_share": self.binder_share, "oil_share": self.oil_share, "of": self.of}
        changes |= {"cake": self.cake, "press": self.press, "pressure_mpa": self.pressure}
        for word, key in ((self.binder, "binder"), (self.oil, "oil")):
            if word == "none":
                changes |= {key: None, f"{key}_share": 0.0}
            elif word is not None:
                changes[key] = word
        if self.also:
            changes["more_binders"] = read_pairs("--also", self.also, "zinc-stearate=0.02")
        if self.also_oil:
            changes["more_oils"] = read_pairs("--also-oil", self.also_oil, "squalane=0.01")
        if self.oil_from_absorption:
            changes["oil_from"] = "absorption"
        if self.oil_drops is not None:
            drops, _, grams = self.oil_drops.partition("/")
            changes |= {
                "oil_from": "drops",
                "oil_drops": _figure("--oil-drops", drops, "12/50"),
                "drops_powder_grams": _figure("--oil-drops", grams, "12/50"),
            }
        if self.wet is not None:
            liquid, equals, share = self.wet.partition("=")
            changes |= {"wetting": liquid} | (
                {"wetting_share": _figure("--wet", share, "rectified-spirit=0.2")} if equals else {}
            )
        return replace(start, **{key: value for key, value in changes.items() if value is not None or key in ("binder", "oil")})

    @property
    def any(self) -> bool:
        """Whether any of these options was given."""
        return self != PressOptions()


@dataclass(frozen=True)
class BalanceOptions:
    """The balance, and the size of a pan."""

    readability: Annotated[float | None, typer.Option(help="The balance's smallest step, in grams. Default: 0.01.")] = None
    minimum: Annotated[float | None, typer.Option(help="The least that the balance weighs well, in grams. Default: 0.2.")] = None
    pan: Annotated[
        str | None, typer.Option("--pan", help="Size of a pan in mm: across x depth (44x4), or width x length x depth (20x30x4).")
    ] = None

    def weighing(self, start: Weighing) -> Weighing:
        """A choice of batch with what these options say."""
        changes = {"readability": self.readability, "minimum": self.minimum, **_pan_of(self.pan)}
        return replace(start, **{key: value for key, value in changes.items() if value is not None or key in _SIDES})

    def prices(self, start: Record) -> Record:
        """The record as it is: nothing is said of prices."""
        return start


_SIDES = ("pan_width_mm", "pan_length_mm")
"""What a round pan has none of."""


def _pan_of(words: str | None) -> dict[str, Any]:
    """The size of a pan as a weighing keeps it; nothing where nothing is said. Raises BadValue where it is not written so."""
    if words is None:
        return {}
    sizes = [_figure("--pan", part, "44x4 or 20x30x4") for part in words.lower().split("x")]
    if len(sizes) == 2:
        return {"pan_diameter_mm": sizes[0], "pan_width_mm": None, "pan_length_mm": None, "pan_depth_mm": sizes[-1]}
    if len(sizes) == 3:
        return {"pan_width_mm": sizes[0], "pan_length_mm": sizes[1], "pan_depth_mm": sizes[-1]}
    raise BadValue(f"--pan {words!r}: write for instance 44x4 or 20x30x4")


@dataclass(frozen=True)
class BatchOptions(BalanceOptions):
    """How much is made, of what, and for how much."""

    grams: Annotated[float | None, typer.Option(help="How much to make, in grams. Default: 60.")] = None
    pans: Annotated[int | None, typer.Option(help="How many pans to fill; without --grams they decide how much is made.")] = None
    density: Annotated[float | None, typer.Option(help="A measured density of the cake, g/cm3.")] = None
    have: Annotated[
        list[str] | None, typer.Option("--have", help="What is at hand, as id=grams; the scarcest decides. May be given again.")
    ] = None
    twenty_drops: Annotated[
        list[str] | None,
        typer.Option("--twenty-drops", help="What 20 drops from your own dropper weigh, as id=grams. May be given again."),
    ] = None
    together: Annotated[
        bool | None, typer.Option("--together/--apart", help="One dilution for several small amounts of a sort, or one for each.")
    ] = None
    number: Annotated[str | None, typer.Option(help="Batch number for the bench sheet.")] = None
    price: Annotated[list[str] | None, typer.Option("--price", help="Price of one gram, as id=price. May be given again.")] = None
    currency: Annotated[str | None, typer.Option(help="Currency of the prices.")] = None

    def weighing(self, start: Weighing) -> Weighing:
        """A choice of batch with what these options say."""
        start = super().weighing(start)
        changes: dict[str, Any] = {"grams": self.grams, "together": self.together, "pans": self.pans}
        changes |= {"density_g_cm3": self.density, "number": self.number}
        if self.grams is not None:
            changes["make"] = "grams"
        elif self.pans:
            changes["make"] = "pans"
        if self.have:
            changes |= {"make": "cupboard", "cupboard": read_pairs("--have", self.have, "talc=120")}
        if self.twenty_drops:
            changes["own_drops"] = read_pairs("--twenty-drops", self.twenty_drops, "jojoba-oil=0.41")
        return replace(start, **{key: value for key, value in changes.items() if value is not None})

    def prices(self, start: Record) -> Record:
        """A record with these prices among its own."""
        more = dict(read_pairs("--price", self.price, "talc=0.02")) if self.price else {}
        prices = tuple({**dict(start.prices), **more}.items())
        return replace(start, prices=prices, currency=start.currency if self.currency is None else self.currency)


def record_of(formula: FormulaOptions, press: PressOptions, batch: BalanceOptions, loose: bool | None) -> Record:
    """The record that a file and all options give together.

    `loose`: True leaves it a powder, False presses it, None as the file says (a text is pressed).
    """
    from histkit.keeping.records import Pressing

    record = formula.record()
    from_text = record.pressing is None and not formula.file.endswith(".json")
    pressed = loose is False or (loose is None and (record.pressing is not None or from_text or press.any))
    pressing = press.pressing(record.pressing or Pressing()) if pressed else None
    return batch.prices(replace(record, pressing=pressing, weighing=batch.weighing(record.weighing)))


LARGEST = 16_000_000
"""Bytes above which a text is taken to be no formula."""


def read_text(file: str) -> str:
    """The text of a file, or of standard input for '-'.

    Raises:
        BadValue: there is no such file, it is no UTF-8, or larger than any formula.
    """
    if file == "-":
        return _decoded("standard input", sys.stdin.buffer.read(LARGEST + 1))
    path = Path(file)
    if not path.is_file():
        raise BadValue(f"there is no file {file}: give a file with the formula as printed, or - to type or pipe it in")
    with path.open("rb") as opened:
        return _decoded(file, opened.read(LARGEST + 1))


def _decoded(where: str, data: bytes) -> str:
    if len(data) > LARGEST:
        raise BadValue(
            f"{where} has more than {LARGEST / 1e6:.0f} MB, more than any formula: for whole books there is 'histkit corpus read'"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadValue(
            f"{where} is no UTF-8 text ({error.reason} at byte {error.start}): save it as UTF-8 and try again"
        ) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def pixels(words: str) -> tuple[int, int]:
    """The size of a picture, as width x height.

    Raises BadValue where it is not written so.
    """
    size = re.fullmatch(r"([0-9]{1,9})x([0-9]{1,9})", words.strip().lower())
    if size is None:
        raise BadValue(f"--size {words!r}: write width x height in pixels, such as 1920x1080")
    return int(size[1]), int(size[2])


def _figure(option: str, words: str, example: str) -> float:
    try:
        return float(words)
    except ValueError:
        raise BadValue(f"{option}: {words!r} is no number; write for instance {example}") from None


def read_pairs(option: str, entries: list[str], example: str) -> tuple[tuple[str, float], ...]:
    """What an option says as id=figure, once for each time that it is given.

    Raises:
        BadValue: one lacks an id, the '=' or a figure.
    """
    out = []
    for entry in entries:
        name, equals, figure = entry.partition("=")
        if not equals or not name.strip():
            raise BadValue(f"{option} {entry!r} lacks an id or an '='; write for instance {example}")
        out.append((name.strip(), _figure(option, figure, example)))
    return tuple(out)


def _known(words: str) -> Known:
    from histkit.keeping.records import Known

    name, equals, reason = words.partition("=")
    if not equals or not name.strip() or not reason.strip():
        raise BadValue(f"--known {words!r} lacks a name, an '=' or a reason; write for instance 'sachet base=my own mixture'")
    return Known(name.strip(), reason.strip())


def _replacement(words: str) -> Replacement:
    from histkit.keeping.records import Replacement

    example = "lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3"
    removed, equals, rest = words.partition("=")
    if not equals or not removed:
        raise BadValue(f"--instead {words!r} lacks an '='; write for instance {example}")
    parts = []
    for piece in rest.split(","):
        name, colon, grams = piece.partition(":")
        parts.append((name.strip(), _figure(f"--instead {words!r}", grams, example) if colon else 1.0))
    return Replacement(removed.strip(), tuple(p for p in parts if p[0]))
