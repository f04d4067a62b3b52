"""The kinds of documents and how large one may be: all that a store has to know of them.

Apart from the documents themselves, whose models load the science.
"""

from typing import Literal

DocumentKind = Literal["rig", "recipe", "day", "lineup"]
MOST_BYTES = 256 * 1024
