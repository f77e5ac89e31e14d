"""What is asked of every drawing, on its frames."""

from histkit.display.frames import Words


def words_of(frames):
    return " ".join(" ".join(frame.text() for frame in frames).split())


def inside(frame, margin):
    for item in frame.items:
        left, top, right, bottom = (
            item.box() if isinstance(item, Words) else (item.x, item.y, item.x + item.width, item.y + item.height)
        )
        assert margin - 1 <= left and right <= frame.width - margin + 1, item
        assert margin - 1 <= top and bottom <= frame.height - margin + 20, item


def apart(frame):
    """No two lines of words cross each other."""
    boxes = [w.box() for w in frame.words if w.text.strip()]
    for n, (left, top, right, bottom) in enumerate(boxes):
        middle = (top + bottom) / 2
        for left2, top2, right2, bottom2 in boxes[n + 1 :]:
            middle2 = (top2 + bottom2) / 2
            if left < right2 and left2 < right and abs(middle - middle2) < 0.5 * min(bottom - top, bottom2 - top2):
                raise AssertionError(f"words lie over each other on {frame.title}")
