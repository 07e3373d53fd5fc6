"""Draw charts the same way on every machine: without the person's own Matplotlib settings, and without its messages.

Matplotlib is slow to import, so it is imported inside, when something is drawn.
"""

import logging
from collections.abc import Callable
from typing import TypeVar

Drawn = TypeVar("Drawn")


def drawn_plainly(draw: Callable[[], Drawn]) -> Drawn:
    """What `draw` gives, with Matplotlib's own defaults in force and its notes on fonts kept quiet."""
    # What Matplotlib says of its font cache on its first run is not for the user.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    from matplotlib import rc_context, rcParamsDefault

    # A person's own settings must not change the bytes; the backend is not theirs to set here either.
    plain = {key: value for key, value in rcParamsDefault.items() if "backend" not in key}
    # A title stands right above its panel: to look for what it might meet there takes a fifth of the drawing.
    with rc_context({**plain, "axes.titley": 1.0}):
        return draw()
