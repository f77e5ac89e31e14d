"""Any description for the screen as frames, and as files: the one way from what is to be shown to pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from histkit.base.descriptions import Ledger, Spoken
from histkit.base.filmed import Picture, Plaque, StepCard
from histkit.base.text import clean
from histkit.display import frames, typesetting
from histkit.display.fields import template_and_fields
from histkit.display.frames import Frame, Screen
from histkit.display.palette import Look, look


def draw(
    described: Picture, size: Sequence[int] = (3840, 2160), theme_name: str | Path | Look = "paper", transparent: bool = False
) -> tuple[Frame, ...]:
    """The description set for a screen of `size` pixels (width, height): one frame where it fits, else several.

    `theme_name` is a look of ours ("paper", "light", "dark") or a file of a maker's own. A `transparent` picture has a plate
    behind its text, so that it can be read over any film.

    Raises:
        BadValue: the size or the look makes no sense, or there is nothing to draw.
    """
    screen, chosen = Screen.of(size), look(theme_name)
    template, fields = template_and_fields(described)
    title, source, spoken = _title(described), _source(described), described.spoken
    data: dict[str, Any] = {
        **_page(screen, chosen, transparent),
        "title": clean(title),
        "alt": clean(spoken.text()) if spoken else "",
        **fields,
    }
    report = typesetting.report(template, data)
    if "factor" in report:
        data["settled"] = {name: report[name] for name in ("factor", "brief", "compact")}
    first = Frame(screen.width, screen.height, template, data, 1, clean(title), "", clean(source), report)
    return tuple(_told(replace(first, number=n), int(report["frames"]), spoken) for n in range(1, int(report["frames"]) + 1))


def _told(frame: Frame, count: int, spoken: Spoken | None) -> Frame:
    """The frame with its description in words; the words that are set where nobody wrote one."""
    which = "" if count == 1 else f", frame {frame.number} of {count}"
    words = spoken or Spoken(frame.title, frame.source, (frame.text(),))
    return replace(frame, alt=clean(words.text(which)))


def _title(described: Picture) -> str:
    if isinstance(described, StepCard):
        return f"{described.title}, {described.number} of {described.of}"
    return described.words if isinstance(described, Plaque) else described.title


def _source(described: Picture) -> str:
    held = getattr(described, "source", "") or getattr(described, "subtitle", "")
    return described.source if isinstance(described, Ledger) else str(held)


def _page(screen: Screen, chosen: Look, transparent: bool) -> dict[str, Any]:
    """What every template needs to know of the page."""
    return {
        "width": screen.width,
        "height": screen.height,
        "least": screen.least,
        "margin": chosen.margin,
        "plate": chosen.plate,
        "transparent": transparent,
        "colours": dict(chosen.colours),
        "faces": {"printed": chosen.printed, "today": chosen.today},
    }


def save(
    described: Picture,
    path: str | Path,
    size: Sequence[int] = (3840, 2160),
    theme_name: str | Path | Look = "paper",
    transparent: bool = False,
    alt_text: bool = False,
) -> list[Path]:
    """Draw into files, by the ending of `path`: .png, .svg or .pdf; the paths, several where one frame does not hold it.

    Raises:
        BadValue: the ending, the size or the look is none of those.
        RecordError: a file cannot be written.
    """
    target = Path(path)
    frames.kind_of(target)  # before the work of setting
    return frames.save(draw(described, size, theme_name, transparent), target, alt_text=alt_text)
