"""What is wrong with a printed page, and what stands on it."""

import re
from itertools import combinations


def squeezed(text):
    return re.sub(r"\s+", "", text)


def faults(page):
    """Words outside the margins or over each other, measured by the face they are printed in."""
    drawn = page.figure.axes[1:]
    found = []
    for words in page.placed:
        left, top, right, bottom = words.box
        if left < 5 or top < 5 or right > page.width_mm - 5 or bottom > page.height_mm - 5:
            found.append(f"{words.text!r} leaves the page")
    for one, other in combinations(page.placed, 2):
        if min(one.box[2], other.box[2]) - max(one.box[0], other.box[0]) > 0.05 and (
            min(one.box[3], other.box[3]) - max(one.box[1], other.box[1]) > 0.4
        ):
            found.append(f"{one.text!r} covers {other.text!r}")
    for axes in drawn:
        x0, y0, x1, y1 = axes.get_position().extents
        box = (x0 * page.width_mm, (1 - y1) * page.height_mm, x1 * page.width_mm, (1 - y0) * page.height_mm)
        for words in page.placed:
            over = min(box[2], words.box[2]) - max(box[0], words.box[0])
            below = min(box[3], words.box[3]) - max(box[1], words.box[1])
            if over > 0.05 and below > 0.4:
                found.append(f"the picture covers {words.text!r}")
    return found


def letters(pages):
    """Sizes in points of all letters, those in the picture too."""
    return [text.get_fontsize() for page in pages for axes in page.figure.axes for text in axes.texts]
