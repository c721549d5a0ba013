"""Mutants: one wrong word each in the code, which a test of the trade has to notice.

`python -m tests.campaigns.mutants [WORD]` makes each in a copy of the tree and runs the tests named
beside it; one that they do not notice survives, and is named.
"""
