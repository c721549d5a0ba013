"""Lists of people: accounts, roles and cards."""
