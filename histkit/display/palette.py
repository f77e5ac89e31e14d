"""Our own colours, one light and one dark set, with their contrast.

Old things are drawn in rust and new ones in blue: the two stay apart for people who cannot tell red from green, differ in
lightness as well, and never carry a meaning that is not also in words or signs.
"""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.descriptions import Tone
from histkit.base.errors import BadValue

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (level AA): contrast of text against its background."""

LEAST_GRAPHIC_CONTRAST = 3.0
"""WCAG 2.2, success criterion 1.4.11: contrast of graphic objects that carry meaning, such as bars."""


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours as #rrggbb: `paper` behind, `ink` for text, `muted` for what stands back, `old` and `new` for what left and
    what came, `rule` for the three rules, `hair` for thin lines that only decorate, `shade` for bars of what was.
    """

    name: str
    paper: str
    ink: str
    muted: str
    old: str
    new: str
    rule: str
    hair: str
    shade: str

    def tone(self, tone: Tone) -> str:
        """The colour of text of that tone."""
        return {"ink": self.ink, "muted": self.muted, "old": self.old, "new": self.new}[tone]

    @property
    def text_colours(self) -> tuple[str, ...]:
        """Every colour that text is drawn in."""
        return (self.ink, self.muted, self.old, self.new)


THEMES = {
    "light": Theme("light", "#f7f3ea", "#1f2428", "#565b60", "#93371a", "#0b5577", "#1f2428", "#cfc7b6", "#b57a5f"),
    "dark": Theme("dark", "#15191d", "#efeae0", "#b0b4b8", "#f2a381", "#83c9ec", "#efeae0", "#454b52", "#9a6a55"),
}


def theme(name: str) -> Theme:
    """The theme of that name.

    Raises:
        BadValue: there is none.
    """
    try:
        return THEMES[name]
    except KeyError:
        raise BadValue(f"a theme is one of {', '.join(map(repr, THEMES))}, not {name!r}") from None


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, two: str) -> float:
    """Contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
