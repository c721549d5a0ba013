"""Changes of everything that proves something, single ones and forgeries: none may go unseen.

`python -m tests.campaigns` makes 2,400 of them; the suite makes a sample of the same kind.
"""
