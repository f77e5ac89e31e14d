"""Results over a figure that was varied, as a small drawing for the notebook: SVG inside HTML, in the colours of the page."""

from __future__ import annotations

import math

from histkit.base.descriptions import Mark, Point, Points
from histkit.base.text import escape

_WIDE, _HIGH = 600, 310
_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 584, 40, 200
_STEPS = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0)
"""Distances of ticks."""
_MOST_TICKS = 9
_STRIP = 0.7
"""How far below a height of 0 those results stand whose height was not tried, in steps of height."""
_ROOM_OF_LETTER = 7.0
"""Width taken for a letter of the legend, in the drawing's units: what is drawn in the page's own face cannot be measured."""
_INK = "var(--jp-ui-font-color1,currentColor)"
_BRAND = "var(--jp-brand-color1,#0b5577)"
_PAPER = "var(--jp-layout-color0,#ffffff)"


def to_svg(points: Points) -> str:
    """The drawing. Results of one place on the scale and one height stand beside each other."""
    scale = _Scale(points)
    body = [*_axes(points, scale), *_band(points, scale)]
    beside: dict[tuple[float, int | None], int] = {}
    for point in points.points:
        place = (point.x, point.y)
        body.append(_placed(scale, point, beside.get(place, 0)))
        beside[place] = beside.get(place, 0) + 1
    if any(point.y is None for point in points.points):
        body.append(_text(_LEFT - 8, scale.y(None) + 4, "?", "end"))
    return (
        f'<svg role="img" viewBox="0 0 {_WIDE} {_HIGH}" style="width:100%;min-width:26em;max-width:40em;display:block;">'
        f"<title>{escape(points.title)}</title><desc>{escape(points.spoken)}</desc>"
        f"{''.join(body)}{_legend(points)}</svg>"
    )


class _Scale:
    """From values and heights to places in the drawing."""

    def __init__(self, points: Points) -> None:
        self.most = points.most
        values = [*(point.x for point in points.points), *points.reaching]
        if points.band:
            values += [points.band[0].low, points.band[0].high]
        room = max(0.15 * (max(values) - min(values)), 0.5)
        low, high = max(0.0, min(values) - room), max(values) + room
        self.step: float = next((s for s in _STEPS if (high - low) / s < _MOST_TICKS), _STEPS[-1])
        self.low: float = self.step * math.floor(low / self.step)
        self.high: float = self.step * math.ceil(high / self.step)

    def x(self, value: float) -> float:
        return _LEFT + (value - self.low) / (self.high - self.low) * (_RIGHT - _LEFT)

    def y(self, height: int | None) -> float:
        steps: float = -_STRIP if height is None else height
        return _BOTTOM - steps / self.most * (_BOTTOM - _TOP)

    def ticks(self) -> list[float]:
        return [self.low + n * self.step for n in range(round((self.high - self.low) / self.step) + 1)]


def _text(x: float, y: float, words: str, anchor: str = "middle", colour: str = _INK) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="13" text-anchor="{anchor}" fill="{colour}">{escape(words)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, width: float, opacity: float = 1.0) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{_INK}" stroke-width="{width}" '
        f'opacity="{opacity}"/>'
    )


def _axes(points: Points, scale: _Scale) -> list[str]:
    floor = scale.y(None) + 14
    out = [_text(_LEFT, 18, points.y_head, "start"), _text(_RIGHT, floor + 38, points.x_head, "end")]
    for height in range(points.most + 1):
        out += [
            _line(_LEFT, scale.y(height), _RIGHT, scale.y(height), 1, 0.18),
            _text(_LEFT - 8, scale.y(height) + 4, str(height), "end"),
        ]
    out.append(_line(_LEFT, floor, _RIGHT, floor, 1))
    for tick in scale.ticks():
        out += [_line(scale.x(tick), floor, scale.x(tick), floor + 5, 1), _text(scale.x(tick), floor + 20, f"{tick:g}")]
    return out


def _band(points: Points, scale: _Scale) -> list[str]:
    if points.band is None:
        return []
    span, words = points.band
    low, best, high = (scale.x(value) for value in (span.low, span.best, span.high))
    floor = scale.y(None) + 14
    return [
        f'<rect x="{low:.1f}" y="{_TOP - 10}" width="{max(high - low, 1):.1f}" height="{floor - _TOP + 10:.1f}" fill="{_BRAND}" '
        'opacity="0.16"/>',
        f'<line x1="{best:.1f}" y1="{_TOP - 10}" x2="{best:.1f}" y2="{floor:.1f}" stroke="{_BRAND}" stroke-width="2"/>',
        _text(min(max(best, _LEFT + 130), _RIGHT - 30), _TOP - 16, words),
    ]


def _placed(scale: _Scale, point: Point, place: int) -> str:
    return _mark(point.mark, scale.x(point.x) + 15 * place, scale.y(point.y))


def _mark(mark: Mark, x: float, y: float) -> str:
    if mark == "cross":
        return _line(x - 5, y - 5, x + 5, y + 5, 2) + _line(x - 5, y + 5, x + 5, y - 5, 2)
    fill = _INK if mark == "full" else _PAPER
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="6" fill="{fill}" stroke="{_INK}" stroke-width="2"/>'


def _legend(points: Points) -> str:
    x, y = float(_LEFT), _HIGH - 10
    out = []
    for mark, words in points.marks:
        out += [_mark(mark, x + 6, y - 4), _text(x + 18, y, words, "start")]
        x += 36 + _ROOM_OF_LETTER * len(words)
    return "".join([*out, _text(x, y, f"? {points.not_tried}", "start")])
