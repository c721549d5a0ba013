"""People in words: the commands on them, states, cards, and what happened to an account."""
