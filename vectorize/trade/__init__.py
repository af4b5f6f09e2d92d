"""Every number a letterer might argue with, with its unit, the reason for it and where it comes from.

One module a subject; `parts` and `letter_shapes` hold what is known of each letter. A figure is an ordinary
float that carries its papers, so that it is used as a number and printed as a table.
"""

from vectorize.trade.figure import Figure

__all__ = ["Figure"]
