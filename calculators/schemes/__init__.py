"""The schemes, in the order in which the guide compares them.

A scheme is a module with ID, TITLE, `lowest_level(site)`, `lay_outs(site, level)`
and, for where none of those holds, `sturdier(site, level)`; it says what is built where and what its rules say,
and neither prices nor draws.
"""

from calculators.schemes import insulated_slab, strip_and_block, thickened_raft

SCHEMES = (thickened_raft, strip_and_block, insulated_slab)
SCHEME_BY_ID = {scheme.ID: scheme for scheme in SCHEMES}
