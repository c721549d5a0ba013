"""Changes of everything that proves something, single ones and forgeries: none may go unseen.

`python -m tests.campaigns` makes 2,400 of them; the suite makes a sample of the same kind. Most are
single changes; of bundles there are forgeries too, of several changes that belong together
(`tests/campaigns/forger.py`), of which `python -m tests.campaigns 5000 forgery` makes 5,000.
"""
