"""Every number a letterer might argue with, with its unit, the reason for it and where it comes from.

One module a room of the house (`reading`, `outlines`, `spacing`, `critique`, `sheets`). A figure is an
ordinary float that carries its papers, so that it is used as a number and printed as a table.
"""

from vectorize.trade.figure import Figure

__all__ = ["Figure"]
